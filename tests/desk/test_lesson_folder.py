"""Is a lesson ever lost, and does a name ever lead out of the folder?"""

from __future__ import annotations

import errno
import itertools
import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lickwright.desk import DeskError, LessonFolder
from lickwright.desk.folder import APART, MOST_EARLIER, ChangedElsewhereError


class Clock:
    def __init__(self) -> None:
        self.now = 1_750_000_000.0

    def __call__(self) -> float:
        self.now += 1.0
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def folder(tmp_path: Path, clock: Clock) -> LessonFolder:
    return LessonFolder(tmp_path, clock)


def test_what_is_saved_is_read_again_to_the_byte(folder: LessonFolder) -> None:
    text = "Grüße,\r\nMonday ♯♭\n\n"
    made = folder.new("Monday group 4", text)
    assert folder.read("Monday group 4") == made
    assert (folder.root / "Monday group 4.md").read_bytes() == text.encode()
    again = folder.save("Monday group 4", text + "x", made.version)
    assert folder.read("Monday group 4").text == text + "x"
    assert again.version != made.version
    assert folder.names() == ["Monday group 4"]


def test_a_change_from_elsewhere_is_never_overwritten_and_both_sides_are_kept(
    folder: LessonFolder,
) -> None:
    made = folder.new("turns", "one")
    (folder.root / "turns.md").write_text("theirs")
    with pytest.raises(ChangedElsewhereError) as caught:
        folder.save("turns", "mine", made.version)
    assert caught.value.theirs.text == "theirs"
    assert folder.read("turns").text == "theirs"
    kept = {folder.earlier_text("turns", each.id) for each in folder.earlier("turns")}
    assert kept == {"mine", "theirs"}
    folder.save("turns", "mine", caught.value.theirs.version)
    assert folder.read("turns").text == "mine"


def test_a_lesson_that_was_taken_away_meanwhile_is_not_made_anew_and_not_lost(
    folder: LessonFolder,
) -> None:
    made = folder.new("turns", "one")
    folder.bin("turns")
    with pytest.raises(DeskError, match="taken away"):
        folder.save("turns", "two", made.version)
    assert folder.names() == []
    assert [folder.earlier_text("turns", each.id) for each in folder.earlier("turns")] == ["two"]


def test_earlier_versions_are_apart_in_time_and_not_too_many(
    folder: LessonFolder, clock: Clock
) -> None:
    version = folder.new("turns", "0").version
    for number in range(1, 120):
        clock.now += APART / 4
        version = folder.save("turns", str(number), version).version
    kept = folder.earlier("turns")
    times = [each.when for each in kept]
    assert times == sorted(times, reverse=True)
    assert all(a - b >= APART for a, b in itertools.pairwise(times))
    for number in range(200, 200 + 2 * MOST_EARLIER):
        clock.now += APART + 1
        version = folder.save("turns", str(number), version).version
    assert len(folder.earlier("turns")) == MOST_EARLIER


def test_the_bin_gives_back_what_was_put_in(folder: LessonFolder) -> None:
    folder.new("turns", "one")
    folder.bin("turns")
    folder.new("turns", "another")
    (kept,) = folder.binned()
    assert kept.name == "turns"
    back = folder.restore(kept.id)
    assert (back.name, back.text) == ("turns-2", "one")
    assert folder.read("turns").text == "another"
    assert folder.binned() == []
    folder.bin("turns-2")
    assert folder.empty_bin() == 1
    assert folder.binned() == []
    assert folder.names() == ["turns"]


def test_renaming_takes_the_earlier_versions_along_and_overwrites_nothing(
    folder: LessonFolder, clock: Clock
) -> None:
    version = folder.new("turns", "one").version
    folder.save("turns", "two", version)
    folder.new("taken", "x")
    with pytest.raises(DeskError, match="already"):
        folder.rename("turns", "taken")
    assert folder.rename("turns", "Tuesday").text == "two"
    assert [folder.earlier_text("Tuesday", k.id) for k in folder.earlier("Tuesday")] == ["one"]
    assert folder.names() == ["taken", "Tuesday"]


BAD = ["", ".", "..", ".hidden", "a/b", "a\\b", "../out", "x\0y", "con:x", " a", "a ", "a" * 101,
       "a\nb", "é" * 101, "a.", "\u202egnp", "\ud800"]  # fmt: skip


@pytest.mark.parametrize("name", BAD)
def test_a_name_that_is_none_is_refused_everywhere(folder: LessonFolder, name: str) -> None:
    folder.new("good", "x")
    for work in (
        lambda: folder.read(name), lambda: folder.new(name, "x"), lambda: folder.bin(name),
        lambda: folder.save(name, "x", ""), lambda: folder.rename("good", name),
        lambda: folder.earlier(name), lambda: folder.pack(name),
    ):  # fmt: skip
        with pytest.raises(DeskError):
            work()
    assert folder.names() == ["good"]


@given(name=st.text(max_size=120))
def test_every_name_is_refused_or_stays_in_the_folder(
    tmp_path_factory: pytest.TempPathFactory, name: str
) -> None:
    root = tmp_path_factory.getbasetemp()
    try:
        path = LessonFolder(root).path(name)
    except DeskError:
        return
    assert path.parent == root.resolve()
    assert path.name == f"{name}.md"


def test_links_out_of_the_folder_are_not_followed(folder: LessonFolder, tmp_path: Path) -> None:
    outside = tmp_path.parent / "secret.md"
    outside.write_text("secret")
    (folder.root / "link.md").symlink_to(outside)
    (folder.root / "nowhere.md").symlink_to(tmp_path / "not-there")
    assert folder.names() == []
    for name in ("link", "nowhere"):
        for work in (lambda n=name: folder.read(n), lambda n=name: folder.save(n, "x", "")):
            with pytest.raises(DeskError, match="out of the folder"):
                work()
    assert outside.read_text() == "secret"


def test_a_full_disk_leaves_what_was_there(
    folder: LessonFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = folder.new("turns", "one")

    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(DeskError, match="No space left"):
        folder.save("turns", "two", made.version)
    monkeypatch.undo()
    assert folder.read("turns").text == "one"
    left = [path.name for path in folder.root.rglob("*") if "saving" in path.name]
    assert left == []


def test_what_a_killed_save_or_build_left_is_taken_away_when_it_is_old(
    folder: LessonFolder, clock: Clock
) -> None:
    folder.new("turns", "one")
    (folder.root / ".lickwright-saving-abc").write_text("half")
    (folder.root / ".turns-pack.new-abc").mkdir()
    (folder.root / ".turns-pack.new-abc" / "x").write_text("half")
    folder.sweep()
    assert len(list(folder.root.iterdir())) == 3, "it may still be going on"
    clock.now = max(path.stat().st_mtime for path in folder.root.iterdir()) + 90_000
    folder.sweep()
    assert [path.name for path in folder.root.iterdir()] == ["turns.md"]


def test_what_is_no_lesson_is_said(folder: LessonFolder) -> None:
    (folder.root / "binary.md").write_bytes(b"\xff\xfe\0")
    (folder.root / "huge.md").write_bytes(b"x" * (2 << 20))
    with pytest.raises(DeskError, match="UTF-8"):
        folder.read("binary")
    with pytest.raises(DeskError, match="1 MiB"):
        folder.read("huge")
    with pytest.raises(DeskError, match="no lesson"):
        folder.read("absent")
    with pytest.raises(DeskError, match="1 MiB"):
        folder.new("long", "x" * (2 << 20))
    with pytest.raises(DeskError, match="no folder"):
        LessonFolder(folder.root / "absent")
