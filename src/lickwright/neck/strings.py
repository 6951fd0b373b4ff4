"""How heavy and how tight is each string?

Tension T = mu (2 L f) ** 2. Weights: the tension handbook of the string maker D'Addario, unit
weights in lb/in as given by most of three public transcriptions. Plain strings there are all
carbon steel of one density; wound ones (nickel-plated steel on a steel core) are a table.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from math import pi, sqrt

from lickwright.phrase import Tuning
from lickwright.theory import midi_to_hz

MM_PER_THOUSANDTH = 0.0254
PLAIN_DENSITY = 7807.0  # kg/m3, of every plain string in the handbook within 0.05 %
STEEL_MODULUS = 200e9  # Pa; the usual handbook value for steel wire, from memory
THINNEST_WOUND = 20.5  # thousandths; a thicker string is wound if nothing else is said
_LB_PER_IN = 0.45359237 / 0.0254  # kg/m

# gauge in thousandths of an inch, unit weight in lb/in
_WOUND = (
    (17, 0.00005524), (18, 0.00006215), (19, 0.00006947), (20, 0.00007495), (21, 0.00008293),
    (22, 0.00009184), (24, 0.00010857), (26, 0.00012671), (28, 0.00014666), (30, 0.00017236),
    (32, 0.00019347), (34, 0.00021590), (36, 0.00023964), (38, 0.00026471), (39, 0.00027932),
    (42, 0.00032279), (44, 0.00035182), (46, 0.00038216), (48, 0.00041382), (49, 0.00043014),
    (52, 0.00048109), (54, 0.00053838), (56, 0.00057598),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class GuitarString:
    """One string. `gauge`: its diameter in thousandths of an inch."""

    gauge: float
    wound: bool

    def __post_init__(self) -> None:
        if not 5 <= self.gauge <= 100:
            raise ValueError(
                f"a string is 5 to 100 thousandths of an inch thick, not {self.gauge:g}"
            )

    @property
    def diameter_mm(self) -> float:
        """Outside diameter in mm."""
        return self.gauge * MM_PER_THOUSANDTH

    @property
    def density(self) -> float:
        """Linear density in kg/m."""
        if not self.wound:
            return PLAIN_DENSITY * _area(self.diameter_mm)
        return _wound_density(self.gauge)

    @property
    def core_mm(self) -> float:
        """Diameter in mm of the part that carries the tension: of a plain string all of it.

        Own derivation, an estimate: a round core of diameter d wrapped in touching turns of round
        wire of the same steel up to the diameter D weighs (pi/4 + (1 - pi/4) (d/D) ** 2) times a
        solid string. No published table of cores was found.
        """
        if not self.wound:
            return self.diameter_mm
        filled = self.density / (PLAIN_DENSITY * _area(self.diameter_mm))
        share = (filled - pi / 4) / (1 - pi / 4)
        return self.diameter_mm * sqrt(min(0.6, max(0.1, share)))

    @property
    def stiffness(self) -> float:
        """EA in newtons: tension gained for each unit of strain."""
        return STEEL_MODULUS * _area(self.core_mm)

    def tension(self, hz: float, length_mm: float) -> float:
        """Tension in newtons at which `length_mm` of it sounds `hz`."""
        return float(self.density * (2 * length_mm / 1000 * hz) ** 2)

    def __str__(self) -> str:
        return f"{self.gauge:g}{'w' if self.wound else ''}"


def _area(diameter_mm: float) -> float:
    """Cross-section in m2."""
    return pi / 4 * (diameter_mm / 1000) ** 2


def _wound_density(gauge: float) -> float:
    """Linear density in kg/m; between two rows, and beyond the ends, by the mean density."""
    index = min(max(1, bisect_left(_WOUND, (gauge, 0.0))), len(_WOUND) - 1)
    low, high = _bulk(index - 1), _bulk(index)
    share = (gauge - _WOUND[index - 1][0]) / (_WOUND[index][0] - _WOUND[index - 1][0])
    return (low + (high - low) * min(1.0, max(0.0, share))) * gauge**2


def _bulk(index: int) -> float:
    """Linear density in kg/m of a row of the table, divided by its gauge squared."""
    gauge, weight = _WOUND[index]
    return weight * _LB_PER_IN / gauge**2


@dataclass(frozen=True, slots=True)
class StringSet:
    """The strings of a guitar, thinnest (string 1) first."""

    strings: tuple[GuitarString, ...]

    def __len__(self) -> int:
        return len(self.strings)

    def __str__(self) -> str:
        return " ".join(map(str, self.strings))

    def tensions(self, tuning: Tuning, scale_mm: float) -> tuple[float, ...]:
        """Tension in newtons of each open string without capo, thinnest first."""
        pairs = zip(self.strings, tuning.strings, strict=True)
        return tuple(string.tension(midi_to_hz(p.midi), scale_mm) for string, p in pairs)


def string_set(*gauges: float, wound: int | None = None) -> StringSet:
    """Make a set from gauges in thousandths of an inch, thinnest first: 10 13 17 26 36 46.

    Strings thicker than .020 are wound, or, if `wound` is given, just so many of the thickest.
    """
    plain = None if wound is None else len(gauges) - wound
    return StringSet(
        tuple(
            GuitarString(float(g), g > THINNEST_WOUND if plain is None else index >= plain)
            for index, g in enumerate(gauges)
        )
    )


EXTRA_LIGHT = string_set(9, 11, 16, 24, 32, 42)
LIGHT = string_set(10, 13, 17, 26, 36, 46)
MEDIUM = string_set(11, 14, 18, 28, 38, 49)
