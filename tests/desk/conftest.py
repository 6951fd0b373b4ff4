"""A desk that the tests of a file share."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from served import LESSON, Desk, served


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    folder: Path = tmp_path_factory.mktemp("lessons")
    (folder / "evening.md").write_text(LESSON, encoding="utf-8")
    with served(folder) as made:
        yield made
