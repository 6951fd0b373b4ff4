"""How is a note's id said where `/` and `&` may not stand: as an XML id?

An XML id is an NCName (W3C, Namespaces in XML): letters, digits, `.`, `-` and `_`, and no digit
first. The change is reversible, so whoever reads the file gets the note's own id back.
"""

from __future__ import annotations

import re
from enum import Enum

_KEPT = re.compile(r"[^A-Za-z0-9/-]")
_CODED = re.compile(r"_([0-9a-f]+)_")
_XML_ID = re.compile(r"[nt][0-9]*\.(?P<rest>.+)")


class Staff(Enum):
    """The two staves of a part, and the letter with which the ids on each begin."""

    NOTATION = "n"
    TAB = "t"


def xml_id(note_id: str, staff: Staff = Staff.NOTATION, head: int = 1) -> str:
    """XML id of a note's head on a staff. `head`: 1, for heads tied to it 2, 3 …

    `lean/1/2&/3` is `n.lean.1.2_26_.3` in notation, `t.lean.1.2_26_.3` in tab, and
    `n2.lean.1.2_26_.3` on the first head tied to it.
    """
    coded = _KEPT.sub(lambda found: f"_{ord(found[0]):x}_", note_id).replace("/", ".")
    return f"{staff.value}{head if head > 1 else ''}.{coded}"


def note_id(identifier: str) -> str:
    """The note's id that `xml_id` has written. Raises ValueError if it has not."""
    match = _XML_ID.fullmatch(identifier)
    if match is None:
        raise ValueError(f"{identifier!r} is no id of a written note")
    plain = match["rest"].replace(".", "/")
    return _CODED.sub(lambda found: chr(int(found[1], 16)), plain)
