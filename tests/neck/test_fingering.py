"""Are the fingers the cheapest ones, and those that teachers give?"""

from __future__ import annotations

import gc
import random
from dataclasses import replace
from fractions import Fraction
from itertools import product
from time import process_time

import pytest
from tests.neck.every_way import cheapest, random_chords, random_line
from tests.neck.made import line, n, phrase

from lickwright.neck import Guitar, HandSize, guitar_for, string_set
from lickwright.neck.fingering import Fingering, finger, with_fingers
from lickwright.neck.hand import FRETTING, FaultKind, Press, faults
from lickwright.neck.hold import Part
from lickwright.neck.stages import stages_of
from lickwright.phrase import (
    STANDARD,
    Bend,
    Entry,
    Finger,
    Note,
    Phrase,
    Trill,
    Tuning,
    Vibrato,
)
from lickwright.theory import parse_pitch

# Common practice, no source: pattern 1 of the minor pentatonic and of the blues scale, low to high.
PENTATONIC = [(6, 0, 1), (6, 3, 4), (5, 0, 1), (5, 2, 3), (4, 0, 1), (4, 2, 3),
              (3, 0, 1), (3, 2, 3), (2, 0, 1), (2, 3, 4), (1, 0, 1), (1, 3, 4)]  # fmt: skip
BLUES = sorted([*PENTATONIC, (5, 1, 2), (3, 3, 4)], key=lambda place: (-place[0], place[1]))


def fingered(made: Phrase, size: HandSize = HandSize.AVERAGE) -> Fingering:
    return finger(made, guitar_for(made), size)


def numbers(made: Phrase) -> list[str]:
    found = fingered(made).fingers
    return [found[note.id].value for note in made.notes if note.id in found]


@pytest.mark.parametrize("fret", [1, 2, 3, 5, 8, 10, 12])
@pytest.mark.parametrize("scale", [PENTATONIC, BLUES], ids=["pentatonic", "blues"])
@pytest.mark.parametrize("down", [False, True])
def test_pattern_one_has_the_fingers_that_are_taught(
    fret: int, scale: list[tuple[int, int, int]], down: bool
) -> None:
    places = scale[::-1] if down else scale
    made = line(*[(string, fret + above) for string, above, _ in places])
    assert numbers(made) == [str(number) for *_, number in places]


def test_the_least_cost_is_that_of_every_way_tried_on_lines() -> None:
    dice = random.Random(20)
    for _ in range(1000):
        made = random_line(dice, dice.choice([2, 3, 3, 4]))
        found = fingered(made)
        if found.playable:
            assert found.cost == pytest.approx(cheapest(found), abs=1e-9), made.notes


def test_the_least_cost_is_that_of_every_way_tried_on_chords_and_held_notes() -> None:
    dice = random.Random(21)
    tried = 0
    for _ in range(120):
        made = random_chords(dice, 3)
        found = fingered(made)
        if found.playable:
            assert found.cost == pytest.approx(cheapest(found), abs=1e-9), made.notes
            tried += 1
    assert tried > 80


def test_written_fingers_stay_and_the_others_follow() -> None:
    made = line((3, 7), (3, 5), (2, 8))
    given = replace(made.notes[0], finger=Finger.SECOND)
    asked = replace(made, notes=(given, *made.notes[1:]))
    found = fingered(asked)
    assert found.fingers[given.id] is Finger.SECOND
    assert found.cost > fingered(made).cost
    thumb = replace(line((6, 3), (3, 4)).notes[0], finger=Finger.THUMB)
    assert fingered(phrase([thumb])).fingers[thumb.id] is Finger.THUMB


def test_filling_in_the_fingers_changes_nothing_and_asks_for_the_same_again() -> None:
    dice = random.Random(4)
    for _ in range(60):
        made = random_line(dice, 6)
        found = fingered(made)
        filled = with_fingers(found)
        again = fingered(filled)
        assert again.fingers == found.fingers
        assert again.trills == found.trills
        assert again.cost == pytest.approx(found.cost)
        assert with_fingers(again) == filled
        bare = [replace(note, finger=None) for note in filled.notes if note.trill is None]
        assert bare == [note for note in made.notes if note.trill is None]


def test_the_parts_add_up_to_the_cost_and_none_is_below_zero() -> None:
    dice = random.Random(5)
    for _ in range(60):
        found = fingered(random_chords(dice, 5))
        parts = [points for some in found.parts.values() for _, points in some]
        assert sum(parts) == pytest.approx(found.cost)
        assert all(points >= 0 for points in parts)


