"""What are a moved phrase's key, chords, name and title?"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from lickwright.neck.move_request import (
    Request,
    first_chord,
    goal_root,
    new_key,
    source_root,
)
from lickwright.phrase import ChordAt, Phrase, Tuning
from lickwright.theory import (
    Chord,
    Interval,
    TheoryError,
    interval_between,
    transpose_chord,
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
        chords=new_chords(phrase, request),
        title=new_title(phrase, request),
    )


# --- chords ----------------------------------------------------------------------------------


def new_chords(phrase: Phrase, request: Request) -> tuple[ChordAt, ...]:
    """The chords, moved like the line; the chord asked for stands where the first one stood."""
    goal = goal_root(phrase, request)
    if goal is None:
        return phrase.chords
    first, wanted = first_chord(phrase), request.chord
    if wanted is not None and first is None:
        return (ChordAt(phrase.start, wanted),)
    up = interval_between(source_root(phrase, request), goal)
    return tuple(
        replace(at, chord=wanted if wanted and at.chord == first else moved_chord(at.chord, up))
        for at in phrase.chords
    )


def moved_chord(chord: Chord, up: Interval) -> Chord:
    """A chord an interval higher; with another letter if that spares it a double accidental."""
    found = [
        moved
        for number in (up.number, up.number - 1, up.number + 1)
        for moved in _moved(chord, number, up.semitones)
    ]
    return min(found, key=_double_accidentals)


def _moved(chord: Chord, number: int, semitones: int) -> Iterator[Chord]:
    try:
        yield transpose_chord(chord, Interval(number, semitones))
    except TheoryError:
        return  # no such interval, or a name that cannot be written


def _double_accidentals(chord: Chord) -> int:
    names = [chord.root] if chord.bass is None else [chord.root, chord.bass]
    return sum(abs(name.alter) > 1 for name in names)


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
        yield _octave_slug(request.octave).replace("-", " ")
    if request.pattern is not None:
        yield f"pattern {request.pattern}"
    if request.tuning is not None:
        yield f"tuned {letters(request.tuning)}"
    if request.capo is not None:
        yield f"capo {request.capo}" if request.capo else "without capo"


def letters(tuning: Tuning) -> str:
    """The open strings by letter, low to high."""
    return " ".join(str(pitch.name) for pitch in reversed(tuning.strings))
