"""Is the pack whole, the same every time, and never half written?"""

from __future__ import annotations

import errno
import json
from pathlib import Path

import pytest
from lessons_of_packs import SILENT, TWO_TURNS, build, contents

from lickwright.lesson import read_lesson
from lickwright.pack import PackFolderError, build_pack
from lickwright.pack.folder import recover


def test_a_pack_is_whole_and_only_a_changed_phrase_is_made_again(tmp_path: Path) -> None:
    target = tmp_path / "two-turns-pack"
    assert build(TWO_TURNS, target).made == ("up", "down", "band-backing-in-A")
    first = contents(target)
    assert {
        "handout.pdf",
        "lesson.html",
        "pack.json",
        "files/up.mid",
        "files/up-with-band.mid",
        "files/band-backing-in-A.musicxml",
    } <= set(first)
    assert build(TWO_TURNS, target).kept == ("up", "down", "band-backing-in-A")
    assert contents(target) == first
    again = build(TWO_TURNS.replace("|7-5|", "|7-4|"), target)
    assert (again.made, again.kept) == (("down",), ("up", "band-backing-in-A"))
    assert set(contents(target)) == set(first)
    assert not list(tmp_path.glob(".*"))


def test_the_page_asks_nothing_of_any_network_and_shows_markup_as_text(tmp_path: Path) -> None:
    target = tmp_path / "pack"
    build(TWO_TURNS, target)
    page = (target / "lesson.html").read_text(encoding="utf-8")
    assert "<script>alert" not in page
    assert 'src="http' not in page
    assert 'href="http' not in page


def test_a_failed_build_leaves_the_old_pack(tmp_path: Path) -> None:
    target = tmp_path / "pack"
    build(TWO_TURNS, target)
    before = contents(target)

    def stop(name: str, done: int, of: int) -> None:
        if name == "handout.pdf":
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        build_pack(read_lesson(TWO_TURNS.replace("7-5", "8-5")).lesson, target, "x", stop, SILENT)
    assert contents(target) == before
    assert [path.name for path in tmp_path.iterdir()] == ["pack"]


def test_the_teachers_own_files_stay_and_a_foreign_folder_is_left_alone(tmp_path: Path) -> None:
    target = tmp_path / "pack"
    build(TWO_TURNS, target)
    (target / "my notes.txt").write_text("bring picks")
    build(TWO_TURNS.replace("7-5", "8-5"), target)
    assert (target / "my notes.txt").read_text() == "bring picks"
    foreign = tmp_path / "photos"
    foreign.mkdir()
    (foreign / "a.jpg").write_bytes(b"x")
    with pytest.raises(PackFolderError, match="no pack that a build made"):
        build(TWO_TURNS, foreign)
    assert contents(foreign) == {"a.jpg": b"x"}


def test_the_manifest_gives_a_checksum_of_every_file(tmp_path: Path) -> None:
    target = tmp_path / "pack"
    build(TWO_TURNS, target)
    listed = json.loads((target / "pack.json").read_text(encoding="utf-8"))["files"]
    assert set(listed) == set(contents(target)) - {"pack.json"}


def test_many_processes_make_the_same_bytes_as_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    build(TWO_TURNS, tmp_path / "one")
    monkeypatch.setattr("lickwright.pack.workers.WORTH_IT", 2)
    monkeypatch.setattr("os.cpu_count", lambda: 2)
    build(TWO_TURNS, tmp_path / "two")
    assert contents(tmp_path / "one") == contents(tmp_path / "two")


def test_a_full_disk_leaves_the_old_pack(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    target = tmp_path / "pack"
    build(TWO_TURNS, target)
    before = contents(target)
    room = iter(range(7))
    write = Path.write_bytes

    def full(path: Path, data: bytes) -> int:
        if tmp_path in path.parents and next(room, None) is None:
            raise OSError(errno.ENOSPC, "No space left on device")
        return write(path, data)

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(OSError, match="No space"):
        build(TWO_TURNS.replace("7-5", "8-5"), target)
    assert next(room, None) is None, "the disk was full while the pack was written"
    assert contents(target) == before
    assert [path.name for path in tmp_path.iterdir()] == ["pack"]


def test_a_crash_between_the_two_steps_of_the_swap_is_mended(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "pack"
    build(TWO_TURNS, target)
    before = contents(target)
    target.rename(tmp_path / ".pack.old")  # what is left when the power goes there
    recover(target)
    assert contents(target) == before


def test_a_file_of_the_pack_that_was_altered_is_made_again(tmp_path: Path) -> None:
    target = tmp_path / "pack"
    build(TWO_TURNS, target)
    before = contents(target)
    (target / "files" / "up.mid").write_bytes(b"spoiled")
    assert build(TWO_TURNS, target).made == ("up",)
    assert contents(target) == before


def test_neck_maps_are_drawn_and_what_cannot_be_drawn_is_said(tmp_path: Path) -> None:
    blocks = """
```neck home
key: A
scale: minor pentatonic
pattern: 1
```

```neck way
lick: up
```

```neck nowhere
lick: lost
```

```neck sheet
key: A
scale: blues
frets: 5-8
worksheet: yes
```
"""
    built = build(TWO_TURNS + blocks, tmp_path / "pack")
    assert [trouble.partition(":")[0] for trouble in built.troubles] == ["nowhere"]
    page = (tmp_path / "pack" / "lesson.html").read_text(encoding="utf-8")
    for title in ("A minor pentatonic, pattern 1<", "Up on the neck<", "Worksheet: A blues"):
        assert title in page
    assert sorted(path.name for path in (tmp_path / "pack" / "pictures").glob("neck-map-*")) == [
        f"neck-map-{number}{hand}.svg" for number in (1, 2, 4) for hand in ("-left", "")
    ]  # fmt: skip
