"""Where on a system does each beat stand?"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from lickwright.engrave.notation import NotationSystem
from lickwright.engrave.sent import Sent
from lickwright.phrase import Bar, Phrase

START_AIR = 2.2  # from a bar line to the first beat of a bar without notes


@dataclass(frozen=True, slots=True)
class Places:
    """x of the beats of one system (sp), between the known ones in proportion."""

    bars: tuple[Bar, ...]
    edges: tuple[tuple[float, float], ...]  # left and right of each bar
    beats: tuple[Fraction, ...]
    xs: tuple[float, ...]
    known: Mapping[Fraction, float]  # those at which something is written
    start: Fraction  # first beat of the system
    end: Fraction  # beat at which it ends

    def holds(self, beat: Fraction) -> bool:
        """True if the beat stands on this system."""
        return self.start <= beat < self.end

    def x(self, beat: Fraction) -> float:
        """Centre of what stands at a beat; beyond the system, its nearer end."""
        if beat in self.known:
            return self.known[beat]
        at = bisect_right(self.beats, beat) - 1
        if at < 0:
            return self.xs[0]
        if at + 1 >= len(self.beats):
            return self.xs[-1]
        share = (beat - self.beats[at]) / (self.beats[at + 1] - self.beats[at])
        return self.xs[at] + float(share) * (self.xs[at + 1] - self.xs[at])

    def until(self, beat: Fraction) -> float:
        """How far something that ends at a beat may reach: to it, or to the bar line before it."""
        for bar, (_, right) in zip(self.bars, self.edges, strict=True):
            if bar.end == beat:
                return right
        return self.x(beat) if self.holds(beat) else self.edges[-1][1]


def system_places(phrase: Phrase, system: NotationSystem, sent: Sent) -> Places:
    """Read the places of all beats from what verovio drew."""
    bars = tuple(b for b in phrase.bars if f"m{b.number}" in system.bars)
    known = known_places(system, sent)
    edges: list[tuple[float, float]] = []
    for index in range(len(bars)):
        left = system.bar_lines[index - 1] if index else system.left
        right = system.bar_lines[index] if index < len(system.bar_lines) else system.right
        edges.append((left, right))
    knots = dict(known)
    for bar, (left, right) in zip(bars, edges, strict=True):
        inside = [beat for beat in known if bar.start <= beat < bar.end]
        if bar.start not in known:
            knots[bar.start] = left + START_AIR if not inside else min(known[inside[0]], left + 2)
        last = bar.end - Fraction(1, 10**6)
        knots[last] = right - 0.4
    beats = tuple(sorted(knots))
    xs = tuple(knots[beat] for beat in beats)
    return Places(bars, tuple(edges), beats, xs, known, bars[0].start, bars[-1].end)


def known_places(system: NotationSystem, sent: Sent) -> Mapping[Fraction, float]:
    """Centre of what is written at each beat of a line, sp."""
    found: dict[Fraction, float] = {}
    for element, beat in sent.anchors.items():
        if element in system.heads:
            found.setdefault(beat, system.heads[element].x)
        elif element in system.columns:
            found.setdefault(beat, system.columns[element])
    return found
