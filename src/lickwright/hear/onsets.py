"""How early or late does a note come against the pupil's own beat?"""

from __future__ import annotations

from lickwright.hear.take import Take
from lickwright.hear.verdicts import Punctuality
from lickwright.hear.written import Entry

TOGETHER, A_LITTLE = 0.02, 0.05  # seconds
# Seconds by which a beginning is found late, by kind of entry: measured in own trials on notes
# whose beginnings are known.
LATE = {Entry.STRUCK: 0.0, Entry.MUTED: 0.0, Entry.LEGATO: 0.0, Entry.SLIDE: 0.0}


def error_of(take: Take, index: int) -> float | None:
    """Seconds after the beat at which a found event begins; None if the beat is uncertain."""
    begin = take.begin(index)
    if begin is None or take.beat is None or not take.beat.certain:
        return None
    event = take.events[index]
    return begin - LATE[event.entry] - take.beat.seconds(event.begins)


def punctuality(error: float | None) -> Punctuality:
    """The word for an error in seconds."""
    if error is None:
        return Punctuality.CANNOT_TELL
    late = error > 0
    if abs(error) <= TOGETHER:
        return Punctuality.TOGETHER
    if abs(error) <= A_LITTLE:
        return Punctuality.LITTLE_LATE if late else Punctuality.LITTLE_EARLY
    return Punctuality.LATE if late else Punctuality.EARLY
