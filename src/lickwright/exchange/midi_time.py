"""At which tick of a MIDI file does each moment of a performance fall?"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from lickwright.band import Backing
from lickwright.phrase import Clock, Meter, Performance
from lickwright.sound.click import count_in_beats

LONGEST_TICK = Fraction(1, 5000)  # seconds; onsets are half of it off at most. Our choice.
_DIVISIONS = tuple(960 << shift for shift in range(6))  # the file format allows up to 32767
_DRIFT_MICROSECONDS = 250  # of a tempo in whole microseconds, before it is brought back


@dataclass(frozen=True, slots=True)
class TickGrid:
    """Beats and seconds to ticks. `division`: ticks a quarter; `lead`: whole bars put in front.

    Tick 0 is a bar line, `lead` bars before the first bar's; a pickup stands where it stands in
    its bar. Beats without swing are whole ticks wherever 960 divides into them; swing is in the
    onsets, as the phrase's clock has it.
    """

    clock: Clock
    division: int
    quarters_a_beat: Fraction
    beats_a_bar: int
    lead: int
    origin: float  # ticks from the file's beginning to 0 seconds of the performance
    ticks_a_second: float

    def beat_tick(self, beat: Fraction) -> int:
        """Tick of a beat of the printed grid, swing left out."""
        return round((beat + self.lead * self.beats_a_bar) * self.quarters_a_beat * self.division)

    def heard_tick(self, beat: Fraction) -> int:
        """Tick at which a written beat is heard, swing and all."""
        return self.tick(self.clock.seconds(beat))

    @property
    def origin_seconds(self) -> float:
        """Seconds from the file's beginning to 0 seconds of the performance."""
        return self.origin / self.ticks_a_second

    def tick(self, seconds: float) -> int:
        """Nearest tick of a moment in seconds of the performance."""
        return round(self.origin + seconds * self.ticks_a_second)

    def seconds(self, tick: int) -> float:
        """Seconds of the performance at a tick."""
        return (tick - self.origin) / self.ticks_a_second


def tick_grid(
    performance: Performance, *, count_in: bool, first: Fraction | None = None
) -> TickGrid:
    """The grid of a performance: fine enough, with whole bars in front for all that leads in.

    `first`: a beat at which something else begins, and that has to be in the file.
    """
    clock, meter = performance.clock, performance.phrase.meter
    division = _division(clock, meter)
    grid = _grid(clock, division, meter, 0)
    earliest = min([grid.beat_tick(performance.phrase.start), *_begins(performance, grid)])
    if count_in:
        earliest = min([earliest, *map(grid.beat_tick, count_in_beats(performance.phrase))])
    if first is not None:
        earliest = min(earliest, grid.beat_tick(first))
    bar = division * meter.beat_in_quarters * meter.beats
    lead = max(0, ceil(-earliest / bar))
    return _grid(clock, division, meter, lead)


def band_grid(backing: Backing) -> TickGrid:
    """The grid of a band that plays alone: it begins with the count-in."""
    meter = backing.meter
    return _grid(backing.clock, _division(backing.clock, meter), meter, backing.count_in)


def _division(clock: Clock, meter: Meter) -> int:
    """The least number of ticks a quarter that are short enough, or the most there may be."""
    quarter = 60 / (clock.tempo * meter.beat_in_quarters)
    fine = [d for d in _DIVISIONS if quarter / d <= LONGEST_TICK]
    return fine[0] if fine else _DIVISIONS[-1]


def _grid(clock: Clock, division: int, meter: Meter, lead: int) -> TickGrid:
    ticks_a_beat = meter.beat_in_quarters * division
    origin = (clock.feel.sounding(clock.origin) + lead * meter.beats) * ticks_a_beat
    return TickGrid(
        clock,
        division,
        meter.beat_in_quarters,
        meter.beats,
        lead,
        float(origin),
        float(clock.tempo / 60 * ticks_a_beat),
    )


def _begins(performance: Performance, grid: TickGrid) -> list[int]:
    return [grid.tick(time.begin) for time in performance.times]


def tempo_changes(grid: TickGrid, end: Fraction) -> list[tuple[int, int]]:
    """Ticks and tempos (whole microseconds a quarter) from the file's beginning to beat `end`.

    A tempo is written once. Only if its rounding would add up to a quarter of a millisecond, after
    many bars, is it one microsecond more or less for some bars.
    """
    exact = Fraction(60_000_000) / (grid.clock.tempo * grid.quarters_a_beat)
    nearest = round(exact)
    changes = [(0, nearest)]
    ahead = Fraction(0)  # microseconds by which the file is late
    bars = grid.lead + ceil(end / grid.beats_a_bar)
    for bar in range(bars):
        tempo = nearest
        if abs(ahead) > _DRIFT_MICROSECONDS:
            tempo = nearest - 1 if ahead > 0 else nearest + 1
        if tempo != changes[-1][1]:
            beat = Fraction((bar - grid.lead) * grid.beats_a_bar)
            changes.append((grid.beat_tick(beat), tempo))
        ahead += (tempo - exact) * grid.quarters_a_beat * grid.beats_a_bar
    return changes
