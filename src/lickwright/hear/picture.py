"""What does a take look like beside what is written? One picture, in strips of a few bars.

Each strip has two lanes: pitch (what is written as a pale band, what was played as a line), and
under it how far each note is from the pupil's own beat.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from html import escape
from itertools import groupby
from math import ceil, floor
from typing import TYPE_CHECKING

import numpy as np

from lickwright.engrave import text_width
from lickwright.engrave.faces import Cut
from lickwright.hear.verdicts import Hearing, NoteHeard, Punctuality, Verdict
from lickwright.hear.words import report
from lickwright.phrase import Bar, Note, Phrase, count_name, perform, run_curve
from lickwright.theory import spell

if TYPE_CHECKING:
    from numpy.typing import NDArray

WIDE, NARROW = 900.0, 360.0  # pixels
BARS_WIDE = 2  # in a strip
LEFT, RIGHT = 46.0, 14.0  # pixels beside the lanes
TOP = 40.0  # for bar numbers and counts
SEMITONE = 13.0  # pixels
BEAT_LANE = 84.0  # height of the lane of times
MOST_MS = 80.0  # what is further off is drawn at the edge
BETWEEN = 30.0  # pixels between two strips
TEXT = 13.0  # pixels
_GAP = 0.05  # seconds without a pitch after which the line is broken
_LEAP = 0.8  # semitones between two frames that are not joined
_ACCENT = "#b5461b"  # readable on light and on dark paper
_SANS = 'font-family="Lickwright Sans, sans-serif"'


@dataclass(frozen=True, slots=True)
class _Map:
    """From written seconds to seconds of the take, through the notes that were found."""

    written: NDArray[np.float64]
    played: NDArray[np.float64]

    def at(self, seconds: NDArray[np.float64]) -> NDArray[np.float64]:
        inner = np.interp(seconds, self.written, self.played)
        first = self._slope(0) * (seconds - self.written[0]) + self.played[0]
        last = self._slope(-1) * (seconds - self.written[-1]) + self.played[-1]
        low = np.where(seconds < self.written[0], first, inner)
        return np.asarray(np.where(seconds > self.written[-1], last, low))

    def _slope(self, end: int) -> float:
        span = self.written[-1] - self.written[0]
        return float((self.played[-1] - self.played[0]) / span) if span > 0 else 1.0


@dataclass(frozen=True, slots=True)
class _Strip:
    """Some bars of the picture. `low`, `high`: MIDI numbers of the pitch lane."""

    bars: tuple[Bar, ...]
    first: float  # seconds of the take at its left edge
    last: float
    width: float
    low: float
    high: float
    top: float

    def x(self, seconds: float) -> float:
        """Pixels from the left; what is far outside stands at the edge."""
        share = (seconds - self.first) / max(self.last - self.first, 1e-6)
        return LEFT + min(1.05, max(-0.05, share)) * (self.width - LEFT - RIGHT)

    def y(self, midi: float) -> float:
        return self.top + TOP + (self.high - midi) * SEMITONE

    @property
    def pitch_end(self) -> float:
        return self.y(self.low)

    @property
    def beat_top(self) -> float:
        return self.pitch_end + 34

    @property
    def beat_middle(self) -> float:
        return self.beat_top + BEAT_LANE / 2

    def beat_y(self, seconds: float) -> float:
        """Late is below, early above."""
        ms = max(-MOST_MS, min(MOST_MS, seconds * 1000))
        return self.beat_middle + ms / MOST_MS * BEAT_LANE / 2

    @property
    def bottom(self) -> float:
        return self.beat_top + BEAT_LANE + 8


def picture(phrase: Phrase, hearing: Hearing, width: float = WIDE, prefix: str = "take") -> str:
    """The picture as SVG, `width` pixels wide; colours follow the text around it.

    `prefix`: begins the ids in it. A narrow picture has one bar in a strip.
    """
    mapping = _mapping(phrase, hearing)
    low, high = _range(phrase, hearing)
    parts: list[str] = []
    top = 8.0
    strips = []
    for bars in _grouped(phrase, BARS_WIDE if width > 600 else 1):
        first, last = _seconds(phrase, mapping, bars)
        strip = _Strip(bars, first, last, width, low, high, top)
        strips.append(strip)
        top = strip.bottom + BETWEEN
    for strip in strips:
        parts += _drawn(phrase, hearing, mapping, strip)
    parts += _legend(top - 6, width)
    height = ceil(top + (18 if width > 600 else 62))
    return _svg(phrase, hearing, parts, width, height, prefix)


def _svg(
    phrase: Phrase, hearing: Hearing, parts: list[str], width: float, height: float, prefix: str
) -> str:
    name = phrase.title or phrase.name
    words = " ".join(report(phrase, hearing).sentences)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" '
        f'width="{width:g}" height="{height:g}" role="img" {_SANS} fill="currentColor" '
        f'aria-labelledby="{prefix}-title {prefix}-desc">'
        f'<title id="{prefix}-title">A take of {escape(name)}</title>'
        f'<desc id="{prefix}-desc">{escape(words)}</desc>{"".join(parts)}</svg>'
    )


def _mapping(phrase: Phrase, hearing: Hearing) -> _Map:
    """Through every note whose place on the pupil's own beat is known."""
    clock = phrase.clock
    notes = {note.id: note for note in phrase.notes}
    known: dict[float, float] = {}
    for heard in hearing.notes:
        if heard.onset is not None and heard.error is not None:
            known.setdefault(clock.seconds(notes[heard.note_id].onset), heard.onset - heard.error)
    written = sorted(known)
    kept = [w for i, w in enumerate(written) if i == 0 or known[w] > known[written[i - 1]]]
    if len(kept) < 2:
        pace = float(phrase.tempo) / hearing.tempo if hearing.tempo else 1.0
        start = hearing.start or 0.0
        ends = np.array([0.0, clock.seconds(phrase.end)])
        return _Map(ends, start + pace * ends)
    return _Map(np.array(kept), np.array([known[w] for w in kept]))


