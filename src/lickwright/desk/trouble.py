"""What cannot be done at the desk, and what could be, in plain words?"""

from __future__ import annotations


class DeskError(Exception):
    """Something cannot be done. `status` is the HTTP status (RFC 9110) that says of what kind."""

    def __init__(self, status: int, what: str, mend: str = "") -> None:
        super().__init__(what)
        self.status = status
        self.what = what
        self.mend = mend

    def __reduce__(self) -> tuple[type[DeskError], tuple[int, str, str]]:
        """It goes from one process to another."""
        return DeskError, (self.status, self.what, self.mend)
