"""What are a moved phrase's key, chords, name and title?"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from lickwright.neck.move_request import (
    Request,
    first_chord,
    goal_root,
    new_key,
    source_root,
)
from lickwright.phrase import Bar, ChordAt, Phrase, Tuning
from lickwright.theory import (
    Chord,
    Interval,
    Mode,
    PitchClass,
    TheoryError,
    interval_between,
    parse_chord,
    transpose,
    usual_key,
)

_TIMES = {1: "", 2: "two-", 3: "three-"}
_SPELLED = (("#", "-sharp-"), ("♯", "-sharp-"), ("♭", "-flat-"), ("/", "-over-"), ("+", "-plus-"))


def with_music(placed: Phrase, phrase: Phrase, request: Request) -> Phrase:
    """A phrase that stands at its new places, with key, chords, name and title to match.

    `phrase`: as it was before the move.
    """
    name = new_name(phrase, request)
    notes = tuple(replace(n, id=f"{name}/{n.id.partition('/')[2]}") for n in placed.notes)
    return replace(
        placed,
        name=name,
        notes=notes,
        key=new_key(phrase, request),
        chords=new_chords(phrase, request, placed.bars),
        title=new_title(phrase, request),
    )


# --- chords ----------------------------------------------------------------------------------


def new_chords(phrase: Phrase, request: Request, bars: tuple[Bar, ...]) -> tuple[ChordAt, ...]:
    """The chords, moved like the line; the chord asked for stands where the first one stood.

    `bars`: of the moved phrase; what repeats a bar repeats its chord.
    """
    goal = goal_root(phrase, request)
    if goal is None:
        return phrase.chords
    first, wanted = first_chord(phrase), request.chord
    if wanted is not None and first is None:
        return _repeated(ChordAt(phrase.start, wanted), bars)
    up = interval_between(source_root(phrase, request), goal)
    return tuple(
        replace(at, chord=wanted if wanted and at.chord == first else moved_chord(at.chord, up))
        for at in phrase.chords
    )


def _repeated(first: ChordAt, bars: tuple[Bar, ...]) -> tuple[ChordAt, ...]:
    """A chord at the beginning, and again in the bars that repeat the first one."""
    found = [first]
    for before, bar in pairwise(bars):
        if bar.simile and before.start <= found[-1].beat < before.end:
            found.append(replace(first, beat=bar.start))
    return tuple(found)


def moved_chord(chord: Chord, up: Interval) -> Chord:
    """A chord an interval higher; root and bass by other letters where that spares two signs."""
    if not chord.sounds:
        return chord
    head, _, _ = chord.symbol.rpartition("/") if chord.bass is not None else (chord.symbol, "", "")
    bass = "" if chord.bass is None else f"/{_moved_name(chord.bass, up)}"
    return parse_chord(f"{_moved_name(chord.root, up)}{head.removeprefix(str(chord.root))}{bass}")


def _moved_name(name: PitchClass, up: Interval) -> PitchClass:
    """A note name an interval higher, written with one sharp or flat at most."""
    plainest = usual_key(name.chroma + up.semitones, Mode.MAJOR).tonic
    try:
        goal = transpose(name, up)
    except TheoryError:
        return plainest
    return goal if abs(goal.alter) < 2 else plainest


# --- name and title --------------------------------------------------------------------------


def new_name(phrase: Phrase, request: Request) -> str:
    """The phrase's name with what was done to it: corner-lamp-in-c, corner-lamp-on-f7."""
    base = phrase.name
    if request.key is not None:
        base = base.removesuffix(f"-in-{_slug(str(phrase.key))}")
    return "-".join([base, *_name_parts(phrase, request)])


def _name_parts(phrase: Phrase, request: Request) -> Iterator[str]:
    if request.key is not None:
        yield f"in-{_slug(str(new_key(phrase, request)))}"
    if request.chord is not None:
        yield f"on-{_slug(request.chord.symbol)}"
    if request.octave:
        yield _octave_slug(request.octave)
    if request.pattern is not None:
        yield f"pattern-{request.pattern}"
    if request.tuning is not None:
        yield f"tuned-{_slug(letters(request.tuning))}"
    if request.capo is not None:
        yield f"capo-{request.capo}" if request.capo else "no-capo"


def _octave_slug(octave: int) -> str:
    many = abs(octave)
    word = f"{_TIMES.get(many, f'{many}-')}octave{'s' if many > 1 else ''}"
    return f"{word}-{'up' if octave > 0 else 'down'}"


def _slug(text: str) -> str:
    """Small letters, digits and hyphens: `F# minor` is f-sharp-minor, `Bb7` b-flat-7."""
    plain = re.sub(r"(?<=[A-G])b", "-flat-", text)
    for sign, word in _SPELLED:
        plain = plain.replace(sign, word)
    return re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-")


def new_title(phrase: Phrase, request: Request) -> str:
    """The title with what was done to it; empty if the phrase has none."""
    if not phrase.title:
        return ""
    base = phrase.title
    if request.key is not None:
        base = base.removesuffix(f", in {phrase.key.pretty}")
    return ", ".join([base, *_title_parts(phrase, request)])


def _title_parts(phrase: Phrase, request: Request) -> Iterator[str]:
    if request.key is not None:
        yield f"in {new_key(phrase, request).pretty}"
    if request.chord is not None:
        yield f"on {request.chord.pretty}"
    if request.octave:
        words = _octave_slug(request.octave).replace("-", " ")
        yield f"an {words}" if abs(request.octave) == 1 else words
    if request.pattern is not None:
        yield f"pattern {request.pattern}"
    if request.tuning is not None:
        yield f"tuned {letters(request.tuning)}"
    if request.capo is not None:
        yield f"capo {request.capo}" if request.capo else "without capo"


def letters(tuning: Tuning) -> str:
    """The open strings by letter, low to high."""
    return " ".join(str(pitch.name) for pitch in reversed(tuning.strings))
