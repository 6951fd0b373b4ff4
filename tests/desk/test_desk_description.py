"""Is the desk as its own description says? Source of the description's form: OpenAPI 3.1.

Tried by schemathesis, a general-purpose library that makes requests from such a description, good
ones and bad ones.
"""

from __future__ import annotations

import pytest
import schemathesis
from hypothesis import HealthCheck, settings
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import response_schema_conformance
from served import Desk

from lickwright.desk.described import description

pytestmark = [pytest.mark.xdist_group("desk"), pytest.mark.filterwarnings("ignore")]
schema = schemathesis.openapi.from_dict(description())


@schema.parametrize()
@settings(max_examples=12, deadline=None, suppress_health_check=list(HealthCheck))
def test_no_request_made_from_the_description_breaks_it(case, desk: Desk) -> None:
    answer = case.call(base_url=desk.address)
    case.validate_response(answer, checks=(not_a_server_error, response_schema_conformance))
