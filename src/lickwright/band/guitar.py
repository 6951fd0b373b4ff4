"""What does the rhythm guitar strum?"""

from __future__ import annotations

from collections.abc import Iterator

from lickwright.band.bar import BarView, Stretch
from lickwright.band.events import Event, Player
from lickwright.band.grip import held_chord
from lickwright.band.patterns import Stroke, strokes, tier
from lickwright.band.pulse import Style

# Common practice, no source. For each style: calm, middle and busy patterns.
_PATTERNS = {
    Style.SHUFFLE: (
        ("2. 4.",),
        ("2. 4.", "1. 2. 3. 4.", "2. 3&. 4."),
        ("1. 2. 2&. 3. 4. 4&.", "1. 1&. 2. 3. 3&. 4.", "1. 2. 3. 4. 4&."),
    ),
    Style.STRAIGHT: (
        ("1 3", "1 2. 4."),
        ("1 2 2& 3& 4", "1 2. 3 4.", "2. 4. 4&."),
        ("1 1&. 2. 2& 3 3&. 4. 4&", "1 2 2& 3& 4 4&", "1. 1&. 2. 3. 3&. 4."),
    ),
    Style.TRIPLETS: (
        ("2. 4.",),
        ("1 2. 3 4.", "2. 2&. 4. 4&."),
        ("1 1&. 2. 2&. 3 3&. 4. 4&.", "1 2. 2&. 3 4."),
    ),
    Style.GROUPS: (
        ("1 2. 3 4.",),
        ("1 1&. 2. 3 3&. 4.", "1 2. 2&. 3. 4."),
        ("1 1&. 2. 2&. 3. 3&. 4. 4&.", "1. 1&. 2 3. 3&. 4"),
    ),
}
_DOWN, _UP, _CHOP = 0.6, 0.45, 0.72
_UP_STRINGS = 4  # an up-stroke catches only the thin ones


def play_guitar(bar: BarView) -> Iterator[Event]:
    """The rhythm guitar in one bar."""
    row = _PATTERNS[bar.style][tier(bar.energy)]
    pattern = "1" if bar.closing else bar.pick(row, "guitar")
    for stretch in bar.stretches():
        for stroke in strokes(bar, stretch, pattern):
            yield from _strummed(bar, stretch, stroke)


def _strummed(bar: BarView, stretch: Stretch, stroke: Stroke) -> Iterator[Event]:
    grip = held_chord(stretch.chord)
    if grip is None:
        return
    strength = _CHOP if stroke.place.backbeat else _DOWN if stroke.place.down else _UP
    for string, midi in grip.notes:
        if stroke.place.down or string <= _UP_STRINGS:
            strong = strength + 0.1 * bar.energy
            yield Event(Player.GUITAR, stroke.onset, stroke.length, midi, strong, string)
