"""What does the drummer play: time, back-beat, fills, and the way into a new chorus?"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from lickwright.band.bar import BarView
from lickwright.band.events import Drum, Event, Player
from lickwright.band.pulse import Pulse, Style, first_of_half

_LENGTH = Fraction(1, 4)  # beats; a drum is struck, not held
_TOMS = (Drum.HIGH_TOM, Drum.MIDDLE_TOM, Drum.LOW_TOM)
_Hits = dict[tuple[Fraction, Drum], float]  # beats from the bar's 1, drum -> strength


def play_drums(bar: BarView) -> Iterator[Event]:
    """The drums in one bar."""
    hits = _closing() if bar.closing else _time(bar)
    for offset, drum in sorted(hits, key=lambda place: (place[0], place[1].value)):
        strength = hits[offset, drum]
        length = _open_length(bar, offset) if drum is Drum.OPEN_HAT else _LENGTH
        yield Event(Player.DRUMS, bar.start + offset, length, drum, strength)


def _open_length(bar: BarView, offset: Fraction) -> Fraction:
    """An open hi-hat is closed on the next pulse."""
    ends = (pulse.start + pulse.length for pulse in bar.pulses)
    return min(end for end in ends if end > offset) - offset


def _closing() -> _Hits:
    zero = Fraction(0)
    return {(zero, Drum.KICK): 0.95, (zero, Drum.CRASH): 0.85}


def _time(bar: BarView) -> _Hits:
    hits: _Hits = {}
    fill = _fill_pulses(bar)
    for index, pulse in enumerate(bar.pulses):
        if index >= len(bar.pulses) - fill:
            _fill(hits, bar, pulse, index - len(bar.pulses) + fill, fill)
            continue
        _cymbal(hits, bar, pulse)
        _backbeat(hits, bar, pulse)
        _kick(hits, bar, pulse, index)
    if bar.in_section == 0 and bar.section > 0:
        _begin_section(hits)
    return hits


def _begin_section(hits: _Hits) -> None:
    for cymbal in (Drum.CLOSED_HAT, Drum.RIDE):
        hits.pop((Fraction(0), cymbal), None)
    hits[Fraction(0), Drum.CRASH] = 0.75
    hits[Fraction(0), Drum.KICK] = 0.95


def _rides(bar: BarView) -> bool:
    """Whether time is kept on the ride cymbal rather than on the hi-hat."""
    return bar.section % 2 == 1


def _cymbal(hits: _Hits, bar: BarView, pulse: Pulse) -> None:
    drum = Drum.RIDE if _rides(bar) else Drum.CLOSED_HAT
    hits[pulse.start, drum] = 0.72 if pulse.backbeat else 0.62
    if _rides(bar) and pulse.backbeat:
        hits[pulse.start, Drum.PEDAL_HAT] = 0.4
    for part in pulse.parts:
        if part == pulse.last_part or bar.style in (Style.TRIPLETS, Style.GROUPS):
            if bar.style is Style.SHUFFLE and _rides(bar) and not pulse.backbeat:
                continue  # one, two-and, three, four-and
            opened = not _rides(bar) and bar.energy > 0.6 and bar.chance("open", part) < 0.08
            hits[part, Drum.OPEN_HAT if opened else drum] = 0.5 if opened else 0.42


def _backbeat(hits: _Hits, bar: BarView, pulse: Pulse) -> None:
    calm = bar.energy < 0.3 and bar.style is not Style.STRAIGHT
    if pulse.backbeat:
        hits[pulse.start, Drum.CROSS_STICK if calm else Drum.SNARE] = 0.6 if calm else 0.8
    elif not calm and pulse.parts and bar.chance("ghost", pulse.start) < 0.35 * bar.energy:
        hits[pulse.last_part, Drum.SNARE] = 0.2


def _kick(hits: _Hits, bar: BarView, pulse: Pulse, index: int) -> None:
    middle = first_of_half(bar.backing.meter)
    if index == 0:
        hits[pulse.start, Drum.KICK] = 0.9
    elif index == middle:
        hits[pulse.start, Drum.KICK] = 0.8
    elif bar.style is Style.SHUFFLE:
        hits[pulse.start, Drum.KICK] = 0.3  # felt more than heard, four to the bar
    if pulse.parts and pulse.backbeat and bar.chance("kick", pulse.start) < 0.4 * bar.energy:
        hits[pulse.last_part, Drum.KICK] = 0.6


def _fill_pulses(bar: BarView) -> int:
    """Pulses at the end of the bar that are a fill: half a bar before a new section."""
    count = len(bar.pulses)
    if bar.backing.bars * bar.backing.choruses == 1 or count < 2:
        return 0
    if bar.last_of_section:
        return max(1, count // 2)
    if bar.in_section % 4 == 3 and bar.chance("fill") < 0.3 + 0.4 * bar.energy:
        return 1
    return 0


def _fill(hits: _Hits, bar: BarView, pulse: Pulse, index: int, count: int) -> None:
    """One pulse of a fill: down the drums in a long one, on the snare in a short one."""
    places = [pulse.start, *pulse.parts]
    for number, place in enumerate(places):
        drum, rise = Drum.SNARE, 0.55 + 0.3 * (index * len(places) + number) / (count * len(places))
        if count > 1:
            way = (index * len(places) + number) / (count * len(places))
            drum = (Drum.SNARE, *_TOMS)[int(way * 4)]
        elif number == 0 and not pulse.backbeat:
            continue
        if bar.chance("fill", place) < 0.85 or number == 0:
            hits[place, drum] = rise
    hits[pulse.start, Drum.KICK] = 0.7
