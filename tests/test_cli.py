"""Does the command say what a teacher needs, with the exit codes that it promises?"""

from __future__ import annotations

import json
from collections.abc import Iterator
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from lickwright.cli import main
from lickwright.engrave import faces

BROKEN = "```lick a\nG     |7b9-5|\ncount |1     |\n```\n"


def run(*words: str) -> Result:
    return CliRunner().invoke(main, list(words))


def test_a_new_lesson_is_without_problems(tmp_path: Path) -> None:
    file = tmp_path / "mine.md"
    assert run("new", str(file)).exit_code == 0
    assert run("check", str(file)).exit_code == 0
    assert run("tidy", str(file)).exit_code == 0
    assert run("check", str(file)).exit_code == 0
    assert run("new", str(file)).exit_code == 2


def test_problems_have_place_and_mend_and_exit_code_1(tmp_path: Path) -> None:
    file = tmp_path / "broken.md"
    file.write_text(BROKEN)
    found = run("check", str(file))
    assert found.exit_code == 1
    assert f"{file}:" in found.output
    assert "mend:" in found.output
    records = json.loads(run("check", str(file), "--json").output)
    assert all(record["line"] >= 1 and record["mend"] for record in records)


def test_files_that_cannot_be_used_end_with_plain_words(tmp_path: Path) -> None:
    (tmp_path / "binary.md").write_bytes(bytes(range(256)))
    for name in ("", "missing.md", "binary.md"):
        for verb in ("check", "tidy", "explain", "build"):
            result = run(verb, str(tmp_path / name))
            assert result.exit_code == 2, (verb, name, result.output)
            assert "Traceback" not in result.output


def test_explain_gives_reasons_in_words_and_as_json(tmp_path: Path) -> None:
    file = tmp_path / "mine.md"
    run("new", str(file))
    assert "comes home" in run("explain", str(file)).output
    told = json.loads(run("explain", str(file), "--json").output)
    assert told[0]["reasons"][0]["kind"] == "ending"


def test_hand_says_finger_stroke_and_reason_of_every_note(tmp_path: Path) -> None:
    lesson = tmp_path / "a.md"
    lesson.write_text("```lick up\nkey: A\nG     |5-7-|\ncount |1 & |\n```\n", encoding="utf-8")
    run = CliRunner().invoke(main, ["hand", str(lesson), "--json"])
    assert run.exit_code == 0, run.output
    notes = json.loads(run.output)[0]["notes"]
    assert [(n["finger"], n["stroke"], n["suggested"]) for n in notes] == [
        ("1", "down", True), ("3", "up", True)
    ]  # fmt: skip
    plain = CliRunner().invoke(main, ["hand", str(lesson), "up"])
    assert "(1)" in plain.output
    missing = CliRunner().invoke(main, ["hand", str(lesson), "down"])
    assert missing.exit_code == 2
    assert "up" in missing.output


def test_check_gives_advice_for_the_hand_and_still_is_well(tmp_path: Path) -> None:
    lesson = tmp_path / "a.md"
    text = "```lick wide\nkey: A\ne     |1-|\nA     |8-|\ncount |1 |\n```\n"
    lesson.write_text(text, encoding="utf-8")
    run = CliRunner().invoke(main, ["check", str(lesson)])
    assert run.exit_code == 0
    assert "For the hand" in run.output
    assert "mm apart" in run.output
    found = json.loads(CliRunner().invoke(main, ["check", str(lesson), "--json"]).output)
    assert [each["code"] for each in found] == ["hand"]
    assert found[0]["measures"][0]["unit"] == "mm"


@pytest.fixture
def half_installed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """The package without the files that are made when it is built, and none of them in memory."""
    whole = resources.files
    for room in ("pack", "engrave"):
        (tmp_path / room).mkdir()
        for each in whole(f"lickwright.{room}").iterdir():
            if each.name not in ("fonts", "web"):
                (tmp_path / room / each.name).symlink_to(str(each))

    def files(package: str) -> Traversable:
        room = package.rpartition(".")[2]
        return tmp_path / room if room in ("pack", "engrave") else whole(package)

    kept = (faces.font_bytes, faces._advances)
    for cached in kept:
        cached.cache_clear()
    monkeypatch.setattr(resources, "files", files)
    yield
    for cached in kept:
        cached.cache_clear()


@pytest.mark.usefixtures("half_installed")
def test_a_half_installed_package_is_said_in_plain_words(tmp_path: Path) -> None:
    lesson = tmp_path / "evening.md"
    lesson.write_text("---\ntitle: Evening\n---\nOnly words.\n", encoding="utf-8")
    for words in (("build", str(lesson), "--audio", "none"), ("worksheet", "--key", "A")):
        result = run(*words)
        assert result.exit_code == 2
        assert "was not fully installed" in result.output
        assert "Traceback" not in result.output


def test_a_phrase_that_is_not_there_is_said_with_those_that_are(tmp_path: Path) -> None:
    broken, whole = tmp_path / "broken.md", tmp_path / "whole.md"
    broken.write_text(BROKEN)
    run("new", str(whole))
    for verb in ("explain", "hand"):
        assert f"lickwright check {broken}" in run(verb, str(broken)).output
    for verb in ("explain", "hand", "move", "places"):
        more = ("--key", "G") if verb == "move" else ()
        result = run(verb, str(whole), "nowhere", *more)
        assert result.exit_code == 2
        assert "its phrases: first-answer" in result.output
