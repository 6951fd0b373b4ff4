"""What does a player know while playing one bar: where it lies and which chords it holds?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from lickwright.band.backing import Backing
from lickwright.band.dice import chance, choose
from lickwright.band.pulse import Pulse, Style, pulses, style_of
from lickwright.phrase import ChordAt
from lickwright.theory import Chord


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of a bar under one chord. Beats from the form's first 1.

    `since`: the beat where the chord came in, perhaps bars ago.
    """

    start: Fraction
    end: Fraction
    chord: Chord
    since: Fraction

    @property
    def changes(self) -> bool:
        """Whether the chord is new here."""
        return self.start == self.since


@dataclass(frozen=True, slots=True)
class BarView:
    """One bar of a backing. `number` counts from 0 over all choruses."""

    backing: Backing
    number: int

    @property
    def start(self) -> Fraction:
        """Beat of its 1."""
        return Fraction(self.number * self.backing.meter.beats)

    @property
    def end(self) -> Fraction:
        """Beat at which it ends."""
        return self.start + self.backing.meter.beats

    @property
    def style(self) -> Style:
        """How the parts of its pulses are played."""
        return style_of(self.backing.meter, self.backing.feel)

    @property
    def pulses(self) -> tuple[Pulse, ...]:
        """Its pulses, in beats from its 1."""
        return pulses(self.backing.meter)

    @property
    def section(self) -> int:
        """Number of the chorus (or group of short ones) it belongs to, from 0."""
        return self.number // self.backing.section_bars

    @property
    def in_section(self) -> int:
        """Its number within that section, from 0."""
        return self.number % self.backing.section_bars

    @property
    def last_of_section(self) -> bool:
        """Whether a new section, or the ending, follows."""
        last = self.backing.bars * self.backing.choruses - 1
        whole = self.in_section == self.backing.section_bars - 1
        return whole or (self.number == last > 0 and self.backing.ending)

    @property
    def closing(self) -> bool:
        """Whether it is the ending's bar, after the last chorus."""
        return self.number >= self.backing.bars * self.backing.choruses

    @property
    def energy(self) -> float:
        """How busy the band is, 0 to 1: it grows over the sections and falls back once."""
        return (0.2, 0.5, 0.7, 0.4, 0.9)[self.section % 5]

    def chance(self, *words: object) -> float:
        """A number from 0 up to 1, thrown once for this bar and these words."""
        return chance(self.backing.seed, self.number, *words)

    def pick(self, options: tuple[str, ...], *words: object) -> str:
        """One of some patterns, the same for the four bars that belong together."""
        part = self.in_section // 4
        return choose(options, self.backing.seed, self.section, part, *words)

    def stretches(self) -> Iterator[Stretch]:
        """The chords of this bar, in order."""
        if self.closing:
            first = self.backing.changes[0].chord
            yield Stretch(self.start, self.end, first, self.start)
            return
        at = self.start
        while at < self.end:
            change = self.backing.chord_at(at)
            end = min(self.end, self._next_change(at))
            yield Stretch(at, end, change.chord, change.beat)
            at = end

    def following(self) -> ChordAt:
        """The change in force when the next bar begins; after the last bar, the first chord."""
        if self.number + 1 >= self.backing.bars * self.backing.choruses:
            return ChordAt(self.end, self.backing.changes[0].chord)
        return self.backing.chord_at(self.end)

    def _next_change(self, beat: Fraction) -> Fraction:
        chorus = beat // self.backing.chorus_beats * self.backing.chorus_beats
        later = (change.beat + chorus for change in self.backing.changes)
        end = Fraction(chorus + self.backing.chorus_beats)
        return min((b for b in later if b > beat), default=end)
