"""Is every trouble of the hand found, measured rightly, and are the ways out real?"""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction
from math import floor

import pytest
from tests.neck.made import line, n, phrase

from lickwright.neck import (
    EXTRA_LIGHT,
    LIGHT,
    Guitar,
    HandSize,
    bend_effort,
    fret_distance,
    guitar_for,
    string_set,
)
from lickwright.neck.fingering import finger
from lickwright.neck.mending import half_step_down, mended
from lickwright.neck.playable import playability, troubles
from lickwright.neck.trouble import BEND_NEWTONS, JUMP_MS, JUMP_MS_A_MM, Mend, Trouble, TroubleKind
from lickwright.phrase import STANDARD, Bend, Finger, Note, Phrase, Release, Trill, Vibrato
from lickwright.theory import parse_pitch

Kind = TroubleKind
WHOLE = (Bend(Fraction(2)),)
STEP_AND_A_HALF = (Bend(Fraction(3)),)


def report(made: Phrase, guitar: Guitar | None = None) -> tuple[Trouble, ...]:
    return playability(made, guitar or guitar_for(made))


def only(made: Phrase, guitar: Guitar | None = None) -> Trouble:
    found = report(made, guitar)
    assert len(found) == 1, found
    return found[0]


def kinds(made: Phrase) -> set[TroubleKind]:
    return {trouble.kind for trouble in report(made)}


# Common practice, no source: what pupils of some years play every day is no trouble.
@pytest.mark.parametrize(
    "made",
    [
        line((6, 5), (6, 8), (5, 5), (5, 7), (4, 5), (4, 7), each=Fraction(1, 4)),
        phrase([n(3, 7, 0, 1, gestures=WHOLE), n(2, 5, 1, 2), n(1, 5, 2, 3)]),
        phrase([n(2, 8, 0, 1, gestures=WHOLE), n(2, 8, 1, 2, gestures=(Vibrato(wide=True),))]),
        phrase([n(1, 12, 0, 1, gestures=STEP_AND_A_HALF)]),
        phrase([n(3, 9, 0, 1, gestures=WHOLE), n(2, 7, 0, 1)]),  # unison bend
        phrase([n(2, 10, 0, 1, gestures=WHOLE), n(1, 8, 0, 1)]),  # unison bend
        phrase([n(string, 5, 0, 1) for string in (1, 2, 3)]),
        phrase([n(2, 5, 0, 1, gestures=(Trill(7),))]),
        phrase([n(3, 5, 0, 1), n(3, 12, 1, 2, link="/")], tempo=Fraction(200)),
        phrase([n(s, f, 0, 4) for s, f in ((6, 3), (5, 5), (4, 5), (3, 4), (2, 3), (1, 3))]),
    ],
)
def test_usual_playing_is_no_trouble(made: Phrase) -> None:
    assert report(made) == ()


def test_a_stretch_is_measured_in_mm_against_the_hands_reach() -> None:
    made = phrase([n(6, 1, 0, 1), n(5, 6, 0, 1)])
    found = only(made)
    assert found.kind is Kind.STRETCH
    apart, fret = found.measures
    # Source: equal temperament, and the string spacing of the neck across.
    assert apart.value == pytest.approx(
        (fret_distance(1, 6) ** 2 + guitar_for(made).neck.spacing(1) ** 2) ** 0.5
    )
    assert apart.limit == pytest.approx(128.0)
    assert (fret.value, fret.unit) == (1, "fret")
    assert found.note_ids == ("p/1/1/6", "p/1/1/5")
    assert found.words.startswith("fingers 1 and 4 would be 154 mm apart at frets 1 and 6;")


def test_what_a_large_hand_reaches_is_trouble_for_a_small_one() -> None:
    made = phrase([n(6, 1, 0, 1), n(5, 5, 0, 1)])
    assert playability(made, guitar_for(made), HandSize.LARGE) == ()
    assert playability(made, guitar_for(made), HandSize.SMALL)[0].kind is Kind.STRETCH


