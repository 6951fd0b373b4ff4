"""How far does a fretting hand reach, and can it hold these strings down at once?

Reach is the straight line between two fingertips in mm. Its limits are common practice, no source:
an average hand just covers four frets at the nut with one finger a fret, and five frets from the
fifth on; a small hand has 0.88 of that, a large one 1.12.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import Enum
from functools import lru_cache
from itertools import combinations
from math import hypot

from lickwright.neck.geometry import Neck
from lickwright.phrase import Finger

FRETTING = (Finger.FIRST, Finger.SECOND, Finger.THIRD, Finger.FOURTH)
NUMBER = {Finger.THUMB: 0, Finger.FIRST: 1, Finger.SECOND: 2, Finger.THIRD: 3, Finger.FOURTH: 4}

# (lower finger, higher finger): comfortable and longest reach of an average hand in mm
_REACH = {
    (1, 2): (42.0, 75.0), (2, 3): (38.0, 64.0), (3, 4): (38.0, 68.0),
    (1, 3): (70.0, 100.0), (2, 4): (64.0, 90.0), (1, 4): (97.0, 128.0),
}  # fmt: skip
_BARRE_WIDTH = {1: 99, 2: 4, 3: 4, 4: 3, 0: 1}  # strings that one finger can hold down
_THUMB_STRINGS = 2  # the thumb comes over the edge to so many of the lowest strings
_THUMB_REACH_MM = 62.0  # from the first finger, either way


class HandSize(Enum):
    """The size of the fretting hand, as a share of the average hand's reach."""

    SMALL = 0.88
    AVERAGE = 1.0
    LARGE = 1.12


@dataclass(frozen=True, slots=True)
class Reach:
    """How far two fingertips come apart, in mm: with ease, and at most."""

    comfortable: float
    longest: float


@dataclass(frozen=True, slots=True)
class Press:
    """One finger on the neck. More than one string is a barre; `strings` are those that sound."""

    finger: Finger
    fret: int
    strings: tuple[int, ...]  # in ascending order, 1 = thinnest

    @property
    def barre(self) -> bool:
        """Whether the finger lies across several strings."""
        return len(self.strings) > 1

    def covers(self, string: int) -> bool:
        """Whether the finger lies on a string, sounding or not."""
        return self.strings[0] <= string <= self.strings[-1]


class FaultKind(Enum):
    """What keeps a hand from holding a shape."""

    STRETCH = "two fingers too far apart"
    CROSSED = "a higher finger on a lower fret"
    DOUBLED = "one finger in two frets"
    BARRE_LOWER = "a string under a barre that should sound lower"
    BARRE_WIDE = "a barre over more strings than the finger is long"
    THUMB = "a thumb on a string it does not reach"
    SLID = "a slide that changes fingers"
    TRILL = "no finger for the other note of a trill"


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing a hand cannot do. `measured` and `limit`: mm of a stretch, strings of a barre."""

    kind: FaultKind
    fingers: tuple[Finger, ...]
    measured: float = 0.0
    limit: float = 0.0


@lru_cache(maxsize=256)
def reach(low: Finger, high: Finger, size: HandSize = HandSize.AVERAGE) -> Reach:
    """Reach between two of the four fingers, the lower number first; of one finger it is 0."""
    pair = (NUMBER[low], NUMBER[high])
    if pair[0] == pair[1]:
        return Reach(0.0, 0.0)
    comfortable, longest = _REACH[pair]
    return Reach(comfortable * size.value, longest * size.value)


def reach_frets(
    low: Finger, high: Finger, fret: int, neck: Neck, size: HandSize = HandSize.AVERAGE
) -> int:
    """How many frets above `fret`, where `low` is, `high` gets to on the same string at most."""
    longest, above = reach(low, high, size).longest, 0
    while fret + above < neck.highest and neck.distance(fret, fret + above + 1) <= longest:
        above += 1
    return above


def tips_apart(one: Press, other: Press, neck: Neck) -> float:
    """Distance in mm between two fingertips; a barre counts at its string nearest the other."""
    along = neck.distance(one.fret, other.fret)
    gaps = [abs(a - b) for a in one.strings for b in other.strings]
    return hypot(along, min(gaps) * neck.spacing(min(one.fret, other.fret)))


def faults(
    presses: Sequence[Press],
    neck: Neck,
    size: HandSize = HandSize.AVERAGE,
    open_strings: Iterable[int] = (),
) -> tuple[Fault, ...]:
    """What keeps a hand from holding all of `presses` at once while `open_strings` sound."""
    idle = tuple(open_strings)
    found = [fault for one in presses for fault in _alone(one, presses, neck, idle)]
    for one, other in combinations(sorted(presses, key=lambda p: NUMBER[p.finger]), 2):
        found += _together(one, other, neck, size)
    return tuple(found)


def _alone(
    one: Press, presses: Sequence[Press], neck: Neck, idle: tuple[int, ...]
) -> Iterable[Fault]:
    if one.finger is Finger.THUMB and one.strings[0] <= neck.strings - _THUMB_STRINGS:
        yield Fault(FaultKind.THUMB, (one.finger,))
    width, most = one.strings[-1] - one.strings[0] + 1, _BARRE_WIDTH[NUMBER[one.finger]]
    if width > most:
        yield Fault(FaultKind.BARRE_WIDE, (one.finger,), width, most)
    lower = [p.strings for p in presses if p.fret < one.fret]
    under = [string for strings in lower for string in strings] + list(idle)
    if one.barre and any(one.covers(string) for string in under):
        yield Fault(FaultKind.BARRE_LOWER, (one.finger,))


def _together(one: Press, other: Press, neck: Neck, size: HandSize) -> Iterable[Fault]:
    pair = (one.finger, other.finger)
    if one.finger is other.finger:
        yield Fault(FaultKind.DOUBLED, pair)
    elif one.finger is Finger.THUMB:
        apart, limit = neck.distance(one.fret, other.fret), _THUMB_REACH_MM * size.value
        if other.finger is Finger.FIRST and apart > limit:
            yield Fault(FaultKind.STRETCH, pair, apart, limit)
    elif other.fret < one.fret:
        yield Fault(FaultKind.CROSSED, pair)
    else:
        apart, limit = tips_apart(one, other, neck), reach(*pair, size).longest
        if apart > limit:
            yield Fault(FaultKind.STRETCH, pair, apart, limit)