# Common practice, no source: bend with the third finger, the others behind it.
def test_a_bend_under_the_fourth_finger_of_the_pattern_goes_to_the_third() -> None:
    plain = [n(2, 5, 0, 1), n(2, 8, 1, 2), n(2, 5, 2, 3)]
    assert numbers(phrase(plain)) == ["1", "4", "1"]
    bent = [plain[0], n(2, 8, 1, 2, gestures=(Bend(Fraction(2)),)), plain[2]]
    assert numbers(phrase(bent)) == ["1", "3", "1"]


def test_a_blue_third_is_bent_by_the_first_finger_where_it_stands() -> None:
    made = [n(3, 7, 0, 1), n(3, 5, 1, 2, gestures=(Bend(Fraction(1, 2)),)), n(4, 7, 2, 3)]
    assert numbers(phrase(made)) == ["3", "1", "3"]


def test_a_bend_costs_more_while_the_finger_behind_it_holds_another_note() -> None:
    def bending(second: Finger) -> float:
        made = phrase([n(3, 7, 0, 1, finger=Finger.THIRD, gestures=(Bend(Fraction(2)),)),
                       n(1, 6, 0, 1, finger=second)])  # fmt: skip
        return dict(fingered(made).parts[made.notes[0].id]).get(Part.BEND, 0.0)

    assert bending(Finger.SECOND) > bending(Finger.FIRST)


def test_a_bend_under_a_barre_costs_more_than_with_a_finger_of_its_own() -> None:
    def bending(second: Finger) -> float:
        made = phrase([n(3, 7, 0, 1, finger=Finger.THIRD, gestures=(Bend(Fraction(2)),)),
                       n(2, 7, 0, 1, finger=second)])  # fmt: skip
        return dict(fingered(made).parts[made.notes[0].id]).get(Part.BEND, 0.0)

    assert bending(Finger.THIRD) > bending(Finger.FOURTH)


def test_a_silence_makes_a_shift_cheaper() -> None:
    def shifting(end: object) -> float:
        made = phrase([n(3, 2, 0, end), n(3, 12, 1, 2)])
        return dict(fingered(made).parts[made.notes[1].id])[Part.SHIFT]

    assert shifting("1/2") < shifting(1) / 2


def test_a_slide_from_an_open_string_does_not_take_the_hand_along() -> None:
    fretted, opened = (phrase([n(3, f, 0, 1), n(3, 7, 1, 2, link="/")]) for f in (5, 0))
    assert [stage.pace.slide for stage in stages_of(fretted)] == [0, 2]
    assert [stage.pace.slide for stage in stages_of(opened)] == [0, 0]


def test_a_finger_written_on_an_open_string_stays_as_it_is_written() -> None:
    made = phrase([n(3, 0, 0, 1, finger=Finger.FIRST), n(3, 5, 1, 2, finger=Finger.OPEN)])
    found = fingered(made).fingers
    assert found[made.notes[0].id] is Finger.FIRST
    assert found[made.notes[1].id] is Finger.FIRST  # no open string at fret 5


def test_first_finger_notes_in_one_fret_struck_together_are_a_barre() -> None:
    found = fingered(phrase([n(s, 5, 0, 1) for s in (2, 3, 4)]))
    assert set(found.fingers.values()) == {Finger.FIRST}


@pytest.mark.parametrize(("low", "high"), [(5, 7), (5, 9), (3, 12)])
def test_a_slide_stays_on_its_finger(low: int, high: int) -> None:
    for start, goal, sign in ((low, high, "/"), (high, low, "\\")):
        made = phrase([n(3, start, 0, 1), n(3, goal, 1, 2, link=sign), n(2, 8, 2, 3)])
        first, second, _ = numbers(made)
        assert first == second
        assert fingered(made).playable


@pytest.mark.parametrize("above", [1, 2, 3])
def test_hammers_go_up_the_hand_and_pulls_down_it(above: int) -> None:
    dice = random.Random(above)
    for _ in range(20):
        fret, string = dice.randint(1, 15), dice.randint(1, 6)
        made = phrase([n(string, fret, 0, 1), n(string, fret + above, 1, 2, link="h"),
                       n(string, fret, 2, 3, link="p")])  # fmt: skip
        low, high, back = numbers(made)
        assert low == back < high
        assert fingered(made).playable


