"""After which bars should a new line begin, so that all lines are about equally full?"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate


def line_starts(widths: Sequence[float], signs: tuple[float, float], width: float) -> list[int]:
    """Index of the first bar of every line but the first.

    `widths`: natural width of each bar; `signs`: width of clef and signatures at the beginning of
    the first line and of the others; `width`: of a line; all in sp. As few lines as possible, and
    among those ways the one whose lines are most equally full (least sum of squared slack).
    """
    until = [0.0, *accumulate(widths)]
    bars = len(widths)

    def slack(start: int, end: int) -> float:
        return width - signs[start > 0] - (until[end] - until[start])

    # best[end]: fewest lines for the bars before `end`, the least cost so, and the last start.
    best: list[tuple[int, float, int]] = [(0, 0.0, 0)]
    for end in range(1, bars + 1):
        ways = []
        for start in range(end - 1, -1, -1):
            room = slack(start, end)
            if room < 0 and start < end - 1:
                break
            lines, cost, _ = best[start]
            ways.append((lines + 1, cost + room * room, start))
        best.append(min(ways))
    starts = []
    end = bars
    while end:
        end = best[end][2]
        starts.append(end)
    return sorted(starts)[1:]