def test_fingers_that_cross_are_named_and_another_finger_is_offered() -> None:
    made = phrase([n(3, 9, 0, 1, finger=Finger.FIRST), n(2, 8, 0, 1, finger=Finger.SECOND)])
    found = only(made)
    assert found.kind is Kind.FINGERS
    assert found.words == "no hand can hold this at frets 8 and 9: a higher finger on a lower fret"
    assert found.mends[0].changes == "finger"


def test_a_jump_is_measured_and_the_tempo_named_at_which_it_fits() -> None:
    made = line((6, 1), (6, 15), each=Fraction(1, 4), tempo=Fraction(160))
    found = only(made)
    assert found.kind is Kind.JUMP
    needed, way, frets = found.measures
    assert needed.limit == pytest.approx(1000 * 60 / 160 / 4)
    assert needed.value == pytest.approx(JUMP_MS + JUMP_MS_A_MM * way.value)
    assert 9 <= frets.value <= 14
    slower = next(mend for mend in found.mends if mend.changes == "tempo")
    assert slower.tempo is not None
    assert slower.tempo <= floor(160 * needed.limit / needed.value) < 160
    assert report(replace(made, tempo=slower.tempo)) == ()


def test_a_rest_or_an_open_string_gives_time_for_a_jump() -> None:
    jump = [n(6, 1, 0, "1/4"), n(6, 15, "1/4", 1)]
    assert kinds(phrase(jump, tempo=Fraction(160))) == {Kind.JUMP}
    resting = [jump[0], n(6, 15, 1, 2)]
    assert report(phrase(resting, tempo=Fraction(160))) == ()
    opened = [jump[0], n(1, 0, "1/4", 1), n(6, 15, 1, 2)]
    assert report(phrase(opened, tempo=Fraction(160))) == ()


def test_the_time_over_several_open_strings_adds_up() -> None:
    quick = [n(6, 1, 0, "1/4"), n(1, 0, "1/4", "1/2"), n(2, 0, "1/2", "3/4"), n(6, 15, "3/4", 1)]
    assert report(phrase(quick, tempo=Fraction(160))) == ()


def test_a_slide_takes_the_hand_along() -> None:
    slid = [n(3, 2, 0, "1/4"), n(3, 14, "1/4", 1, link="/")]
    assert report(phrase(slid, tempo=Fraction(160))) == ()
    assert kinds(phrase([n(3, 2, 0, "1/4"), n(2, 14, "1/4", 1)], tempo=Fraction(160))) == {
        Kind.JUMP
    }


def test_a_hard_bend_is_measured_in_newtons_and_mm() -> None:
    made = phrase([n(1, 3, 0, 1, gestures=STEP_AND_A_HALF)])
    found = only(made)
    assert found.kind is Kind.BEND_HARD
    effort = bend_effort(guitar_for(made), 1, 3, 3)
    force, travel = found.measures
    assert (force.value, travel.value) == (effort.force, effort.travel_mm)
    assert force.limit == BEND_NEWTONS[Finger.THIRD] < force.value
    assert [mend.changes for mend in found.mends] == ["place", "strings", "tuning"]
    assert found.mends[1].strings == EXTRA_LIGHT
    assert found.mends[0].words == "move the note at fret 3 to the B string, fret 8: the same pitch"


def test_a_bend_by_a_weak_finger_is_given_to_a_strong_one() -> None:
    found = only(phrase([n(1, 5, 0, 1, gestures=WHOLE, finger=Finger.FIRST)]))
    assert found.kind is Kind.BEND_HARD
    assert found.mends[0].finger is Finger.THIRD
    assert found.mend == "take finger 3 for the note at fret 5"


def test_a_finger_whose_helper_is_busy_holds_less() -> None:
    held = [n(1, 5, 0, 1, gestures=(Bend(Fraction(3)),), finger=Finger.THIRD)]
    busy = [*held, n(4, 4, 0, 1, finger=Finger.SECOND)]
    assert report(phrase(held)) == ()
    assert Kind.BEND_HARD in kinds(phrase(busy))