def test_a_trill_gets_a_higher_finger_for_the_higher_note_and_takes_the_written_one() -> None:
    made = phrase([n(2, 8, 0, 2, gestures=(Trill(10),))])
    note = made.notes[0]
    found = fingered(made)
    assert found.trills[note.id].value > found.fingers[note.id].value
    written = phrase([replace(note, gestures=(Trill(10, finger=Finger.FOURTH),))])
    assert fingered(written).trills[note.id] is Finger.FOURTH
    assert with_fingers(found).notes[0].trill == Trill(10, finger=found.trills[note.id])


def test_open_strings_need_no_finger_and_give_time_to_move() -> None:
    made = line((1, 3), (1, 0), (1, 12))
    held = line((1, 3), (1, 5), (1, 12))
    assert numbers(made)[1] == "0"
    shift = [
        dict(fingered(p).parts.get(p.notes[2].id, ())).get(Part.SHIFT, 0) for p in (made, held)
    ]
    assert shift[0] < shift[1]


def test_tapped_and_muted_notes_are_not_the_fretting_hands() -> None:
    made = phrase([n(1, 12, 0, 1, entry=Entry.TAPPED), n(1, 5, 1, 2, link="p"),
                   n(3, 0, 2, 3, dead=True)])  # fmt: skip
    found = fingered(made)
    assert list(found.fingers) == [made.notes[1].id]
    assert [rest.note_ids for rest in found.rests] == [(made.notes[0].id,), (made.notes[1].id,)]


def test_a_note_that_rings_on_keeps_its_finger_where_the_hand_can() -> None:
    held = phrase([n(2, 3, 0, 4), n(3, 4, 1, 2), n(4, 5, 2, 3)])
    found = fingered(held)
    states = [{h.note: h.finger for h in state.holds} for state in found.way]
    assert states[0][0] == states[1][0] == states[2][0]
    wide = fingered(phrase([n(2, 3, 0, 4), n(3, 12, 1, 2)]))
    assert wide.playable
    assert Part.LET_GO in dict(wide.parts[wide.phrase.notes[1].id])


@pytest.mark.parametrize(
    ("made", "kind"),
    [
        (phrase([n(6, 2, 0, 1), n(1, 9, 0, 1)]), FaultKind.STRETCH),
        (phrase([n(s, f, 0, 1) for s, f in enumerate((1, 3, 5, 7, 9, 11), start=1)]), None),
        (phrase([n(3, 5, 0, 1), n(3, 11, 1, 2, link="h")]), FaultKind.STRETCH),
        (phrase([n(3, 5, 0, 1, finger=Finger.FIRST),
                 n(3, 7, 1, 2, link="/", finger=Finger.THIRD)]), FaultKind.SLID),
        (phrase([n(2, 8, 0, 1, finger=Finger.THIRD), n(3, 9, 0, 1, finger=Finger.FIRST)]),
         FaultKind.CROSSED),
        (phrase([n(3, 5, 0, 1, finger=Finger.FOURTH, gestures=(Trill(7),))]), FaultKind.TRILL),
        (phrase([n(1, 3, 0, 1, finger=Finger.THUMB)]), None),
    ],
)  # fmt: skip
def test_what_no_hand_can_play_is_fingered_all_the_same_and_its_fault_named(
    made: Phrase, kind: FaultKind | None
) -> None:
    found = fingered(made)
    assert set(found.fingers) == {note.id for note in made.notes}
    if kind is not None:
        assert not found.playable
        assert kind in {each.fault.kind for each in found.faults}
        ids = {note.id for note in made.notes}
        assert all(set(each.note_ids) <= ids and each.note_ids for each in found.faults)


def test_the_least_bad_fingers_have_no_more_faults_than_any_others() -> None:
    made = phrase([n(6, 2, 0, 1), n(4, 3, 0, 1), n(1, 9, 0, 1)])
    tried = [
        faults([Press(f, n.fret, (n.string,)) for f, n in zip(some, made.notes, strict=True)],
               guitar_for(made).neck)
        for some in product(FRETTING, repeat=3)
    ]  # fmt: skip
    assert len(fingered(made).faults) == min(map(len, tried)) > 0


def _tuned(count: int) -> Tuning:
    names = ("E4", "B3", "G3", "D3", "A2", "E2", "B1", "F#1", "C#1", "G#0", "D#0", "A0")
    return Tuning(tuple(map(parse_pitch, names[:count])))


