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

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from lickwright.neck.guitar import Guitar, guitar_for
from lickwright.neck.hand import HandSize
from lickwright.neck.pattern import Place
from lickwright.neck.placement_hand import hand_table
from lickwright.neck.placement_moments import Line, Run, line_of
from lickwright.neck.placement_muted import muted_strings
from lickwright.neck.placement_phrase import Placed, placed_phrase
from lickwright.neck.placement_seats import Refusal, Seat, Seater, Wish
from lickwright.neck.placement_way import Jam, WayFinder
from lickwright.neck.placement_words import Losses
from lickwright.phrase import Phrase

_WINDOWS = (4, 6, 9)  # frets from the lowest to the highest of one stretch of the neck
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

    @property
    def highest(self) -> int:
        """The highest fret that a note may stand on."""
        return self._seater.highest

    def best(self, wish: Wish | None = None) -> Placement | NoPlace:
        """The cheapest placement that is as wished."""
        wish = wish or Wish()
        seats: list[tuple[Seat, ...]] = []
        refused: list[tuple[Run, frozenset[Refusal]]] = []
        for run in self._line.runs:
            found, why = self._seater.seats(run, wish)
            seats.append(found)
            if not found:
                refused.append((run, why))
        if refused:
            return NoPlace(tuple(refused))
        return self._way(seats, wish)

    def _way(self, seats: list[tuple[Seat, ...]], wish: Wish) -> Placement | NoPlace:
        frets = wish.frets or (1, self.highest)
        table = hand_table(self.guitar.neck, self._seater.size, frets)
        way = WayFinder(self._line, seats, table).best()
        if isinstance(way, Jam):
            return NoPlace((), way.onset)
        muted = muted_strings(self._line, way.seats, len(self.guitar.tuning))
        if isinstance(muted, Jam):
            return NoPlace((), muted.onset)
        places = {note: Place(string, 0) for note, string in muted.items() if string is not None}
        harmonics = set()
        for run, seat in zip(self._line.runs, way.seats, strict=True):
            for note, place, touched in zip(run.notes, seat.places, seat.touched, strict=True):
                places[note.id] = place
                harmonics |= {note.id} if touched else set()
        return self._placement(places, frozenset(harmonics), way.seats, way.cost)

    def _placement(
        self,
        places: dict[str, Place],
        harmonics: frozenset[str],
        seats: tuple[Seat, ...],
        cost: float,
    ) -> Placement:
        guitar = self.guitar
        placed = placed_phrase(self._line.phrase, places, harmonics, guitar.tuning, guitar.capo)
        lost = Losses(self._line, seats, placed, self._seater).words()
        return Placement(places, harmonics, cost, lost, placed)


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
    neck (five, seven or ten frets, from any fret on), as far as a third of their notes stand
    elsewhere than in every one before. `frets`: only these, the lowest and the highest, with open
    strings if the lowest is 0; `strings`: only these. Empty if there is no place at all.
    """
    chosen = None if strings is None else frozenset(strings)
    placer = Placer(phrase, guitar, size)
    found = [placer.best(Wish(frets=frets, strings=chosen))]
    if most > 1:
        found += [
            placer.best(Wish(frets=window, strings=chosen))
            for window in _windows(frets or (0, placer.highest))
        ]
    ranked = sorted(
        (each for each in found if isinstance(each, Placement)), key=lambda each: each.cost
    )
    kept: list[Placement] = []
    for each in ranked:
        if len(kept) < most and all(_elsewhere(each, other) for other in kept):
            kept.append(each)
    return tuple(kept)


def _windows(frets: tuple[int, int]) -> Iterator[tuple[int, int]]:
    """All stretches of the neck within `frets`."""
    low, high = frets
    for width in _WINDOWS:
        for start in range(low, max(low, high - width) + 1):
            yield start, min(high, start + width)


def _elsewhere(one: Placement, other: Placement) -> bool:
    apart = sum(other.places.get(note) != place for note, place in one.places.items())
    return apart >= _ELSEWHERE * len(one.places)


def _written_for(phrase: Phrase, guitar: Guitar) -> Guitar:
    """The guitar in the phrase's own tuning."""
    same = len(phrase.tuning) == len(guitar.tuning)
    return guitar_for(phrase, guitar.strings if same else None, guitar.scale_mm, guitar.frets)
