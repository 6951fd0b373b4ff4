"""What is this phrase in another key, pattern, octave or tuning, or on another chord?

All that is heard moves by the same interval; bends keep their size, joins and rhythm stay. If it
can, the phrase keeps its shape and only moves along the neck, the shorter way first; else its notes
are placed anew (see `lickwright.neck.placement`). What a move cannot do is an answer, not an error.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from lickwright.neck.guitar import Guitar, guitar_for, usual_strings
from lickwright.neck.hand import HandSize
from lickwright.neck.move_impossible import too_low, why_impossible
from lickwright.neck.move_music import letters, with_music
from lickwright.neck.move_request import Request, new_key, ways
from lickwright.neck.move_words import changed_words, pattern_words, shift_of
from lickwright.neck.pattern import (
    Pattern,
    Place,
    best_pattern,
    patterns,
    standard_intervals,
)
from lickwright.neck.placement import NoPlace, Placement, Placer
from lickwright.neck.placement_moments import Line, line_of
from lickwright.neck.placement_seats import Wish
from lickwright.phrase import Phrase, Tuning
from lickwright.theory import Chord, Key, Mode, relative, usual_key

# Common practice, no source.
_EASY_FRET = 17  # a shape is moved up so far without a second thought
_HIGHEST_CAPO = 12  # that a lesson may write
_LOSS = 3.0  # points that each kind of loss weighs against an easier place
_ANEW, _FAR = 2.0, 2.0  # points for another shape, for the longer way
_HOME = 0.1  # points for each note that leaves its string


@dataclass(frozen=True, slots=True)
class Moved:
    """A phrase that was moved.

    `changed`, `lost`: what is different now, and what could not be kept, in plain words.
    `semitones`: how much higher it sounds. `same_shape`: all notes moved alike over the neck.
    """

    phrase: Phrase
    changed: tuple[str, ...]
    lost: tuple[str, ...]
    semitones: int
    same_shape: bool


@dataclass(frozen=True, slots=True)
class CannotMove:
    """Why a phrase cannot be moved as asked.

    `what`: what is impossible. `instead`: the nearest that is possible, and `nearest`: the phrase
    moved so; empty and None if nothing near is.
    """

    what: str
    instead: str = ""
    nearest: Moved | None = None

    def __str__(self) -> str:
        return f"{self.what}: {self.instead}" if self.instead else self.what


def move(  # noqa: PLR0913  # one word for each thing that may be asked for
    phrase: Phrase,
    guitar: Guitar,
    *,
    key: Key | None = None,
    pattern: int | None = None,
    octave: int = 0,
    tuning: Tuning | None = None,
    capo: int | None = None,
    chord: Chord | None = None,
    size: HandSize = HandSize.AVERAGE,
) -> Moved | CannotMove:
    """Move a phrase; what is asked for together is done together.

    `key`: to another tonic, the line keeping its steps above it. `pattern`: into one of the five
    pentatonic patterns, 1 to 5, as far as its notes lie there. `octave`: octaves up, below 0 down.
    `tuning`, `capo`: what sounds stays, and is placed on the other strings. `chord`: the line
    stands on another chord as it stood on its first one (or on the key's tonic); in the same key if
    none is given. `guitar`: the one it is played on, by its neck and strings.
    """
    request = Request(key, pattern, octave, tuning, capo, chord)
    nonsense = _nonsense(phrase, guitar, request)
    if nonsense:
        return CannotMove(nonsense)
    mover = _Mover(phrase, guitar, size)
    found = mover.move(request)
    return found if isinstance(found, Moved) else mover.cannot(request, found)


def _nonsense(phrase: Phrase, guitar: Guitar, request: Request) -> str:
    """What is wrong with a request whatever the phrase; empty if nothing is."""
    capo = phrase.capo if request.capo is None else request.capo
    if not 0 <= capo <= _HIGHEST_CAPO or capo >= guitar.frets:
        return (
            f"a capo is put on a fret from 1 to {min(_HIGHEST_CAPO, guitar.frets - 1)}, not {capo}"
        )
    if request.chord is not None and not request.chord.sounds:
        return f"{request.chord} has no root that a line could stand on"
    if request.pattern is None:
        return ""
    if not 1 <= request.pattern <= 5:
        return f"there are five patterns, 1 to 5, and no pattern {request.pattern}"
    tuning = request.tuning or phrase.tuning
    if not standard_intervals(tuning):
        return f"the five patterns are those of the usual tuning, not of {letters(tuning)}"
    return ""


class _Mover:
    """Moves one phrase; placers for the guitars it meets are kept."""

    def __init__(self, phrase: Phrase, guitar: Guitar, size: HandSize) -> None:
        same = len(guitar.tuning) == len(phrase.tuning)
        self._phrase = phrase
        self._strings = guitar.strings
        self._home = guitar_for(
            phrase, guitar.strings if same else None, guitar.scale_mm, guitar.frets
        )
        self._size = size
        self._placers: dict[tuple[Tuning, int], Placer] = {}

    @cached_property
    def _line(self) -> Line:
        return line_of(self._phrase)

    def _placer(self, request: Request) -> Placer:
        tuning = request.tuning or self._phrase.tuning
        capo = self._phrase.capo if request.capo is None else request.capo
        if (tuning, capo) not in self._placers:
            fits = len(self._strings) == len(tuning)
            strings = self._strings if fits else usual_strings(len(tuning))
            home = self._home
            guitar = Guitar(tuning, strings, capo, home.scale_mm, home.frets)
            self._placers[tuning, capo] = Placer(self._phrase, guitar, self._size, home, self._line)
        return self._placers[tuning, capo]

    def move(self, request: Request) -> Moved | NoPlace:
        """The phrase moved, or why its notes have no place where the shorter way leads."""
        found: list[tuple[float, _Candidate]] = []
        none: NoPlace | None = None
        for candidate in self._candidates(request):
            placement = candidate.placement
            if isinstance(placement, NoPlace):
                none = none if candidate.fixed else none or placement
                continue
            if candidate.fixed and self._as_it_was(placement):
                return self._moved(request, candidate)
            found.append((candidate.points, candidate))
        if found:
            return self._moved(request, min(found, key=lambda each: each[0])[1])
        return none or NoPlace((), None)

    def _as_it_was(self, placement: Placement) -> bool:
        """Whether it only moved along the neck, lost nothing and lies no higher than is easy."""
        shift = shift_of(placement.placed.pairs)
        highest = max((note.fret for note in self._phrase.notes), default=0)
        easy = placement.frets[1] <= max(_EASY_FRET, highest)
        return shift is not None and easy and not placement.lost

    def _candidates(self, request: Request) -> Iterator[_Candidate]:
        """Places for the phrase, those to be preferred first."""
        placer, todo = self._placer(request), ways(self._phrase, request)
        if request.pattern is not None:
            for far, up in enumerate(todo):
                for pattern in self._patterns(request, up):
                    wish = Wish(up=up, pattern=pattern)
                    yield _Candidate(up, placer.best(wish), _FAR * far, pattern=pattern)
            return
        for far, up in enumerate(todo):
            wish = Wish(up=up, fixed=True, home=_HOME)
            yield _Candidate(up, placer.best(wish), _FAR * far, fixed=True)
        for far, up in enumerate(todo):
            yield _Candidate(up, placer.best(Wish(up=up, home=_HOME)), _ANEW + _FAR * far)

    def _patterns(self, request: Request, up: int) -> Sequence[Pattern]:
        """The places of the pattern asked for on the neck, for the phrase moved `up`."""
        guitar = self._placer(request).guitar
        found = patterns(self._pattern_tonic() + up, guitar.tuning, guitar.capo)
        return [each for each in found if each.number == request.pattern]

    def _pattern_tonic(self) -> int:
        """Root of the minor pentatonic that the phrase is made of, semitones above C."""
        phrase, key = self._phrase, self._phrase.key
        tonics = [key.tonic.chroma]
        if key.mode is Mode.MAJOR:
            tonics.append(relative(key).tonic.chroma)
        places = [Place(n.string, n.fret) for n in phrase.notes if not (n.dead or n.harmonic)]
        best = best_pattern(places, tonics, phrase.tuning, phrase.capo)
        return tonics[0] if best is None else best.tonic

    def _moved(self, request: Request, candidate: _Candidate) -> Moved:
        placement = candidate.placement
        assert isinstance(placement, Placement)
        phrase = with_music(placement.phrase, self._phrase, request)
        changed = changed_words(self._phrase, phrase, placement, request, candidate.up)
        if candidate.pattern is not None:
            changed = (*changed, *pattern_words(candidate.pattern, phrase))
        same = shift_of(placement.placed.pairs) is not None
        return Moved(phrase, changed, placement.lost, candidate.up, same)

    # --- what cannot be ----------------------------------------------------------------------

    def cannot(self, request: Request, none: NoPlace) -> CannotMove:
        """Why it cannot be, with the nearest that can."""
        guitar, up = self._placer(request).guitar, ways(self._phrase, request)[0]
        what = why_impossible(none, self._phrase, up, guitar, new_key(self._phrase, request))
        for words, other in self._nearby(request, up_first=too_low(none)):
            moved = self.move(other)
            if isinstance(moved, Moved):
                return CannotMove(what, words, moved)
        return CannotMove(what)

    def _nearby(self, request: Request, *, up_first: bool) -> Iterator[tuple[str, Request]]:
        """Other requests that are near to one, with what to say of them."""
        for by in (1, -1) if up_first else (-1, 1):
            word, other = (
                "higher" if by > 0 else "lower",
                replace(request, octave=request.octave + by),
            )
            if other != Request():
                yield f"an octave {word} works", other
        if request.pattern is not None:
            for number in sorted(range(1, 6), key=lambda n: abs(n - (request.pattern or 0))):
                if number != request.pattern:
                    yield f"pattern {number} works", replace(request, pattern=number)
        if request.key is not None and request.chord is None:
            tonic, mode = new_key(self._phrase, request).tonic.chroma, request.key.mode
            for by in (1, -1, 2, -2, 3, -3, 4, -4, 5, -5, 6):
                key = usual_key(tonic + by, mode)
                yield f"{key.pretty} works", replace(request, key=key)


@dataclass(frozen=True, slots=True)
class _Candidate:
    """One way to move. `bias`: points against it; `fixed`: every note stays on its string."""

    up: int
    placement: Placement | NoPlace
    bias: float
    fixed: bool = False
    pattern: Pattern | None = None

    @property
    def points(self) -> float:
        """What it costs, all in all."""
        assert isinstance(self.placement, Placement)
        return self.placement.cost + _LOSS * len(self.placement.lost) + self.bias
