"""What shape has the line: its climax, call and answer, a figure begun at another place?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from lickwright.phrase import Phrase
from lickwright.reasons.facts import CallAndAnswer, Climax, Displacement
from lickwright.reasons.line import between, note_ids
from lickwright.reasons.tones import Tone

_LEAST_LINE = 5  # tones; a shorter line has no climax to speak of
_LEAST_HALF = 3  # tones in a call, and in an answer
_FIGURES = (6, 5, 4, 3)  # tones; the longest figure that comes again is the one named
_REST = Fraction(1, 2)  # beats of silence, or
_HELD = Fraction(1)  # beats of a held tone, that set a call off


def climaxes(line: Sequence[Tone]) -> Iterator[Climax]:
    """The highest tone, if it is heard once and inside the line."""
    if len(line) < _LEAST_LINE:
        return
    top = max(tone.midi for tone in line)
    highest = [place for place, tone in enumerate(line) if tone.midi == top]
    if len(highest) == 1 and 0 < highest[0] < len(line) - 1 and not line[highest[0]].sharp:
        tone = line[highest[0]]
        yield Climax((tone.note.id,), tone)


def calls_and_answers(line: Sequence[Tone], phrase: Phrase) -> Iterator[CallAndAnswer]:
    """Halves of equally many full bars: the first is left open, the second comes home."""
    bars = [bar for bar in phrase.bars if bar.length == phrase.meter.beats]
    if len(bars) < 2 or len(bars) % 2:
        return
    middle = bars[len(bars) // 2]
    call = between(line, phrase.start, middle.start)
    answer = between(line, middle.start, phrase.end)
    if min(len(call), len(answer)) < _LEAST_HALF:
        return
    stop, home = call[-1], answer[-1]
    set_off = middle.start - stop.end >= _REST or stop.lasts >= _HELD
    tonic = phrase.key.tonic.chroma
    if set_off and stop.chroma != tonic and home.chroma == tonic and not (stop.sharp or home.sharp):
        numbers = (bars[0].number, middle.number - 1, middle.number, bars[-1].number)
        yield CallAndAnswer(note_ids([stop, home]), stop, home, numbers)


def displacements(line: Sequence[Tone], phrase: Phrase) -> Iterator[Displacement]:
    """The longest figure that comes again at another place of the bar; one at most."""
    for count in _FIGURES:
        found = _again(line, count, phrase)
        if found is not None:
            yield found
            return


def _again(line: Sequence[Tone], count: int, phrase: Phrase) -> Displacement | None:
    first_seen: dict[tuple[object, ...], int] = {}
    for place in range(len(line) - count + 1):
        figure = line[place : place + count]
        pitches = tuple(tone.midi for tone in figure)
        if len(set(pitches)) < _LEAST_HALF:
            continue
        gaps = tuple(b.start - a.start for a, b in pairwise(figure))
        earlier = first_seen.setdefault((pitches, gaps), place)
        shift = figure[0].start - line[earlier].start
        if place - earlier >= count and shift % phrase.meter.beats:
            both = [*line[earlier : earlier + count], *figure]
            return Displacement(note_ids(both), count, line[earlier].start, figure[0].start)
    return None
