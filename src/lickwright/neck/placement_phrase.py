"""What is a phrase once its notes stand at other places: names, lengths, fingers, repeats?

Lengths follow the lesson format: a new note on a string ends the one before it, and what rings
under a let-ring mark rings to the mark's end if nothing on its string stops it.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

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
    ends, unraked = _ends(phrase, places), _unraked(phrase, places)
    pairs: list[Pair] = []
    for note in phrase.notes:
        moved = None
        if note.id in places:
            marks = note.marks - {Mark.RAKE} if note.onset in unraked else note.marks
            moved = replace(
                note,
                id=f"{note.id.rpartition('/')[0]}/{places[note.id].string}",
                end=ends[note.id],
                harmonic=note.id in harmonics,
                marks=marks,
                **_moved(note, places[note.id], shape),
            )
        pairs.append((note, moved))
    notes = [moved for _, moved in pairs if moved is not None]
    notes.sort(key=lambda n: (n.onset, n.order, -n.string))
    bars = _bars(phrase, pairs)
    made = replace(phrase, notes=tuple(notes), bars=bars, tuning=tuning, capo=capo)
    return Placed(made, tuple(pairs), shape)


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


def _moved(note: Note, place: Place, shape: Shape | None) -> dict[str, Any]:
    """What is another place's doing: string, fret, trills, fingers."""
    by = place.fret - note.fret
    gestures = tuple(
        replace(g, fret=g.fret + by, finger=g.finger if shape else None)
        if isinstance(g, Trill)
        else g
        for g in note.gestures
    )
    return {
        "string": place.string,
        "fret": 0 if note.dead else place.fret,
        "gestures": gestures,
        "finger": note.finger if shape else None,
    }


def _unraked(phrase: Phrase, places: Mapping[str, Place]) -> set[Fraction]:
    """Beats of rakes whose muted strings are all left out."""
    left_out = {note.onset for note in phrase.notes if note.id not in places}
    return left_out - {note.onset for note in phrase.notes if note.dead and note.id in places}


# --- how long they last ----------------------------------------------------------------------


def _ends(phrase: Phrase, places: Mapping[str, Place]) -> dict[str, Fraction]:
    """Where each note ends, by its id."""
    starts: dict[int, list[Fraction]] = {}  # by string, in order as the runs are
    runs = [run for run in phrase.runs if run[0].id in places]
    for run in runs:
        starts.setdefault(places[run[0].id].string, []).append(run[0].onset)
    ends = {note.id: note.end for note in phrase.notes}
    for run in runs:
        last = run[-1]
        if last.timing is Timing.GRACE:
            continue
        onsets = starts[places[last.id].string]
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
