"""Are the places found the cheapest, and does the phrase stay what it is?"""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import pairwise, product
from pathlib import Path
from time import process_time

import pytest
from tests.neck.made import line, n, phrase
from tests.neck.random_phrases import by_pitch, made_phrases, read_back

from lickwright.lesson import read_lesson
from lickwright.neck import Guitar, HandSize, Place, finger, finger_shape, guitar_for
from lickwright.neck.geometry import Neck
from lickwright.neck.guitar import usual_strings
from lickwright.neck.hold import place_cost, weak_cost
from lickwright.neck.placement import NoPlace, Placement, Placer, placements
from lickwright.neck.placement_hand import hand_table, holds_together
from lickwright.neck.placement_moments import line_of
from lickwright.neck.placement_seats import Refusal, Seater, Wish
from lickwright.neck.placement_way import Ways
from lickwright.phrase import (
    STANDARD,
    Bend,
    Entry,
    Mark,
    Note,
    Phrase,
    Span,
    Trill,
    Tuning,
    Vibrato,
)
from lickwright.theory import parse_pitch

DEMO = Path(__file__).parents[2] / "examples" / "thursday-class.md"
GUITAR = Guitar()
AVERAGE = HandSize.AVERAGE


def tuned(*names: str) -> Tuning:
    """A tuning from its strings, thickest first."""
    return Tuning(tuple(parse_pitch(name) for name in reversed(names)))


def on(tuning: Tuning, capo: int = 0, frets: int = 22) -> Guitar:
    return Guitar(tuning, usual_strings(len(tuning)), capo, frets=frets)


def best(made: Phrase, guitar: Guitar = GUITAR, wish: Wish | None = None) -> Placement:
    found = Placer(made, guitar).best(wish)
    assert isinstance(found, Placement), found
    return found


def places(placement: Placement, made: Phrase) -> list[tuple[int, int]]:
    found = placement.places
    return [(found[note.id].string, found[note.id].fret) for note in made.notes]


# --- the cheapest ----------------------------------------------------------------------------


