"""How music21 writes what this room writes: flats are minus signs there."""

from __future__ import annotations

from itertools import product

from lickwright.theory import Key, Mode, Pitch, PitchClass

ROOTS = [PitchClass(letter, alter) for letter, alter in product("CDEFGAB", (-1, 0, 1))]
KEYS = [
    Key(tonic, mode)
    for tonic, mode in product(ROOTS, Mode)
    if f"{tonic} {mode.value}"
    not in {
        "Fb major", "Fb minor", "Cb minor", "Gb minor", "Db minor",
        "G# major", "D# major", "A# major", "E# major", "B# major", "E# minor", "B# minor",
    }
]  # fmt: skip


def m21_name(name: PitchClass | Pitch) -> str:
    """Bb3 as music21 writes it: B-3."""
    text = str(name)
    return text[0] + text[1:].replace("b", "-")


def m21_key(key: Key) -> tuple[str, str]:
    """A key as the two arguments music21 takes."""
    return m21_name(key.tonic), key.mode.value
