"""Of which movable chord form are these notes a piece?

Common practice, no source: the open chords E, A, D, C and G, moved up with a barre or a capo of
fingers, are called forms. The frets below are those of the open chords, lowest string first.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from lickwright.neck.pattern import Place, standard_intervals
from lickwright.phrase import Tuning


@dataclass(frozen=True, slots=True)
class Form:
    """A movable chord form: fret a string, lowest first, None where the string is not played."""

    name: str  # the open chord it comes from
    frets: tuple[int | None, ...]
    minor: bool = False

    def place(self, string: int, shift: int) -> Place | None:
        """Where the form, moved up `shift` frets, stands on a string (1 = thinnest)."""
        fret = self.frets[len(self.frets) - string]
        return None if fret is None else Place(string, fret + shift)


FORMS = (
    Form("E", (0, 2, 2, 1, 0, 0)),
    Form("A", (None, 0, 2, 2, 2, 0)),
    Form("D", (None, None, 0, 2, 3, 2)),
    Form("C", (None, 3, 2, 0, 1, 0)),
    Form("G", (3, 2, 0, 0, 0, 3)),
    Form("Em", (0, 2, 2, 0, 0, 0), minor=True),
    Form("Am", (None, 0, 2, 2, 1, 0), minor=True),
    Form("Dm", (None, None, 0, 2, 3, 1), minor=True),
)
_ROOTS = {"E": 4, "A": 9, "D": 2, "C": 0, "G": 7, "Em": 4, "Am": 9, "Dm": 2}


@dataclass(frozen=True, slots=True)
class Grip:
    """A chord form at a position. `root`: semitones above C; `fret`: how far it is moved up."""

    form: Form
    fret: int
    root: int

    @property
    def minor(self) -> bool:
        """Whether it is a minor chord."""
        return self.form.minor


def grips(places: Iterable[Place], tuning: Tuning, capo: int = 0) -> tuple[Grip, ...]:
    """Every form, at one position, that all of `places` belong to; none in an unusual tuning."""
    wanted = tuple(places)
    if not wanted or not standard_intervals(tuning):
        return ()
    found = []
    above_standard = tuning.midi(len(tuning), 0, capo) - 40  # 40 = E2, the usual lowest string
    for form in FORMS:
        fret = form.frets[len(form.frets) - wanted[0].string]
        shift = None if fret is None else wanted[0].fret - fret
        if shift is None or shift < 0:
            continue
        if all(form.place(place.string, shift) == place for place in wanted):
            found.append(Grip(form, shift, (_ROOTS[form.name] + shift + above_standard) % 12))
    return tuple(found)
