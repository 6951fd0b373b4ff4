"""What do the practice stages, the backing and the study piece of a lesson say, in words?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from math import ceil
from typing import Any

from lickwright.lesson import Band, Solo, Stage
from lickwright.phrase import Phrase
from lickwright.theory import Chord

_PLAYERS = {"keys": "keyboard"}


def tempos(stage: Stage) -> list[Fraction]:
    """The tempos of a stage from start to goal, beats a minute; the goal is always the last."""
    found = [stage.start]
    while stage.step > 0 and found[-1] + stage.step < stage.goal:
        found.append(found[-1] + stage.step)
    return found if found[-1] >= stage.goal else [*found, stage.goal]


SLOW_SHARE = Fraction(3, 5)  # of the tempo, unless a stage says where to start
SLOWEST = Fraction(40)  # beats a minute, unless the phrase itself is slower
RUNGS = 4  # steps from slow to tempo, unless a stage says how many
PLAYER_TEMPOS = 6
_LEAST_STEP = Fraction(2)


def slow_tempo(phrase: Phrase, stages: Sequence[Stage]) -> Fraction:
    """The slow practice tempo, beats a minute: where its first stage starts, else three fifths.

    Never faster than the phrase; in steps of five unless a stage says it.
    """
    starts = [stage.start for stage in stages if phrase.name in stage.phrases]
    if starts and starts[0] < phrase.tempo:
        return starts[0]
    slow = Fraction(round(phrase.tempo * SLOW_SHARE / 5) * 5)
    return min(phrase.tempo, max(SLOWEST, slow))


def ladders(phrase: Phrase, stages: Sequence[Stage]) -> list[tuple[Fraction, ...]]:
    """The tempos of each of its stages; one suggested row of tempos if it has no stage."""
    found = [tuple(tempos(stage)) for stage in stages if phrase.name in stage.phrases]
    return list(dict.fromkeys(found)) or [suggested_tempos(phrase, stages)]


def suggested_tempos(phrase: Phrase, stages: Sequence[Stage]) -> tuple[Fraction, ...]:
    """From slow to the phrase's own tempo in a few even steps of whole beats a minute."""
    slow, goal = slow_tempo(phrase, stages), phrase.tempo
    step = max(_LEAST_STEP, Fraction(ceil((goal - slow) / RUNGS)))
    count = ceil((goal - slow) / step)
    return (*(slow + index * step for index in range(count)), goal)


def player_tempos(phrase: Phrase, stages: Sequence[Stage]) -> tuple[Fraction, ...]:
    """The tempos that the page plays: those of its first stage, thinned to a few, and its own.

    The slowest, the stage's goal and the phrase's own tempo are always among them.
    """
    steps = ladders(phrase, stages)[0]
    if len(steps) > PLAYER_TEMPOS:
        last = len(steps) - 1
        steps = tuple(steps[round(i * last / (PLAYER_TEMPOS - 1))] for i in range(PLAYER_TEMPOS))
    return tuple(sorted({*steps, phrase.tempo}))


def phrase_title(phrase: Phrase) -> str:
    """The title the teacher gave, else the phrase's own name as words."""
    return phrase.title or phrase.name.replace("-", " ").capitalize()


def stage_part(stage: Stage, titles: Mapping[str, str]) -> dict[str, Any]:
    """A stage as a sheet to tick: one row a phrase, one box a tempo."""
    return {
        "kind": "stage",
        "title": _title("Practice", stage.name),
        "tempos": [f"{float(tempo):g}" for tempo in tempos(stage)],
        "phrases": [titles[name] for name in stage.phrases if name in titles],
        "names": [name for name in stage.phrases if name in titles],
        "done": f"Done at a tempo: {stage.done}." if stage.done else "",
    }


def solo_part(solo: Solo, titles: Mapping[str, str]) -> dict[str, Any]:
    """A study piece: which phrase begins on which bar."""
    key = "" if solo.key is None else f", key of {solo.key.pretty}"
    rows = [
        {"bar": f"Bar {each.bar}", "what": titles[each.lick] + _onto(each.chord)}
        for each in solo.placements
        if each.lick in titles
    ]
    form = " | ".join(chord.pretty for chord in solo.chords) or f"a {solo.form.replace('-', ' ')}"
    return {
        "kind": "solo",
        "title": _title("Study piece", solo.name),
        "facts": f"Over {form}{key}",
        "rows": rows,
    }


def band_part(band: Band) -> dict[str, Any]:
    """What the lesson is played over."""
    chords = " | ".join(chord.pretty for chord in band.chords)
    what = chords or band.form.replace("-", " ")
    key = "" if band.key is None else f" in {band.key.pretty}"
    players = ", ".join(_PLAYERS.get(each, each) for each in band.players)
    return {
        "kind": "band",
        "title": _title("Backing", band.name),
        "facts": f"{what[:1].upper()}{what[1:]}{key} · {band.feel} · "
        f"{float(band.tempo):g} beats a minute · {players}",
    }


def _onto(chord: Chord | None) -> str:
    return "" if chord is None else f", moved onto {chord.pretty}"


def _title(kind: str, name: str) -> str:
    return f"{kind}: {name.replace('-', ' ')}" if name else kind
