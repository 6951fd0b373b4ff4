"""What does each string sound like, open, at a fret, and as a natural harmonic?"""

from __future__ import annotations

from dataclasses import dataclass
from math import log2

from lickwright.theory import Pitch, parse_pitch

# Fret over which a string is touched -> number of the partial that then sounds.
# Source: a node of partial n lies at k/n of the string, fret f at 1 - 2**(-f/12) of it.
_NODES = {12: 2, 7: 3, 19: 3, 5: 4, 24: 4, 4: 5, 9: 5, 16: 5, 28: 5, 3: 6, 31: 6}


def harmonic_number(fret: int) -> int | None:
    """Partial that sounds when the string is touched over `fret`; None if no node is there."""
    return _NODES.get(fret)


@dataclass(frozen=True, slots=True)
class Tuning:
    """Open strings, thinnest (string 1) first, without the capo."""

    strings: tuple[Pitch, ...]

    def __len__(self) -> int:
        return len(self.strings)

    def label(self, string: int) -> str:
        """Row label of a string (1 = thinnest): its letter, small on the thinnest of its kind."""
        name = str(self.strings[string - 1].name)
        twins = [s for s in self.strings if str(s.name) == name]
        thinnest = string == 1 and len(twins) > 1
        return name[0].lower() + name[1:] if thinnest else name

    def midi(self, string: int, fret: int, capo: int = 0) -> int:
        """MIDI note number of a fretted string; frets count from the capo."""
        return self.strings[string - 1].midi + capo + fret

    def harmonic_midi(self, string: int, fret: int, capo: int = 0) -> float:
        """MIDI note number (exact, hence a float) of the natural harmonic over `fret`."""
        number = harmonic_number(fret)
        if number is None:
            raise ValueError(f"no natural harmonic over fret {fret}")
        return self.midi(string, 0, capo) + 12 * log2(number)

    def __str__(self) -> str:
        return " ".join(str(pitch) for pitch in reversed(self.strings))


STANDARD = Tuning(tuple(parse_pitch(name) for name in ("E4", "B3", "G3", "D3", "A2", "E2")))
