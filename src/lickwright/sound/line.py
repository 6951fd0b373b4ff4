"""How is a sum of sounds kept while it grows at one end and is taken away at the other?"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

_KEPT = 480_000  # samples that it has place for at least


class Line:
    """One line of samples that sounds are added to anywhere ahead and taken from in order.

    Of what was taken, `history` samples are kept, so that filters can look back.
    """

    def __init__(self, history: int) -> None:
        self._history = history
        self._first = -history  # number of the first sample that can still be taken
        self._zeroth = -history  # number of the sample that `_samples` begins with
        self._samples = np.zeros(history + _KEPT, np.float32)

    def add(self, at: int, sound: NDArray[np.float32]) -> None:
        """Add `sound` so that it begins at sample `at`; what lies before the history is lost."""
        skip = max(0, self._first - at)
        heard = sound[skip:]
        if len(heard):
            self._reach(at + len(sound))
            begin = at + skip - self._zeroth
            self._samples[begin : begin + len(heard)] += heard

    def take(self, first: int, last: int, ahead: int) -> NDArray[np.float32]:
        """Samples from `history` before `first` up to `ahead` after `last`, and forget the old.

        `first` must be where the last taking ended. What is given is the line's own memory: to be
        read before anything else is added, and not to be written to.
        """
        self._reach(last + ahead)
        begin, self._first = first - self._history - self._zeroth, last - self._history
        taken = self._samples[begin : last + ahead - self._zeroth]
        taken.flags.writeable = False
        return taken

    def _reach(self, end: int) -> None:
        """Have place up to sample number `end`: forget what is not needed, or grow."""
        if end <= self._zeroth + len(self._samples):
            return
        kept = self._samples[self._first - self._zeroth :].copy()
        needed = end - self._first + _KEPT // 2
        if needed > len(self._samples):
            self._samples = np.zeros(needed, np.float32)
        self._samples[: len(kept)] = kept
        self._samples[len(kept) :] = 0
        self._zeroth = self._first