def test_impossible_bends_are_named() -> None:
    assert only(phrase([n(1, 0, 0, 1, gestures=WHOLE)])).kind is Kind.BEND_OPEN
    assert only(phrase([n(1, 0, 0, 1, gestures=WHOLE)])).mends[0].place is not None
    one = STANDARD.strings[:1]
    lonely = phrase([n(1, 12, 0, 1, gestures=WHOLE)], tuning=type(STANDARD)(one))
    found = only(lonely)
    assert found.kind is Kind.BEND_ROOM
    assert found.measures[0].limit == pytest.approx(2.5)  # 3.5 mm of edge, the finger keeps 1 mm


def test_an_outer_string_cannot_be_bent_away_from_one_that_sounds() -> None:
    found = only(phrase([n(1, 12, 0, 1, gestures=WHOLE), n(2, 11, 0, 1)]))
    assert found.kind is Kind.BEND_BLOCKED
    assert found.note_ids == ("p/1/1/1", "p/1/1/2")
    assert found.words.endswith("the other way it goes off the neck")
    inner = phrase([n(3, 12, 0, 1, gestures=(Bend(Fraction(1)),)), n(4, 12, 0, 1)])
    assert report(inner) == ()  # an inner string can go the other way


def test_a_barre_that_has_to_bend_one_string_is_named() -> None:
    made = phrase([n(3, 12, 0, 1, gestures=(Bend(Fraction(1)),), finger=Finger.THIRD),
                   n(2, 12, 0, 1, finger=Finger.THIRD)])  # fmt: skip
    found = next(t for t in report(made) if t.kind is Kind.BARRE_BEND)
    assert found.measures[0].value == 2
    both = [replace(note, gestures=(Bend(Fraction(1)),)) for note in made.notes]
    assert Kind.BARRE_BEND not in kinds(replace(made, notes=tuple(both)))


def test_a_long_trill_on_a_wound_string_is_trouble_and_on_a_plain_one_is_not() -> None:
    wound, plain = (phrase([n(s, 5, 0, 4, gestures=(Trill(7),))]) for s in (5, 2))
    found = only(wound)
    assert found.kind is Kind.TRILL
    assert found.measures[0].value == pytest.approx(4 * 60 / 90)
    assert report(plain) == ()
    stretched = only(phrase([n(2, 2, 0, 1, gestures=(Trill(6),))]))
    assert stretched.kind is Kind.TRILL
    assert stretched.measures[1].value == pytest.approx(fret_distance(2, 6))


def test_the_fourth_finger_tires_sooner_in_a_trill() -> None:
    def trilled(other: Finger) -> Phrase:
        return phrase([n(2, 5, 0, 4, gestures=(Trill(7, finger=other),))])

    assert report(trilled(Finger.THIRD)) == ()
    found = only(trilled(Finger.FOURTH))
    assert found.measures[0].limit == 2.0
    assert found.mend == "trill with finger 3"


def test_a_narrower_bend_leaves_what_is_narrow_already() -> None:
    moves = (Bend(Fraction(4)), Release(Fraction(0)), Bend(Fraction(1)))
    made = phrase([n(1, 12, 0, 4, gestures=moves)])
    mend = Mend("", made.notes[0].id, semitones=Fraction(2))
    changed, _ = mended(made, guitar_for(made), mend)
    assert changed.notes[0].gestures == (Bend(Fraction(2)), Release(Fraction(0)), Bend(Fraction(1)))
    with pytest.raises(KeyError, match="no note elsewhere"):
        mended(made, guitar_for(made), replace(mend, note_id="elsewhere"))


def test_two_notes_on_one_string_at_once() -> None:
    made = phrase([n(2, 5, 0, 1), n(2, 7, 0, 1)])
    twins = tuple(replace(note, id=f"{note.id}/{note.fret}") for note in made.notes)
    found = next(t for t in report(replace(made, notes=twins)) if t.kind is Kind.SAME_STRING)
    assert found.note_ids == ("p/1/1/2/5", "p/1/1/2/7")
    assert found.mends[0].place is not None


def test_lowered_strings_are_a_half_step_down() -> None:
    lower = half_step_down(STANDARD)
    assert str(lower) == "Eb2 Ab2 Db3 Gb3 Bb3 Eb4"
    again = half_step_down(lower)
    assert [p.midi for p in again.strings] == [p.midi - 2 for p in STANDARD.strings]
    assert parse_pitch("Eb4") in lower.strings


