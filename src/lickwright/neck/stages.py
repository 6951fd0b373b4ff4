"""What may the hand hold at each moment of a phrase, and how fast must it get there?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from lickwright.neck.change import Join, Pace, haste
from lickwright.neck.choices import Stop, rising_fingers, strained_fingers
from lickwright.neck.effort import NUMBERED, Player
from lickwright.neck.events import Moments, moments_of, tapped
from lickwright.neck.hold import OPEN, TAPPED, THUMB, Hold, shape_faults
from lickwright.phrase import Finger, Note, Phrase, perform

_MOST_STRAINED = 8  # choices kept of those that no hand can play

Holds = tuple[Hold, ...]


@dataclass(frozen=True, slots=True)
class Stage:
    """One moment as the hand meets it. Notes are given by their index in the phrase."""

    struck: tuple[int, ...]
    kept: tuple[int, ...]
    going: tuple[int, ...]
    joins: Mapping[int, Join]
    pace: Pace
    seconds: float  # since the moment before; of the first, 0


def stages_of(phrase: Phrase) -> tuple[Stage, ...]:
    """The moments of a phrase with their joins and their pace at the phrase's own tempo."""
    found = moments_of(phrase)
    times = [time.start for time in perform(phrase).times]
    stages: list[Stage] = []
    last: float | None = None
    for moment in found.moments:
        joins = _joins(phrase, moment.struck, found)
        now = min(times[i] for i in moment.struck)
        seconds = 0.0 if last is None else max(0.0, now - last)
        slides = [
            phrase.notes[i].fret - phrase.notes[join.origin].fret
            for i, join in joins.items()
            if join.slid and phrase.notes[join.origin].fret > 0
        ]
        pace = Pace(haste(seconds), moment.rest, slides[0] if slides else 0)
        stages.append(Stage(moment.struck, moment.kept, moment.going, joins, pace, seconds))
        last = now
    return tuple(stages)


def _joins(phrase: Phrase, struck: tuple[int, ...], found: Moments) -> dict[int, Join]:
    return {
        i: Join(found.before[i], link.slide)
        for i in struck
        if i in found.before and (link := phrase.notes[i].link) is not None
    }


def picking_hands(phrase: Phrase) -> frozenset[int]:
    """Notes, by index, that the picking hand frets: tapped ones and those slid to from them."""
    before = moments_of(phrase).before
    found: set[int] = set()
    for index, note in enumerate(phrase.notes):
        slid = note.link is not None and note.link.slide and before.get(index) in found
        if tapped(note) or slid:
            found.add(index)
    return frozenset(found)


def written_finger(note: Note) -> int | None:
    """The number of the finger that the teacher gave a fretted note, or None."""
    if note.finger is Finger.THUMB:
        return THUMB
    return NUMBERED.get(note.finger) if note.finger is not None else None


class Chooser:
    """What a hand may hold next. Remembers its answers: phrases repeat themselves."""

    def __init__(self, phrase: Phrase, who: Player) -> None:
        self._notes = phrase.notes
        self._who = who
        self._picking = picking_hands(phrase)
        self._shapes: dict[Holds, int] = {}

    def following(self, held: Holds, stage: Stage) -> Iterator[Holds]:
        """Every hold that may follow `held`."""
        going = tuple(hold for hold in held if hold.note in stage.going)
        kept = tuple(h for h in held if h.note in stage.kept and h.note not in stage.going)
        free, stops = self._split(stage)
        below = (*going, *free)
        rising = [
            (*below, *_holds(stops, fingers))
            for fingers in rising_fingers([stop for _, stop in stops])
        ]
        sound = [now for now in rising if not self._faults(now)]
        for now in sound:
            yield self._with_kept(now, kept)
        if not sound:
            strained = strained_fingers([stop for _, stop in stops])
            yield from self._fewest(
                rising or [(*below, *_holds(stops, fingers)) for fingers in strained]
            )

    def _split(self, stage: Stage) -> tuple[Holds, list[tuple[int, Stop]]]:
        """Struck notes that the hand does not hold, and those that it does, by fret."""
        free: list[Hold] = []
        stops: list[tuple[int, Stop]] = []
        for index in stage.struck:
            note = self._notes[index]
            if index in self._picking:
                free.append(Hold(index, note.string, note.fret, TAPPED))
            elif note.fret == 0:
                free.append(Hold(index, note.string, 0, OPEN))
            else:
                stops.append((index, Stop(note.string, note.fret, written_finger(note))))
        stops.sort(key=lambda each: (each[1].fret, -each[1].string))
        return tuple(free), stops

    def _with_kept(self, now: Holds, kept: Holds) -> Holds:
        """Add what sounds on, as far as a hand can hold it too."""
        first = tuple(hold for hold in kept if not self._faults((hold, *now)))
        for start in range(len(first) + 1):
            holds = (*first[start:], *now)
            if not self._faults(holds):
                return holds
        return now

    def _fewest(self, found: list[Holds]) -> list[Holds]:
        """Those with the fewest faults."""
        fewest = min(map(self._faults, found))
        return [holds for holds in found if self._faults(holds) == fewest][:_MOST_STRAINED]

    def _faults(self, holds: Holds) -> int:
        """How many things a hand cannot do in it."""
        key = tuple(hold._replace(note=0) for hold in holds)
        if key not in self._shapes:
            self._shapes[key] = len(shape_faults(holds, self._who.neck, self._who.size))
        return self._shapes[key]


def _holds(stops: list[tuple[int, Stop]], fingers: tuple[int, ...]) -> Holds:
    return tuple(
        Hold(index, stop.string, stop.fret, finger)
        for (index, stop), finger in zip(stops, fingers, strict=True)
    )
