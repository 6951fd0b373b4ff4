"""Which notes has this scale, and which scales has this note?"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import Enum

from lickwright.theory.degree import Degree, name_at, parse_degree
from lickwright.theory.errors import TheoryError, nearest
from lickwright.theory.pitch import PitchClass


class ScaleKind(Enum):
    """The scales a lead player is taught, by the name a teacher gives them."""

    MINOR_PENTATONIC = "minor pentatonic"
    MAJOR_PENTATONIC = "major pentatonic"
    BLUES = "blues"
    MAJOR_BLUES = "major blues"
    MAJOR = "major"
    NATURAL_MINOR = "natural minor"
    HARMONIC_MINOR = "harmonic minor"
    DORIAN = "dorian"
    MIXOLYDIAN = "mixolydian"
    PHRYGIAN = "phrygian"
    LYDIAN = "lydian"
    LOCRIAN = "locrian"
    CHROMATIC = "chromatic"


# Source: the usual interval formulas, checked in the tests against music21's scales.
_FORMULAS = {
    ScaleKind.MINOR_PENTATONIC: "R b3 4 5 b7",
    ScaleKind.MAJOR_PENTATONIC: "R 2 3 5 6",
    ScaleKind.BLUES: "R b3 4 b5 5 b7",
    ScaleKind.MAJOR_BLUES: "R 2 b3 3 5 6",
    ScaleKind.MAJOR: "R 2 3 4 5 6 7",
    ScaleKind.NATURAL_MINOR: "R 2 b3 4 5 b6 b7",
    ScaleKind.HARMONIC_MINOR: "R 2 b3 4 5 b6 7",
    ScaleKind.DORIAN: "R 2 b3 4 5 6 b7",
    ScaleKind.MIXOLYDIAN: "R 2 3 4 5 6 b7",
    ScaleKind.PHRYGIAN: "R b2 b3 4 5 b6 b7",
    ScaleKind.LYDIAN: "R 2 3 #4 5 6 7",
    ScaleKind.LOCRIAN: "R b2 b3 4 b5 b6 b7",
    ScaleKind.CHROMATIC: "R b2 2 b3 3 4 b5 5 b6 6 b7 7",
}
_DEGREES = {kind: tuple(map(parse_degree, formula.split())) for kind, formula in _FORMULAS.items()}
_OTHER_NAMES = {
    "pentatonic minor": ScaleKind.MINOR_PENTATONIC,
    "minor penta": ScaleKind.MINOR_PENTATONIC,
    "pentatonic major": ScaleKind.MAJOR_PENTATONIC,
    "major penta": ScaleKind.MAJOR_PENTATONIC,
    "minor blues": ScaleKind.BLUES,
    "minor": ScaleKind.NATURAL_MINOR,
    "aeolian": ScaleKind.NATURAL_MINOR,
    "ionian": ScaleKind.MAJOR,
}
_READABLE = {kind.value: kind for kind in ScaleKind} | _OTHER_NAMES


@dataclass(frozen=True, slots=True)
class Scale:
    """A scale on a tonic, from the tonic upward."""

    name: str  # the kind in words, such as minor pentatonic
    tonic: PitchClass
    names: tuple[PitchClass, ...]
    degrees: tuple[Degree, ...]

    def __str__(self) -> str:
        return f"{self.tonic} {self.name}"

    @property
    def pretty(self) -> str:
        """Tonic and name with music signs: B♭ minor pentatonic."""
        return f"{self.tonic.pretty} {self.name}"

    @property
    def chromas(self) -> frozenset[int]:
        """The scale's tones as semitones above C, 0 to 11."""
        return frozenset(name.chroma for name in self.names)

    def contains(self, chroma: int) -> bool:
        """Whether the pitch `chroma` semitones above C, in any octave, is in the scale."""
        return chroma % 12 in self.chromas


def scale(kind: ScaleKind, tonic: PitchClass) -> Scale:
    """Return the scale of a kind on a tonic, spelled by its degrees."""
    degrees = _DEGREES[kind]
    return Scale(kind.value, tonic, tuple(name_at(each, tonic) for each in degrees), degrees)


def scale_kinds() -> tuple[ScaleKind, ...]:
    """Return every kind of scale, the ones taught first in front."""
    return tuple(ScaleKind)


def scale_degrees(kind: ScaleKind) -> tuple[Degree, ...]:
    """Return the degrees of a kind of scale, from the root upward."""
    return _DEGREES[kind]


def parse_scale_kind(text: str) -> ScaleKind:
    """Read a scale's name: minor pentatonic, blues scale, aeolian.

    Raises TheoryError for an unknown one, with the nearest known name as mend.
    """
    words = re.sub(r"[\s_-]+", " ", text.strip().lower())
    kind = _READABLE.get(words.removesuffix(" scale"))
    if kind is not None:
        return kind
    guess = nearest(words.removesuffix(" scale"), _READABLE)
    hint = f"did you mean {guess!r}?" if guess else f"known are: {', '.join(_known())}"
    raise TheoryError(f"{text!r} is no scale; {hint}", mend=guess)


def _known() -> list[str]:
    return [kind.value for kind in ScaleKind]


def memberships(chroma: int, tonic: PitchClass) -> tuple[ScaleKind, ...]:
    """Return the kinds whose scale on `tonic` holds the pitch `chroma` semitones above C.

    The chromatic scale is left out: it holds every pitch.
    """
    above = (chroma - tonic.chroma) % 12
    return tuple(
        kind
        for kind, degrees in _DEGREES.items()
        if kind is not ScaleKind.CHROMATIC and any(each.semitones == above for each in degrees)
    )
