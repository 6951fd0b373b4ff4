"""What does the whole band play, bar by bar, from the count-in to the ending?"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from lickwright.band.backing import Backing
from lickwright.band.bar import BarView
from lickwright.band.bass import play_bass
from lickwright.band.drums import play_drums
from lickwright.band.errors import BandError
from lickwright.band.events import Drum, Event, Player
from lickwright.band.guitar import play_guitar
from lickwright.band.keys import play_keys

_PARTS = {
    Player.DRUMS: play_drums,
    Player.BASS: play_bass,
    Player.KEYS: play_keys,
    Player.GUITAR: play_guitar,
}
_ORDER = {player: index for index, player in enumerate(Player)}
_CLICK = Fraction(1, 8)  # beats


def play(backing: Backing) -> Iterator[Event]:
    """All that the band plays, in order of onset, made bar by bar as it is asked for."""
    yield from count_in(backing)
    for number in range(backing.bar_count):
        yield from play_bar(backing, number)


def count_in(backing: Backing) -> Iterator[Event]:
    """The count before the first bar, one stroke a beat, the first of each bar louder."""
    beats = backing.meter.beats
    for beat in range(-backing.count_in * beats, 0):
        strength = 0.8 if beat % beats == 0 else 0.55
        yield Event(Player.COUNT, Fraction(beat), _CLICK, Drum.STICKS, strength)


def play_bar(backing: Backing, number: int) -> tuple[Event, ...]:
    """What is played in one bar, counted from 0 over all choruses, in order of onset.

    The last bar is the ending's, if there is one. Raises BandError for a bar that is not there.
    """
    if not 0 <= number < backing.bar_count:
        raise BandError(f"wanted a bar from 0 to {backing.bar_count - 1}, got {number}")
    bar = BarView(backing, number)
    events = [
        event for player, part in _PARTS.items() if backing.plays(player) for event in part(bar)
    ]
    return tuple(sorted(events, key=lambda event: (float(event.onset), _ORDER[event.player])))