def _range(phrase: Phrase, hearing: Hearing) -> tuple[float, float]:
    """The lowest and highest MIDI number drawn: of what is written, and of wrong notes near it."""
    pitches = [value for _, midi in _curves(phrase) for value in midi]
    pitches += [heard.pitch for heard in hearing.notes if heard.pitch is not None]
    pitches += [extra.pitch for extra in hearing.added]
    low, high = (min(pitches), max(pitches)) if pitches else (52.0, 76.0)
    return floor(low) - 1.5, ceil(high) + 1.5


def _curves(phrase: Phrase) -> Iterator[tuple[NDArray[np.float64], NDArray[np.float64]]]:
    """Written seconds and MIDI numbers of every run."""
    performance = perform(phrase, phrase.clock)
    for run in performance.runs:
        curve = run_curve(performance, run)
        if curve is not None and curve.end > curve.begin:
            count = max(2, round((curve.end - curve.begin) / 0.015))
            seconds = np.linspace(curve.begin, curve.end, count)
            yield seconds, curve.at(seconds)


def _grouped(phrase: Phrase, size: int) -> Iterator[tuple[Bar, ...]]:
    bars = phrase.bars
    first = 1 if phrase.pickup and len(bars) > 1 and size > 1 else 0
    if first:
        yield bars[: first + size]
        first += size
    for at in range(first, len(bars), size):
        yield bars[at : at + size]


def _seconds(phrase: Phrase, mapping: _Map, bars: tuple[Bar, ...]) -> tuple[float, float]:
    """Seconds of the take from a little before the bars to a little behind them."""
    ends = [max(bars[0].start, phrase.start), bars[-1].end]
    first, last = mapping.at(np.array([phrase.clock.seconds(Fraction(end)) for end in ends]))
    return float(first) - 0.12, float(last) + 0.08


def _drawn(phrase: Phrase, hearing: Hearing, mapping: _Map, strip: _Strip) -> list[str]:
    heard = {note.note_id: note for note in hearing.notes}
    notes = [n for n in phrase.notes if any(bar.number == n.bar for bar in strip.bars)]
    return [
        *_lines(phrase, strip),
        *_grid(phrase, mapping, strip, notes),
        *_written(phrase, mapping, strip),
        *_played(hearing, strip),
        *_verdicts(phrase, hearing, mapping, strip, [(n, heard[n.id]) for n in notes]),
        *_times(phrase, mapping, strip, [(n, heard[n.id]) for n in notes]),
    ]


def _lines(phrase: Phrase, strip: _Strip) -> Iterator[str]:
    """A line and a name for each pitch that is written."""
    written = sorted({round(float(v)) for _, m in _curves(phrase) for v in (m[0], m.max())})
    right = strip.width - RIGHT
    last = 1e9
    for midi in written:
        y = strip.y(midi)
        yield _line(LEFT, y, right, y, 0.22)
        if last - y > TEXT:
            yield _text(LEFT - 6, y + 4.5, spell(midi, phrase.key).name.pretty, "end")
            last = y


