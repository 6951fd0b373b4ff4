"""What do organ or electric piano play behind the soloist?"""

from __future__ import annotations

from collections.abc import Iterator

from lickwright.band.backing import Keyboard
from lickwright.band.bar import BarView, Stretch
from lickwright.band.events import Event, Player
from lickwright.band.patterns import Stroke, strokes, tier
from lickwright.band.pulse import Style
from lickwright.band.voicing import keys_voicing

_HELD = "1"
# Common practice, no source. For each way of counting: calm, middle and busy patterns.
_ORGAN = (
    (_HELD,),
    (_HELD, "1 4&.", "1 3&"),
    ("1 2&. 4&.", "1 3& 4&.", "1& 2&. 3& 4&."),
)
_PIANO = (
    ("1 2&.", "1 3", _HELD),
    ("1 2&.", "2. 3&", "1. 2& 4.", "1& 3."),
    ("1 2& 4&.", "1. 2. 2&. 4.", "1& 2&. 4."),
)
_PIANO_TRIPLETS = (
    ("1 2&", "1 3"),
    ("1 2& 3 4&", "1 2. 2+. 2&. 3 4."),
    ("1. 1+. 1&. 2. 2+. 2&. 3. 3+. 3&. 4. 4+. 4&.", "1 2. 2+. 2&. 3 4. 4+. 4&."),
)
_ON, _OFF = 0.62, 0.5


def play_keys(bar: BarView) -> Iterator[Event]:
    """The keys in one bar."""
    pattern = _HELD if bar.closing else bar.pick(_patterns(bar), "keys")
    for stretch in bar.stretches():
        for stroke in strokes(bar, stretch, pattern) if stretch.chord.sounds else ():
            yield from _pressed(bar, stretch, stroke)


def _patterns(bar: BarView) -> tuple[str, ...]:
    if bar.backing.keyboard is Keyboard.ORGAN:
        return _ORGAN[tier(bar.energy)]
    rows = _PIANO_TRIPLETS if bar.style is Style.TRIPLETS else _PIANO
    return rows[tier(bar.energy)]


def _pressed(bar: BarView, stretch: Stretch, stroke: Stroke) -> Iterator[Event]:
    strength = (_ON if stroke.place.down else _OFF) + 0.15 * bar.energy
    for midi in keys_voicing(stretch.chord, bar.backing.plays(Player.BASS)):
        yield Event(Player.KEYS, stroke.onset, stroke.length, midi, strength)
