"""Odd phrases and chords: sensible words, never a false claim, never a crash."""

from __future__ import annotations

import pytest
from click.testing import CliRunner
from licks import lick, sentences

from lickwright.cli import main
from lickwright.lesson import read_lesson
from lickwright.reasons import explain, fit, grade, survey, tones_of
from lickwright.theory import parse_chord

ROWS = "G     |5-7-|\ncount |1 2 |"


def test_without_a_chord_nothing_is_said_of_chords() -> None:
    said = sentences(explain(lick(ROWS, "key: A")))
    text = " ".join(each for kind in said.values() for each in kind)
    assert "chord" not in text
    assert said["ending"] == ["It ends on D, the 4 of the key, on beat 2."]


def test_no_chord_said_by_name_is_no_chord() -> None:
    made = lick("chord |N.C.|\nG     |5-7-|\ncount |1 2 |", "key: A")
    assert "chord" not in " ".join(reason.text for reason in explain(made).reasons)
    assert fit(made, tones_of(made), parse_chord("N.C.")) is None


def test_a_chord_with_many_changes_is_understood() -> None:
    made = lick("chord |C7#9b13|\nB     |4-1---|\ncount |1 2   |", "key: C")
    said = sentences(explain(made))["ending"]
    assert said == ["It ends on C, the root of the key, on beat 2: it comes home."]
    assert "sharp ninth" in [tone.place.words for tone in explain(made).tones if tone.place]


def test_an_unreadable_chord_is_an_error_with_a_mend() -> None:
    text = f"```lick a\nkey: A\n\nchord |Hm  |\n{ROWS}\n```\n"
    reading = read_lesson(text)
    assert [problem.code for problem in reading.problems] == ["chord"]
    assert reading.problems[0].mend


@pytest.mark.parametrize(
    "rows",
    [
        "G     |5|\ncount |1|",
        "G     |0|\ncount |1|",
        "G     |x-x-x|\ncount |1 2 3|",
        "G     |(5)|\ncount | 1 |",
        "G     |<12>|\ncount | 1  |",
        "G     |5b¼|\ncount |1  |",
    ],
)
def test_very_short_phrases(rows: str) -> None:
    made = lick(rows, "key: C", "chords: C7")
    why = explain(made)
    assert len(why.reasons) <= 3
    whole = survey([why])
    assert whole.order == ("made-up",)
    assert grade(made).total >= 0


def test_a_line_outside_every_key_is_not_called_home() -> None:
    rows = "G     |1-2-3-4-5-6-7-8-|\ncount |1 & 2 & 3 & 4 & |"
    made = lick(rows, "key: C", "chords: C7")
    said = sentences(explain(made))
    assert "pattern" not in said
    assert "comes home" not in said["ending"][0]


def test_256_bars_are_explained() -> None:
    music, count = "5-7-|" * 256, "1 3 |" * 256
    made = lick(f"G     |{music}\ncount |{count}", "key: A", "chords: A7")
    why = explain(made)
    assert len(why.reasons) < 20
    assert len(why.shown) <= 5


def test_over_a_chord_that_cannot_be_read_ends_with_plain_words(tmp_path) -> None:  # type: ignore[no-untyped-def]
    file = tmp_path / "a.md"
    file.write_text(f"```lick a\nkey: A\n\n{ROWS}\n```\n")
    result = CliRunner().invoke(main, ["explain", str(file), "--over", "A7, Q9"])
    assert result.exit_code == 2
    assert "Q9" in result.output
    assert "Traceback" not in result.output
