"""On which strings can a run of notes stand, what speaks against each, and why not on the others?

A string settles the frets of a run: its pitches are given. Points as in
`lickwright.neck.placement_hand`; the weights are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from itertools import pairwise
from math import isclose, log2

from lickwright.neck.bending import bend_effort
from lickwright.neck.guitar import Guitar
from lickwright.neck.hand import HandSize
from lickwright.neck.pattern import Pattern, Place
from lickwright.neck.placement_hand import joins
from lickwright.neck.placement_moments import Line, Run
from lickwright.phrase import Bend, Entry, Link, LinkKind, Mark, Note, harmonic_number

HIGHEST_WRITTEN = 36  # a lesson writes no higher fret
HARDEST_BEND = 30.0  # newtons that a finger is asked for, if the phrase does not ask for more
_HIGH, _HIGH_FROM = 0.05, 12  # points a fret above it
_BEND_NEWTON = 0.12
_BEND_WOUND = 0.8  # a bend of a whole step or more on a wound string
_OPEN_VIBRATO, _OPEN_SLIDE = 3.0, 1.5
_STOPPED_RING = 1.0  # an open string that was to ring, and is fretted
_FRETTED_HARMONIC = 4.0
_NO_REACH = 10.0  # a hammer-on, pull-off or trill wider than the hand
_BESIDE_PATTERN, _OFF_PATTERN, _OFF_PATTERN_FRET = 0.3, 0.5, 0.5
_FURTHEST_OFF = 3  # frets beside a pattern
_USUAL_NODES = {2: 12, 3: 7, 4: 5, 5: 4, 6: 3}


class Refusal(Enum):
    """Why a run cannot stand on a string."""

    LOW = "below the open string"
    HIGH = "above the last fret"
    OPEN_BEND = "a bend on the open string"
    HARD_BEND = "a bend that the string does not give"
    OPEN_SLIDE = "a slide into the open string from below"
    JOIN = "a harmonic joined to a note that would lie on its other side"
    ELSEWHERE = "not where it is wanted"


@dataclass(frozen=True, slots=True)
class Seat:
    """A string for a run: the fret of each note, and whether it is touched as a harmonic there."""

    string: int
    frets: tuple[int, ...]
    touched: tuple[bool, ...]
    points: float
    low: int  # the lowest and the highest fret, those of trills included
    high: int

    @property
    def places(self) -> tuple[Place, ...]:
        """Where its notes stand."""
        return tuple(Place(self.string, fret) for fret in self.frets)


@dataclass(frozen=True, slots=True)
class Seating:
    """All seats of a run, thinnest string first, and why it has none on the other strings."""

    seats: tuple[Seat, ...]
    refused: frozenset[Refusal]


@dataclass(frozen=True, slots=True)
class Wish:
    """Where a phrase shall stand.

    `up`: semitones that all of it sounds higher. `frets`: the lowest and the highest fret it may
    use, open strings only if that is 0. `fixed`: every run stays on its string. `pattern`: as near
    to it as can be. `home`: points for each note that leaves its string.
    """

    up: int = 0
    frets: tuple[int, int] | None = None
    strings: frozenset[int] | None = None
    fixed: bool = False
    pattern: Pattern | None = None
    home: float = 0.0


class Seater:
    """Finds the seats of a line's runs on one guitar.

    `home`: the guitar the phrase is written for; what is as hard there may be as hard here.
    """

    def __init__(self, line: Line, home: Guitar, guitar: Guitar, size: HandSize) -> None:
        self.home = home
        self.guitar = guitar
        self.neck = guitar.neck
        self.size = size
        written = [note.fret for run in line.runs for note in run.notes if not note.harmonic]
        used = max(written, default=0) + line.phrase.capo - guitar.capo
        self.highest = min(HIGHEST_WRITTEN, max(self.neck.highest, used))
        self._open = [guitar.tuning.midi(s, 0, guitar.capo) for s in self.strings]
        self._bends: dict[tuple[bool, int, int, float], tuple[float, bool]] = {}
        self._wish: Wish | None = None
        self._plain: dict[tuple[float, int], Seating] = {}  # for this wish

    @property
    def strings(self) -> range:
        """The guitar's strings, thinnest first."""
        return range(1, len(self.guitar.tuning) + 1)

    def seats(self, run: Run, wish: Wish) -> Seating:
        """Every seat of a run, and why it has none on the other strings."""
        if wish is not self._wish:
            self._wish, self._plain = wish, {}
        if not run.plain:
            return self._seating(run, wish)
        alike = (run.pitches[0], run.string)
        if alike not in self._plain:
            self._plain[alike] = self._seating(run, wish)
        return self._plain[alike]

    def _seating(self, run: Run, wish: Wish) -> Seating:
        found: list[Seat] = []
        refused: set[Refusal] = set()
        for string in self.strings:
            seat = self._seat(run, string, wish)
            if isinstance(seat, Seat):
                found.append(seat)
            else:
                refused.add(seat)
        return Seating(tuple(found), frozenset(refused))

    def _seat(self, run: Run, string: int, wish: Wish) -> Seat | Refusal:
        held = all(not note.harmonic for note in run.notes)
        if wish.strings is not None and string not in wish.strings:
            return Refusal.ELSEWHERE
        if wish.fixed and held and string != run.string:
            return Refusal.ELSEWHERE
        stops = [
            self._stop(note, pitch + wish.up - self._open[string - 1])
            for note, pitch in zip(run.notes, run.pitches, strict=True)
        ]
        frets = tuple(fret for fret, _ in stops)
        refusal = self._refused(run, string, frets, wish)
        if refusal is not None:
            return refusal
        touched = tuple(harmonic for _, harmonic in stops)
        points = sum(self._points(run, string, frets, touched, wish))
        reached = [*frets, *(other for _, other in trill_frets(run, frets))]
        return Seat(string, frets, touched, points, min(reached), max(reached))

    @staticmethod
    def _stop(note: Note, above: float) -> tuple[int, bool]:
        """The fret of a note (it may be below 0), and whether it is touched as a harmonic there.

        `above`: semitones above the open string.
        """
        if note.harmonic:
            own = harmonic_number(note.fret)
            for number, node in _USUAL_NODES.items():
                if isclose(12 * log2(number), above, abs_tol=1e-6):
                    return (note.fret if number == own else node), True
        return round(above), False

    # --- what cannot be ----------------------------------------------------------------------

    def _refused(self, run: Run, string: int, frets: tuple[int, ...], wish: Wish) -> Refusal | None:
        trilled = [fret for _, fret in trill_frets(run, frets)]
        if min((*frets, *trilled)) < 0:
            return Refusal.LOW
        if max((*frets, *trilled)) > self.highest:
            return Refusal.HIGH
        for note, fret in zip(run.notes, frets, strict=True):
            if fret == 0 and note.entry is Entry.FROM_BELOW:
                return Refusal.OPEN_SLIDE
            refusal = self._bend_refused(note, string, fret)
            if refusal is not None:
                return refusal
        joined = zip(pairwise(frets), run.notes[1:], strict=True)
        if any(not _right_way(before, after, note.link) for (before, after), note in joined):
            return Refusal.JOIN
        return None if _wanted((*frets, *trilled), wish) else Refusal.ELSEWHERE

    def _bend_refused(self, note: Note, string: int, fret: int) -> Refusal | None:
        widest = max((float(g.to) for g in note.gestures if isinstance(g, Bend)), default=0.0)
        if not widest:
            return None
        if fret == 0:
            return Refusal.OPEN_BEND
        force, fits = self.effort(string, fret, widest)
        own_force, own_fits = self.home_effort(note.string, note.fret, widest)
        hard = force > max(HARDEST_BEND, own_force) or (own_fits and not fits)
        return Refusal.HARD_BEND if hard else None

    def effort(self, string: int, fret: int, semitones: float) -> tuple[float, bool]:
        """Newtons that a bend takes, and whether there is room for it."""
        return self._effort(self.guitar, string, fret, semitones)

    def home_effort(self, string: int, fret: int, semitones: float) -> tuple[float, bool]:
        """The same on the guitar that the phrase is written for."""
        return self._effort(self.home, string, fret, semitones)

    def _effort(
        self, guitar: Guitar, string: int, fret: int, semitones: float
    ) -> tuple[float, bool]:
        key = (guitar is self.guitar, string, fret, semitones)
        if key not in self._bends:
            try:
                found = bend_effort(guitar, string, fret, semitones)
                self._bends[key] = found.force, found.fits
            except ValueError:
                self._bends[key] = float("inf"), False
        return self._bends[key]

    # --- what it costs -----------------------------------------------------------------------

    def _points(
        self, run: Run, string: int, frets: tuple[int, ...], touched: tuple[bool, ...], wish: Wish
    ) -> Iterator[float]:
        for note, fret, harmonic in zip(run.notes, frets, touched, strict=True):
            yield _HIGH * max(0, fret - _HIGH_FROM)
            yield _FRETTED_HARMONIC if note.harmonic and not harmonic else 0.0
            yield from self._gesture_points(note, string, fret)
            yield _pattern_points(Place(string, fret), wish.pattern)
        for _, one, other in both_down(run, frets):
            if not joins(min(one, other), max(one, other), self.neck, self.size):
                yield _NO_REACH
        if string != run.string:
            yield wish.home * len(run.notes)

    def _gesture_points(self, note: Note, string: int, fret: int) -> Iterator[float]:
        for gesture in note.gestures:
            if isinstance(gesture, Bend):
                semitones = float(gesture.to)
                yield _BEND_NEWTON * min(HARDEST_BEND, self.effort(string, fret, semitones)[0])
                yield _BEND_WOUND * (semitones >= 2 and self.guitar.string(string).wound)
        if note.fret == 0 < fret and Mark.LET_RING in note.marks:
            yield _STOPPED_RING
        if fret == 0:
            yield _OPEN_VIBRATO * (note.vibrato is not None)
            yield _OPEN_SLIDE * (note.entry is Entry.FROM_ABOVE or note.off is not None)


