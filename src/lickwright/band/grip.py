"""How does a rhythm guitarist hold a chord, whatever its symbol?

Common practice, no source: a player starts from a movable chord form and lifts or moves single
fingers until it is the chord wanted. So does this search: from each form every string may keep its
fret, move by up to three, or stay silent, as long as four fingers can hold what comes out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import groupby

from lickwright.neck.forms import FORMS, Form
from lickwright.phrase import STANDARD
from lickwright.theory import Chord

_OPEN = tuple(reversed([pitch.midi for pitch in STANDARD.strings]))  # lowest string first
_REACH = 3  # frets between the lowest and the highest finger
_MOVED = 3  # frets that a string of a form may be moved
_FINGERS = 4
_HIGHEST = 14  # fret
_HOME = 5.0  # fret around which a rhythm player stays
_FEWEST = 3  # strings

Frets = tuple[int | None, ...]  # lowest string first; None is silent


@dataclass(frozen=True, slots=True)
class HeldChord:
    """A chord as it is held in standard tuning. `frets`: lowest string first, None is silent."""

    frets: Frets

    @property
    def notes(self) -> tuple[tuple[int, int], ...]:
        """String (1 = thinnest) and MIDI note of what sounds, low to high."""
        return tuple(
            (len(_OPEN) - index, _OPEN[index] + fret)
            for index, fret in enumerate(self.frets)
            if fret is not None
        )


@dataclass(frozen=True, slots=True)
class _Wish:
    """What is wanted of a grip: tones above the root, and how much each is missed."""

    weights: tuple[tuple[int, float], ...]  # semitones above the root 0 to 11, weight


@cache
def held_chord(chord: Chord) -> HeldChord | None:
    """The grip a rhythm player would take for a chord; None for no chord.

    A bass after the slash that is foreign to the chord is left to the bass player.
    """
    if not chord.sounds:
        return None
    offers = [
        (cost + abs(_middle(frets) - _HOME) * 0.25, frets)
        for cost, shape, root in _shapes(chord.kind.tones)
        for frets in _placed(shape, (chord.root.chroma - root) % 12)
    ]
    return HeldChord(min(offers, key=lambda offer: offer[0])[1])


def _placed(shape: Frets, shift: int) -> Iterator[Frets]:
    """A shape moved up to where its root is right, wherever that is on the neck."""
    for move in (shift, shift + 12):
        frets = tuple(None if fret is None else fret + move for fret in shape)
        played = [fret for fret in frets if fret is not None]
        if min(played) >= 0 and max(played) <= _HIGHEST and holdable(frets):
            yield frets


@cache
def _shapes(tones: tuple[tuple[int, int], ...]) -> tuple[tuple[float, Frets, int], ...]:
    """The best shapes of a quality from each form: cost, frets (to be moved), root's chroma."""
    wish = _Wish(tuple((semitones % 12, _weight(role, semitones)) for role, semitones in tones))
    found = []
    for form in FORMS:
        root = _form_root(form)
        ranked = sorted(
            ((_cost(frets, form, root, wish), frets) for frets in _moved(form, root, wish)),
            key=lambda offer: offer[0],
        )
        found += [(cost, frets, root) for cost, frets in ranked[:3]]
    return tuple(found)


def _weight(role: int, semitones: int) -> float:
    """How much a tone is missed: third and seventh most, the plain fifth least."""
    altered = (role, semitones % 12) not in ((5, 7), (9, 2), (11, 5), (13, 9), (1, 0))
    by_role = {1: 5.0, 2: 8.0, 3: 9.0, 4: 8.0, 6: 7.0, 7: 8.0, 5: 2.0}
    return max(by_role.get(role, 4.0), 6.0 if altered else 0.0)


def _form_root(form: Form) -> int:
    """Chroma of the root of a form in open position: of its lowest string that is played."""
    index = next(i for i, fret in enumerate(form.frets) if fret is not None)
    fret = form.frets[index]
    assert fret is not None
    return (_OPEN[index] + fret) % 12


