"""Where in a written note does each bend, release, vibrato and trill begin, and what says it?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from xml.etree.ElementTree import Element

from lickwright.exchange.markup import add, decimal, make
from lickwright.phrase import Bend, Note, Release, Trill, Vibrato
from lickwright.phrase.moves import QUICK_SHARE
from lickwright.phrase.note import Gesture
from lickwright.phrase.times import QUICK_MOVE_SECONDS

_TRILL_STEPS = {1: "half", 2: "whole"}


@dataclass(frozen=True, slots=True)
class Head:
    """One written head of a note. `start` and `end` in beats; of a small note they are equal."""

    note: Note
    start: Fraction
    end: Fraction
    number: int = 1  # 1 for the first, 2, 3 … for those tied to it
    tie_out: bool = False

    @property
    def first(self) -> bool:
        """True for the head with which the note begins."""
        return self.number == 1

    @property
    def last(self) -> bool:
        """True for the head with which the written note ends."""
        return not self.tie_out

    def holds(self, beat: Fraction) -> bool:
        """True if what begins at `beat` begins in this head, of all heads of its note."""
        return (self.first or self.start <= beat) and (self.last or beat < self.end)

    def percent(self, beat: Fraction) -> str:
        """How far into the head `beat` is, 0 to 100, as MusicXML's `trill-beat` types want it."""
        share = (beat - self.start) / (self.end - self.start)
        return decimal(min(max(share, Fraction(0)), Fraction(1)) * 100)


@dataclass(frozen=True, slots=True)
class Timed:
    """A gesture with the beats at which it begins and is there. `change`: semitones it moves."""

    gesture: Gesture
    start: Fraction
    arrive: Fraction
    change: Fraction = Fraction(0)


def timed_gestures(note: Note, tempo: Fraction) -> Iterator[Timed]:
    """The gestures of a note in beats at `tempo` (beats a minute), as the pitch curve has them.

    A movement without counts is quick; a release without one begins halfway through what is left.
    """
    quick = Fraction(QUICK_MOVE_SECONDS).limit_denominator(1000) * tempo / 60
    now, bent = note.onset, Fraction(0)
    for index, gesture in enumerate(note.gestures):
        later = note.gestures[index + 1 :]
        limit = min([note.end, *(g.start for g in later if g.start is not None)])
        start = gesture.start if gesture.start is not None else now
        arrive = start
        change = Fraction(0)
        if isinstance(gesture, Bend | Release):
            if isinstance(gesture, Release) and gesture.start is None:
                start = (now + limit) / 2
            share = max(limit - start, Fraction(0)) * Fraction(QUICK_SHARE).limit_denominator(1000)
            arrive = gesture.arrive if gesture.arrive is not None else start + min(quick, share)
            change, bent = gesture.to - bent, gesture.to
            if isinstance(gesture, Bend) and gesture.struck_bent:
                start = arrive = note.onset
        elif isinstance(gesture, Vibrato) and later and later[0].start is None:
            arrive = (start + limit) / 2
        yield Timed(gesture, start, arrive, change)
        now = arrive


def bends(head: Head, tempo: Fraction, divisions_a_beat: Fraction) -> Iterator[Element]:
    """The `bend` elements of a head.

    As the W3C's examples have it, the alteration of a pre-bend or release is negative. Where the
    movement begins and ends is said in percent of the head, and not at all on a small note.
    """
    for timed in timed_gestures(head.note, tempo):
        gesture = timed.gesture
        if not isinstance(gesture, Bend | Release) or not head.holds(timed.start):
            continue
        struck_bent = isinstance(gesture, Bend) and gesture.struck_bent
        bend = make("bend")
        if head.end > head.start and not struck_bent:
            bend.set("first-beat", head.percent(timed.start))
            bend.set("last-beat", head.percent(timed.arrive))
        add(bend, "bend-alter", decimal(-timed.change if struck_bent else timed.change))
        if struck_bent:
            add(bend, "pre-bend")
        elif isinstance(gesture, Release):
            offset = decimal((timed.start - head.start) * divisions_a_beat)
            add(bend, "release", offset=offset)
        yield bend


def ornaments(head: Head, tempo: Fraction, number: int) -> Iterator[Element]:
    """Trill and vibrato as children of `ornaments`; `number` tells wavy lines apart."""
    for timed in timed_gestures(head.note, tempo):
        gesture = timed.gesture
        if not isinstance(gesture, Trill | Vibrato):
            continue
        if head.holds(timed.start):
            yield from _sign(gesture, head.note)
            yield make("wavy-line", type="start", number=number)
        if head.last:
            yield make("wavy-line", type="stop", number=number)


def _sign(gesture: Trill | Vibrato, note: Note) -> Iterator[Element]:
    if isinstance(gesture, Trill):
        trill = make("trill-mark", start_note="main")
        step = _TRILL_STEPS.get(gesture.fret - note.fret)
        if step is not None:
            trill.set("trill-step", step)
        yield trill
    elif gesture.wide:
        yield make("other-ornament", "wide vibrato")