def trill_frets(run: Run, frets: tuple[int, ...]) -> Iterator[tuple[int, int]]:
    """For each trill in a run on these frets: its note's fret and its other one."""
    for note, fret in zip(run.notes, frets, strict=True):
        if note.trill is not None:
            yield fret, fret + note.trill.fret - note.fret


def both_down(run: Run, frets: tuple[int, ...]) -> Iterator[tuple[int, int, int]]:
    """Where two fingers of one hand are down at once: hammer-ons, pull-offs and trills.

    Yields the index of the note joined on, or trilled, and the two frets.
    """
    for at, note in enumerate(run.notes):
        link = note.link
        legato = link is not None and link.kind in (LinkKind.HAMMER, LinkKind.PULL)
        if at and legato and not run.picking[at] and not run.picking[at - 1]:
            yield at, frets[at - 1], frets[at]
        if note.trill is not None:
            yield at, frets[at], frets[at] + note.trill.fret - note.fret


def _right_way(before: int, after: int, link: Link | None) -> bool:
    """Whether a join goes up or down as its sign says."""
    if link is None or link.kind is LinkKind.TAP:
        return True
    up = link.kind in (LinkKind.HAMMER, LinkKind.SLIDE_UP)
    return after > before if up else after < before


def _wanted(frets: tuple[int, ...], wish: Wish) -> bool:
    if wish.pattern is not None and max(_off(fret, wish.pattern) for fret in frets) > _FURTHEST_OFF:
        return False
    if wish.frets is None:
        return True
    low, high = wish.frets
    return all(low <= fret <= high for fret in frets)


def _off(fret: int, pattern: Pattern) -> int:
    """How many frets a fret lies beside a pattern; 0 within it."""
    held = [place.fret for place in pattern.places]
    return max(0, min(held) - fret, fret - max(held))


def _pattern_points(place: Place, pattern: Pattern | None) -> float:
    if pattern is None or place in pattern.places:
        return 0.0
    off = _off(place.fret, pattern)
    return _OFF_PATTERN + _OFF_PATTERN_FRET * off if off else _BESIDE_PATTERN
