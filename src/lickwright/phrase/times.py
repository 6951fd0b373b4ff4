"""When does each note begin, arrive and stop, in seconds, graces and quick notes included?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from lickwright.phrase.clock import Clock
from lickwright.phrase.note import Bend, Entry, LinkKind, Mark, Note, Release, Timing
from lickwright.phrase.phrase import Phrase

# Lengths of what is played "quickly", in seconds. Common practice, no source: short enough not to
# be heard as a beat of its own, long enough for its pitch to be heard.
GRACE_SECONDS = 0.07
RAKE_SECONDS = 0.028
QUICK_SECONDS = 0.07
QUICK_MOVE_SECONDS = 0.1  # a quick bend, release or slide
SLIDE_IN_SECONDS = 0.09
STACCATO_SHARE = 0.5  # of the written length
ROOM_SHARE = 0.5  # of the time to its neighbour that quick playing may take at most


@dataclass(frozen=True, slots=True)
class NoteTime:
    """Seconds after the phrase's first count; may be negative for what leads into it.

    `begin`: the sound sets in (a slide-in begins before it arrives). `start`: the note is heard
    at its pitch. `end`: it stops, or the next number of its run takes over.
    """

    note: Note
    begin: float
    start: float
    end: float


@dataclass(frozen=True, slots=True)
class Performance:
    """A phrase in seconds: one time a note, in the phrase's order, at one tempo and feel."""

    phrase: Phrase
    clock: Clock
    times: tuple[NoteTime, ...]

    @property
    def length(self) -> float:
        """Seconds from the first count to the end of the last bar."""
        return self.clock.seconds(self.phrase.end)

    @property
    def runs(self) -> tuple[tuple[NoteTime, ...], ...]:
        """Times grouped as in Phrase.runs."""
        by_id = {time.note.id: time for time in self.times}
        return tuple(tuple(by_id[note.id] for note in run) for run in self.phrase.runs)


@dataclass(frozen=True, slots=True)
class _Approach:
    """How what leads into one onset (beats) shares the time before it.

    `struck`: seconds, unscaled, that its slide-ins and graces reach back; rakes come before them.
    `scale` shrinks everything if the note before is near.
    """

    struck: float
    scale: float


_Approaches = dict[Fraction, _Approach]


def perform(phrase: Phrase, clock: Clock | None = None) -> Performance:
    """Give every note of `phrase` its seconds, by `clock` or at the phrase's own tempo."""
    clock = clock or phrase.clock
    approaches = _approaches(phrase, clock)
    times: dict[str, NoteTime] = {}
    for run in phrase.runs:
        for time in _run_times(run, clock, approaches):
            times[time.note.id] = time
    ordered = tuple(times[note.id] for note in phrase.notes)
    return Performance(phrase, clock, _cut_same_string(ordered))


def _approaches(phrase: Phrase, clock: Clock) -> _Approaches:
    """For each onset, how its lead-in fits between it and the onset before."""
    onsets = sorted({note.onset for note in phrase.notes})
    rooms = {onset: float("inf") for onset in onsets[:1]}
    for before, onset in pairwise(onsets):
        rooms[onset] = (clock.seconds(onset) - clock.seconds(before)) * ROOM_SHARE
    struck = dict.fromkeys(onsets, 0.0)
    raked = dict.fromkeys(onsets, 0.0)
    for note in phrase.notes:
        reaches = raked if _raked(note) else struck
        reaches[note.onset] = max(reaches[note.onset], _reach(note))
    return {
        onset: _Approach(
            struck[onset], min(1.0, rooms[onset] / max(struck[onset] + raked[onset], 1e-9))
        )
        for onset in onsets
    }


def _raked(note: Note) -> bool:
    """True for a muted string that is dragged into what follows."""
    return note.timing is Timing.GRACE and Mark.RAKE in note.marks


def _reach(note: Note) -> float:
    """Seconds before its onset at which a note sets in, if there is room."""
    early = max(0, -note.order) * (RAKE_SECONDS if _raked(note) else GRACE_SECONDS)
    return early + (SLIDE_IN_SECONDS if _slides_in(note) else 0.0)


def _slides_in(note: Note) -> bool:
    return note.entry in (Entry.FROM_BELOW, Entry.FROM_ABOVE) and not note.dead


def _run_times(run: tuple[Note, ...], clock: Clock, approaches: _Approaches) -> Iterator[NoteTime]:
    starts = [_start(note, run, clock, approaches) for note in run]
    for index, (note, start) in enumerate(zip(run, starts, strict=True)):
        begin = start
        if _slides_in(note):
            begin = start - SLIDE_IN_SECONDS * approaches[note.onset].scale
        if index + 1 < len(run):
            end = starts[index + 1]
        else:
            end = max(clock.seconds(note.end), start + 0.02)
            if Mark.STACCATO in note.marks:
                end = start + (end - start) * STACCATO_SHARE
        yield NoteTime(note, begin, start, end)


def _start(note: Note, run: tuple[Note, ...], clock: Clock, approaches: _Approaches) -> float:
    count = clock.seconds(note.onset)
    match note.timing:
        case Timing.COUNTED:
            return count
        case Timing.GRACE:
            approach = approaches[note.onset]
            early = approach.struck + _reach(note) if _raked(note) else -note.order * GRACE_SECONDS
            return count - early * approach.scale
        case Timing.QUICK:
            return count + _quick_delay(note, run, clock)


def _quick_delay(note: Note, run: tuple[Note, ...], clock: Clock) -> float:
    """Seconds from the count at `note.onset` to a quick note after it."""
    group = [n for n in run if n.onset == note.onset and n.order >= 0]
    chain = [n for n in group if n.order > 0]
    first = run.index(group[0])
    before = (group if group[0].order == 0 else [run[first - 1], *group])[: len(chain)]
    steps = [
        _quick_step(n, after, moving=n.onset == note.onset)
        for n, after in zip(before, chain, strict=True)
    ]
    available = clock.seconds(max(n.end for n in group)) - clock.seconds(note.onset)
    scale = min(1.0, available * ROOM_SHARE / sum(steps))
    return sum(steps[: note.order]) * scale


def _quick_step(note: Note, after: Note, *, moving: bool) -> float:
    """Seconds from one number to a quick one after it; `moving`: its quick bends are in them."""
    moves = moving * sum(
        isinstance(g, Bend | Release) for g in note.gestures if getattr(g, "start", None) is None
    )
    slide = after.link is not None and after.link.kind in (
        LinkKind.SLIDE_UP,
        LinkKind.SLIDE_DOWN,
    )
    return (QUICK_MOVE_SECONDS if slide else QUICK_SECONDS) + moves * QUICK_MOVE_SECONDS


def _cut_same_string(times: tuple[NoteTime, ...]) -> tuple[NoteTime, ...]:
    """A new note on a string ends the one before it, also when it begins early."""
    following: dict[int, float] = {}
    cut: list[NoteTime] = []
    for time in sorted(times, key=lambda t: t.begin, reverse=True):
        limit = following.get(time.note.string, float("inf"))
        cut.append(NoteTime(time.note, time.begin, time.start, min(time.end, limit)))
        following[time.note.string] = time.begin
    by_id = {time.note.id: time for time in cut}
    return tuple(by_id[time.note.id] for time in times)
