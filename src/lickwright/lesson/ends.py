"""When does a note stop by itself, if nothing holds it?"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from fractions import Fraction

from lickwright.lesson.drafts import Rest

Beat = Fraction


def next_count(counts: Sequence[Beat], after: Beat, end: Beat) -> Beat:
    """The first of the (sorted) counts after a beat, or the lick's end."""
    index = bisect_right(counts, after)
    return counts[index] if index < len(counts) else end


def natural_end(
    after: Beat, string: int, strikes: Sequence[Beat], rests: Sequence[Rest], end: Beat
) -> Beat:
    """Where a note whose last counted thing is at `after` stops.

    At the next strike on any string, at a silent count that does not spare its string, or at the
    lick's end. `strikes` and `rests` are sorted.
    """
    index = bisect_right(strikes, after)
    stops = [strikes[index]] if index < len(strikes) else []
    index = bisect_right(rests, after, key=_beat)
    later = (rests[i] for i in range(index, len(rests)))
    stops += [next((rest.beat for rest in later if string not in rest.spared), end)]
    return min([*stops, end])


def _beat(rest: Rest) -> Beat:
    return rest.beat
