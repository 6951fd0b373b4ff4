"""Are a worksheet's answers right, and does its number make the same sheet again?"""

from __future__ import annotations

import re
from pathlib import Path

import pymupdf
import pytest
from click.testing import CliRunner
from lessons_of_packs import TWO_TURNS, build
from music21 import interval, pitch, scale

from lickwright.cli import main
from lickwright.engrave import Board, NeckSpec
from lickwright.pack import make_worksheet
from lickwright.theory import Key, ScaleKind, parse_key

KEYS = ["A", "C", "Eb", "F#", "Bb", "E", "G", "D", "B", "F", "Ab", "C#"]
STRINGS = {"e": "E4", "B": "B3", "G": "G3"}


def in_music21(text: str) -> str:
    return text.replace("♭", "-").replace("♯", "#")


def scale_names(kind: ScaleKind, tonic: str) -> set[str]:
    """Source: music21's scales; the pentatonic is the minor scale without its 2nd and 6th."""
    own = scale.MinorScale(in_music21(tonic.replace("b", "-")))
    if kind is ScaleKind.MINOR_PENTATONIC:
        return {own.pitchFromDegree(degree).name for degree in (1, 3, 4, 5, 7)}
    return {own.pitchFromDegree(degree).name for degree in range(1, 8)}


def names(spec: NeckSpec) -> set[str]:
    return {in_music21(spot.name) for spot in spec.spots}


@pytest.mark.parametrize("text", KEYS)
@pytest.mark.parametrize("kind", [ScaleKind.MINOR_PENTATONIC, ScaleKind.NATURAL_MINOR])
def test_the_answers_are_the_scale_and_nothing_else(text: str, kind: ScaleKind) -> None:
    key = parse_key(text)
    for seed in range(6):
        sheet = make_worksheet(key, kind, seed)
        fill, roots, connect, bends = sheet.questions
        wanted = scale_names(kind, str(key.tonic))
        assert names(fill.answer_maps[0]) == wanted
        assert {each for spec in connect.answer_maps for each in names(spec)} == wanted
        assert names(roots.answer_maps[0]) == {in_music21(key.tonic.pretty)}
        octave = pitch.Pitch(in_music21(key.tonic.pretty)).pitchClass
        board = Board()
        everywhere = {
            (string, fret)
            for string in range(1, 7)
            for fret in range(13)
            if board.tuning.midi(string, fret) % 12 == octave
        }
        assert {(s.place.string, s.place.fret) for s in roots.answer_maps[0].spots} == everywhere
        assert len(bends.answers) == len(bends.blanks) == 4


@pytest.mark.parametrize("text", KEYS)
def test_the_targets_of_bends_are_named_right(text: str) -> None:
    key = parse_key(text)
    for seed in range(10):
        for answer in make_worksheet(key, ScaleKind.MINOR_PENTATONIC, seed).questions[3].answers:
            match = re.fullmatch(
                r"(\w) string, fret (\d+), bent by a (half|whole) step: "
                r"the note (\S+), the degree (\S+), like fret (\d+)",
                answer,
            )
            assert match, answer
            steps = {"half": 1, "whole": 2}[match[3]]
            sounding = pitch.Pitch(STRINGS[match[1]]).transpose(int(match[2]) + steps)
            assert int(match[6]) == int(match[2]) + steps
            named = pitch.Pitch(in_music21(match[4]))
            assert named.pitchClass == sounding.pitchClass
            tonic = pitch.Pitch(in_music21(key.tonic.pretty))
            above = interval.Interval(tonic, named).generic.mod7
            assert match[5].lstrip("♭♯b#") in ("R" if above == 1 else str(above),)


def test_what_is_asked_is_not_answered_on_the_sheet() -> None:
    for seed in range(8):
        fill, roots, connect, bends = make_worksheet(
            Key(parse_key("A").tonic, parse_key("A").mode), ScaleKind.BLUES, seed
        ).questions
        assert fill.shown[0].worksheet
        assert roots.shown[0].spots == ()
        assert connect.shown[1].spots == ()
        assert connect.shown[0] == connect.answer_maps[0]
        assert all("______" in blank for blank in bends.blanks)


def test_a_number_gives_the_same_sheet_and_another_number_another() -> None:
    key = parse_key("A")
    sheets = [make_worksheet(key, ScaleKind.MINOR_PENTATONIC, seed) for seed in range(40)]
    assert sheets[7] == make_worksheet(key, ScaleKind.MINOR_PENTATONIC, 7)
    assert len({sheet.questions for sheet in sheets}) > 35


def test_the_command_makes_a_sheet_and_its_answers(tmp_path: Path) -> None:
    run = CliRunner().invoke
    found = run(main, ["worksheet", "--key", "Bb", "--seed", "3", "--out", str(tmp_path)])
    assert found.exit_code == 0, found.output
    sheet, answers = (pymupdf.open(path) for path in sorted(tmp_path.glob("*.pdf"), reverse=True))
    assert "______" in sheet[0].get_text()
    assert "______" not in answers[0].get_text()
    assert "sheet 3" in answers[0].get_text()
    assert run(main, ["worksheet", "--out", str(tmp_path)]).exit_code == 2
    assert run(main, ["worksheet", "--key", "H", "--out", str(tmp_path)]).exit_code == 2
    wrong = run(main, ["worksheet", "--key", "A", "--scale", "blue", "--out", str(tmp_path)])
    assert wrong.exit_code == 2
    assert "blues" in wrong.output


def test_a_lesson_with_worksheets_gets_their_answers(tmp_path: Path) -> None:
    block = "\n```neck sheet\nkey: A\nscale: blues\nfrets: 5-8\nworksheet: yes\n```\n"
    build(TWO_TURNS + block, tmp_path / "with")
    build(TWO_TURNS, tmp_path / "without")
    answers = tmp_path / "with" / "worksheet-answers.pdf"
    assert "A blues" in pymupdf.open(answers)[0].get_text()
    assert not (tmp_path / "without" / "worksheet-answers.pdf").exists()
