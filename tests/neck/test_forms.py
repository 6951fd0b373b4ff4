"""Is every movable form, at every fret, the chord that it is called?"""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from lickwright.neck import Form, Place, grips, patterns
from lickwright.neck.forms import FORMS
from lickwright.phrase import STANDARD, Tuning
from lickwright.theory import parse_pitch

LOWERED = Tuning(tuple(map(parse_pitch, ("Eb4", "Bb3", "Gb3", "Db3", "Ab2", "Eb2"))))
OPEN_E = Tuning(tuple(map(parse_pitch, ("E4", "B3", "G#3", "E3", "B2", "E2"))))


def places(form: Form, shift: int) -> list[Place]:
    found = [form.place(string, shift) for string in range(1, 7)]
    return [place for place in found if place is not None]


# Source: music21 10.5.1, chord.Chord: triad quality and root from the sounding pitches.
@pytest.mark.parametrize("form", FORMS, ids=lambda form: form.name)
@pytest.mark.parametrize("shift", range(13))
@pytest.mark.parametrize(("tuning", "capo"), [(STANDARD, 0), (STANDARD, 3), (LOWERED, 0)])
def test_each_form_at_each_fret_is_exactly_its_triad(
    form: Form, shift: int, tuning: Tuning, capo: int, m21: SimpleNamespace
) -> None:
    held = places(form, shift)
    chord = m21.chord.Chord([tuning.midi(p.string, p.fret, capo) for p in held])
    assert chord.isMinorTriad() if form.minor else chord.isMajorTriad()
    assert len(set(chord.pitchClasses)) == 3
    found = [grip for grip in grips(held, tuning, capo) if grip.form == form]
    assert [(g.fret, g.root, g.minor) for g in found] == [
        (shift, chord.root().pitchClass, form.minor)
    ]


# Trade (common practice, no source): an E-form chord barred at fret n has its root on the lowest
# string at fret n; its top three strings G, B, e are third (fret n + 1), fifth, root.
@pytest.mark.parametrize("fret", range(1, 13))
def test_what_the_barred_e_form_holds(fret: int) -> None:
    form = FORMS[0]
    root = STANDARD.midi(6, fret) % 12
    assert form.place(6, fret) == Place(6, fret)
    assert form.place(3, fret) == Place(3, fret + 1)
    above = [(STANDARD.midi(s, form.place(s, fret).fret) - root) % 12 for s in (3, 2, 1)]  # type: ignore[union-attr]
    assert above == [4, 7, 0]


# Trade (common practice, no source): in pattern 1 at fret n, frets n + 2 on the G and B strings
# are root and third of the IV chord: a piece of its A-form.
@pytest.mark.parametrize("tonic", range(12))
def test_frets_two_above_pattern_one_are_a_piece_of_the_four_chord(tonic: int) -> None:
    for pattern in patterns(tonic, STANDARD):
        if pattern.number == 1:
            two = [Place(3, pattern.fret + 2), Place(2, pattern.fret + 2)]
            found = {g.form.name: g for g in grips(two, STANDARD)}
            assert found["A"].root == (tonic + 5) % 12
            tones = [(STANDARD.midi(p.string, p.fret) - found["A"].root) % 12 for p in two]
            assert tones == [0, 4]


def test_strings_the_form_leaves_out_belong_to_no_grip_of_it() -> None:
    assert "D" not in {g.form.name for g in grips([Place(6, 2)], STANDARD)}
    assert FORMS[2].place(6, 2) is None


def test_a_form_is_not_moved_below_the_nut() -> None:
    assert {g.form.name for g in grips([Place(3, 0)], STANDARD)} == {"C", "G", "Em"}


def test_unusual_tunings_and_no_notes_have_no_grips() -> None:
    assert grips([Place(1, 5), Place(2, 5)], OPEN_E) == ()
    assert grips([], STANDARD) == ()
