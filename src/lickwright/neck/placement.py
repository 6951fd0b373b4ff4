"""Where on the neck can a phrase be played?

A placement gives every note a string and a fret. Pitches stay, and so does what a phrase is made
of: joined notes stand on one string, bends on fretted strings with room for them, notes that sound
together on strings of their own, harmonics over their nodes. Of all placements the cheapest is
found exactly (see `lickwright.neck.placement_way`). Its cost, in points of which one is about the
trouble of moving the hand by a fret, is the sum of

- for each note what its finger costs where the hand rests (as in fingering), a little for a fret
  above the 12th, for an open string the more the higher the hand is, for a bend by its force, for a
  bend on a wound string, for a harmonic that has to be fretted;
- for each move of the hand 0.6 and 0.4 a fret, dearer at speed, cheaper from an open string, from a
  silence or along a slide; for each string jumped over a little;
- for each note cut short or let go 2; for what no hand reaches 10.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import count
from math import inf, isclose

from lickwright.neck.guitar import Guitar, guitar_for
from lickwright.neck.hand import HandSize
from lickwright.neck.pattern import Place
from lickwright.neck.placement_hand import hand_table
from lickwright.neck.placement_moments import Line, Run, line_of
from lickwright.neck.placement_muted import muted_strings
from lickwright.neck.placement_phrase import Placed, placed_phrase
from lickwright.neck.placement_seats import Refusal, Seat, Seater, Wish
from lickwright.neck.placement_way import Way, Ways
from lickwright.neck.placement_words import Losses
from lickwright.phrase import Phrase

_WINDOWS = (4, 7)  # frets from the lowest to the highest of one stretch of the neck
_ELSEWHERE = Fraction(1, 3)  # of the notes have to stand elsewhere in another placement


@dataclass(frozen=True, slots=True)
class Placement:
    """One way to play a phrase. `places`: by note id; a raked string that finds none is missing.

    `harmonics`: ids of the notes that are natural harmonics. `cost`: points. `lost`: what the
    phrase loses against how it is written, in plain words. `phrase`: the phrase as it then is.
    """

    places: Mapping[str, Place]
    harmonics: frozenset[str]
    cost: float
    lost: tuple[str, ...]
    placed: Placed = field(repr=False)

    @property
    def phrase(self) -> Phrase:
        """The phrase played there."""
        return self.placed.phrase

    @property
    def frets(self) -> tuple[int, int]:
        """The lowest and the highest fret that a finger holds; (0, 0) if none does."""
        held = [place.fret for place in self.places.values() if place.fret > 0]
        return min(held, default=0), max(held, default=0)


@dataclass(frozen=True, slots=True)
class NoPlace:
    """Why a phrase cannot be placed. `refused`: for each run without a string, why it has none.

    If every run has one, `jam` is the beat at which notes struck together have not one each.
    """

    refused: tuple[tuple[Run, frozenset[Refusal]], ...]
    jam: Fraction | None = None


class Placer:
    """Finds placements of one phrase on one guitar.

    `home`: the guitar that the phrase is written for, by default `guitar` in the phrase's tuning.
    """

    def __init__(
        self,
        phrase: Phrase,
        guitar: Guitar,
        size: HandSize = HandSize.AVERAGE,
        home: Guitar | None = None,
        line: Line | None = None,
    ) -> None:
        self.guitar = guitar
        self._line = line or line_of(phrase)
        self._seater = Seater(self._line, home or _written_for(phrase, guitar), guitar, size)
        self._table = hand_table(guitar.neck, size, self._seater.highest)

    @property
    def highest(self) -> int:
        """The highest fret that a note may stand on."""
        return self._seater.highest

    def best(self, wish: Wish | None = None) -> Placement | NoPlace:
        """The cheapest placement that is as wished."""
        seats = self._seats(wish or Wish())
        if isinstance(seats, NoPlace):
            return seats
        ways = Ways(self._line, seats, self._table, [(0, self.highest)])
        return NoPlace((), ways.jam) if ways.jam is not None else self._placement(ways.way(0))

    def ranked(self, most: int, wish: Wish) -> Iterator[Placement]:
        """The cheapest placement, then the cheapest of other stretches of the neck."""
        seats = self._seats(wish)
        if isinstance(seats, NoPlace):
            return
        low, high = wish.frets or (0, self.highest)
        windows = [(low, high), *(w for w in _windows(low, high) if _may_hold(w, seats))]
        ways = Ways(self._line, seats, self._table, windows if most > 1 else windows[:1])
        if ways.jam is not None:
            return
        traced: list[Way] = []
        kept: list[Way] = []
        for cost, window in sorted(zip(ways.costs(), count(), strict=False)):
            if len(kept) == most or cost == inf:
                break
            if any(_is_cheapest(way, cost, ways.windows[window]) for way in traced):
                continue
            traced.append(ways.way(window))
            if all(_elsewhere(traced[-1], other) for other in kept):
                kept.append(traced[-1])
                placement = self._placement(traced[-1])
                if isinstance(placement, Placement):
                    yield placement

    def _seats(self, wish: Wish) -> list[tuple[Seat, ...]] | NoPlace:
        seatings = [self._seater.seats(run, wish) for run in self._line.runs]
        refused = tuple(
            (run, seating.refused)
            for run, seating in zip(self._line.runs, seatings, strict=True)
            if not seating.seats
        )
        return NoPlace(refused) if refused else [seating.seats for seating in seatings]

    def _placement(self, way: Way) -> Placement | NoPlace:
        guitar = self.guitar
        muted = muted_strings(self._line, way.seats, len(guitar.tuning))
        if isinstance(muted, Fraction):
            return NoPlace((), muted)
        places = {note: Place(string, 0) for note, string in muted.items() if string is not None}
        harmonics = set()
        for run, seat in zip(self._line.runs, way.seats, strict=True):
            for note, place, touched in zip(run.notes, seat.places, seat.touched, strict=True):
                places[note.id] = place
                harmonics |= {note.id} if touched else set()
        found = frozenset(harmonics)
        placed = placed_phrase(self._line.phrase, places, found, guitar.tuning, guitar.capo)
        lost = Losses(self._line, way.seats, placed, self._seater).words()
        return Placement(places, found, way.cost, lost, placed)


def placements(
    phrase: Phrase,
    guitar: Guitar,
    size: HandSize = HandSize.AVERAGE,
    most: int = 8,
    *,
    frets: tuple[int, int] | None = None,
    strings: Iterable[int] | None = None,
) -> tuple[Placement, ...]:
    """Up to `most` places of a phrase on a guitar, whose tuning may be another, cheapest first.

    The first is the cheapest of all. The others are each the cheapest within one stretch of the
    neck (five or eight frets, from any fret on), as far as a third of their notes stand elsewhere
    than in every one before. `frets`: only these, the lowest and the highest, with open strings if
    the lowest is 0; `strings`: only these. Empty if there is no place at all.
    """
    chosen = None if strings is None else frozenset(strings)
    return tuple(Placer(phrase, guitar, size).ranked(most, Wish(frets=frets, strings=chosen)))


def _windows(low: int, high: int) -> Iterator[tuple[int, int]]:
    """All stretches of the neck within these frets."""
    for width in _WINDOWS:
        for start in range(low, max(low, high - width) + 1):
            yield start, min(high, start + width)


def _may_hold(window: tuple[int, int], seats: Sequence[tuple[Seat, ...]]) -> bool:
    """Whether each run has a seat within a stretch of the neck."""
    low, high = window
    return all(any(low <= seat.low and seat.high <= high for seat in some) for some in seats)


def _is_cheapest(way: Way, cost: float, window: tuple[int, int]) -> bool:
    """Whether a way lies within a stretch of the neck whose cheapest way costs as much."""
    low, high = window
    inside = all(low <= seat.low and seat.high <= high for seat in way.seats)
    return isclose(way.cost, cost) and inside


def _elsewhere(one: Way, other: Way) -> bool:
    apart = sum(
        len(seat.frets)
        for seat, its in zip(one.seats, other.seats, strict=True)
        if seat.string != its.string
    )
    return apart >= _ELSEWHERE * sum(len(seat.frets) for seat in one.seats)


def _written_for(phrase: Phrase, guitar: Guitar) -> Guitar:
    """The guitar in the phrase's own tuning."""
    same = len(phrase.tuning) == len(guitar.tuning)
    return guitar_for(phrase, guitar.strings if same else None, guitar.scale_mm, guitar.frets)
