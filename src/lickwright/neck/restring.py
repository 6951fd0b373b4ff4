"""On which other strings could one note of a phrase be played, and what would that cost the hand?

What is joined to the note (hammered, pulled, slid) goes with it: a join needs one string.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from lickwright.neck.fingering import finger
from lickwright.neck.guitar import Guitar
from lickwright.neck.pattern import Place
from lickwright.neck.placement_phrase import placed_phrase
from lickwright.phrase import Mark, Note, Phrase


@dataclass(frozen=True, slots=True)
class OtherString:
    """A note on another string at the same pitch.

    `string`: 1 = thinnest; `fret`: counted from the capo; `extra`: points that it costs the hand
    beyond the phrase as it is, less than 0 if it is easier; `phrase`: the whole of it.
    """

    string: int
    fret: int
    extra: float
    phrase: Phrase


def other_strings(phrase: Phrase, guitar: Guitar, note_id: str) -> tuple[OtherString, ...]:
    """Every other string for a note that a hand can play there, the easiest first.

    Empty for a muted string and a harmonic. KeyError if there is no such note.
    """
    run = next((run for run in phrase.runs if any(note.id == note_id for note in run)), None)
    if run is None:
        raise KeyError(note_id)
    if any(note.dead or note.harmonic for note in run):
        return ()
    own = next(note for note in run if note.id == note_id)
    now = finger(phrase, guitar)
    found = []
    for string in range(1, len(phrase.tuning.strings) + 1):
        made = _on_string(phrase, run, string, guitar)
        if made is None:
            continue
        there = finger(made, guitar)
        if there.playable or not now.playable:
            fret = own.fret + _frets_up(phrase, own.string, string)
            found.append(OtherString(string, fret, there.cost - now.cost, made))
    return tuple(sorted(found, key=lambda other: (other.extra, other.string)))


def _frets_up(phrase: Phrase, old: int, new: int) -> int:
    """Frets that a note moves up from one string to another to sound the same."""
    strings = phrase.tuning.strings
    return strings[old - 1].midi - strings[new - 1].midi


def _on_string(phrase: Phrase, run: tuple[Note, ...], string: int, guitar: Guitar) -> Phrase | None:
    """The phrase with a run on another string; None if it is not there or another note is."""
    if string == run[0].string or _taken(phrase, run, string):
        return None
    up = _frets_up(phrase, run[0].string, string)
    if not all(_fits(note, fret + up, phrase, guitar) for note in run for fret in _frets(note)):
        return None
    places = {note.id: Place(note.string, note.fret) for note in phrase.notes}
    places |= {note.id: Place(string, note.fret + up) for note in run}
    harmonics = frozenset(note.id for note in phrase.notes if note.harmonic)
    placed = placed_phrase(phrase, places, harmonics, phrase.tuning, phrase.capo)
    moved = {note.id for note in run}
    kept = {new.id: old for old, new in placed.pairs if new is not None and old.id not in moved}
    notes = tuple(_as_it_was(note, kept.get(note.id)) for note in placed.phrase.notes)
    return replace(placed.phrase, notes=notes)


def _as_it_was(note: Note, old: Note | None) -> Note:
    """A note that stays where it is keeps its fingers."""
    return note if old is None else replace(note, finger=old.finger, gestures=old.gestures)


def _frets(note: Note) -> Iterator[int]:
    yield note.fret
    if note.trill is not None:
        yield note.trill.fret


def _fits(note: Note, fret: int, phrase: Phrase, guitar: Guitar) -> bool:
    """Whether the neck has that fret; an open string cannot be bent, shaken or slid."""
    held = note.gestures or note.off or note.entry or (note.link is not None and note.link.slide)
    return (1 if held else 0) <= fret <= guitar.frets - phrase.capo


def _taken(phrase: Phrase, run: tuple[Note, ...], string: int) -> bool:
    """Whether another run on that string sounds meanwhile."""
    first, last = run[0].onset, _busy_to(run)
    return any(
        other[0].onset == first or (other[0].onset < last and _busy_to(other) > first)
        for other in phrase.runs
        if other is not run and other[0].string == string
    )


def _busy_to(run: tuple[Note, ...]) -> Fraction:
    """Beat to which a run needs its string: its end, or the last thing done to what rings on."""
    last = run[-1]
    times = [time for g in last.gestures for time in (g.start, getattr(g, "arrive", None))]
    off = [last.off.start] if last.off is not None else []
    done = max([last.onset, *(time for time in (*times, *off) if time is not None)])
    return done if Mark.LET_RING in last.marks else max(done, last.end)