def _grid(phrase: Phrase, mapping: _Map, strip: _Strip, notes: list[Note]) -> Iterator[str]:
    """Bar lines with their numbers, and the counts under which something is struck."""
    for bar in strip.bars:
        x = strip.x(_at(phrase, mapping, max(bar.start, phrase.start)))
        yield _line(x, strip.top + 4, x, strip.pitch_end, 0.55)
        yield _line(x, strip.beat_top, x, strip.beat_top + BEAT_LANE, 0.55)
        yield _text(x + 4, strip.top + 14, f"bar {bar.number}", weight=600)
    free = -1e9
    for onset in sorted({note.onset for note in notes if note.order == 0}):
        x = strip.x(_at(phrase, mapping, onset))
        name = count_name(onset % phrase.meter.beats, phrase.meter)
        short = name if name.isdigit() else name.lstrip("0123456789")
        half = text_width(short, Cut.SANS, TEXT) / 2
        yield _line(x, strip.top + TOP - 4, x, strip.pitch_end, 0.12)
        if x - half > free:
            yield _text(x, strip.top + 31, short, "middle")
            free = x + half + 3


def _written(phrase: Phrase, mapping: _Map, strip: _Strip) -> Iterator[str]:
    for seconds, midi in _curves(phrase):
        at = mapping.at(seconds)
        inside = (at >= strip.first) & (at <= strip.last)
        points = [(strip.x(float(s)), strip.y(float(m)))
                  for s, m in zip(at[inside], midi[inside], strict=True)]  # fmt: skip
        if len(points) > 1:
            yield _path(points, 'stroke-width="9" stroke-linecap="round" opacity=".2"')


def _played(hearing: Hearing, strip: _Strip) -> Iterator[str]:
    line: list[tuple[float, float]] = []
    before = (-1e9, 0.0)
    for second, midi in zip(hearing.pitch_seconds, hearing.pitch_midi, strict=True):
        shown = strip.first <= second <= strip.last and strip.low <= midi <= strip.high
        joined = second - before[0] < _GAP and abs(midi - before[1]) < _LEAP
        if (not shown or not joined) and line:
            yield from _stroke(line)
            line = []
        if shown:
            line.append((strip.x(second), strip.y(midi)))
        before = (second, midi)
    yield from _stroke(line)


def _stroke(line: list[tuple[float, float]]) -> Iterator[str]:
    if len(line) > 2:  # shorter ones are noise of the tracker
        yield _path(line, 'stroke-width="1.8" stroke-linejoin="round"')


def _verdicts(
    phrase: Phrase,
    hearing: Hearing,
    mapping: _Map,
    strip: _Strip,
    notes: list[tuple[Note, NoteHeard]],
) -> Iterator[str]:
    for note, heard in notes:
        if heard.written is None:
            continue
        x, y = strip.x(_at(phrase, mapping, note.onset)), strip.y(heard.written)
        if heard.verdict is Verdict.MISSED:
            yield _cross(x + 5, y)
        elif heard.verdict is Verdict.WRONG and heard.pitch is not None and heard.onset is not None:
            there = strip.y(heard.pitch)
            yield (f'<path d="M{x + 5:.1f} {y:.1f}V{there:.1f}" stroke="{_ACCENT}" fill="none" '
                   'stroke-width="1.5" stroke-dasharray="3 3"/>')  # fmt: skip
            yield f'<circle cx="{x + 5:.1f}" cy="{there:.1f}" r="5" fill="{_ACCENT}"/>'
        elif heard.verdict is Verdict.CANNOT_TELL:
            yield _text(x + 3, y - 8, "?", weight=600)
        if heard.bend is not None and heard.bend.cents is not None:
            yield from _reached(strip, heard)
    for extra in hearing.added:
        if strip.first <= extra.onset < strip.last:
            x, y = strip.x(extra.onset), strip.y(extra.pitch)
            yield (f'<path d="M{x - 5:.1f} {y:.1f}h10M{x:.1f} {y - 5:.1f}v10" stroke="{_ACCENT}" '
                   'stroke-width="2.2" fill="none"/>')  # fmt: skip


def _reached(strip: _Strip, heard: NoteHeard) -> Iterator[str]:
    """How far off a bend is, beside the place where it stands."""
    bend = heard.bend
    assert bend is not None
    assert bend.cents is not None
    if abs(bend.cents) < 10 or bend.start is None:
        return
    at = bend.start + (bend.reach or 0.0)
    y = strip.y(bend.target + bend.cents / 100)
    x = min(strip.x(at) + 6, strip.width - RIGHT - 34)
    if strip.first <= at <= strip.last:
        said = f"{bend.cents:+.0f}".replace("-", "\N{MINUS SIGN}")
        yield _text(x, y + (18 if bend.cents < 0 else -9), said, accent=True)


