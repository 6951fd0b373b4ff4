"""How is a sum of sounds kept while it grows at one end and is taken away at the other?"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

_MARGIN = 480_000  # samples by which it grows at least


class Line:
    """One line of samples that sounds are added to anywhere ahead and taken from in order.

    Of what was taken, `history` samples are kept, so that filters can look back.
    """

    def __init__(self, history: int) -> None:
        self._history = history
        self._first = -history  # number of the sample that `_samples` begins with
        self._samples = np.zeros(2 * history + _MARGIN, np.float32)

    def add(self, at: int, sound: NDArray[np.float32]) -> None:
        """Add `sound` so that it begins at sample `at`; what lies before the history is lost."""
        skip = max(0, self._first - at)
        begin = at + skip - self._first
        missing = begin + len(sound) - skip - len(self._samples)
        if missing > 0:
            self._samples = np.pad(self._samples, (0, missing + _MARGIN))
        self._samples[begin : begin + len(sound) - skip] += sound[skip:]

    def take(self, first: int, last: int, ahead: int) -> NDArray[np.float32]:
        """Samples from `history` before `first` up to `ahead` after `last`, and forget the old.

        `first` must be where the last taking ended.
        """
        missing = last + ahead - self._first - len(self._samples)
        if missing > 0:
            self._samples = np.pad(self._samples, (0, missing + _MARGIN))
        begin = first - self._history - self._first
        taken = self._samples[begin : last + ahead - self._first].copy()
        keep = last - self._history - self._first
        self._samples = self._samples[keep:]
        self._first += keep
        return taken
