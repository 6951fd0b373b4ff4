"""Which runs of a phrase have to stand on one string, and which of them sound together?

A run is a struck note with those hammered, pulled, slid or tapped to from it. Muted strings have no
pitch and are left out.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby, pairwise

from lickwright.neck.change import haste
from lickwright.neck.events import tapped
from lickwright.phrase import Bend, Note, Phrase, Release

_QUICK_SECONDS = 0.07  # from a grace, or a quick note, to the number it is joined to
_RESTED = 0.3  # share of what a shift costs after a silence, as in `lickwright.neck.change`


@dataclass(frozen=True, slots=True)
class Run:
    """Notes that stand on one string. Beats as in Note.

    `pitches`: their MIDI numbers as struck. `picking`: which of them the picking hand frets.
    `busy`: the last beat at which something counted happens in it: till then no other note can take
    its string. `plain`: it is one fretted or open note that does nothing else.
    """

    notes: tuple[Note, ...]
    pitches: tuple[float, ...]
    picking: tuple[bool, ...]
    busy: Fraction
    plain: bool

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

    @property
    def afresh(self) -> bool:
        """Whether nothing sounds on from before, and nothing is joined on."""
        return not self.alive and len(self.starts) == len(self.notes)


@dataclass(frozen=True, slots=True)
class Line:
    """A phrase as moments of runs."""

    phrase: Phrase
    runs: tuple[Run, ...]
    moments: tuple[Moment, ...]


def line_of(phrase: Phrase) -> Line:
    """Part a phrase into its runs, in the order in which they begin, and its moments."""
    runs = tuple(_run(phrase, notes) for notes in phrase.runs if not notes[0].dead)
    groups = _groups(phrase, runs)
    seconds = _seconds(phrase, [onset for onset, _ in groups])
    made: list[Moment] = []
    alive: dict[int, Alive] = {}
    silent = phrase.start  # beat at which all notes so far have stopped
    for (onset, notes), spent in zip(groups, seconds, strict=True):
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


def _groups(phrase: Phrase, runs: tuple[Run, ...]) -> list[tuple[Fraction, dict[int, int]]]:
    """Notes struck or joined on together: their onset, and by run the index of its note."""
    places = {
        note.id: (number, at)
        for number, run in enumerate(runs)
        for at, note in enumerate(run.notes)
    }
    pitched = [note for note in phrase.notes if not note.dead]
    return [
        (onset, dict(places[note.id] for note in group))
        for (onset, _), group in groupby(pitched, key=lambda note: (note.onset, note.order))
    ]


def _run(phrase: Phrase, notes: tuple[Note, ...]) -> Run:
    picking: list[bool] = []
    for note in notes:
        slid = note.link is not None and note.link.slide and bool(picking) and picking[-1]
        picking.append(tapped(note) or slid)
    pitches = tuple(pitch for note in notes if (pitch := phrase.midi(note)) is not None)
    first = notes[0]
    still = not (first.gestures or first.entry or first.off or first.harmonic or first.marks)
    plain = len(notes) == 1 and still
    busy = max(beat for note in notes for beat in counted_beats(note))
    return Run(notes, pitches, tuple(picking), first.onset if plain else busy, plain)


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


def _seconds(phrase: Phrase, onsets: list[Fraction]) -> list[float]:
    """Seconds from each moment to the one before it, at the phrase's own tempo."""
    clock = phrase.clock
    heard = [clock.seconds(onset) for onset in onsets]
    gaps = [after - before for before, after in pairwise(heard)]
    return [_QUICK_SECONDS, *(gap or _QUICK_SECONDS for gap in gaps)][: len(onsets)]
