"""How is each bar written: which voices, printed values, rests, ties, tuplets and beams?"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby, pairwise

from lickwright.phrase.bent import Stage, stages
from lickwright.phrase.meter import Meter
from lickwright.phrase.note import Mark, Note, Timing
from lickwright.phrase.phrase import Bar, Phrase
from lickwright.phrase.tuplets import Tuplet, find_tuplets
from lickwright.phrase.values import (
    Stretch,
    Value,
    beam_groups,
    split_plain,
    split_units,
    value_of,
)
from lickwright.phrase.voices import Slice, Sounding, part_voices


@dataclass(frozen=True, slots=True)
class ScoreNote:
    """One head of an event.

    `bent`: semitones above the fretted pitch at which it is written (always 0 unless asked for).
    `stage`: which of the written pitches of its note it is, from 0; only heads of one stage are
    tied together.
    """

    note: Note
    tie_in: bool = False
    tie_out: bool = False
    bent: Fraction = Fraction(0)
    stage: int = 0


@dataclass(frozen=True, slots=True)
class ScoreEvent:
    """One printed value: a note, chord or rest.

    `start` and `duration` are beats, `start` as in Note. `tuplet` is shared by all events under
    one bracket, `beam` (a number within the voice) by all events under one beam. `graces` are
    small notes before it, each a chord. A `hidden` rest only fills the time of its voice.
    """

    start: Fraction
    duration: Fraction
    value: Value
    notes: tuple[ScoreNote, ...] = ()
    graces: tuple[tuple[Note, ...], ...] = ()
    tuplet: Tuplet | None = None
    beam: int | None = None
    whole_bar: bool = False  # a rest that fills its bar, whatever the meter
    hidden: bool = False

    @property
    def rest(self) -> bool:
        """True if nothing sounds."""
        return not self.notes

    @property
    def end(self) -> Fraction:
        """Beat at which it is over."""
        return self.start + self.duration


@dataclass(frozen=True, slots=True)
class ScoreBar:
    """One bar with its voices, the higher one first. Each voice fills the bar exactly."""

    bar: Bar
    voices: tuple[tuple[ScoreEvent, ...], ...]


@dataclass(frozen=True, slots=True)
class _Part:
    """One note at one written pitch, with the times at which that begins and ends."""

    note: Note
    stage: Stage
    index: int


def score_bars(phrase: Phrase, *, written_bends: bool = False) -> tuple[ScoreBar, ...]:
    """Split every bar of `phrase` into printed values.

    Notes under a let-ring mark are written up to the next strike, the mark says that they ring on.
    With `written_bends` a note whose bend or release has a time of its own is written as one head
    a pitch; otherwise every note keeps its fretted pitch throughout.
    """
    parts: list[list[_Part]] = [[] for _ in phrase.bars]
    for part in _parts(phrase, written_bends):
        for number in _bars_of(part.stage.start, part.stage.end, phrase):
            parts[number].append(part)
    instants: list[list[Note]] = [[] for _ in phrase.bars]
    for note in phrase.notes:
        if note.instant:
            instants[int(note.onset // phrase.meter.beats)].append(note)
    return tuple(
        _score_bar(phrase, bar, parts[i], instants[i]) for i, bar in enumerate(phrase.bars)
    )


def one_line(phrase: Phrase) -> Phrase:
    """The same phrase with every note ended by the next strike, so that one voice is enough."""
    onsets = sorted({note.onset for note in phrase.notes})
    following = dict(pairwise([*onsets, phrase.end]))
    notes = tuple(replace(note, end=min(note.end, following[note.onset])) for note in phrase.notes)
    return replace(phrase, notes=notes)


def _bars_of(start: Fraction, end: Fraction, phrase: Phrase) -> range:
    """Indexes of the bars in which something sounds from `start` to `end` (beats)."""
    first, last = start // phrase.meter.beats, -(-end // phrase.meter.beats)
    return range(int(first), min(int(last), len(phrase.bars)))


def _parts(phrase: Phrase, written_bends: bool) -> list[_Part]:
    onsets = sorted({note.onset for note in phrase.notes})
    rings = [span for span in phrase.spans if span.mark is Mark.LET_RING]
    parts = []
    for note in phrase.notes:
        end = note.end
        if any(span.start <= note.onset < span.end for span in rings):
            end = min([end, *(onset for onset in onsets if onset > note.onset)])
        if end > note.onset:
            found = stages(note, end) if written_bends else (Stage(note.onset, end, Fraction(0)),)
            parts += [_Part(note, stage, index) for index, stage in enumerate(found)]
    return parts


def _score_bar(phrase: Phrase, bar: Bar, parts: list[_Part], instants: list[Note]) -> ScoreBar:
    sounding = [
        Sounding(max(p.stage.start, bar.start), min(p.stage.end, bar.end), p) for p in parts
    ]
    voices = part_voices(sounding, lambda part: _height(phrase, part))
    filled = [_fill(voice, bar) for voice in voices]
    written = [_write(slices, bar, phrase.meter) for slices in filled]
    graced = _with_graces(instants, written)
    return ScoreBar(bar, tuple(map(tuple, _hide_rests(graced))))


def _height(phrase: Phrase, part: _Part) -> float:
    midi = phrase.midi(part.note)
    return float(phrase.tuning.midi(part.note.string, 0)) if midi is None else midi


def _fill(slices: list[Slice[_Part]], bar: Bar) -> list[Slice[_Part]]:
    """Put silent slices where a voice has nothing."""
    filled: list[Slice[_Part]] = []
    now = bar.start
    for item in slices:
        if item.start > now:
            filled.append(Slice(now, item.start, ()))
        filled.append(item)
        now = item.end
    if now < bar.end:
        filled.append(Slice(now, bar.end, ()))
    return filled


def _write(slices: list[Slice[_Part]], bar: Bar, meter: Meter) -> list[ScoreEvent]:
    """Write one voice of a bar in printed values."""
    if len(slices) == 1 and not slices[0].sounding and bar.length == meter.beats:
        return [ScoreEvent(bar.start, bar.length, Value(1), whole_bar=True)]
    origin = Fraction((bar.number - 1) * meter.beats)
    points = [place - origin for item in slices for place in (item.start, item.end)]
    tuplets = find_tuplets(points, meter)
    events: list[ScoreEvent] = []
    for item in slices:
        pieces = _pieces((item.start - origin, item.end - origin), tuplets, meter, item.sounding)
        events += [_event(item, piece, tuplet, origin, meter) for piece, tuplet in pieces]
    return _with_beams(events, origin, meter)


def _pieces(
    stretch: Stretch, tuplets: list[Tuplet], meter: Meter, sounding: tuple[_Part, ...]
) -> Iterator[tuple[Stretch, Tuplet | None]]:
    """Cut one slice into printed values; places from where the bar would begin if it were full."""
    now, end = stretch
    for tuplet in tuplets:
        if tuplet.end <= now or end <= tuplet.start:
            continue
        if now < tuplet.start:
            yield from _plain((now, tuplet.start), meter, sounding)
            now = tuplet.start
        stop = min(end, tuplet.end)
        first, count = (now - tuplet.start) / tuplet.unit, (stop - now) / tuplet.unit
        for left, right in split_units(int(count), int(first)):
            yield (tuplet.start + left * tuplet.unit, tuplet.start + right * tuplet.unit), tuplet
        now = stop
    if now < end:
        yield from _plain((now, end), meter, sounding)


def _plain(
    stretch: Stretch, meter: Meter, sounding: tuple[_Part, ...]
) -> Iterator[tuple[Stretch, Tuplet | None]]:
    for piece in split_plain(stretch, meter, rest=not sounding):
        yield piece, None


def _event(
    item: Slice[_Part],
    piece: Stretch,
    tuplet: Tuplet | None,
    origin: Fraction,
    meter: Meter,
) -> ScoreEvent:
    start, end = piece
    scale = Fraction(tuplet.actual, tuplet.normal) if tuplet else Fraction(1)
    value = value_of((end - start) * meter.beat_in_wholes * scale)
    assert value is not None
    begin, stop = start + origin, end + origin
    notes = tuple(_score_note(part, begin, stop) for part in item.sounding)
    if tuplet is not None:
        tuplet = replace(tuplet, start=tuplet.start + origin, end=tuplet.end + origin)
    return ScoreEvent(begin, stop - begin, value, notes, tuplet=tuplet)


def _score_note(part: _Part, start: Fraction, end: Fraction) -> ScoreNote:
    stage = part.stage
    return ScoreNote(part.note, stage.start < start, end < stage.end, stage.bent, part.index)


def _with_beams(events: list[ScoreEvent], origin: Fraction, meter: Meter) -> list[ScoreEvent]:
    """Number the beams: neighbours with flags in one group of the meter, or in one tuplet."""
    starts = [origin + place for place in beam_groups(meter)[:-1]]

    def group(event: ScoreEvent) -> tuple[Fraction, bool]:
        anchor = event.tuplet.start if event.tuplet else event.start
        return max(s for s in starts if s <= anchor), not event.rest and event.value.base >= 8

    beamed: list[ScoreEvent] = []
    number = 0
    for (_, flagged), members in groupby(events, group):
        for run in _whole_tuplets(list(members), events):
            beam = number if flagged and len(run) > 1 else None
            number += beam is not None
            beamed += [replace(event, beam=beam) for event in run]
    return beamed


def _whole_tuplets(run: list[ScoreEvent], events: list[ScoreEvent]) -> list[list[ScoreEvent]]:
    """Cut a run where it would hold only part of a tuplet beside other notes."""
    sizes = {event.tuplet: sum(e.tuplet == event.tuplet for e in events) for event in run}
    parts: list[list[ScoreEvent]] = []
    for tuplet, members in groupby(run, lambda event: event.tuplet):
        part = list(members)
        whole = tuplet is None or len(part) == sizes[tuplet]
        if whole and parts and parts[-1][-1].tuplet in (None, *_complete(parts[-1], sizes)):
            parts[-1] += part
        else:
            parts.append(part)
    return parts


def _complete(part: list[ScoreEvent], sizes: dict[Tuplet | None, int]) -> list[Tuplet]:
    last = part[-1].tuplet
    return [last] if last and sum(e.tuplet == last for e in part) == sizes[last] else []


def _with_graces(instants: list[Note], voices: list[list[ScoreEvent]]) -> list[list[ScoreEvent]]:
    """Hang each grace or instant start on the event that it leads into."""
    at: dict[tuple[int, int], dict[int, list[Note]]] = {}
    for note in instants:
        at.setdefault(_goal(note, voices), {}).setdefault(_rank(note, instants), []).append(note)
    result = [list(voice) for voice in voices]
    for (voice, index), ranks in at.items():
        graces = tuple(tuple(ranks[rank]) for rank in sorted(ranks, reverse=True))
        result[voice][index] = replace(result[voice][index], graces=graces)
    return result


def _goal(note: Note, voices: list[list[ScoreEvent]]) -> tuple[int, int]:
    """Voice and index of the event at or last before the note's onset, best on its own string."""

    def fit(place: tuple[int, int]) -> tuple[bool, Fraction, bool, int]:
        event = voices[place[0]][place[1]]
        same = any(head.note.string == note.string for head in event.notes)
        return not event.rest and event.start == note.onset, event.start, same, -place[0]

    places = [
        (v, i)
        for v, voice in enumerate(voices)
        for i, event in enumerate(voice)
        if event.start <= note.onset
    ]
    return max(places, key=fit)


def _rank(note: Note, instants: Iterable[Note]) -> int:
    """How many small notes stand between this one and its event."""
    later = sum(
        1
        for n in instants
        if n.string == note.string and n.onset == note.onset and n.order > max(note.order, -1)
    )
    return later + (-note.order - 1 if note.timing is Timing.GRACE else 0)


def _hide_rests(voices: list[list[ScoreEvent]]) -> list[list[ScoreEvent]]:
    """Show a rest only where no voice sounds, and once."""
    if len(voices) == 1:
        return voices
    upper, lower = voices
    covered = [
        replace(e, hidden=True) if e.rest and _sounds_throughout(e, lower) else e for e in upper
    ]
    return [covered, [replace(e, hidden=True) if e.rest else e for e in lower]]


def _sounds_throughout(rest: ScoreEvent, voice: list[ScoreEvent]) -> bool:
    return all(not e.rest for e in voice if e.start < rest.end and rest.start < e.end)
