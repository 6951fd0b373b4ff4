"""How does this room say that a backing cannot be played, and what would help?"""

from __future__ import annotations


class BandError(ValueError):
    """A backing that cannot be played.

    The message says in plain words what was wanted and what was there instead. `mend` is what
    could stand there, or empty if nothing can be proposed.
    """

    def __init__(self, message: str, mend: str = "") -> None:
        super().__init__(message)
        self.mend = mend
