"""What can be written where in a lesson, for the editor's help, and how does a new one begin?"""

from __future__ import annotations

from typing import Any

from lickwright.band import Form
from lickwright.lesson.document import BLOCK_WORDS
from lickwright.lesson.values import READERS
from lickwright.theory import ScaleKind

_KEYS = ("C", "G", "D", "A", "E", "B", "F#", "Db", "Ab", "Eb", "Bb", "F")
_CHORDS = ("", "m", "7", "m7", "maj7", "9", "m9", "13", "6", "m6", "dim", "dim7", "m7b5", "aug",
           "sus4", "7sus4", "7#9", "7b9")  # fmt: skip
SETTINGS_OF = {
    "neck": ("key", "scale", "chord", "lick", "pattern", "frets", "show", "worksheet"),
    "band": ("key", "form", "chords", "feel", "tempo", "choruses", "players", "count-in"),
    "solo": ("key", "form", "chords", "feel", "tempo", "bar 1"),
    "stage": ("phrases", "start", "goal", "step", "done"),
}


def words() -> dict[str, Any]:
    """Names of blocks, settings, keys, scales, chords, forms and other values."""
    return {
        "blocks": list(BLOCK_WORDS),
        "settings": list(READERS),
        "of": {block: list(names) for block, names in SETTINGS_OF.items()},
        "keys": [*_KEYS, *(f"{key} minor" for key in _KEYS)],
        "scales": [kind.value for kind in ScaleKind],
        "chords": [f"{key}{kind}" for key in _KEYS for kind in _CHORDS],
        "forms": [form.value for form in Form],
        "feels": ["straight", "shuffle", "shuffle 60%"],
        "meters": ["4/4", "3/4", "12/8", "6/8", "2/4", "5/4", "7/8"],
        "shows": ["degrees", "names", "fingers", "blank"],
        "players": ["drums", "bass", "keys", "guitar"],
        "tunings": ["E A D G B E", "D A D G B E", "E B E G# B E", "D G D G B D", "D A D F# A D",
                    "Eb Ab Db Gb Bb Eb"],
    }  # fmt: skip