def random_line(dice: random.Random, notes: int) -> Phrase:
    """Notes one after the other, some of them bent, joined, trilled, shaken or held on."""
    made: list[Note] = []
    for at in range(notes):
        string, fret = dice.randint(1, 5), dice.randint(0, 14)
        kind = dice.choice(["", "", "", "bend", "trill", "vibrato", "hammer", "held"])
        more: dict[str, object] = {}
        if kind == "bend" and fret:
            more["gestures"] = [Bend(to=dice.choice([1, 2]))]  # type: ignore[arg-type]
        if kind == "trill":
            more["gestures"] = [Trill(fret + 2)]
        if kind == "vibrato":
            more["gestures"] = [Vibrato()]
        if kind == "hammer" and made and made[-1].fret < fret and made[-1].end == at:
            string, more["link"] = made[-1].string, "h"
        made.append(n(string, fret, at, at + 1 + 2 * (kind == "held"), **more))
    return phrase(_cut(made), bars=-(-notes // 4) + 1)


def _cut(notes: list[Note]) -> list[Note]:
    """A new note on a string ends the one before it."""
    return [
        replace(note, end=min([note.end, *(o.onset for o in notes[at + 1 :]
                                           if o.string == note.string)]))
        for at, note in enumerate(notes)
    ]  # fmt: skip


def random_chords(dice: random.Random, many: int) -> Phrase:
    """Two or three notes at a time, within a hand's reach."""
    made = []
    for at in range(many):
        low = dice.randint(1, 12)
        strings = dice.sample(range(1, 7), dice.choice([1, 2, 2, 3]))
        made += [n(string, low + dice.randint(0, 3), at, at + 1) for string in strings]
    return phrase(made)


def every_seating(made: Phrase, guitar: Guitar) -> list[float]:
    """What each choice of strings costs if nothing else may be chosen, infinite if impossible."""
    todo = line_of(made)
    seater = Seater(todo, guitar, guitar, AVERAGE)
    table = hand_table(guitar.neck, AVERAGE, seater.highest)
    wish = Wish()
    found = []
    for chosen in product(*(seater.seats(run, wish).seats for run in todo.runs)):
        ways = Ways(todo, [(seat,) for seat in chosen], table, [(0, seater.highest)])
        found.append(float("inf") if ways.jam is not None else ways.costs()[0])
    return found


@pytest.mark.parametrize("seed", range(12))
def test_the_cheapest_of_all_strings_is_found(seed: int) -> None:
    dice = random.Random(seed)
    for _ in range(4):
        made = random_line(dice, 5)
        assert best(made).cost == pytest.approx(min(every_seating(made, GUITAR))), made.notes


@pytest.mark.parametrize("seed", range(8))
def test_the_cheapest_of_all_chords_is_found(seed: int) -> None:
    made = random_chords(random.Random(100 + seed), 2)
    every = min(every_seating(made, GUITAR))
    if every < 10:  # beyond that no hand holds it, and not all seatings are tried
        assert best(made).cost == pytest.approx(every), made.notes


def test_the_hand_takes_the_cheapest_of_all_ways_along_the_neck() -> None:
    """With the strings given; reckoned from the cost as it is described, not by its code."""
    dice, neck = random.Random(5), GUITAR.neck
    for _ in range(20):
        frets = [dice.randint(1, 12) for _ in range(4)]
        made = line(*((3, fret) for fret in frets), each=1, tempo=200)  # 0.3 s a note: usual pace
        found = best(made, wish=Wish(fixed=True)).cost
        every = min(hand_way(rests, frets, neck) for rests in product(range(1, 14), repeat=4))
        assert found == pytest.approx(every), frets


def hand_way(rests: tuple[int, ...], frets: list[int], neck: Neck) -> float:
    moved = [abs(a - b) for a, b in pairwise(rests) if a != b]
    return sum(0.6 + 0.4 * frets for frets in moved) + sum(
        min(
            [
                place_cost(rest, number, fret, neck) + weak_cost(number)
                for number in (1, 2, 3, 4)
                if abs(fret - rest - number + 1) <= 1
            ],
            default=float("inf"),
        )
        for rest, fret in zip(rests, frets, strict=True)
    )


def test_each_placement_is_the_cheapest_of_its_stretch_of_the_neck() -> None:
    for made in read_lesson(DEMO.read_text(encoding="utf-8")).lesson.phrases:
        guitar = guitar_for(made)
        found = placements(made, guitar)
        assert found[0].cost == pytest.approx(best(made, guitar).cost)
        assert [each.cost for each in found] == sorted(each.cost for each in found)
        for each in found:
            (again,) = placements(made, guitar, most=1, frets=_within(each))
            assert again.cost == pytest.approx(each.cost)


def _within(placement: Placement) -> tuple[int, int]:
    """The frets it uses, those of trills included."""
    held = [note.fret for note in placement.phrase.notes if not note.dead]
    held += [note.trill.fret for note in placement.phrase.notes if note.trill is not None]
    return min(held), max(held)


def test_quick_look_at_a_shape_turns_none_away_that_fingers_hold() -> None:
    dice, neck = random.Random(3), GUITAR.neck
    looser = 0
    for _ in range(150):
        low = dice.randint(1, 14)
        strings = dice.sample(range(1, 7), dice.choice([2, 3, 3, 4]))
        shape = [Place(string, low + dice.randint(0, 5)) for string in strings]
        held = finger_shape(shape, neck) is not None
        quick = holds_together(shape, neck, AVERAGE)
        assert quick or not held, shape
        looser += quick and not held
    assert looser < 30


# --- what stays ------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(0, 6000, 400))
def test_all_that_is_heard_stays(seed: int) -> None:
    for made in made_phrases(seed, 5):
        for each in placements(made, guitar_for(made), most=5):
            if not each.lost:
                assert by_pitch(each.phrase) == by_pitch(made)
                _same_ends(made, each)
            assert read_back(each.phrase) == each.phrase


def _same_ends(made: Phrase, each: Placement) -> None:
    for old, new in each.placed.pairs:
        assert new is not None
        assert new.end >= old.end
        assert new.end == old.end or Mark.LET_RING in old.marks


def test_bends_keep_off_open_strings_and_choose_the_softer_one() -> None:
    made = line((3, 7), (2, 5))
    bent = replace(made, notes=(replace(made.notes[0], gestures=(Bend(to=2),)), made.notes[1]))  # type: ignore[arg-type]
    for each in placements(bent, GUITAR):
        assert each.places[bent.notes[0].id].fret > 0
    assert best(bent).places[bent.notes[0].id] == Place(3, 7)
    low = line((5, 5), each=1)
    low = replace(low, notes=(replace(low.notes[0], gestures=(Bend(to=2),)),))  # type: ignore[arg-type]
    assert {each.places[low.notes[0].id] for each in placements(low, GUITAR)} == {
        Place(5, 5), Place(6, 10)
    }  # fmt: skip  # D3 is an open string too


def test_joined_notes_stay_on_one_string() -> None:
    made = phrase(
        [n(3, 5, 0, 1), n(3, 7, 1, 2, link="h"), n(3, 9, 2, 3, link="/"), n(3, 7, 3, 4, link="p")]
    )
    for each in placements(made, GUITAR):
        assert len({place.string for place in each.places.values()}) == 1


def test_double_stops_have_two_strings_and_a_hand_that_reaches() -> None:
    made = phrase([n(2, 8, 0, 1), n(3, 9, 0, 1), n(2, 6, 1, 2), n(3, 7, 1, 2)])
    for each in placements(made, GUITAR):
        assert finger(each.phrase, GUITAR).playable
        for one, other in ((0, 1), (2, 3)):
            assert len({each.phrase.notes[i].string for i in (one, other)}) == 2


def test_a_trill_wider_than_the_hand_is_said() -> None:
    """Six frets at the twelfth are no wider than four at the nut: that far a hand reaches."""
    made = phrase([n(1, 12, 0, 4, gestures=[Trill(18)])])
    (wide,) = placements(made, GUITAR, strings=[1])
    assert wide.lost == ()
    low = best(made, on(tuned("D5")))  # frets 2 to 8
    assert low.places[made.notes[0].id] == Place(1, 2)
    assert low.lost == ("no hand reaches the trill on 1",)


def test_a_harmonic_keeps_its_node_or_is_said_to_be_lost() -> None:
    made = phrase([n(5, 7, 0, 4, harmonic=True)])  # the third partial of A2: E4
    assert best(made).places[made.notes[0].id] == Place(5, 7)
    lower = best(made, on(tuned("E2", "G2", "D3", "A3", "B3", "E4")))
    # The same exact pitch is nowhere a harmonic of these strings but E2's fourth and E4 itself is
    # open: only partials 2 to 6 count, and E2's fourth partial is no fifth above A.
    assert lower.harmonics == frozenset()
    assert lower.lost == ("the harmonic on 1 became a fretted note",)
    octave = phrase([n(6, 12, 0, 4, harmonic=True)])  # E3: also the fourth of E1
    assert best(octave, on(tuned("E1", "A1", "D2", "G2"))).places[octave.notes[0].id] == Place(4, 5)


def test_what_rings_on_keeps_a_string_of_its_own() -> None:
    rung = [n(4, 2, 0, 4), n(3, 2, 1, 4), n(2, 3, 2, 4), n(1, 2, 3, 4)]
    made = phrase(
        [replace(note, marks=frozenset({Mark.LET_RING})) for note in rung],
        spans=(Span(Mark.LET_RING, rung[0].onset, rung[3].end),),
    )
    for each in placements(made, GUITAR):
        if not each.lost:
            assert len({place.string for place in each.places.values()}) == 4
            assert all(note.end == 4 for note in each.phrase.notes)


def test_a_note_whose_string_is_needed_is_cut_and_said() -> None:
    made = phrase([n(2, 1, 0, 4), n(1, 1, 2, 4)])
    one_string = best(made, on(tuned("C4")))
    assert [note.end for note in one_string.phrase.notes] == [2, 4]
    assert one_string.lost == ("the note on 1 is cut short: its string is needed",)


# --- where it may be -------------------------------------------------------------------------


def test_only_the_frets_and_strings_asked_for() -> None:
    made = line((2, 5), (2, 8), (1, 5), (1, 8), (2, 8))
    for each in placements(made, GUITAR, frets=(7, 13)):
        assert all(7 <= place.fret <= 13 for place in each.places.values())
    for each in placements(made, GUITAR, strings=[3, 4]):
        assert all(place.string in (3, 4) for place in each.places.values())
    assert placements(made, GUITAR, frets=(1, 3)) == ()


def test_no_place_says_what_is_too_low_and_too_high() -> None:
    made = line((6, 0), (1, 20))
    found = Placer(made, on(tuned("A2", "D3", "G3", "C4"), frets=12)).best()
    assert isinstance(found, NoPlace)
    (low, why_low), (high, why_high) = found.refused
    assert low.notes[0].fret == 0
    assert why_low == {Refusal.LOW}
    assert high.notes[0].fret == 20
    assert why_high == {Refusal.HIGH}


def test_two_notes_at_once_need_two_strings() -> None:
    made = phrase([n(1, 3, 0, 1), n(1, 5, 1, 2), n(2, 3, 1, 2)])
    found = Placer(made, on(tuned("C4"))).best()
    assert isinstance(found, NoPlace)
    assert found.jam == 1


def test_a_note_that_goes_on_later_keeps_its_string() -> None:
    made = phrase([n(5, 0, 0, 2), n(6, 0, 1, 2), n(5, 2, 2, 3, link="h")])
    assert places(best(made), made) == [(5, 0), (6, 0), (5, 2)]  # not 6, 5: the E is only there


def test_no_slide_comes_from_below_an_open_string() -> None:
    made = phrase([n(2, 5, 0, 1, entry=Entry.FROM_BELOW)])
    assert all(place.fret for each in placements(made, GUITAR) for place in each.places.values())


@pytest.mark.parametrize(
    "tuning",
    [tuned("E4"), tuned("D2", "A2", "D3", "G3", "A3", "D4"), tuned(*["E2"] * 12),
     tuned("C2", "G2", "D3", "A3", "E4", "B4", "F#5", "C#6", "G#6", "D#7", "A#7", "F8")],
    ids=["one string", "DADGAD", "twelve alike", "twelve in fifths"],
)  # fmt: skip
@pytest.mark.parametrize("capo", [0, 3])
def test_odd_tunings(tuning: Tuning, capo: int) -> None:
    guitar = on(tuning, capo)
    dice = random.Random(7)
    made = replace(
        line(*((dice.randint(1, len(tuning)), dice.randint(0, 15)) for _ in range(12)), each=1),
        tuning=tuning,
        capo=capo,
    )
    for each in placements(made, guitar):
        assert by_pitch(each.phrase) == by_pitch(made)
        assert read_back(each.phrase).notes == each.phrase.notes


def test_the_places_of_a_muted_string_follow_the_note_they_lead_to() -> None:
    reading = read_lesson(
        "```lick try\nB      |-----8~|\nG      |---x---|\nD      |-x-----|\n"
        "mark   | rake  |\ncount  |     1 |\n```\n"
    )
    (made,) = reading.lesson.phrases
    placed = best(made, wish=Wish(strings=frozenset({3})))
    assert [note.string for note in placed.phrase.notes] == [5, 4, 3]
    assert read_back(placed.phrase) == placed.phrase
    few = best(made, on(tuned("G3", "C4")))
    assert len(few.phrase.notes) == 2
    assert few.lost == ("the muted string before 1 is left out: no string is free for it",)


# --- how it compares -------------------------------------------------------------------------


def test_the_lesson_s_own_places_are_among_the_best() -> None:
    """Common practice, no source: a teacher's phrase is written where it lies well."""
    phrases = read_lesson(DEMO.read_text(encoding="utf-8")).lesson.phrases
    for made in phrases:
        guitar = guitar_for(made)
        own = best(made, guitar, Wish(fixed=True, home=1))
        assert own.lost == ()
        assert places(own, made) == [(note.string, note.fret) for note in made.notes]
        assert own.cost <= best(made, guitar).cost + 2


def test_what_is_cheapest_is_easy_for_the_fingers_too() -> None:
    """The exact fingering is another model: of the places found it prefers the first ones."""
    better = total = 0
    for made in read_lesson(DEMO.read_text(encoding="utf-8")).lesson.phrases:
        found = [
            finger(each.phrase, guitar_for(made)) for each in placements(made, guitar_for(made))
        ]
        assert all(each.playable for each in found)
        better += sum(found[0].cost <= other.cost for other in found[1:])
        total += len(found) - 1
    assert better > 0.7 * total


def test_the_time_grows_with_the_notes_only() -> None:
    dice = random.Random(2)
    long = line(*((dice.randint(1, 5), dice.randint(3, 14)) for _ in range(800)))
    short = replace(long, notes=long.notes[:200])
    assert _seconds(long) < 8 * _seconds(short)


def _seconds(made: Phrase) -> float:
    spent = []
    for _ in range(3):
        before = process_time()
        best(made)
        spent.append(process_time() - before)
    return min(spent)


def test_standard_tuning_is_what_the_fixtures_take_it_for() -> None:
    assert tuned("E2", "A2", "D3", "G3", "B3", "E4") == STANDARD
