"""How does the line lead from chord to chord: guide tones, tones ahead of time, enclosures?"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from itertools import pairwise

from lickwright.phrase import ChordAt, Phrase
from lickwright.reasons.facts import Anticipation, Approach, Enclosure, GuideTones, Suspension
from lickwright.reasons.line import before_in_line, note_ids
from lickwright.reasons.motion import (
    STEP,
    anticipating,
    chord_tone,
    foreign,
    suspended,
)
from lickwright.reasons.tones import Tone
from lickwright.theory import place_in_chord

_GUIDES = (3, 7)  # of the chord: what tells it from others (common practice, no source)
_ON_THE_BEAT = 2  # metrical level


def guide_tones(line: Sequence[Tone], phrase: Phrase) -> Iterator[GuideTones]:
    """Thirds and sevenths that lie next to each other across a change, within a beat of it."""
    for last, coming in pairwise(phrase.chords):
        if last.chord == coming.chord:
            continue
        pair = _across(line, coming)
        if pair is None or not all(_guide(tone) for tone in pair):
            continue
        before, after = pair
        if before.chord == last.chord and abs(after.midi - before.midi) <= STEP:
            yield GuideTones(note_ids(pair), before, after)


def _across(line: Sequence[Tone], coming: ChordAt) -> tuple[Tone, Tone] | None:
    """The last tone before a change and the first after it, if that comes within a beat."""
    place = bisect_left(line, coming.beat, key=lambda tone: tone.start)
    if place == 0 or place == len(line):
        return None
    before, after = line[place - 1], line[place]
    soon = after.start - coming.beat < 1 and after.chord == coming.chord
    return (before, after) if soon else None


def _guide(tone: Tone) -> bool:
    return chord_tone(tone) and tone.place is not None and tone.place.number in _GUIDES


def anticipations(line: Sequence[Tone], phrase: Phrase) -> Iterator[Anticipation]:
    """Tones of the next chord that sound before it comes."""
    for place in anticipating(line, phrase):
        tone = line[place]
        coming = next(at for at in phrase.chords if at.beat > tone.start)
        found = place_in_chord(int(tone.midi), coming.chord)
        ahead = coming.beat - tone.start
        yield Anticipation((tone.note.id,), tone, coming.chord, found, ahead)


def suspensions(line: Sequence[Tone]) -> Iterator[Suspension]:
    """Tones of the last chord struck again over the next one, which go home by step."""
    for place in suspended(line):
        tone, home = line[place], line[place + 1]
        yield Suspension(note_ids([tone, home]), tone, home)


def enclosures(line: Sequence[Tone]) -> Iterator[Enclosure]:
    """Two tones, one above and one below, that close in on a chord tone on the beat."""
    for first, second, target in zip(line, line[1:], line[2:], strict=False):
        apart = (first.midi - target.midi, second.midi - target.midi)
        around = apart[0] * apart[1] < 0 and all(abs(each) <= STEP for each in apart)
        from_outside = foreign(first) or foreign(second)
        on_beat = chord_tone(target) and target.level >= _ON_THE_BEAT
        if around and from_outside and on_beat and not first.sharp and not second.sharp:
            yield Enclosure(note_ids([first, second, target]), (first, second), target)


def approaches(line: Sequence[Tone]) -> Iterator[Approach]:
    """Half steps from a foreign tone into a chord tone on a stronger place of the bar."""
    for tone, target in pairwise(line):
        half_step = abs(target.midi - tone.midi) == 1 and not tone.sharp
        stronger = chord_tone(target) and target.level > tone.level
        if half_step and stronger and foreign(tone) and not _enclosed(line, tone):
            yield Approach(note_ids([tone, target]), tone, target)


def _enclosed(line: Sequence[Tone], tone: Tone) -> bool:
    """Whether the tone is the second of an enclosure, which says more."""
    before = before_in_line(line, tone)
    if before is None:
        return False
    place = bisect_left(line, before.start, key=lambda each: each.start)
    return any(True for _ in enclosures(line[place : place + 3]))
