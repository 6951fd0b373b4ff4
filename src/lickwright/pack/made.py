"""What does one piece of a build give?"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Protocol


@dataclass(frozen=True, slots=True)
class Made:
    """Files (path in the pack to content), what is said of the tracks among them, and what failed.

    `trouble`: why there is nothing, in plain words; empty if all is well.
    """

    files: dict[str, bytes] = field(default_factory=dict)
    tracks: tuple[dict[str, Any], ...] = ()
    trouble: str = ""


class Job(Protocol):
    """Something that a build makes by itself, in any process."""

    @property
    def key(self) -> str:
        """Fingerprint of all that the result depends on."""
        ...

    @property
    def label(self) -> str:
        """What is being made, for a progress bar."""
        ...

    def make(self) -> Made:
        """Make it."""
        ...
