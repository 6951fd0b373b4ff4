"""What is one phrase: its bars, counts, chords and notes?"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from lickwright.phrase.clock import Clock
from lickwright.phrase.feel import STRAIGHT, Feel
from lickwright.phrase.meter import COMMON_TIME, Meter
from lickwright.phrase.note import Mark, Note
from lickwright.phrase.tuning import STANDARD, Tuning
from lickwright.theory import Chord, Key


@dataclass(frozen=True, slots=True)
class Count:
    """A place that is counted aloud. `beat` as in Note; a silent one stops the strings."""

    beat: Fraction
    silent: bool = False


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar. `start` and `length` in beats; a pickup starts inside its bar and is shorter."""

    number: int  # from 1
    start: Fraction
    length: Fraction
    counts: tuple[Count, ...]
    simile: bool = False  # written as a repeat of the bar before
    ends_line: bool = False  # the teacher ended a line of music after it

    @property
    def end(self) -> Fraction:
        """Beat at which it ends."""
        return self.start + self.length


@dataclass(frozen=True, slots=True)
class ChordAt:
    """A chord that sounds from `beat` on, until the next."""

    beat: Fraction
    chord: Chord


@dataclass(frozen=True, slots=True)
class Span:
    """A palm-mute or let-ring mark over the counts from `start` up to, not including, `end`."""

    mark: Mark
    start: Fraction
    end: Fraction


@dataclass(frozen=True, slots=True)
class Phrase:
    """One lick, all settings resolved. Notes are in the order in which they sound."""

    name: str
    key: Key
    bars: tuple[Bar, ...]
    notes: tuple[Note, ...]
    chords: tuple[ChordAt, ...] = ()
    spans: tuple[Span, ...] = ()
    meter: Meter = COMMON_TIME
    tempo: Fraction = Fraction(90)  # beats a minute
    feel: Feel = STRAIGHT
    tuning: Tuning = STANDARD
    capo: int = 0
    title: str = ""

    @property
    def start(self) -> Fraction:
        """Beat of its first count."""
        return self.bars[0].start

    @property
    def end(self) -> Fraction:
        """Beat at which its last bar ends."""
        return self.bars[-1].end

    @property
    def pickup(self) -> Fraction:
        """Beats before the first full bar; 0 if it begins on 1."""
        first = self.bars[0]
        return first.length if first.start != 0 else Fraction(0)

    @property
    def clock(self) -> Clock:
        """Beats to seconds at the phrase's own tempo; its first count is heard at 0 s."""
        return Clock(self.tempo, self.feel, self.start)

    @property
    def runs(self) -> tuple[tuple[Note, ...], ...]:
        """Notes grouped into runs: a struck note and those joined to it on its string."""
        groups: list[list[Note]] = []
        open_run: dict[int, list[Note]] = {}
        for note in self.notes:
            if note.link is not None and note.string in open_run:
                open_run[note.string].append(note)
            else:
                open_run[note.string] = [note]
                groups.append(open_run[note.string])
        return tuple(tuple(group) for group in groups)

    @property
    def counts(self) -> tuple[Count, ...]:
        """All counts of all bars, in order."""
        return tuple(count for bar in self.bars for count in bar.counts)

    def chord_at(self, beat: Fraction) -> Chord | None:
        """Chord at `beat`; before the first symbol, the first; None if there is none."""
        sounding = [c for c in self.chords if c.beat <= beat] or list(self.chords[:1])
        return sounding[-1].chord if sounding else None

    def midi(self, note: Note) -> float | None:
        """MIDI number of a note as struck, without its gestures; None for a muted string."""
        if note.dead:
            return None
        if note.harmonic:
            return self.tuning.harmonic_midi(note.string, note.fret, self.capo)
        return float(self.tuning.midi(note.string, note.fret, self.capo))
