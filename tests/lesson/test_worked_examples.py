"""Does each worked example say what the prose beside it says?

Every value is worked out by hand from the words of the format's description: which beat a count
says, how long a note lasts, what is joined and moved. Beats count from 0 at the first full bar's
place in bar 1, so bar n of 4/4 begins at 4(n - 1).
"""

from __future__ import annotations

from fractions import Fraction

import lessons
import pytest
from lessons import lick

from lickwright.lesson import Lick, lick_lines
from lickwright.phrase import (
    Bend,
    Entry,
    Finger,
    LinkKind,
    Mark,
    Note,
    Release,
    SlideOff,
    Timing,
    Trill,
    Vibrato,
)

F = Fraction


def _notes(inside: str) -> tuple[Note, ...]:
    found: Lick = lick(inside)
    assert found.phrase is not None
    return found.phrase.notes


def _table(notes: tuple[Note, ...]) -> list[tuple[int, int, Fraction, Fraction]]:
    return [(n.string, n.fret, n.onset, n.end) for n in notes]


def test_pickup_tie_hold():
    notes = _notes(lessons.PICKUP_TIE_HOLD)
    assert _table(notes) == [
        (3, 14, F(3), F(10, 3)),  # a triplet on 4 leads in
        (2, 12, F(10, 3), F(11, 3)),
        (2, 15, F(11, 3), F(4)),
        (3, 14, F(4), F(9)),  # the bend on 1 rings five beats, to beat 2 of the next bar
        (2, 12, F(9), F(19, 2)),
        (3, 14, F(19, 2), F(10)),
        (3, 12, F(10), F(11)),  # that bar's beat 4 is silent
        (2, 8, F(12), F(14)),  # rings two beats while the G string moves
        (3, 7, F(25, 2), F(13)),
        (3, 5, F(13), F(27, 2)),
        (3, 7, F(27, 2), F(14)),
        (2, 8, F(14), F(15)),
        (3, 9, F(16), F(17)),
        (3, 7, F(17), F(18)),
        (2, 8, F(18), F(21)),  # from 3 over the bar line until the 9 on 2
        (3, 9, F(21), F(24)),
    ]
    assert [n.gestures for n in notes if n.gestures] == [(Bend(F(2)),)]
    phrase = lick(lessons.PICKUP_TIE_HOLD).phrase
    assert phrase is not None
    assert (phrase.start, phrase.pickup, phrase.end) == (F(3), F(1), F(24))
    assert [c.beat for c in phrase.counts if c.silent] == [F(11), F(15)]


def test_slides_and_bends():
    notes = _notes(lessons.SLIDES_BENDS)
    assert _table(notes) == [
        (2, 5, F(0), F(0)),  # a grace, sliding into the 7 on 1
        (2, 7, F(0), F(1)),
        (2, 5, F(1), F(3, 2)),
        (2, 9, F(3, 2), F(2)),  # there on &
        (2, 5, F(2), F(11, 4)),
        (2, 9, F(11, 4), F(3)),
        (2, 12, F(3), F(7, 2)),
        (2, 5, F(7, 2), F(4)),
        (2, 8, F(4), F(5)),
        (2, 8, F(5), F(6)),
        (2, 8, F(6), F(8)),
        (2, 10, F(8), F(12)),  # bent against the held 8 on the e string
        (1, 8, F(8), F(12)),
        (2, 8, F(12), F(16)),
    ]
    grace, seven, _, nine, _, slid_into, off, *_ = notes
    assert (grace.timing, grace.order) == (Timing.GRACE, -1)
    assert [n.link and (n.link.kind, n.link.start) for n in (seven, nine)] == [
        (LinkKind.SLIDE_UP, None)
    ] * 2
    assert (slid_into.entry, slid_into.link) == (Entry.FROM_BELOW, None)
    assert off.off == SlideOff(up=False)
    released, pre_bent, late, unison, held, slow = notes[8:]
    assert released.gestures == (Bend(F(2)), Release(F(0), start=F(9, 2)))
    assert pre_bent.gestures == (
        Bend(F(2), struck_bent=True),
        Release(F(0), start=F(11, 2)),
        Vibrato(),
    )
    assert late.gestures == (Bend(F(2), start=F(13, 2)),)
    assert unison.gestures == (Bend(F(2)), Release(F(0), start=F(9)))
    assert held.gestures == ()
    assert slow.gestures == (Bend(F(2), arrive=F(13)), Vibrato())