def _times(
    phrase: Phrase, mapping: _Map, strip: _Strip, notes: list[tuple[Note, NoteHeard]]
) -> Iterator[str]:
    left, right = LEFT, strip.width - RIGHT
    inner = 20 / MOST_MS * BEAT_LANE
    yield (f'<rect x="{left:g}" y="{strip.beat_middle - inner / 2:.1f}" width="{right - left:.1f}" '
           f'height="{inner:.1f}" opacity=".1"/>')  # fmt: skip
    yield _line(left, strip.beat_middle, right, strip.beat_middle, 0.5)
    yield _text(left - 6, strip.beat_top + 10, "early", "end")
    yield _text(left - 6, strip.beat_top + BEAT_LANE - 2, "late", "end")
    yield _text(left - 6, strip.beat_middle + 4.5, "beat", "end")
    free = -1e9
    for _, group in groupby(notes, key=lambda pair: pair[0].onset):
        pair = next((each for each in group if each[1].error is not None), None)
        if pair is None:
            continue
        note, heard = pair
        assert heard.error is not None
        x = strip.x(_at(phrase, mapping, note.onset))
        y = strip.beat_y(heard.error)
        off = heard.punctuality not in (Punctuality.TOGETHER, Punctuality.CANNOT_TELL)
        colour = f'stroke="{_ACCENT}"' if off else 'stroke="currentColor"'
        yield (f'<path d="M{x:.1f} {strip.beat_middle:.1f}V{y:.1f}" {colour} stroke-width="2" '
               'fill="none"/>')  # fmt: skip
        fill = f'fill="{_ACCENT}"' if off else ""
        yield f'<circle cx="{x:.1f}" cy="{y:.1f}" r="3.4" {fill}/>'
        said = f"{5 * round(abs(heard.error) * 200)}"
        room = text_width(said, Cut.SANS, TEXT) + 8
        if off and x > free:
            at, anchor = (x - 7, "end") if x + room > right else (x + 7, "start")
            yield _text(at, y + 4.5, said, anchor, accent=True)
            free = x + room


def _legend(y: float, width: float) -> Iterator[str]:
    """What the signs mean; in three rows on a narrow picture."""
    entries = (
        ('<path d="M0 -4h22" stroke="currentColor" stroke-width="9" stroke-linecap="round" '
         'opacity=".2"/>', "written"),
        ('<path d="M0 -4h22" stroke="currentColor" stroke-width="1.8"/>', "played"),
        (f'<circle cx="11" cy="-4" r="5" fill="{_ACCENT}"/>', "another note"),
        (_cross(11, -4), "not heard"),
        (f'<path d="M6 -4h10M11 -9v10" stroke="{_ACCENT}" stroke-width="2.2"/>', "not written"),
        ('<text x="8" y="0" font-weight="600" font-size="13">?</text>', "cannot tell"),
    )  # fmt: skip
    x, row = LEFT, 0
    for sign, words in entries:
        need = 30 + text_width(words, Cut.SANS, TEXT) + 22
        if x + need > width - RIGHT + 22:
            x, row = LEFT, row + 1
        place = f"translate({x:.1f} {y + 22 * row:.1f})"
        yield f'<g transform="{place}">{sign}{_text(30, 0, words)}</g>'
        x += need


def _at(phrase: Phrase, mapping: _Map, beat: Fraction) -> float:
    return float(mapping.at(np.array([phrase.clock.seconds(Fraction(beat))]))[0])


def _line(x: float, y: float, to_x: float, to_y: float, opacity: float) -> str:
    return (f'<path d="M{x:.1f} {y:.1f}L{to_x:.1f} {to_y:.1f}" stroke="currentColor" '
            f'stroke-width="1" opacity="{opacity:g}"/>')  # fmt: skip


def _path(points: list[tuple[float, float]], how: str) -> str:
    way = "L".join(f"{x:.1f} {y:.1f}" for x, y in points)
    return f'<path d="M{way}" fill="none" stroke="currentColor" {how}/>'


def _cross(x: float, y: float) -> str:
    return (f'<path d="M{x - 5:.1f} {y - 5:.1f}l10 10m0 -10l-10 10" stroke="{_ACCENT}" '
            'stroke-width="2.2" fill="none"/>')  # fmt: skip


def _text(
    x: float, y: float, words: str, anchor: str = "start", weight: int = 400, *,
    accent: bool = False,
) -> str:  # fmt: skip
    bold = f' font-weight="{weight}"' if weight != 400 else ""
    colour = f' fill="{_ACCENT}" font-weight="600"' if accent else ""
    side = f' text-anchor="{anchor}"' if anchor != "start" else ""
    return (f'<text x="{x:.1f}" y="{y:.1f}" font-size="{TEXT:g}"{side}{bold}{colour}>'
            f"{escape(words)}</text>")  # fmt: skip
