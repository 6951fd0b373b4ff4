"""Which chord does a form have in each of its bars, in any key?

Source of the rows: W. Riker, Complete Blues Guitar Method: Mastering Blues Guitar (Alfred 1994),
p. 91, as cited in encyclopaedia articles. Forms vary: these are choices, not rules.
"""

from __future__ import annotations

import re
from enum import Enum

from lickwright.theory import Chord, Key, name_at, parse_chord, parse_degree


class Form(Enum):
    """A form that is called by its name. The value is that name."""

    TWELVE_BAR = "twelve-bar"
    QUICK_CHANGE = "quick-change"
    MINOR_TWELVE = "minor-twelve"
    EIGHT_BAR = "eight-bar"
    SIXTEEN_BAR = "sixteen-bar"


# One word a bar: a degree of the key, then the quality of its chord. The last bar is the
# turnaround: it leads back to the first.
_ROWS = {
    Form.TWELVE_BAR: "1/7 1/7 1/7 1/7  4/7 4/7 1/7 1/7  5/7 4/7 1/7 5/7",
    Form.QUICK_CHANGE: "1/7 4/7 1/7 1/7  4/7 4/7 1/7 1/7  5/7 4/7 1/7 5/7",
    Form.MINOR_TWELVE: "1/m7 1/m7 1/m7 1/m7  4/m7 4/m7 1/m7 1/m7  b6/7 5/7 1/m7 5/7",
    Form.EIGHT_BAR: "1/7 5/7 4/7 4/7  1/7 5/7 1/7 5/7",
    Form.SIXTEEN_BAR: (
        "1/7 1/7 1/7 1/7  1/7 1/7 1/7 1/7  4/7 4/7 1/7 1/7  5/7 4/7 1/7 5/7"
    ),
}  # fmt: skip
_BAR = re.compile(r"(?P<degree>b?[1-7])/(?P<quality>\w+)")


def form_chords(form: Form, key: Key) -> tuple[Chord, ...]:
    """The chords of one chorus, one a bar, on the tonic of `key`.

    The form decides between dominant and minor chords, not the key's mode: lead players call a
    blues over A7, D7 and E7 one in A minor too, by the scale that they play.
    """
    chords = []
    for match in _BAR.finditer(_ROWS[form]):
        root = name_at(parse_degree(match["degree"]), key.tonic)
        chords.append(parse_chord(f"{root}{match['quality']}"))
    return tuple(chords)
