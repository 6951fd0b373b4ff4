"""What is wrong with a recording that cannot be listened to, and how can it be mended?"""

from __future__ import annotations


class TakeProblem(Exception):  # noqa: N818 - it is told to a pupil, not an error of the program
    """A recording that cannot be heard: `where` (the file), `what` is wrong, `mend` it how."""

    def __init__(self, where: str, what: str, mend: str) -> None:
        super().__init__(f"{where} {what} {mend}")
        self.where = where
        self.what = what
        self.mend = mend
