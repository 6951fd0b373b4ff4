"""What does each number of a lick become once its column has a beat?"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction

from lickwright.phrase import (
    Bend,
    Entry,
    Finger,
    LinkKind,
    Mark,
    Release,
    SlideOff,
    Stroke,
    Timing,
    Trill,
    Vibrato,
)

Beat = Fraction


@dataclass(slots=True)
class Draft:
    """A note with its beats, before it is known how long it lasts. Fields as in phrase.Note.

    `held_to`, `ring_to`: it is kept ringing until the first count after this beat.
    """

    string: int
    fret: int
    bar: int
    onset: Beat
    timing: Timing
    order: int
    ghost: bool = False
    harmonic: bool = False
    dead: bool = False
    entry: Entry | None = None
    link: LinkKind | None = None
    link_start: Beat | None = None
    gestures: list[Bend | Release | Vibrato | Trill] = field(default_factory=list)
    off: SlideOff | None = None
    held_to: Beat | None = None
    ring_to: Beat | None = None
    finger: Finger | None = None
    stroke: Stroke | None = None
    marks: set[Mark] = field(default_factory=set)
    end: Beat = Fraction(0)

    @property
    def struck(self) -> bool:
        """As in phrase.Note."""
        return self.link is None or self.stroke is not None

    def last_beat(self) -> Beat:
        """The last counted thing that happens in it."""
        beats = [self.onset]
        for gesture in self.gestures:
            beats += [gesture.start] if gesture.start is not None else []
            if isinstance(gesture, Bend | Release) and gesture.arrive is not None:
                beats.append(gesture.arrive)
        if self.off is not None and self.off.start is not None:
            beats.append(self.off.start)
        return max(beats)

    def later(self, by: Beat, bar: int) -> Draft:
        """A copy `by` beats later, in bar `bar`."""

        def moved(beat: Beat | None) -> Beat | None:
            return None if beat is None else beat + by

        gestures: list[Bend | Release | Vibrato | Trill] = []
        for gesture in self.gestures:
            shifted = replace(gesture, start=moved(gesture.start))
            if isinstance(shifted, Bend | Release):
                shifted = replace(shifted, arrive=moved(shifted.arrive))
            gestures.append(shifted)
        off = self.off and replace(self.off, start=moved(self.off.start))
        return replace(
            self,
            bar=bar,
            onset=self.onset + by,
            link_start=moved(self.link_start),
            gestures=gestures,
            off=off,
            held_to=moved(self.held_to),
            ring_to=moved(self.ring_to),
            marks=set(self.marks),
        )


Run = list[Draft]


@dataclass(slots=True)
class Rest:
    """A silent count.

    `spared`: strings that ring on through it; `own`: those whose note began in the same bar.
    """

    beat: Beat
    spared: frozenset[int]
    own: frozenset[int] = frozenset()
