"""Are the facts and sentences about a phrase the ones that a teacher would give?"""

from __future__ import annotations

import pytest

from lickwright.lesson import read_lesson
from lickwright.phrase import Phrase
from lickwright.reasons import Explanation, explain


def phrase(rows: str, *settings: str) -> Phrase:
    text = "```lick made-up\n" + "\n".join([*settings, "", rows.strip("\n")]) + "\n```\n"
    reading = read_lesson(text)
    assert reading.problems == ()
    return reading.lesson.phrases[0]


def sentences(explanation: Explanation) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for reason in explanation.reasons:
        found.setdefault(reason.kind, []).append(reason.text)
    return found


# Source of the expected words: common practice among teachers, no source.
def test_a_whole_step_bend_from_the_4_leans_on_the_5() -> None:
    made = phrase("G     |7b9|\ncount |1  |", "key: A", "chords: A7")
    assert sentences(explain(made))["target"] == [
        "The whole-step bend starts on the 4 and aims at the 5, the fifth of A7: "
        "a weaker note leans on a stronger one."
    ]


def test_pattern_one_is_named_with_its_fret_and_the_note_outside() -> None:
    short = phrase("B     |5-8-7|\ncount |1 2 3|", "key: A minor")
    assert "pattern" not in sentences(explain(short))  # three notes say nothing about a pattern
    made = phrase("e     |--5------|\nB     |8---8-7-5|\ncount |1 2 3 & 4|", "key: A minor")
    assert sentences(explain(made))["pattern"] == [
        "All but one note lie in pattern 1 of the A minor pentatonic at the 5th fret; "
        "the other is the 6."
    ]


def test_a_quarter_bend_of_the_minor_third_is_the_blue_third() -> None:
    flat_third = phrase("G     |5b¼|\ncount |1  |", "key: A", "chords: A7")
    assert "blue third" in sentences(explain(flat_third))
    seventh = phrase("B     |8b¼|\ncount |1  |", "key: A", "chords: A7")
    assert "blue third" not in sentences(explain(seventh))


@pytest.mark.parametrize(
    ("line", "degree"),
    [("5-8-9", "♯4"), ("9-8-7", "♭5")],
)
def test_the_tritone_is_spelled_by_where_the_line_goes(line: str, degree: str) -> None:
    made = phrase(f"G     |{line}|\ncount |1 2 3|", "key: A", "chords: A7")
    assert [tone.degree_text for tone in explain(made).tones][1] == degree


def test_a_shape_moved_with_the_chords_is_a_sequence() -> None:
    rows = """
chord |A7     |D7     |
D     |-------|--4-7--|
A     |--4-7--|5------|
E     |5------|-------|
count |1 2 3  |1 2 3  |
"""
    assert sentences(explain(phrase(rows, "key: A")))["sequence"] == [
        "The same shape is played on A7 and D7: it moves with the chords."
    ]


def test_only_muted_strings_give_no_claim_about_pitch() -> None:
    made = phrase("G     |x-x|\ncount |1 2|", "key: A")
    explanation = explain(made)
    assert explanation.tones == ()
    assert explanation.reasons == ()


def test_every_reason_names_notes_of_the_phrase() -> None:
    made = phrase(
        "B     |----8--5----|\nG     |7b9------7p5|\ncount |1   2  3 4 &|", "key: A", "chords: A7"
    )
    ids = {note.id for note in made.notes}
    for reason in explain(made).reasons:
        assert set(reason.notes) <= ids
