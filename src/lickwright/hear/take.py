"""All that is known of a take when it is judged: its frames, beginnings, events and beat."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from lickwright.hear.align import Alignment
from lickwright.hear.beat import Beat
from lickwright.hear.candidates import Candidates
from lickwright.hear.listen import FRAME, Listened
from lickwright.hear.written import Event

if TYPE_CHECKING:
    from numpy.typing import NDArray


CLICK_NEAR = 0.03  # seconds around a click in which it may be taken for a beginning


@dataclass(frozen=True, slots=True, eq=False)
class Take:
    """`pitch`: MIDI numbers by frame without the tuning (cents)."""

    heard: Listened
    pitch: NDArray[np.float64]
    tuning: float
    found: Candidates
    events: tuple[Event, ...]
    alignment: Alignment
    beat: Beat | None

    def due(self, written: float) -> float:
        """Seconds of the take at which what is written at `written` seconds ought to be."""
        return self.beat.seconds(written) if self.beat is not None else written

    @property
    def pace(self) -> float:
        """Played seconds a written second."""
        return self.beat.pace if self.beat is not None else 1.0

    def begin(self, index: int) -> float | None:
        """Seconds at which an event was found to begin; None if it was not found."""
        place = self.alignment.places[index]
        return None if place is None else float(self.found.seconds[place])

    def span(self, index: int) -> tuple[float, float]:
        """Seconds from which to which a found event sounds, at most until the next one begins."""
        event = self.events[index]
        start = self.begin(index)
        assert start is not None
        end = start + (event.stops - event.begins) * self.pace
        later = (self.begin(i) for i in range(index + 1, len(self.events)))
        after = next((b for b in later if b is not None), end)
        return start, max(min(end, after), start + 0.03)

    def frames(self, start: float, end: float) -> slice:
        """Pitch frames whose centres lie between two seconds, at least one."""
        first = max(0, int(np.ceil(start / FRAME)))
        return slice(first, max(first + 1, int(np.floor(end / FRAME)) + 1))

    def clicks_at(self, second: float) -> bool:
        """True if a metronome clicks there."""
        return any(abs(click - second) < CLICK_NEAR for click in self.heard.clicks)

    def level_at(self, start: float, end: float) -> float:
        """Highest level between two seconds, dB."""
        stretch = self.heard.level[self.frames(start, end)]
        return float(stretch.max()) if len(stretch) else -120.0
