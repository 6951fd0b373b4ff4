"""Does `lickwright take` say what was heard, and keep what it is asked to keep?"""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest
import soundfile
from click.testing import CliRunner, Result
from lxml import etree

from lickwright.cli import main
from lickwright.lesson import read_lesson
from lickwright.sound import render_phrase

LESSON = """---
title: Evening turns
key: A minor
tempo: 90
---
```lick turn
B     |5--8--5-----|5--8--5~-|
G     |---------7--|---------|
count |1  2  3  4  |1  2  3  |
```
"""


def run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A lesson and two recordings by our own strings (the easy kind), and a broken one."""
    made: Path = tmp_path_factory.mktemp("takes")
    (made / "turns.md").write_text(LESSON)
    (made / "in").mkdir()
    phrase = read_lesson(LESSON).lesson.phrases[0]
    for name, tempo in (("kim.wav", 90), ("robin.flac", 70)):
        heard = render_phrase(phrase, tempo, count_in=False)
        soundfile.write(made / "in" / name, heard.samples, heard.rate)
    (made / "in" / "broken.mp3").write_bytes(b"ID3")
    return made


def test_one_take_is_told_in_sentences_and_note_by_note(folder: Path) -> None:
    picture = folder / "kim.svg"
    audio = folder / "in" / "kim.wav"
    found = run("take", folder / "turns.md", "turn", audio, "--picture", picture)
    assert found.exit_code == 0, found.output
    assert "in time within 20 ms" in found.output
    assert "Played at about 90 beats a minute." in found.output
    assert found.output.count("played") == 7
    assert etree.parse(str(picture)).getroot().tag.endswith("svg")


def test_a_folder_gives_one_table_and_a_bad_file_stops_no_other(folder: Path) -> None:
    table = folder / "all.csv"
    words = ["take", folder / "turns.md", "turn", folder / "in", "--csv", table]
    found = run(*words, "--picture", folder / "pictures", "--pupil", "Class of Thursday")
    assert found.exit_code == 1, "one of them could not be heard"
    with table.open(encoding="utf-8-sig", newline="") as file:
        rows = {row["recording"]: row for row in csv.DictReader(file)}
    assert rows["kim.wav"]["tempo"] == "90"
    assert rows["robin.flac"]["tempo"] == "70"
    assert "broken" in rows["broken.mp3"]["first"]
    assert sorted(p.name for p in (folder / "pictures").iterdir()) == ["kim.svg", "robin.svg"]
    listed = run("pupils", folder)
    assert listed.output.startswith("Class of Thursday: 2 takes")


def test_what_is_kept_is_taken_out_plotted_and_forgotten(folder: Path) -> None:
    keep = ["take", folder / "turns.md", "turn", folder / "in" / "kim.wav", "--pupil", "Kim"]
    assert run(*keep).exit_code == 0
    out, plot = folder / "kim.json", folder / "kim-weeks.svg"
    assert run("pupils", folder, "--export", "Kim", out).exit_code == 0
    assert json.loads(out.read_text())["takes"][0]["phrase"] == "turn"
    assert run("pupils", folder, "--progress", "Kim", plot).exit_code == 0
    assert plot.read_text().startswith("<svg")
    refused = CliRunner().invoke(main, ["pupils", str(folder), "--forget", "Kim"], input="n\n")
    assert refused.exit_code == 1
    assert "Kim" in run("pupils", folder).output
    assert "Forgotten: 1 take" in run("pupils", folder, "--forget", "Kim", "--yes").output
    assert "Kim:" not in run("pupils", folder).output
    assert run("pupils", folder, "--forget", "Kim", "--yes").exit_code == 2


def test_json_says_all_of_it(folder: Path) -> None:
    found = run("take", folder / "turns.md", "turn", folder / "in" / "kim.wav", "--json")
    (only,) = json.loads(found.output)
    assert len(only["notes"]) == 7
    assert only["summary"]["right"] == 7


@pytest.mark.parametrize(
    ("phrase", "audio", "words"),
    [("lost", "in/kim.wav", "its phrases: turn"), ("turn", "absent.wav", "not there"),
     ("turn", "turns.md", "no recording"), ("turn", "in/broken.mp3", "broken")],
)  # fmt: skip
def test_what_cannot_be_done_is_said(folder: Path, phrase: str, audio: str, words: str) -> None:
    found = run("take", folder / "turns.md", phrase, folder / audio)
    assert found.exit_code in (1, 2)
    assert words in found.output
    assert "Traceback" not in found.output


def test_an_empty_folder_and_a_name_that_is_none(folder: Path) -> None:
    (folder / "empty").mkdir()
    assert "no recording" in run("take", folder / "turns.md", "turn", folder / "empty").output
    keep = ["take", folder / "turns.md", "turn", folder / "in" / "kim.wav", "--pupil", "x" * 200]
    found = run(*keep)
    assert found.exit_code == 2
    assert "1 to 100 letters" in found.output
