"""What do the places in the bar say: pickup, repetition, sequence, triplets, space?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from lickwright.phrase import Bar, Note, Phrase
from lickwright.reasons.facts import (
    Likeness,
    Pickup,
    Repetition,
    Space,
    Triplets,
)
from lickwright.reasons.facts import (
    Sequence as ChordSequence,
)
from lickwright.reasons.line import between
from lickwright.reasons.tones import Tone
from lickwright.theory import Chord

_Shaped = tuple[Bar, Chord, list[Tone]]

_LEAST_SHAPE = 3  # notes that make a shape


def pickups(phrase: Phrase) -> Iterator[Pickup]:
    """Notes that lead into the first full bar."""
    first = phrase.bars[0]
    notes = [note.id for note in phrase.notes if note.onset < first.end and not note.dead]
    if phrase.pickup and notes and len(phrase.bars) > 1:
        yield Pickup(tuple(notes), first.length)


def triplets(phrase: Phrase, line: Sequence[Tone]) -> Iterator[Triplets]:
    """Notes on thirds of a beat in a straight simple meter."""
    if phrase.meter.compound or not phrase.feel.straight:
        return
    thirds = tuple(note.id for note in phrase.notes if note.onset.denominator == 3)
    if len(thirds) >= 2 and line:
        yield Triplets(thirds, line[-1].start.denominator == 1)


def spaces(phrase: Phrase) -> Iterator[Space]:
    """A last quarter of a bar or more in which nothing sounds."""
    sounding = [note for note in phrase.notes if not note.dead]
    if not sounding:
        return
    beats = phrase.end - max(note.end for note in sounding)
    if beats * 4 >= phrase.meter.beats:
        last = max(sounding, key=lambda note: note.end)
        yield Space((last.id,), beats, phrase.meter.beats)


def repetitions(phrase: Phrase, line: Sequence[Tone]) -> Iterator[Repetition]:
    """Each full bar with the last earlier one that it is like; the closest likeness counts."""
    notes = _by_bar(phrase)
    seen: dict[object, tuple[Bar, Fraction]] = {}
    for bar in phrase.bars:
        played = notes.get(bar.number, [])
        if bar.length != phrase.meter.beats or len(played) < _LEAST_SHAPE:
            continue
        sung = between(line, bar.start, bar.end)
        pitch = sung[0].midi if sung else Fraction(0)
        looks = list(_looks(bar, played, sung))
        for likeness, key, number in looks:
            if key in seen:
                earlier, was = seen[key]
                one = likeness in (Likeness.LAST_NOTE, Likeness.ONE_NOTE)
                ids = tuple(note.id for note in ([played[number - 1]] if one else played))
                numbers = (earlier.number, bar.number)
                yield Repetition(ids, numbers, likeness, number, int(pitch - was))
                break
        seen |= {key: (bar, pitch) for _, key, _ in looks}


def _looks(
    bar: Bar, played: list[Note], sung: Sequence[Tone]
) -> Iterator[tuple[Likeness, object, int]]:
    """Ways to look at a bar, the closest first: bars with the same key are alike in that way."""
    shape = tuple(_shape(note, bar) for note in played)
    yield Likeness.SAME, ("same", shape), 0
    for place in range(len(shape) - 1, -1, -1):
        likeness = Likeness.LAST_NOTE if place == len(shape) - 1 else Likeness.ONE_NOTE
        others = shape[:place] + shape[place + 1 :]
        yield likeness, ("but one", place, len(shape), others), place + 1
    rhythm = tuple((tone.start - bar.start, tone.lasts) for tone in sung)
    if len(sung) >= _LEAST_SHAPE:
        steps = tuple(after.midi - before.midi for before, after in pairwise(sung))
        if any(steps):
            yield Likeness.MOVED, ("moved", steps, rhythm), 0
        if len({lasts for _, lasts in rhythm}) > 1:  # a row of equal notes is no figure
            yield Likeness.SAME_RHYTHM, ("rhythm", rhythm), 0


def _by_bar(phrase: Phrase) -> dict[int, list[Note]]:
    found: dict[int, list[Note]] = {}
    for note in phrase.notes:
        found.setdefault(note.bar, []).append(note)
    return found


def _shape(note: Note, bar: Bar) -> tuple[object, ...]:
    """All that one hears and sees of a note, apart from how long its end rings over the bar."""
    return (
        note.string, note.fret, note.onset - bar.start, min(note.end, bar.end) - bar.start,
        note.timing, note.order, note.entry, note.link and note.link.kind,
        tuple((type(gesture), getattr(gesture, "to", None)) for gesture in note.gestures),
        note.dead, note.harmonic,
    )  # fmt: skip


def sequences(phrase: Phrase, line: Sequence[Tone]) -> Iterator[ChordSequence]:
    """Bars whose line has one shape, moved as far as the chords under it move."""
    shaped = [
        (bar, chord, tones)
        for bar in phrase.bars
        for tones in [list(between(line, bar.start, bar.end))]
        for chord in [phrase.chord_at(bar.start)]
        if chord is not None and chord.sounds and len(tones) >= _LEAST_SHAPE
    ]
    chain = shaped[:1]
    for before, after in pairwise(shaped):
        if _moved(before[2], after[2], before[0], after[0]) == _chord_step(before[1], after[1]):
            chain.append(after)
            continue
        yield from _sequence(chain)
        chain = [after]
    yield from _sequence(chain)


def _sequence(chain: list[_Shaped]) -> Iterator[ChordSequence]:
    chords = tuple(chord for _, chord, _ in chain)
    if len(chain) >= 2 and len({chord.root.chroma for chord in chords}) >= 2:
        ids = tuple(dict.fromkeys(tone.note.id for _, _, tones in chain for tone in tones))
        yield ChordSequence(ids, tuple(bar.number for bar, _, _ in chain), chords)


def _moved(
    before: list[Tone], after: list[Tone], bar_before: Bar, bar_after: Bar
) -> Fraction | None:
    """Semitones (0 to 11) by which the second line is the first one moved; None if it is not."""
    if len(before) != len(after):
        return None
    steps = {b.midi - a.midi for a, b in zip(before, after, strict=True)}
    same_rhythm = all(
        a.start - bar_before.start == b.start - bar_after.start
        for a, b in zip(before, after, strict=True)
    )
    return steps.pop() % 12 if len(steps) == 1 and same_rhythm else None


def _chord_step(before: Chord, after: Chord) -> int:
    return (after.root.chroma - before.root.chroma) % 12