def _moved(form: Form, root: int, wish: _Wish) -> Iterator[Frets]:
    """All shapes near a form whose tones are wanted and whose frets lie within reach."""
    wanted = {(root + semitones) % 12 for semitones, _ in wish.weights}
    choices: list[list[int | None]] = []
    for string, fret in zip(_OPEN, form.frets, strict=True):
        near = [] if fret is None else range(fret - _MOVED, fret + _MOVED + 1)
        choices.append([None, *(f for f in near if (string + f) % 12 in wanted)])
    yield from _combined(choices, (), 99, -99)


def _combined(
    choices: list[list[int | None]], frets: Frets, low: int, high: int
) -> Iterator[Frets]:
    if len(frets) == len(choices):
        if sum(fret is not None for fret in frets) >= _FEWEST and holdable(_lifted(frets)):
            yield frets
        return
    for fret in choices[len(frets)]:
        new_low, new_high = (low, high) if fret is None else (min(low, fret), max(high, fret))
        if new_high - new_low <= _REACH:
            yield from _combined(choices, (*frets, fret), new_low, new_high)


def _lifted(frets: Frets) -> Frets:
    """A shape high enough up the neck that no string is open."""
    return tuple(None if fret is None else fret + 12 for fret in frets)


def _cost(frets: Frets, form: Form, root: int, wish: _Wish) -> float:
    chromas = {(s + f - root) % 12 for s, f in zip(_OPEN, frets, strict=True) if f is not None}
    missed = sum(weight for semitones, weight in wish.weights if semitones not in chromas)
    played = [index for index, fret in enumerate(frets) if fret is not None]
    inner = played[-1] - played[0] + 1 - len(played)
    lowest = frets[played[0]]
    assert lowest is not None
    rootless = (_OPEN[played[0]] + lowest) % 12 != root
    hard = 2.5 * inner + 1.5 * rootless + (2.0 if _span(frets) == _REACH else 0.0)
    return missed + hard + 0.35 * _travel(frets, form) + 0.5 * (6 - len(played))


def _travel(frets: Frets, form: Form) -> int:
    """Frets by which fingers are moved from the plain form."""
    pairs = zip(frets, form.frets, strict=True)
    return sum(abs(f - g) for f, g in pairs if f is not None and g is not None)


def _span(frets: Frets) -> int:
    played = [fret for fret in frets if fret is not None]
    return max(played) - min(played)


def _middle(frets: Frets) -> float:
    played = [fret for fret in frets if fret is not None]
    return (min(played) + max(played)) / 2


def holdable(frets: Frets) -> bool:
    """Whether four fingers can hold it: within reach, one finger laid flat at most on each fret."""
    fretted = [fret for fret in frets if fret]
    if not fretted:
        return True
    if max(fretted) - min(fretted) > _REACH:
        return False
    return fingers(frets) <= _FINGERS


def fingers(frets: Frets) -> int:
    """Fingers that a grip needs.

    The first finger lies across all strings at the lowest fret unless an open string sounds among
    them; another finger may lie across neighbouring strings at one fret if none of the strings
    beyond them, toward the thinnest, is stopped lower.
    """
    fretted = [fret for fret in frets if fret]
    if not fretted:
        return 0
    lowest = min(fretted)
    at_lowest = [index for index, fret in enumerate(frets) if fret == lowest]
    barred = 0 not in frets[at_lowest[0] :]
    needed = 1 if barred else len(at_lowest)
    return needed + _upper_fingers(frets, lowest)


def _upper_fingers(frets: Frets, lowest: int) -> int:
    """Fingers above the lowest fret; at most one of them lies flat, on the thinnest strings."""
    groups = [(fret, len(list(group))) for fret, group in groupby(frets)]
    needed = 0
    for index, (fret, size) in enumerate(groups):
        if fret is None or fret <= lowest:
            continue
        flat = all(other is None for other, _ in groups[index + 1 :])
        needed += 1 if flat else size
    return needed