def test_rake_and_barre():
    notes = _notes(lessons.RAKE_BARRE)
    rake, first, second, third, last = notes[:2], notes[2:5], notes[5:8], notes[8:11], notes[11]
    assert [(n.string, n.dead, n.timing, n.order) for n in rake] == [
        (3, True, Timing.GRACE, -2),
        (2, True, Timing.GRACE, -1),
    ]
    assert all(n.onset == 0 and Mark.RAKE in n.marks for n in rake)
    assert _table(first) == [(s, 8, F(0), F(1, 3)) for s in (3, 2, 1)]
    assert [n.entry for n in first] == [Entry.FROM_BELOW, None, Entry.FROM_BELOW]
    assert _table(second) == [(s, 8, F(1, 3), F(2, 3)) for s in (3, 2, 1)]
    assert all(n.marks == {Mark.ACCENT} for n in second)
    assert _table(third) == [(s, 6, F(2, 3), F(1)) for s in (3, 2, 1)]
    assert all(n.finger is Finger.FIRST for n in (*first, *second, *third, last))
    assert _table((last,)) == [(2, 8, F(1), F(4))]
    assert last.gestures == (Trill(10, finger=Finger.THIRD),)


def test_open_strings_ring_and_a_bar_again():
    notes = _notes(lessons.OPEN_RING_SIMILE)
    assert _table(notes[:6]) == [
        (3, 1, F(0), F(2)),  # until the G# string is struck again
        (2, 0, F(1, 2), F(3, 2)),  # until the B string is struck again
        (1, 0, F(1), F(3)),  # the others ring until 4
        (2, 0, F(3, 2), F(3)),
        (3, 3, F(2), F(3)),
        (1, 12, F(3), F(4)),
    ]
    assert [n.harmonic for n in notes[:6]] == [False] * 5 + [True]
    assert notes[4].entry is Entry.FROM_BELOW
    dead, chord = notes[6:9], notes[9:12]
    assert [(n.string, n.dead, n.onset, n.end) for n in dead] == [
        (s, True, F(4), F(9, 2)) for s in (3, 2, 1)
    ]
    assert all(n.marks == {Mark.STACCATO} for n in dead)
    assert [(n.string, n.fret, n.ghost) for n in chord] == [
        (3, 5, False),
        (2, 5, False),
        (1, 5, True),
    ]
    for before, again in zip(notes[6:12], notes[12:18], strict=True):
        assert (again.string, again.fret, again.dead, again.ghost, again.marks) == (
            before.string,
            before.fret,
            before.dead,
            before.ghost,
            before.marks,
        )
        assert (again.onset, again.end) == (before.onset + 4, before.end + 4)
    phrase = lick(lessons.OPEN_RING_SIMILE).phrase
    assert phrase is not None
    assert [(c.beat, c.chord.symbol) for c in phrase.chords] == [
        (F(0), "E"),
        (F(4), "A"),
        (F(9, 2), "E"),
        (F(8), "A"),
        (F(17, 2), "E"),
    ]
    assert [bar.simile for bar in phrase.bars] == [False, False, True]


def test_seven_eighths_and_five_in_a_beat():
    notes = _notes(lessons.SEVEN_FIVE)
    assert _table(notes[:7]) == [
        (string, fret, F(k), F(k + 1))
        for k, (string, fret) in enumerate([(3, 5), (3, 7), (3, 5), (4, 7), (3, 5), (3, 7), (3, 5)])
    ]
    five = notes[7:12]
    assert [(n.fret, n.onset) for n in five] == [
        (fret, 7 + F(k, 5)) for k, fret in enumerate([5, 12, 5, 7, 5])
    ]
    assert [n.end - n.onset for n in five] == [F(1, 5)] * 5
    assert five[1].entry is Entry.TAPPED
    assert [n.link.kind if n.link else None for n in five] == [
        None,
        None,
        LinkKind.PULL,
        LinkKind.HAMMER,
        LinkKind.PULL,
    ]
    assert _table(notes[12:]) == [(3, 7, F(8), F(14))]  # held to the end


def test_lean_and_answer():
    phrase = lick(lessons.LEAN_AND_ANSWER).phrase
    assert phrase is not None
    assert _table(phrase.notes) == [
        (string, fret, F(k, 2), F(k + 1, 2))
        for k, (string, fret) in enumerate(
            [(3, 10), (2, 8), (1, 8), (2, 11), (2, 8), (3, 10), (3, 8), (4, 10)]
        )
    ]
    assert [n.finger.value for n in phrase.notes if n.finger] == list("31131313")
    assert phrase.notes[0].gestures == (Bend(F(2)),)
    assert phrase.notes[3].gestures == (Bend(F(1, 2)),)  # a quarter of a whole step
    assert phrase.notes[7].gestures == (Vibrato(),)
    assert phrase.feel.sounding(F(1, 2)) == F(2, 3)
    assert [(c.beat, c.chord.symbol) for c in phrase.chords] == [(F(0), "C7")]


@pytest.mark.parametrize("inside", lessons.WORKED.values(), ids=lessons.WORKED.keys())
def test_worked_examples_tidied_mean_the_same_and_stay_tidy(inside):
    found = lick(inside)
    lines = "".join(line + "\n" for line in lick_lines(found))
    again = lick(lines)
    assert again == found
    assert "".join(line + "\n" for line in lick_lines(again)) == lines
