"""How does one chord go round for ever without a seam?"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from lickwright.band import Backing, chords_backing
from lickwright.sound.backing import backing_sound, bar_seconds, first_bar_seconds
from lickwright.sound.guitar import RATE
from lickwright.sound.human import HUMAN, Human
from lickwright.sound.loudness import normalise
from lickwright.sound.track import Begins, Start, Track, check_length
from lickwright.theory import Chord

_BARS = 4


def chord_loop(
    chord: Chord, like: Backing | None = None, bars: int = _BARS, human: Human = HUMAN
) -> Track:
    """The band on one chord, in the meter, feel, tempo and players of `like`, going round.

    Its samples are exactly `bars` bars long, to the sample nearest, and fit together end to
    beginning: what still rings at the end is heard at the beginning, what comes early at the end.
    """
    row = (chord,) * bars
    usual = chords_backing(row) if like is None else like
    own = chords_backing(row, usual.meter)
    once = replace(usual, changes=own.changes, bars=bars, choruses=1, count_in=0, ending=False)
    return round_and_round(once, human)


def round_and_round(backing: Backing, human: Human = HUMAN) -> Track:
    """One chorus of a backing as a loop; see `chord_loop`."""
    once = replace(backing, choruses=1, count_in=0, ending=False)
    seconds = bar_seconds(once) * once.bars
    check_length(seconds)
    count, origin = round(seconds * RATE), round(first_bar_seconds(once) * RATE)
    sound = backing_sound(once, human)
    places = (np.arange(len(sound)) - origin) % count
    folded = np.zeros((count, 2), np.float64)
    for first in range(0, len(sound), count):  # no place twice in one addition
        part = places[first : first + count]
        folded[part] += sound[first : first + count]
    loud = normalise(np.tile(folded.astype(np.float32), (_copies(count), 1)), RATE)
    middle = loud[count : 2 * count]
    starts = tuple(
        Start(bar * bar_seconds(once), Begins.BAR, bar + 1, once.tempo) for bar in range(once.bars)
    )
    return Track(middle, RATE, starts)


def _copies(count: int) -> int:
    """Rounds that are brought to a loudness together, so that both ends of one see its like."""
    return max(3, -(-3 * RATE // max(1, count)))
