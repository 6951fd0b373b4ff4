"""Which runs of a phrase have to stand on one string, and which of them sound together?

A run is a struck note with those hammered, pulled, slid or tapped to from it. Muted strings have no
pitch and are left out.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from lickwright.neck.change import haste
from lickwright.neck.events import tapped
from lickwright.phrase import Bend, Note, Phrase, Release

_QUICK_SECONDS = 0.07  # from a grace, or a quick note, to the number it is joined to
_RESTED = 0.3  # share of what a shift costs after a silence, as in `lickwright.neck.change`


@dataclass(frozen=True, slots=True)
class Run:
    """Notes that stand on one string. Beats as in Note.

    `picking`: which of them the picking hand frets. `busy`: the last beat at which something
    counted happens in it: till then no other note can take its string.
    """

    notes: tuple[Note, ...]
    picking: tuple[bool, ...]
    busy: Fraction

    @property
    def string(self) -> int:
        """The string that it is written on."""
        return self.notes[0].string

    @property
    def end(self) -> Fraction:
        """Where its last note stops."""
        return self.notes[-1].end


@dataclass(frozen=True, slots=True)
class Alive:
    """A run that sounds on while others are struck. `at`: index of its note that sounds.

    `going`: it is to be left for another number on its string, and cannot be let go.
    """

    at: int
    going: bool


@dataclass(frozen=True, slots=True)
class Moment:
    """Notes struck or joined on together. Runs are given by index.

    `notes`: index in its run of each run's note. `pace`: factor on what the hand's way there costs.
    `slid`: frets that a slide takes the hand along, 0 if none does.
    """

    onset: Fraction
    notes: Mapping[int, int]
    alive: Mapping[int, Alive]
    pace: float
    slid: int

    @property
    def starts(self) -> tuple[int, ...]:
        """Runs that begin here."""
        return tuple(run for run, at in self.notes.items() if at == 0)


@dataclass(frozen=True, slots=True)
class Line:
    """A phrase as moments of runs."""

    phrase: Phrase
    runs: tuple[Run, ...]
    moments: tuple[Moment, ...]


def line_of(phrase: Phrase) -> Line:
    """Part a phrase into its runs, in the order in which they begin, and its moments."""
    runs = tuple(_run(notes) for notes in phrase.runs if not notes[0].dead)
    struck = sorted(
        ((note.onset, note.order, run, at) for run, r in enumerate(runs)
         for at, note in enumerate(r.notes)),
    )  # fmt: skip
    groups = [list(group) for _, group in groupby(struck, key=lambda each: each[:2])]
    seconds = _seconds(phrase, groups)
    made: list[Moment] = []
    alive: dict[int, Alive] = {}
    silent = Fraction(0)  # beat at which all notes so far have stopped
    for group, spent in zip(groups, seconds, strict=True):
        onset = group[0][0]
        notes = {run: at for _, _, run, at in group}
        kept = {
            run: was
            for run, was in alive.items()
            if run not in notes and (was.going or runs[run].end > onset)
        }
        rest = bool(made) and not kept and silent < onset
        pace = haste(spent) * (_RESTED if rest else 1.0)
        made.append(Moment(onset, notes, kept, pace, _slid(runs, notes)))
        alive = kept | {run: Alive(at, at + 1 < len(runs[run].notes)) for run, at in notes.items()}
        silent = max(silent, *(runs[run].notes[at].end for run, at in notes.items()))
    return Line(phrase, runs, tuple(made))


def _run(notes: tuple[Note, ...]) -> Run:
    picking: list[bool] = []
    for note in notes:
        slid = note.link is not None and note.link.slide and bool(picking) and picking[-1]
        picking.append(tapped(note) or slid)
    return Run(notes, tuple(picking), max(beat for note in notes for beat in counted_beats(note)))


def counted_beats(note: Note) -> list[Fraction]:
    """The beats of all counted things that happen in a note."""
    found: list[Fraction | None] = [note.onset]
    found.append(note.link.start if note.link is not None else None)
    for gesture in note.gestures:
        found.append(gesture.start)
        found.append(gesture.arrive if isinstance(gesture, Bend | Release) else None)
    found.append(note.off.start if note.off is not None else None)
    return [beat for beat in found if beat is not None]


def _slid(runs: tuple[Run, ...], notes: Mapping[int, int]) -> int:
    """Frets that the hand is taken along by the first slide among the notes."""
    for run, at in notes.items():
        after = runs[run].notes[at]
        if at and after.link is not None and after.link.slide and not runs[run].picking[at]:
            return after.fret - runs[run].notes[at - 1].fret
    return 0


def _seconds(phrase: Phrase, groups: list[list[tuple[Fraction, int, int, int]]]) -> list[float]:
    """Seconds from each moment to the one before it, at the phrase's own tempo."""
    clock = phrase.clock
    heard = {onset: clock.seconds(onset) for onset in {group[0][0] for group in groups}}
    found: list[float] = []
    last: Fraction | None = None
    for group in groups:
        onset = group[0][0]
        if last is None or onset == last:
            found.append(_QUICK_SECONDS)
        else:
            found.append(heard[onset] - heard[last])
        last = onset
    return found
