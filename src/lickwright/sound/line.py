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
        self._end = 0  # behind the last place in `_samples` that a sound has reached

    def add(self, at: int, sound: NDArray[np.float32]) -> None:
        """Add `sound` so that it begins at sample `at`; what lies before the history is lost."""
        skip = max(0, self._first - at)
        begin = at + skip - self._first
        end = begin + len(sound) - skip
        self._reach(end)
        self._samples[begin:end] += sound[skip:]
        self._end = max(self._end, end)

    def take(self, first: int, last: int, ahead: int) -> NDArray[np.float32]:
        """Samples from `history` before `first` up to `ahead` after `last`, and forget the old.

        `first` must be where the last taking ended.
        """
        self._reach(last + ahead - self._first)
        begin = first - self._history - self._first
        taken = self._samples[begin : last + ahead - self._first].copy()
        self._forget(last - self._history - self._first)
        return taken

    def _reach(self, end: int) -> None:
        if end > len(self._samples):
            grown = np.zeros(end + _MARGIN, np.float32)
            grown[: self._end] = self._samples[: self._end]
            self._samples = grown

    def _forget(self, count: int) -> None:
        """Move all but the first `count` samples to the front."""
        kept = self._samples[count : max(count, self._end)].copy()
        self._samples[: len(kept)] = kept
        self._samples[len(kept) : self._end] = 0
        self._first, self._end = self._first + count, len(kept)
