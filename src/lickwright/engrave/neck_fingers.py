"""Which finger goes where: one finger a fret in a pattern, and the usual fingers of a chord form?

Common practice, no source: the hand stays in a position in which each fret has its finger, and
moves a fret up for a string that reaches beyond it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping

from lickwright.engrave.neck_spec import Barre
from lickwright.neck import Grip, Place

WIDEST = 4  # frets from the first to the last that one position reaches
_HAND = 3  # frets from the first finger to the fourth

# Lowest string first, - for a string that is not played. Common practice, no source.
_OPEN = {
    "E": "023100", "A": "-01230", "D": "--0132", "C": "-32010", "G": "210003",
    "Em": "023000", "Am": "-02310", "Dm": "--0231",
}  # fmt: skip
_MOVED = {
    "E": "134211", "A": "-12341", "D": "--1243", "C": "-43121", "G": "321114",
    "Em": "134111", "Am": "-13421", "Dm": "--1342",
}  # fmt: skip


def hand_fingers(places: Iterable[Place]) -> Mapping[Place, str]:
    """The finger for each place; nothing if they lie too far apart for one position."""
    found = list(places)
    fretted = [place.fret for place in found if place.fret]
    fingers = {place: "0" for place in found if not place.fret}
    if not fretted:
        return fingers
    if max(fretted) - min(fretted) > WIDEST:
        return {}
    highest: defaultdict[int, int] = defaultdict(int)
    for place in found:
        highest[place.string] = max(highest[place.string], place.fret)
    home = 1 if fingers and max(fretted) <= _HAND + 1 else min(fretted)
    for place in found:
        if place.fret:
            first = max(home, highest[place.string] - _HAND)
            fingers[place] = str(max(1, place.fret - first + 1))
    return fingers


def grip_fingers(grip: Grip) -> Mapping[int, str]:
    """The finger on each string (1 = thinnest) that a chord form plays."""
    row = (_MOVED if grip.fret else _OPEN)[grip.form.name]
    return {len(row) - index: finger for index, finger in enumerate(row) if finger != "-"}


def grip_barre(grip: Grip) -> Barre | None:
    """The strings that the first finger lies over, if they are two or more in one fret."""
    if not grip.fret:
        return None
    first = [string for string, finger in grip_fingers(grip).items() if finger == "1"]
    return Barre(grip.fret, min(first), max(first)) if len(first) > 1 else None
