"""Ids of notes as XML ids. Source: NCName of Namespaces in XML (W3C): no `/`, `&`, `+`, `:`."""

from __future__ import annotations

import re

import pytest
from exchange_phrases import WORKED
from hypothesis import given
from hypothesis import strategies as st

from lickwright.exchange import Staff, note_id, xml_id

_NCNAME = re.compile(r"[A-Za-z_][A-Za-z0-9._-]*")


@given(st.text(min_size=1), st.sampled_from(list(Staff)), st.integers(1, 20))
def test_any_id_there_and_back(text, staff, head):
    identifier = xml_id(text, staff, head)
    assert _NCNAME.fullmatch(identifier)
    assert note_id(identifier) == text


def test_ids_of_heads_differ():
    ids = [note.id for phrase in WORKED.values() for note in phrase.notes]
    named = {xml_id(i, staff, head) for i in ids for staff in Staff for head in (1, 2)}
    assert len(named) == 4 * len(set(ids))


def test_as_described():
    assert xml_id("lean/1/2&/3") == "n.lean.1.2_26_.3"
    assert xml_id("seven/2/1+1/5/3", Staff.TAB, 2) == "t2.seven.2.1_2b_1.5.3"


@pytest.mark.parametrize("wrong", ["", "x.lean", "n", "lean.1.2.3"])
def test_other_ids_are_refused(wrong):
    with pytest.raises(ValueError, match="no id of a written note"):
        note_id(wrong)