def _hard_phrase(dice: random.Random) -> Phrase:
    """A short phrase in which something is likely too hard."""
    notes: list[Note] = []
    for index in range(4):
        onset = Fraction(index, 2)
        strings = dice.sample(range(1, 7), dice.choice([1, 1, 2]))
        for string in strings:
            fret = dice.choice([0, 1, 2, 5, 7, 8, 12, 15])
            moves: tuple[Bend | Trill, ...] = ()
            if dice.random() < 0.3:
                moves = (Bend(Fraction(dice.choice([1, 2, 3, 4]))),)
            elif dice.random() < 0.1:
                moves = (Trill(fret + dice.choice([1, 2, 4])),)
            written = dice.choice([None, None, Finger.FIRST, Finger.FOURTH]) if fret else None
            end = onset + Fraction(1, 2) * dice.choice([1, 1, 2])
            notes.append(n(string, fret, onset, end, gestures=moves, finger=written))
    return phrase(_cut(notes), tempo=Fraction(dice.choice([80, 160, 260])))


def _cut(notes: list[Note]) -> list[Note]:
    def end(note: Note) -> Fraction:
        later = [o.onset for o in notes if o.string == note.string and o.onset > note.onset]
        return min([note.end, *later])

    return [replace(note, end=end(note)) for note in notes]


def test_every_way_out_ends_its_trouble_and_brings_no_other() -> None:
    dice, tried = random.Random(40), {}
    for _ in range(150):
        made = _hard_phrase(dice)
        guitar = guitar_for(made)
        found = playability(made, guitar)
        for trouble in found:
            assert set(trouble.note_ids) <= {note.id for note in made.notes}
            assert trouble.mend
            for mend in trouble.mends:
                changed, strung = mended(made, guitar, mend)
                left = troubles(finger(changed, strung))
                assert len(left) < len(found), (made.notes, trouble, mend)
                assert not [
                    t for t in left if (t.kind, t.note_ids) == (trouble.kind, trouble.note_ids)
                ]
                tried[mend.changes] = tried.get(mend.changes, 0) + 1
    assert set(tried) == {"finger", "place", "strings", "tuning", "tempo", "semitones"}
    assert sum(tried.values()) > 150


def test_another_place_sounds_the_same() -> None:
    dice, moved = random.Random(41), 0
    for _ in range(60):
        made = _hard_phrase(dice)
        guitar = guitar_for(made)
        for trouble in playability(made, guitar):
            for mend in trouble.mends:
                if mend.place is not None:
                    changed, _ = mended(made, guitar, mend)
                    assert [made.midi(note) for note in made.notes] == [
                        changed.midi(note) for note in changed.notes
                    ]
                    moved += 1
    assert moved > 20


def test_measures_are_over_their_limits() -> None:
    dice = random.Random(42)
    for _ in range(60):
        for trouble in report(_hard_phrase(dice)):
            if trouble.kind not in (Kind.BEND_OPEN, Kind.FINGERS):
                limited = [m for m in trouble.measures if m.limit is not None]
                assert any(m.limit is not None and m.value > m.limit for m in limited), trouble


def test_heavier_strings_and_faster_tempi_never_take_a_trouble_away() -> None:
    dice = random.Random(43)
    heavy = Guitar(strings=string_set(12, 16, 20, 32, 42, 54))
    for _ in range(40):
        made = _hard_phrase(dice)
        written = replace(
            made, notes=tuple(replace(x, finger=x.finger or Finger.THIRD) for x in made.notes)
        )
        bends = [
            {t.note_ids for t in playability(written, guitar) if t.kind is Kind.BEND_HARD}
            for guitar in (Guitar(strings=LIGHT), heavy)
        ]
        assert bends[0] <= bends[1]


def test_a_long_hopeless_phrase_is_still_reported() -> None:
    dice = random.Random(44)
    places = [(dice.randint(1, 6), dice.randint(0, 19)) for _ in range(150)]
    found = report(line(*places, each=Fraction(1, 4), tempo=Fraction(180)))
    assert len(found) > 50
    assert all(trouble.mend for trouble in found)


def test_an_empty_phrase_has_no_trouble() -> None:
    assert report(phrase([])) == ()
