"""How far and how hard must a string be pushed sideways to bend it to a pitch?

After D. R. Grimes, String Theory - The Physics of String-Bending and Other Electric Guitar
Techniques, PLoS ONE 9(7): e102088 (2014), who gives it for the middle of the string. For any fret
(own derivation, equal to his at fret 12): with a mm from nut (or capo) to fret, b from fret to
bridge, L = a + b and the sideways travel d, the string grows by e = hypot(a, d) + hypot(b, d) - L,
its tension is T + EA e / L, its weight mu L / (L + e), and
f = sqrt(tension / weight) / (2 hypot(b, d)). The finger holds
F = tension (d / hypot(a, d) + d / hypot(b, d)).
The string is taken to slip neither at nut nor bridge and the bridge not to give, so a real guitar
asks for more travel.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from functools import lru_cache
from math import hypot, sqrt

from lickwright.neck.guitar import Guitar

_STEPS = 60  # halvings of the interval in which the travel lies
_FURTHEST_MM = 120.0  # no neck is so wide
_CLEAR_MM = 1.0  # a finger stops this far from the edge of the fingerboard


class Direction(Enum):
    """Which way the finger moves a string."""

    TOWARD_BASS = "push"  # up, toward the thicker strings
    TOWARD_TREBLE = "pull"  # down, toward the thinner strings


@dataclass(frozen=True, slots=True)
class BendEffort:
    """What a bend asks of the finger.

    `travel_mm` sideways at the fret; `force` in newtons at the end of it; `tension` in newtons of
    the string while it is bent; `room_mm`: the most travel there is on this side of the neck.
    """

    travel_mm: float
    force: float
    tension: float
    direction: Direction
    room_mm: float

    @property
    def fits(self) -> bool:
        """Whether the neck is wide enough for it."""
        return self.travel_mm <= self.room_mm


@dataclass(frozen=True, slots=True)
class _Held:
    """A string held at a fret: lengths in m to both ends, tension in N, weight in kg/m."""

    before: float
    behind: float
    tension: float
    weight: float
    stiffness: float

    def bent(self, travel: float) -> tuple[float, float, float]:
        """Tension in N, weight in kg/m and sounding length in m, `travel` m sideways."""
        length = self.before + self.behind
        longer = hypot(self.before, travel) + hypot(self.behind, travel)
        tension = self.tension + self.stiffness * (longer - length) / length
        return tension, self.weight * length / longer, hypot(self.behind, travel)

    def hz(self, travel: float) -> float:
        """Frequency in Hz."""
        tension, weight, sounding = self.bent(travel)
        return sqrt(tension / weight) / (2 * sounding)

    def force(self, travel: float) -> float:
        """Sideways force in N that holds it there."""
        slope = travel / hypot(self.before, travel) + travel / hypot(self.behind, travel)
        return self.bent(travel)[0] * slope


def bend_direction(string: int, strings: int) -> Direction:
    """Which way a string is bent: the thinner half toward the bass, the others the other way.

    The outer strings so go inward, the only way there is room for them. Common practice, no source.
    """
    return Direction.TOWARD_BASS if string <= (strings + 1) // 2 else Direction.TOWARD_TREBLE


@lru_cache(maxsize=65536)
def bend_effort(guitar: Guitar, string: int, fret: int, semitones: float) -> BendEffort:
    """What it takes to bend `string`, held at `fret`, up by `semitones` (halves are allowed).

    Raises ValueError for an open string, or if no travel over the width of a hand gets there.
    """
    if fret < 1:
        raise ValueError(f"an open string cannot be bent: string {string}")
    if semitones <= 0:
        raise ValueError(f"a bend goes up, not by {semitones:g} semitones")
    held = _held(guitar, string, fret)
    travel = _travel(held, held.hz(0.0) * 2.0 ** (semitones / 12))
    direction = bend_direction(string, len(guitar.tuning))
    room = guitar.neck.room(string, fret, toward_bass=direction is Direction.TOWARD_BASS)
    return BendEffort(
        travel * 1000, held.force(travel), held.bent(travel)[0], direction, room - _CLEAR_MM
    )


def widest_bend(guitar: Guitar, string: int, fret: int, force: float) -> float:
    """The widest bend, in semitones to the nearest half below, within `force` newtons and room."""
    reached = 0.0
    for half_steps in range(1, 25):
        effort = bend_effort(guitar, string, fret, half_steps / 2)
        if effort.force > force or not effort.fits:
            break
        reached = half_steps / 2
    return reached


def _held(guitar: Guitar, string: int, fret: int) -> _Held:
    neck, wire = guitar.neck, guitar.string(string)
    behind = neck.sounding_mm(fret) / 1000
    before = neck.open_mm / 1000 - behind
    return _Held(before, behind, guitar.tension(string), wire.density, wire.stiffness)


def _travel(held: _Held, hz: float) -> float:
    """Sideways travel in m at which the held string sounds `hz`."""
    low, high = 0.0, _FURTHEST_MM / 1000
    if held.hz(high) < hz:
        raise ValueError("no bend goes so far")
    for _ in range(_STEPS):
        middle = (low + high) / 2
        low, high = (middle, high) if held.hz(middle) < hz else (low, middle)
    return high
