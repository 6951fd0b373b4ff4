"""What is a phrase once its notes stand at other places: names, lengths, fingers, repeats?

Lengths follow the lesson format: a new note on a string ends the one before it, and what rings
under a let-ring mark rings to the mark's end if nothing on its string stops it.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from lickwright.neck.pattern import Place
from lickwright.phrase import (
    Bar,
    Finger,
    Mark,
    Note,
    Phrase,
    Timing,
    Trill,
    Tuning,
    count_name,
)

Pair = tuple[Note, Note | None]  # a note as it was and as it is; None if it is left out


@dataclass(frozen=True, slots=True)
class Shape:
    """All notes moved alike. `strings`: toward the bass; `frets`: up, below 0 down."""

    strings: int
    frets: int


@dataclass(frozen=True, slots=True)
class Placed:
    """A phrase at other places. `pairs`: each note as it was, in order, and as it is.

    `shape`: None if the notes have not all moved alike.
    """

    phrase: Phrase
    pairs: tuple[Pair, ...]
    shape: Shape | None


def note_id(phrase_name: str, note: Note, bar_start: Fraction, phrase: Phrase) -> str:
    """The id of a note: phrase, bar, count and string."""
    count = count_name(note.onset - bar_start, phrase.meter)
    if note.timing is Timing.GRACE:
        count += f"-g{-note.order}"
    elif note.timing is Timing.QUICK:
        count += f"-q{note.order}"
    return f"{phrase_name}/{note.bar}/{count}/{note.string}"


def placed_phrase(
    phrase: Phrase,
    places: Mapping[str, Place],
    harmonics: frozenset[str],
    tuning: Tuning,
    capo: int,
) -> Placed:
    """Put the notes of a phrase at `places`, by id; those without a place are left out.

    `harmonics`: ids of the notes that are natural harmonics there.
    """
    shape = _shape(phrase, places, harmonics)
    made = [
        (note, _moved(note, places[note.id], harmonics, shape) if note.id in places else None)
        for note in phrase.notes
    ]
    made = _without_empty_rakes(made)
    ends = _ends(phrase, made)
    pairs = [(old, None if new is None else _named(replace(new, end=ends[old.id]), phrase))
             for old, new in made]  # fmt: skip
    notes = sorted(
        (new for _, new in pairs if new is not None), key=lambda n: (n.onset, n.order, -n.string)
    )
    bars = _bars(phrase, pairs)
    moved = replace(phrase, notes=tuple(notes), bars=bars, tuning=tuning, capo=capo)
    return Placed(moved, tuple(pairs), shape)


def _named(note: Note, phrase: Phrase) -> Note:
    start = Fraction((note.bar - 1) * phrase.meter.beats)
    return replace(note, id=note_id(phrase.name, note, start, phrase))


def _shape(phrase: Phrase, places: Mapping[str, Place], harmonics: frozenset[str]) -> Shape | None:
    """How all notes have moved; None if not all alike, or if a finger is gained or lost.

    A harmonic keeps its node, and a muted string has no fret: both follow only from string to
    string.
    """
    strings, frets = set[int](), set[int]()
    for note in phrase.notes:
        if note.id not in places:
            return None
        place = places[note.id]
        strings.add(place.string - note.string)
        if note.harmonic != (note.id in harmonics):
            return None
        if note.dead or note.harmonic:
            continue
        frets.add(place.fret - note.fret)
        if (place.fret == 0) != (note.fret == 0):
            return None
    if len(strings) > 1 or len(frets) > 1:
        return None
    thumb = any(note.finger is Finger.THUMB for note in phrase.notes)
    shape = Shape(next(iter(strings), 0), next(iter(frets), 0))
    return None if thumb and shape.strings else shape


def _moved(note: Note, place: Place, harmonics: frozenset[str], shape: Shape | None) -> Note:
    by = place.fret - note.fret
    gestures = tuple(
        replace(g, fret=g.fret + by, finger=g.finger if shape else None)
        if isinstance(g, Trill)
        else g
        for g in note.gestures
    )
    return replace(
        note,
        string=place.string,
        fret=0 if note.dead else place.fret,
        harmonic=note.id in harmonics,
        gestures=gestures,
        finger=note.finger if shape else None,
    )


def _without_empty_rakes(made: list[Pair]) -> list[Pair]:
    """Take the rake mark from notes whose muted strings are all left out."""
    left_out = {old.onset for old, new in made if new is None}
    raked = {new.onset for _, new in made if new is not None and new.dead}
    return [
        (old, replace(new, marks=new.marks - {Mark.RAKE}))
        if new is not None and new.onset in left_out - raked
        else (old, new)
        for old, new in made
    ]


# --- how long they last ----------------------------------------------------------------------


def _ends(phrase: Phrase, made: Sequence[Pair]) -> dict[str, Fraction]:
    """Where each note ends, by its old id."""
    new = {old.id: note for old, note in made if note is not None}
    starts: dict[int, list[Fraction]] = {}
    runs = [run for run in phrase.runs if run[0].id in new]
    for run in runs:
        starts.setdefault(new[run[0].id].string, []).append(run[0].onset)
    for onsets in starts.values():
        onsets.sort()
    ends = {note.id: note.end for note in phrase.notes}
    for run in runs:
        last = run[-1]
        if last.timing is Timing.GRACE:
            continue
        onsets = starts[new[last.id].string]
        following = onsets[bisect_right(onsets, last.onset) :][:1]
        ends[last.id] = min([_ringing(last, phrase), *following])
    return ends


def _ringing(note: Note, phrase: Phrase) -> Fraction:
    """Where a note ends if no note on its string stops it."""
    if Mark.LET_RING not in note.marks:
        return note.end
    spans = [s for s in phrase.spans if s.mark is Mark.LET_RING and s.start <= note.onset < s.end]
    return max([note.end, *(span.end for span in spans)])


# --- repeated bars ---------------------------------------------------------------------------


def _bars(phrase: Phrase, pairs: Sequence[Pair]) -> tuple[Bar, ...]:
    """The bars; one that repeats the bar before stays so only if it still does."""
    if not any(bar.simile for bar in phrase.bars):
        return phrase.bars
    contents: dict[int, list[tuple[object, ...]]] = {bar.number: [] for bar in phrase.bars}
    for old, new in pairs:
        contents[old.bar].append(_content(old, new, phrase.meter.beats))
    return tuple(
        replace(bar, simile=False)
        if bar.simile and contents[bar.number] != contents.get(bar.number - 1)
        else bar
        for bar in phrase.bars
    )


def _content(old: Note, new: Note | None, beats: int) -> tuple[object, ...]:
    """What has to be the same in a bar and its repeat. An end that has moved never is."""
    where = (old.onset - (old.bar - 1) * beats, old.order)
    if new is None:
        return (*where, None)
    own = old.id if new.end != old.end else ""
    return (*where, new.string, new.fret, new.harmonic, own)
