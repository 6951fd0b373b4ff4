"""Does the tool say rightly why a finger plays a note, and what another one would cost?"""

from __future__ import annotations

import random
import re
from dataclasses import replace
from fractions import Fraction

import pytest
from tests.neck.every_way import random_chords, random_line
from tests.neck.made import line, n, phrase

from lickwright.neck import guitar_for
from lickwright.neck.fingering import Fingering, finger
from lickwright.neck.fingering_words import other_fingers, why_finger
from lickwright.neck.hold import IMPOSSIBLE, Part
from lickwright.phrase import Bend, Entry, Finger, Phrase


def fingered(made: Phrase) -> Fingering:
    return finger(made, guitar_for(made))


@pytest.mark.parametrize("make", [random_line, random_chords])
def test_another_finger_costs_what_it_costs_when_the_teacher_writes_it(make: object) -> None:
    dice, compared = random.Random(30), 0
    for _ in range(40):
        made: Phrase = make(dice, 4)  # type: ignore[operator]
        found = fingered(made)
        for index, note in enumerate(made.notes):
            for choice in other_fingers(found, note.id):
                notes = list(made.notes)
                notes[index] = replace(note, finger=choice.finger)
                forced = fingered(replace(made, notes=tuple(notes)))
                if forced.playable:
                    assert choice.extra == pytest.approx(forced.cost - found.cost, abs=1e-9)
                    assert sum(p for _, p in choice.parts) == pytest.approx(choice.extra, abs=1e-9)
                    compared += 1
    assert compared > 150


def test_other_fingers_come_cheapest_first_and_leave_out_the_chosen_one() -> None:
    dice = random.Random(31)
    for _ in range(30):
        found = fingered(random_line(dice, 5))
        for note in found.phrase.notes:
            others = other_fingers(found, note.id)
            assert [c.extra for c in others] == sorted(c.extra for c in others)
            assert found.fingers.get(note.id) not in [c.finger for c in others]


def words(made: Phrase) -> list[str]:
    found = fingered(made)
    return [why_finger(found, note.id) for note in made.notes]


def test_the_words_for_a_line_in_one_position() -> None:
    first, second, *_ = words(line((3, 5), (3, 7), (4, 5), (4, 7), (3, 5)))
    assert first.startswith("finger 1: it stands on its own fret; the 2nd finger would cost ")
    assert second.startswith("finger 3: it stands on its own fret; the 4th finger would cost ")
    assert second.endswith("the 4th finger is weaker")


def test_the_words_name_the_way_the_hand_would_move() -> None:
    dice, seen = random.Random(32), set()
    for _ in range(60):
        found = fingered(random_line(dice, 5))
        for note in found.phrase.notes:
            said = re.search(r"hand would move (up|down) (a|\d+) fret", why_finger(found, note.id))
            if said:
                choice = other_fingers(found, note.id)[0]
                frets = 1 if said[2] == "a" else int(said[2])
                assert choice.moved == (frets if said[1] == "up" else -frets)
                assert dict(choice.parts)[Part.SHIFT] > 0
                seen.add(said[1])
    assert seen == {"up", "down"}


@pytest.mark.parametrize(
    ("made", "said"),
    [
        (phrase([n(1, 0, 0, 1)]), "open string: no finger"),
        (phrase([n(1, 0, 0, 1, dead=True)]), "muted: the hand only lies on the string"),
        (phrase([n(1, 9, 0, 1, entry=Entry.TAPPED)]), "tapped: the picking hand frets it"),
        (phrase([n(1, 9, 0, 1, finger=Finger.SECOND)]), "finger 2: the teacher wrote it"),
        (phrase([n(6, 3, 0, 1, finger=Finger.THUMB)]), "thumb: the teacher wrote it"),
    ],
)
def test_the_words_for_notes_without_a_choice(made: Phrase, said: str) -> None:
    assert words(made) == [said]


def test_the_words_for_bends_slides_and_barres() -> None:
    bend = words(phrase([n(3, 7, 0, 1, gestures=(Bend(Fraction(2)),)), n(3, 5, 1, 2)]))[0]
    assert bend.startswith("finger 3: it bends with the others behind it and it stands on its own")
    assert "it has less strength for the bend" in bend
    slide = words(phrase([n(3, 5, 0, 1), n(3, 7, 1, 2, link="/", finger=Finger.FIRST)]))
    assert slide[0].endswith("the slide would have to change fingers")
    assert slide[0].startswith("finger 1: it stands on its own fret; no other finger can take it")
    barre = words(phrase([n(string, 5, 0, 1) for string in (1, 2, 3)]))[0]
    assert barre.startswith("finger 1: it lies flat over 3 strings and it stands on its own fret")


def test_a_finger_that_cannot_play_it_is_told_from_one_that_only_costs_more() -> None:
    made = phrase([n(3, 5, 0, 1), n(3, 7, 1, 2, link="/", finger=Finger.FIRST)])
    choice = other_fingers(fingered(made), made.notes[0].id)[0]
    assert choice.extra >= IMPOSSIBLE
    assert choice.parts[0][0] is Part.SLIDE


def test_an_unknown_note_is_an_error() -> None:
    with pytest.raises(KeyError, match="no note p/9/9/9"):
        why_finger(fingered(line((1, 5))), "p/9/9/9")
