"""Is the pack whole, the same every time, and never half written?"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from lickwright.lesson import read_lesson
from lickwright.pack import PackFolderError, build_pack

LESSON = """---
title: Two turns
---
Play *slowly*. <script>alert(1)</script>

```lick up
key: A
G     |5-7|
count |1 2|
```

```lick down
key: A
G     |7-5|
count |1 2|
```
"""


def build(text: str, folder: Path) -> tuple[tuple[str, ...], tuple[str, ...]]:
    built = build_pack(read_lesson(text).lesson, folder, "two-turns", lambda *_: None)
    return built.made, built.kept


def contents(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def test_a_pack_is_whole_and_only_a_changed_phrase_is_made_again(tmp_path: Path) -> None:
    target = tmp_path / "two-turns-pack"
    assert build(LESSON, target) == (("up", "down"), ())
    first = contents(target)
    assert {"handout.pdf", "lesson.html", "pack.json", "files/up.mid"} <= set(first)
    assert build(LESSON, target) == ((), ("up", "down"))
    assert contents(target) == first
    assert build(LESSON.replace("|7-5|", "|7-4|"), target) == (("down",), ("up",))
    assert set(contents(target)) == set(first)
    assert not list(tmp_path.glob(".*"))


def test_the_page_asks_nothing_of_any_network_and_shows_markup_as_text(tmp_path: Path) -> None:
    target = tmp_path / "pack"
    build(LESSON, target)
    page = (target / "lesson.html").read_text(encoding="utf-8")
    assert "<script>alert" not in page
    assert 'src="http' not in page
    assert 'href="http' not in page


def test_a_failed_build_leaves_the_old_pack(tmp_path: Path) -> None:
    target = tmp_path / "pack"
    build(LESSON, target)
    before = contents(target)

    def stop(name: str, done: int, of: int) -> None:
        if name == "handout.pdf":
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        build_pack(read_lesson(LESSON.replace("7-5", "8-5")).lesson, target, "x", stop)
    assert contents(target) == before
    assert [path.name for path in tmp_path.iterdir()] == ["pack"]


def test_the_teachers_own_files_stay_and_a_foreign_folder_is_left_alone(tmp_path: Path) -> None:
    target = tmp_path / "pack"
    build(LESSON, target)
    (target / "my notes.txt").write_text("bring picks")
    build(LESSON.replace("7-5", "8-5"), target)
    assert (target / "my notes.txt").read_text() == "bring picks"
    foreign = tmp_path / "photos"
    foreign.mkdir()
    (foreign / "a.jpg").write_bytes(b"x")
    with pytest.raises(PackFolderError, match="no pack that a build made"):
        build(LESSON, foreign)
    assert contents(foreign) == {"a.jpg": b"x"}


def test_the_manifest_gives_a_checksum_of_every_file(tmp_path: Path) -> None:
    target = tmp_path / "pack"
    build(LESSON, target)
    listed = json.loads((target / "pack.json").read_text(encoding="utf-8"))["files"]
    assert set(listed) == set(contents(target)) - {"pack.json"}
