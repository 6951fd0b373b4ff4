"""Which way through all holds of a phrase costs the hand least?

The states of a moment are what the hand then holds and where it rests; a way goes from the first
moment to the last. The best one is found by dynamic programming (S. Sayegh 1989, the optimum path
paradigm), forward for the best way and backward for the best way through any one state. It is
exact for the rules in `lickwright.neck.choices` and these: a note that should sound on is let go
only if no hand can hold it together with what is struck, the one held longest first; if no hand can
hold what is struck, the choices with the fewest faults are taken; and where it can in very many
ways (four notes in one fret, say), only those are followed that are the easiest in themselves.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from typing import NamedTuple

from lickwright.neck.change import NoteCost, change_costs, let_go_costs, shift_cost
from lickwright.neck.choices import positions
from lickwright.neck.effort import Player, gesture_costs, trill_choice
from lickwright.neck.hold import (
    THUMB,
    HandState,
    Hold,
    Part,
    fretted,
    place_cost,
    shape_costs,
    weak_cost,
)
from lickwright.neck.stages import Chooser, Stage
from lickwright.phrase import Note, Phrase

Holds = tuple[Hold, ...]

_MOST_HOLDS = 60  # followed after any one: all for up to three notes struck together


class Way(NamedTuple):
    """The least cost of reaching a state, or of going on from it, and the state next to it."""

    points: float
    link: HandState | None


class Layer(NamedTuple):
    """All states of one moment.

    `ways`: for each hold and position the best way there. `steps`: every pair of holds that follow
    one another, with the points of the change.
    """

    ways: dict[Holds, dict[int, Way]]
    steps: list[tuple[Holds, Holds, float]]


_START: dict[Holds, dict[int, Way]] = {(): {0: Way(0.0, None)}}


class Lattice:
    """All ways of the hand through one phrase."""

    def __init__(self, phrase: Phrase, who: Player, stages: tuple[Stage, ...]) -> None:
        self.who = who
        self.stages = stages
        self.notes: tuple[Note, ...] = phrase.notes
        self._chooser = Chooser(phrase, who)
        self._still: dict[Holds, float] = {}
        self._places: dict[tuple[Holds, int], float] = {}
        self.layers: list[Layer] = []
        for stage in stages:
            self.layers.append(self._layer(stage))

    def best(self) -> tuple[HandState, ...]:
        """The cheapest way, a state a moment."""
        if not self.layers:
            return ()
        ends = [
            (way.points, HandState(position, holds))
            for holds, row in self.layers[-1].ways.items()
            for position, way in row.items()
        ]
        return self.way_to(len(self.layers) - 1, min(ends, key=lambda end: end[0])[1])

    def way_to(self, moment: int, state: HandState) -> tuple[HandState, ...]:
        """The cheapest way from the beginning to a state, that state included."""
        found: list[HandState] = []
        link: HandState | None = state
        for layer in reversed(self.layers[: moment + 1]):
            assert link is not None
            found.append(link)
            link = layer.ways[link.holds][link.position].link
        return tuple(reversed(found))

    def moment_costs(
        self, moment: int, before: HandState | None, state: HandState
    ) -> Iterator[NoteCost]:
        """All that one moment of a way costs. `before`: the state of the moment before it."""
        stage = self.stages[moment]
        start = before or HandState(0, ())
        holding = bool(fretted(start.holds))
        shift = shift_cost(start.position, state.position, stage.pace, holding=holding)
        yield NoteCost(stage.struck[0], Part.SHIFT, shift)
        yield from self.step_costs(start.holds, state.holds, stage)
        yield from self.still_costs(state.holds, stage)
        yield from self.place_costs(state.holds, state.position, stage)

    def way_through(self, moment: int, state: HandState) -> tuple[HandState, ...]:
        """The cheapest way through a state, from the first moment to the last."""
        found = list(self.way_to(moment, state))
        for onward in self._onward[moment:]:
            link = onward[found[-1].holds][found[-1].position].link
            if link is not None:
                found.append(link)
        return tuple(found)

    def states(self, moment: int) -> Iterator[tuple[float, HandState]]:
        """Every state of a moment with the cost of the cheapest way through it."""
        for holds, row in self.layers[moment].ways.items():
            for position, way in row.items():
                rest = self._onward[moment][holds][position].points
                yield way.points + rest, HandState(position, holds)

    @cached_property
    def _onward(self) -> list[dict[Holds, dict[int, Way]]]:
        """For every state of every moment the best way from it to the end."""
        if not self.layers:
            return []
        found = [_no_way(self.layers[-1])]
        for moment in range(len(self.layers) - 1, 0, -1):
            found.append(self._going_on(moment, found[-1]))
        return found[::-1]

    def _going_on(
        self, moment: int, after: dict[Holds, dict[int, Way]]
    ) -> dict[Holds, dict[int, Way]]:
        """The best ways on from the moment before `moment`. `after`: those from `moment` on."""
        stage, best = self.stages[moment], _no_way(self.layers[moment - 1])
        for held, holds, points in self.layers[moment].steps:
            holding, stays = bool(fretted(held)), self.resting(holds, stage) is None
            for position, way in after[holds].items():
                ahead = points + way.points + self.state_points(holds, position, stage)
                for start in (position,) if stays else best[held]:
                    if start not in best[held]:
                        continue
                    total = ahead + shift_cost(start, position, stage.pace, holding=holding)
                    known = best[held][start]
                    if known.link is None or total < known.points:
                        best[held][start] = Way(total, HandState(position, holds))
        return best

    def _layer(self, stage: Stage) -> Layer:
        before = self.layers[-1].ways if self.layers else _START
        layer = Layer({}, [])
        for held, row in before.items():
            arrivals: dict[int, Way] = {}
            for holds in self._following(held, stage):
                points = sum(cost.points for cost in self.step_costs(held, holds, stage))
                layer.steps.append((held, holds, points))
                known = layer.ways.setdefault(holds, {})
                for position, start in self._starts(held, row, holds, stage, arrivals):
                    total = start.points + points + self.state_points(holds, position, stage)
                    if position not in known or total < known[position].points:
                        known[position] = Way(total, start.link)
        return layer

    def _following(self, held: Holds, stage: Stage) -> list[Holds]:
        """Every hold that may follow, or the easiest of very many."""
        found = list(self._chooser.following(held, stage))
        if len(found) <= _MOST_HOLDS:
            return found
        return sorted(found, key=lambda holds: self._still_points(holds, stage))[:_MOST_HOLDS]

    def _starts(
        self, held: Holds, row: dict[int, Way], holds: Holds, stage: Stage, seen: dict[int, Way]
    ) -> Iterator[tuple[int, Way]]:
        """Every position from which the hand may hold `holds`, and the best way to it."""
        rests = self.resting(holds, stage)
        if rests is None:
            for position, way in row.items():
                yield position, Way(way.points, HandState(position, held))
            return
        for position in rests:
            if position not in seen:
                seen[position] = _nearest(held, row, position, stage)
            yield position, seen[position]

    def resting(self, holds: Holds, stage: Stage) -> range | None:
        """Positions from which it holds `holds`; None if it holds nothing and stays put."""
        trills = [self.notes[i].trill for i in stage.struck]
        frets = [trill.fret for trill in trills if trill is not None and trill.fret]
        if any(hold.finger >= THUMB for hold in holds):
            return positions(holds)
        return range(max(1, min(frets) - 3), max(frets) + 1) if frets else None

    def step_costs(self, before: Holds, after: Holds, stage: Stage) -> Iterator[NoteCost]:
        """What the fingers pay to get from one moment's holds to the next's."""
        yield from change_costs(before, after, stage.joins, stage.pace, self.who)
        yield from let_go_costs(before, after, stage.kept, stage.struck[0])

    def state_points(self, holds: Holds, position: int, stage: Stage) -> float:
        """Points of holding, in total."""
        if (holds, position) not in self._places:
            costs = self.place_costs(holds, position, stage)
            self._places[holds, position] = sum(cost.points for cost in costs)
        return self._still_points(holds, stage) + self._places[holds, position]

    def _still_points(self, holds: Holds, stage: Stage) -> float:
        if holds not in self._still:
            costs = self.still_costs(holds, stage)
            self._still[holds] = sum(cost.points for cost in costs)
        return self._still[holds]

    def still_costs(self, holds: Holds, stage: Stage) -> Iterator[NoteCost]:
        """What the fingers pay wherever the hand rests; a shape is shared by what is struck."""
        struck = frozenset(stage.struck)
        for hold in fretted(holds):
            if hold.note in struck:
                yield NoteCost(hold.note, Part.WEAK, weak_cost(hold.finger))
                for part, points in gesture_costs(hold, self.notes[hold.note], holds, self.who):
                    yield NoteCost(hold.note, part, points)
        for part, points in shape_costs(holds, struck, self.who.neck, self.who.size):
            for note in stage.struck:
                yield NoteCost(note, part, points / len(stage.struck))

    def place_costs(self, holds: Holds, position: int, stage: Stage) -> Iterator[NoteCost]:
        """What the fingers pay for the place where the hand rests."""
        for hold in holds:
            if hold.note not in stage.struck:
                continue
            if hold.finger >= THUMB:
                points = place_cost(position, hold.finger, hold.fret, self.who.neck)
                yield NoteCost(hold.note, Part.PLACE, points)
            trill = self.notes[hold.note].trill
            if trill is not None:
                chosen = trill_choice(hold, trill, holds, position, self.who)
                yield NoteCost(hold.note, Part.TRILL, chosen.points)


def _no_way(layer: Layer) -> dict[Holds, dict[int, Way]]:
    return {holds: dict.fromkeys(row, Way(0.0, None)) for holds, row in layer.ways.items()}


def _nearest(held: Holds, row: dict[int, Way], position: int, stage: Stage) -> Way:
    """The cheapest way from any position of a hold to `position`."""
    holding = bool(fretted(held))
    found = [
        (way.points + shift_cost(start, position, stage.pace, holding=holding), start)
        for start, way in row.items()
    ]
    points, start = min(found)
    return Way(points, HandState(start, held))
