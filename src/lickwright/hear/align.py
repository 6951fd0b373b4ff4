"""Which beginning in the take is which written event? Segmental dynamic programming.

Each event takes the stretch from its beginning to the next one's; the cheapest way through all
events and candidates is found (Bellman 1957), at several tempos, then against the fitted beat.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from lickwright.hear.beat import Beat, fit_beat
from lickwright.hear.candidates import Candidates
from lickwright.hear.costs import LEFT_OVER, NOODLE, SKIP, Fit, fit_event
from lickwright.hear.written import Entry, Event

if TYPE_CHECKING:
    from numpy.typing import NDArray

PACES = (0.8, 1.0, 1.25, 1.6)  # played seconds a written second to begin with
MOST_SKIPPED = 4  # events in a row
_BUSY = 0.15  # of LEFT_OVER inside a trill or a slide off


@dataclass(frozen=True, slots=True)
class Alignment:
    """`places`: index of a candidate for each event, None where it is skipped. `cost` in all."""

    places: tuple[int | None, ...]
    cost: float
    beat: Beat | None

    @property
    def cost_per_event(self) -> float:
        """Cost for each written event."""
        return self.cost / max(1, len(self.places))


def align(events: tuple[Event, ...], found: Candidates, pitch: NDArray[np.float64]) -> Alignment:
    """The cheapest alignment. `pitch`: MIDI numbers by frame, tuning taken off."""
    if len(found) == 0:
        return Alignment((None,) * len(events), SKIP * len(events), None)
    fits = [fit_event(event, pitch, found) for event in events]
    tries = [_Table(events, found, fits, pace, None).solve() for pace in PACES]
    best = min(tries, key=lambda t: t.cost)
    for _ in range(2):
        beat = beat_of(events, found, best.places)
        if beat is None:
            return best
        again = _Table(events, found, fits, beat.pace, beat).solve()
        best = Alignment(again.places, again.cost, beat)
    return best


def beat_of(
    events: tuple[Event, ...], found: Candidates, places: tuple[int | None, ...]
) -> Beat | None:
    """The beat kept by the events that have a place."""
    pairs = [(e, p) for e, p in zip(events, places, strict=True) if p is not None]
    written = np.array([e.begins for e, _ in pairs])
    played = np.array([found.seconds[p] for _, p in pairs])
    weights = np.array([0.35 if e.entry in (Entry.LEGATO, Entry.SLIDE) else 1.0 for e, _ in pairs])
    return fit_beat(written, played, weights, max(e.stops for e in events))


class _Table:
    """Costs of all ways up to each (event, candidate), and where each came from."""

    def __init__(
        self,
        events: tuple[Event, ...],
        found: Candidates,
        fits: list[Fit],
        pace: float,
        beat: Beat | None,
    ) -> None:
        self.events, self.found, self.fits = events, found, fits
        self.pace, self.beat = pace, beat
        self.passed = np.concatenate([[0.0], np.cumsum(found.strength)]) * LEFT_OVER
        shape = (len(events), len(found))
        self.best = np.full(shape, np.inf)
        self.came = np.full((*shape, 2), -1, np.int32)

    def solve(self) -> Alignment:
        for index in range(len(self.events)):
            own = self.fits[index].entry + self._off_beat(index)
            self.best[index] = index * SKIP + self.passed[:-1] / LEFT_OVER * NOODLE
            for before in range(max(0, index - 1 - MOST_SKIPPED), index):
                self._reach(before, index)
            self.best[index] += own
        return self._back()

    def _off_beat(self, index: int) -> NDArray[np.float64]:
        if self.beat is None:
            return np.zeros(len(self.found))
        away = np.abs(self.found.seconds - self.beat.seconds(self.events[index].begins))
        return 0.4 * _soft(away / 0.08)

    def _reach(self, before: int, index: int) -> None:
        """Try all ways on to event `index` from event `before`, those between left out."""
        due = (self.events[index].begins - self.events[before].begins) * self.pace
        seconds = self.found.seconds
        first = np.searchsorted(seconds, seconds - 2.0 * due - 0.2)
        last = np.searchsorted(seconds, seconds - np.maximum(0.35 * due - 0.03, 0.012))
        width = int((last - first).max(initial=0))
        if width <= 0:
            return
        to = np.arange(len(seconds))[:, None]
        origin = last[:, None] - 1 - np.arange(width)[None, :]
        valid = origin >= np.maximum(first[:, None], 0)
        origin = np.maximum(origin, 0)
        cost = self.best[before][origin] + self._between(before, origin, to)
        cost += self._interval(due, seconds[to] - seconds[origin])
        cost += (index - before - 1) * SKIP
        cost[~valid] = np.inf
        pick = np.argmin(cost, axis=1)
        rows = np.arange(len(seconds))
        reached = cost[rows, pick]
        better = reached < self.best[index]
        self.best[index][better] = reached[better]
        self.came[index][better, 0] = before
        self.came[index][better, 1] = origin[rows, pick][better]

    def _interval(self, due: float, gap: NDArray[np.float64]) -> NDArray[np.float64]:
        loose = 0.05 + 0.2 * due if self.beat is None else 0.08 + 0.3 * due
        return 0.6 * _soft(np.abs(gap - due) / loose)

    def _between(
        self, before: int, origin: NDArray[np.intp], to: NDArray[np.intp]
    ) -> NDArray[np.float64]:
        """Cost of the stretch of event `before`: its pitch, and beginnings left over in it."""
        event, seconds = self.events[before], self.found.seconds
        start = seconds[origin]
        written = (event.stops - event.begins) * self.pace
        end = np.minimum(seconds[to], start + np.maximum(written, 0.03))
        left = self.passed[to] - self.passed[origin + 1]
        return self.fits[before].segment(start, end) + left * (_BUSY if event.busy else 1.0)

    def _last(self, index: int) -> NDArray[np.float64]:
        """Cost of ending with event `index` at each candidate."""
        event, seconds = self.events[index], self.found.seconds
        end = seconds + max((event.stops - event.begins) * self.pace, 0.03)
        after = np.searchsorted(seconds, end)
        left = self.passed[after] - self.passed[np.arange(len(seconds)) + 1]
        left *= _BUSY if event.busy else 0.6
        left += (self.passed[-1] - self.passed[after]) / LEFT_OVER * NOODLE
        skipped = (len(self.events) - 1 - index) * SKIP
        pitch = self.fits[index].segment(seconds, end)
        return np.asarray(self.best[index] + pitch + left + skipped)

    def _back(self) -> Alignment:
        ends = np.array([self._last(index) for index in range(len(self.events))])
        index, place = np.unravel_index(int(np.argmin(ends)), ends.shape)
        cost = float(ends[index, place])
        places: list[int | None] = [None] * len(self.events)
        event, at = int(index), int(place)
        while event >= 0:
            places[event] = at
            event, at = (int(v) for v in self.came[event, at])
        return Alignment(tuple(places), cost, self.beat)


def _soft(away: NDArray[np.float64]) -> NDArray[np.float64]:
    """Square near 0, straight beyond 1, at most 6."""
    return np.minimum(np.where(away < 1, away**2, 2 * away - 1), 6.0)
