"""What does a worksheet ask, and what are its answers?

The questions are drawn by lot from a seed: the same seed gives the same sheet.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from random import Random

from lickwright.engrave import Board, NeckSpec, scale_map
from lickwright.lesson import Show
from lickwright.neck import Pattern, Place, patterns
from lickwright.phrase import STANDARD
from lickwright.theory import Key, Mode, ScaleKind, degree_of, spell

MOST_SEED = 99_999
_ROOTS_TO = 12  # fret
_BENDS = 4
_HIGHEST = 17  # fret from which a bend is asked
_STEPS = {1: "a half step", 2: "a whole step"}


@dataclass(frozen=True, slots=True)
class Question:
    """One question. `task`: what to do, if the maps do not say it; `shown`: maps to work on.

    `blanks`: sentences with gaps.

    `answers` and `answer_maps` are the same filled in.
    """

    title: str
    task: str
    shown: tuple[NeckSpec, ...] = ()
    answer_maps: tuple[NeckSpec, ...] = ()
    blanks: tuple[str, ...] = ()
    answers: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Worksheet:
    """A sheet of questions about one scale in one key."""

    key: Key
    kind: ScaleKind
    seed: int
    questions: tuple[Question, ...]

    @property
    def title(self) -> str:
        """What it is about."""
        return f"{self.key.tonic.pretty} {self.kind.value}"


def make_worksheet(
    key: Key, kind: ScaleKind, seed: int, numbers: Sequence[int] = (1, 2, 3, 4, 5)
) -> Worksheet:
    """A sheet about a scale on the tonic of `key`; patterns are chosen among `numbers` (1 to 5)."""
    lot = Random(f"{key} {kind.value} {sorted(numbers)} {seed}")
    questions = (
        _fill_in(key, kind, lot.choice(numbers), lot.choice((Show.DEGREES, Show.NAMES))),
        _find_roots(key),
        _connect(key, kind, lot.choice(numbers)),
        _bend_targets(key, kind, lot),
    )
    return Worksheet(key, kind, seed, questions)


def _fill_in(key: Key, kind: ScaleKind, number: int, show: Show) -> Question:
    answer = scale_map(kind, key.tonic, pattern=number, show=show)
    return Question(
        f"Fill in pattern {number}",
        "",
        (replace(answer, name=f"ask {answer.name}", worksheet=True),),
        (answer,),
    )


def _find_roots(key: Key) -> Question:
    tonic = key.tonic
    whole = scale_map(ScaleKind.MAJOR, tonic, frets=(0, _ROOTS_TO), show=Show.NAMES)
    roots = tuple(spot for spot in whole.spots if spot.name == tonic.pretty)
    title = f"Every {tonic.pretty} up to fret {_ROOTS_TO}"
    answer = replace(whole, name="roots", title=title, spots=roots)
    asked = replace(answer, name="ask roots", spots=(), worksheet=True, show=Show.BLANK)
    return Question(
        "Find the roots", f"Draw a square wherever {tonic.pretty} is.", (asked,), (answer,)
    )


def _connect(key: Key, kind: ScaleKind, number: int) -> Question:
    """A pattern is given; the next one up the neck is to be drawn."""
    following = number % 5 + 1
    here, there = _neighbours(key, kind, number)
    first = scale_map(kind, key.tonic, pattern=number, frets=_span(here))
    low, high = _span(there)
    second = scale_map(kind, key.tonic, pattern=following, frets=(low, high))
    title = f"pattern {following} of {second.title.partition(',')[0]}"
    asked = replace(
        second, name=f"ask {second.name}", title=title, spots=(), worksheet=True, show=Show.BLANK
    )
    return Question(
        f"From pattern {number} to pattern {following}",
        f"Pattern {number} is given. Draw pattern {following}, which begins where it ends, and "
        "mark its roots.",
        (first, asked),
        (first, second),
    )


def _span(pattern: Pattern) -> tuple[int, int]:
    frets = [place.fret for place in pattern.places]
    return min(frets), max(frets)


def _neighbours(key: Key, kind: ScaleKind, number: int) -> tuple[Pattern, Pattern]:
    """The lowest position of a pattern with the one after it."""
    found = patterns(_minor_tonic(key, kind), STANDARD)
    index = next(i for i, each in enumerate(found) if each.number == number)
    return found[index], found[index + 1]


def _minor_tonic(key: Key, kind: ScaleKind) -> int:
    """Semitones above C of the root of the minor pentatonic with the same patterns."""
    major = scale_map(kind, key.tonic, frets=(0, 4)).spots
    third = any(spot.degree == "3" for spot in major) or kind is ScaleKind.MAJOR_PENTATONIC
    return (key.tonic.chroma + (9 if third else 0)) % 12


def _bend_targets(key: Key, kind: ScaleKind, lot: Random) -> Question:
    choices = _bendable(key, kind)
    picked = lot.sample(choices, min(_BENDS, len(choices)))
    said = [_bend_sentences(key, *each) for each in sorted(picked)]
    return Question(
        "Name the target of the bend",
        f"Say its degree in {key.tonic.pretty}, and the fret of the same string that sounds the "
        "same. Then play both and compare.",
        blanks=tuple(blank for blank, _ in said),
        answers=tuple(answer for _, answer in said),
    )


def _bendable(key: Key, kind: ScaleKind) -> list[tuple[Place, int]]:
    """Bends of a half or whole step on the three thin strings, from a scale tone to another."""
    places = [spot.place for spot in scale_map(kind, key.tonic, frets=(2, _HIGHEST)).spots]
    chromas = {Board().midi(place) % 12 for place in places}
    return [
        (place, amount)
        for place in places
        for amount in _STEPS
        if place.string <= 3 and (Board().midi(place) + amount) % 12 in chromas
    ]


def _bend_sentences(key: Key, place: Place, amount: int) -> tuple[str, str]:
    string = STANDARD.label(place.string)
    ask = f"{string} string, fret {place.fret}, bent by {_STEPS[amount]}:"
    minor = Key(key.tonic, Mode.MINOR)
    midi = Board().midi(Place(place.string, place.fret + amount))
    name = spell(midi, minor).name
    degree = degree_of(name, key.tonic)
    gaps = f"{ask} the note ______, the degree ______, like fret ______"
    return (
        gaps,
        f"{ask} the note {name.pretty}, the degree {degree}, like fret {place.fret + amount}",
    )
