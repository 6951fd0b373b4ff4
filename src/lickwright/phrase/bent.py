"""At which pitches is a note written while it is bent and released?"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from lickwright.phrase.note import Bend, Note, Release

SHORTEST_HALVED = Fraction(1, 2)  # beats; a quick release in less is not given a head of its own


@dataclass(frozen=True, slots=True)
class Stage:
    """One written pitch of a note: from `start` to `end` (beats), `bent` semitones up."""

    start: Fraction
    end: Fraction
    bent: Fraction


def stages(note: Note, end: Fraction) -> tuple[Stage, ...]:
    """The written pitches of a note that is written up to `end` (beats), in order.

    A bend less than a semitone high is no written pitch of its own. A movement that lasts from
    count to count is written where it arrives; one that has no count is written where it sounds:
    a bend at the beginning, a release halfway through what is left.
    """
    found = [Stage(note.onset, end, Fraction(0))]
    for gesture in note.gestures:
        if isinstance(gesture, Bend | Release):
            _add(found, _moment(gesture, found[-1].start, _limit(note, gesture, end)), gesture)
    return tuple(found)


def _limit(note: Note, gesture: Bend | Release, end: Fraction) -> Fraction:
    """Beat at which the next counted movement begins, or the note ends."""
    later = note.gestures[note.gestures.index(gesture) + 1 :]
    return min([end, *(g.start for g in later if g.start is not None)])


def _moment(gesture: Bend | Release, now: Fraction, limit: Fraction) -> Fraction:
    if gesture.arrive is not None:
        return gesture.arrive
    if gesture.start is not None:
        return gesture.start
    return now if isinstance(gesture, Bend) else (now + limit) / 2


def _add(found: list[Stage], moment: Fraction, gesture: Bend | Release) -> None:
    last = found[-1]
    bent = gesture.to if gesture.to >= 1 else Fraction(0)
    quick = gesture.start is None and gesture.arrive is None
    too_short = isinstance(gesture, Release) and quick and last.end - last.start < SHORTEST_HALVED
    if bent == last.bent or too_short or not last.start <= moment < last.end:
        return
    found.pop()
    if moment > last.start:
        found.append(Stage(last.start, moment, last.bent))
    found.append(Stage(moment, last.end, bent))