def test_necks_of_one_string_and_of_twelve() -> None:
    one = line((1, 3), (1, 5), (1, 7), (1, 0), tuning=_tuned(1))
    assert fingered(one).playable
    dice = random.Random(6)
    places = [(dice.randint(1, 12), dice.randint(0, 5)) for _ in range(40)]
    assert fingered(line(*places, tuning=_tuned(12))).playable
    whole = phrase([n(s, 1 + s % 5, 0, 4) for s in range(1, 13)], tuning=_tuned(12))
    assert len(fingered(whole).fingers) == 12
    barre = phrase([n(s, 5, 0, 4) for s in range(1, 13)], tuning=_tuned(12))
    assert set(fingered(barre).fingers.values()) == {Finger.FIRST}
    ringing = phrase([n(s, 2 + s % 4, s, 16) for s in range(1, 13)], tuning=_tuned(12))
    assert len(fingered(ringing).fingers) == 12


def test_an_empty_phrase_costs_nothing() -> None:
    found = fingered(phrase([]))
    assert (found.cost, found.fingers, found.rests, found.faults) == (0, {}, (), ())


def test_a_larger_hand_never_pays_more_for_stretches_alone() -> None:
    made = phrase([n(6, 1, 0, 2), n(5, 4, 0, 2), n(4, 3, 0, 2)])
    costs = [fingered(made, size).cost for size in HandSize]
    assert costs == sorted(costs, reverse=True)
    assert costs[0] > costs[-1]


def test_a_capo_and_heavier_strings_are_taken_into_account() -> None:
    places = [n(2, 1, 0, 1), n(2, 5, 1, 2)]
    near_nut, capoed = phrase(places), phrase(places, capo=7)
    assert fingered(capoed).cost <= fingered(near_nut).cost
    bent = phrase([n(3, 5, 0, 1, finger=Finger.FIRST, gestures=(Bend(Fraction(2)), Vibrato()))])
    light, heavy = (
        finger(bent, Guitar(STANDARD, string_set(*gauges))).cost
        for gauges in ((9, 11, 16, 24, 32, 42), (12, 16, 20, 32, 42, 54))
    )
    assert heavy > light


def _long(count: int) -> Phrase:
    dice = random.Random(7)
    return line(*[(dice.randint(1, 6), dice.choice([0, 5, 7, 8, 9, 10])) for _ in range(count)])


def test_a_thousand_notes_cost_about_four_times_what_250_do() -> None:
    def cost(made: Phrase) -> float:
        gc.collect()
        gc.disable()
        start = process_time()
        fingered(made)
        taken = process_time() - start
        gc.enable()
        return taken

    few, many = _long(250), _long(1000)
    ratio = min(cost(many) for _ in range(3)) / min(cost(few) for _ in range(3))
    assert ratio < 7  # a quadratic way of doing it would give 16


def test_the_same_phrase_always_gets_the_same_fingers() -> None:
    made = _long(80)
    assert fingered(made).fingers == fingered(made).fingers


def _shifted(made: Phrase, frets: int) -> Phrase:
    notes: list[Note] = [replace(note, fret=note.fret + frets) for note in made.notes]
    return replace(made, notes=tuple(notes))


def test_a_phrase_of_fretted_notes_keeps_its_fingers_an_octave_up() -> None:
    made = line(*[(string, 5 + above) for string, above, _ in BLUES])
    assert numbers(made) == numbers(_shifted(made, 12))


# Common practice, no source: scales in one position, as they are taught.
@pytest.mark.parametrize(
    ("places", "taught"),
    [
        ("68 6a 57 58 5a 47 49 4a 37 39 3a 28 2a 17 18 1a", "2412413413424124"),  # C major
        ("53 40 42 43 30 32 20 21", "30230201"),  # C major with open strings
        ("65 66 67 68 55 56 57 58", "12341234"),  # chromatic
        ("68 6a 57 5a 47 4a 37 39 28 2a 18 1a", "241414132424"),  # A minor pentatonic, pattern 2
        ("6c 6f 5c 5f 4c 4e 3c 3e 2d 2f 1c 1f", "141413132414"),  # the same, pattern 4
        ("15 28 15 27 15 26 15 25", "14131211"),  # a line that falls under a held note
    ],
)
def test_scales_in_one_position_have_the_fingers_that_are_taught(places: str, taught: str) -> None:
    made = line(*[(int(place[0]), int(place[1], 16)) for place in places.split()])
    assert "".join(numbers(made)) == taught
