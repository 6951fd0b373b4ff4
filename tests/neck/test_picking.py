"""Are the strokes those that are usual, and does the teacher have the last word?"""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction

import pytest
from tests.neck.every_way import random_line
from tests.neck.made import grace, line, n, phrase

from lickwright.neck.stroke_words import picking_words, stroke_word
from lickwright.neck.strokes import Why, picking
from lickwright.phrase import Entry, Mark, Meter, Phrase, Stroke


def strokes(made: Phrase) -> str:
    return "".join(picked.stroke.value for picked in picking(made))


def at(*onsets: str, tempo: int = 90, **more: object) -> Phrase:
    notes = [n(3, 5, onset, Fraction(onset) + Fraction(1, 8)) for onset in onsets]
    return phrase(notes, tempo=Fraction(tempo), **more)


# Common practice, no source: strict alternate picking goes by the place in the beat.
@pytest.mark.parametrize(
    ("onsets", "said"),
    [
        (("0", "1/2", "1", "3/2"), "dudu"),
        (("0", "3/2", "2", "7/2"), "dudu"),
        (("1/2", "1", "5/2"), "udu"),
        (("0", "1/4", "1/2", "3/4", "1"), "dudud"),
        (("1/4", "3/4", "5/4"), "uuu"),
        (("0", "1/4", "1/2", "1", "3/2"), "duddu"),
    ],
)
def test_strokes_go_by_the_place_in_the_beat(onsets: tuple[str, ...], said: str) -> None:
    assert strokes(at(*onsets)) == said


def test_quick_triplets_alternate_on_and_slow_ones_begin_each_beat_down() -> None:
    thirds = ("0", "1/3", "2/3", "1", "4/3", "5/3", "2")
    assert strokes(at(*thirds, tempo=160)) == "dududud"
    assert strokes(at(*thirds, tempo=60)) == "duddudd"
    assert strokes(at("0", "1/2", "1", "4/3", "5/3", "2", "5/2", tempo=160)) == "dududdu"


def test_a_compound_beat_has_three_strokes() -> None:
    meter = Meter(12, 8)
    eighths = [str(Fraction(i, 3)) for i in range(6)]
    assert strokes(at(*eighths, tempo=60, meter=meter)) == "duddud"
    assert strokes(at(*eighths, tempo=100, meter=meter)) == "dududu"


def test_joined_notes_have_no_stroke_unless_it_is_written() -> None:
    made = phrase([n(3, 5, 0, 1), n(3, 7, 1, 2, link="h"), n(3, 5, 2, 3, link="p"),
                   n(3, 9, 3, 4, link="/", stroke=Stroke.UP), n(1, 12, 4, 5, entry=Entry.TAPPED)],
                  bars=2)  # fmt: skip
    found = picking(made)
    assert [(p.note_id, p.stroke) for p in found] == [
        ("p/1/1/3", Stroke.DOWN),
        ("p/1/4/3", Stroke.UP),
    ]


def test_a_rake_and_the_note_it_leads_to_are_one_stroke() -> None:
    rake = {"dead": True, "marks": (Mark.RAKE,)}
    down = phrase([n(1, 5, 0, 1), grace(5, 0, "3/2", -2, **rake), grace(4, 0, "3/2", -1, **rake),
                   n(3, 7, "3/2", 2)])  # fmt: skip
    assert strokes(down) == "dddd"
    up = phrase([grace(1, 0, 0, -2, **rake), grace(2, 0, 0, -1, **rake), n(3, 7, 0, 1)])
    assert strokes(up) == "uuu"
    assert {picked.why for picked in picking(up)} == {Why.RAKE}


def test_two_strings_apart_struck_together_take_pick_and_fingers() -> None:
    assert strokes(phrase([n(5, 5, 0, 1), n(2, 5, 0, 1)])) == "dm"
    assert strokes(phrase([n(6, 5, 0, 1), n(4, 5, 0, 1), n(2, 5, 0, 1)])) == "dma"
    assert strokes(phrase([n(3, 5, 0, 1), n(2, 5, 0, 1)])) == "dd"


def test_quick_skips_over_strings_take_the_middle_finger_for_the_thinner_one() -> None:
    skip = line((5, 5), (1, 5), (5, 7), each=Fraction(1, 4))
    assert strokes(skip) == "dmd"
    slow = line((5, 5), (1, 5), (5, 7), each=Fraction(1))
    assert strokes(slow) == "ddd"
    assert {picked.why for picked in picking(slow)} == {Why.ALTERNATE}


def test_a_short_strong_phrase_takes_down_strokes_and_a_fast_one_does_not() -> None:
    def strong(tempo: int) -> Phrase:
        notes = [
            n(6, 5, Fraction(i, 2), Fraction(i + 1, 2), marks=(Mark.ACCENT,)) for i in range(5)
        ]
        return phrase(notes, tempo=Fraction(tempo))

    assert strokes(strong(80)) == "ddddd"
    assert {picked.why for picked in picking(strong(80))} == {Why.STRONG}
    assert strokes(strong(180)) == "dudud"


def test_a_struck_grace_takes_the_stroke_before_the_next_one() -> None:
    made = phrase([grace(2, 5, 1, -1), n(3, 7, 1, 2)])
    assert strokes(made) == "ud"


def test_the_teacher_has_the_last_word() -> None:
    dice = random.Random(60)
    for _ in range(60):
        made = random_line(dice, 6)
        written = [
            replace(note, stroke=dice.choice(list(Stroke))) if dice.random() < 0.4 else note
            for note in made.notes
        ]
        found = {picked.note_id: picked for picked in picking(replace(made, notes=tuple(written)))}
        for note in written:
            if note.stroke is not None:
                assert found[note.id].stroke is note.stroke
                assert found[note.id].why is Why.WRITTEN
            else:
                struck = note.link is None and note.entry is not Entry.TAPPED
                assert (note.id in found) == struck


def test_the_words() -> None:
    def said(made: Phrase) -> str:
        return picking_words(picking(made), made)

    assert said(at("0", "1/2", "1")) == "Strokes alternate: down on the beat, up between."
    assert said(at("0", "1", "2")) == "Every stroke is on the beat: down."
    thirds = ("0", "1/3", "2/3", "1", "4/3", "5/3")
    assert said(at(*thirds, tempo=60)).endswith("up between; in threes down, up, down.")
    assert said(at(*thirds, tempo=160)).startswith("Strokes alternate without a stop")
    apart = phrase([n(5, 5, 2, 3), n(2, 5, 2, 3)])
    assert (
        said(apart) == "Pick and fingers together reach the strings that lie far apart (bar 1, 3)."
    )
    written = phrase([n(5, 5, 0, 1, stroke=Stroke.UP)])
    assert said(written) == "The teacher wrote every stroke."
    assert said(phrase([n(5, 5, 0, 1, stroke=Stroke.UP), n(5, 5, 1, 2)])).endswith(
        "The teacher wrote 1 of 2 strokes."
    )
    assert said(phrase([])) == ""
    assert [stroke_word(stroke) for stroke in Stroke][:2] == ["down", "up"]
