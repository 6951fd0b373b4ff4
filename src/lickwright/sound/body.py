"""What does the wooden body of an acoustic guitar make of its strings?"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from lickwright.sound.amp import amplify
from lickwright.sound.filters import convolve, drawn
from lickwright.sound.guitar import Amp, Body

if TYPE_CHECKING:
    from numpy.typing import NDArray

_TAPS = 4096
# Hz and dB: the air in the body near 100 Hz, the top plate near 200, plates together above; a
# microphone half a metre away. Places of the two lowest resonances: Fletcher & Rossing, The Physics
# of Musical Instruments (from memory); the rest by comparison with a recorded steel-string guitar.
_BODY = (
    (20.0, -40.0),
    (60.0, -16.0),
    (85.0, -4.0),
    (102.0, 5.0),
    (125.0, -2.0),
    (165.0, 0.0),
    (200.0, 6.0),
    (240.0, 0.0),
    (300.0, -2.5),
    (390.0, 2.0),
    (470.0, -2.5),
    (560.0, -0.5),
    (700.0, -5.0),
    (900.0, -4.0),
    (1200.0, -4.5),
    (1700.0, -1.5),
    (2400.0, 2.0),
    (3300.0, 1.0),
    (4700.0, 1.0),
    (6500.0, 2.5),
    (9000.0, 2.0),
    (16000.0, -8.0),
    (24000.0, -44.0),
)


def heard(strings: NDArray[np.float32], through: Amp | Body) -> NDArray[np.float32]:
    """The string sum through amplifier and loudspeaker, or through the body; mono, as long."""
    match through:
        case Amp():
            return amplify(strings, through)
        case Body():
            return convolve(strings, _answer(through))


@cache
def _answer(body: Body) -> NDArray[np.float32]:
    return drawn(_BODY, _TAPS) * np.float32(body.level)
