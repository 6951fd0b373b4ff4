"""How does the pitch move inside one note, and from it to the next of its run?"""

from __future__ import annotations

from dataclasses import dataclass

from lickwright.phrase.clock import Clock
from lickwright.phrase.note import Bend, Entry, Gesture, Note, Release, Trill, Vibrato
from lickwright.phrase.phrase import Phrase
from lickwright.phrase.times import QUICK_MOVE_SECONDS, NoteTime

# Common practice, no source, except where said.
STEP_SECONDS = 0.004  # a hammer-on, pull-off, tap or trill changes the pitch within this time
QUICK_SHARE = 0.4  # of the time at hand that a quick movement takes at most
SLIDE_IN_FRETS = 2
SLIDE_OFF_FRETS = 5
SLIDE_OFF_SECONDS = 0.16
VIBRATO_DELAY_SECONDS = 0.15
VIBRATO_HZ = 5.6  # 5.5 to 8 Hz: Timmers & Desain 2000
VIBRATO_SEMITONES = 0.35  # 0.2 to 0.35 for strings: Timmers & Desain 2000
WIDE_VIBRATO_SEMITONES = 0.8
TRILL_NOTES_A_SECOND = 9.0  # 7.5 to 10.5 for two alternating fingers: Aoki & Kinoshita 2001


@dataclass(frozen=True, slots=True)
class Move:
    """From one MIDI number to another between two moments in seconds."""

    start: float
    end: float
    origin: float
    goal: float


@dataclass(frozen=True, slots=True)
class Shake:
    """Vibrato: `cycles` whole cycles between two moments; `depth` in semitones, with its sign."""

    start: float
    end: float
    depth: float
    cycles: int


@dataclass(frozen=True, slots=True)
class Goal:
    """A pitch aimed for, and when it is there."""

    seconds: float
    midi: float


@dataclass(frozen=True, slots=True)
class NoteMoves:
    """All that happens to the pitch in one note. `last`: MIDI number where it ends."""

    moves: tuple[Move, ...]
    shakes: tuple[Shake, ...]
    targets: tuple[Goal, ...]
    last: float


def slide_in_origin(note: Note) -> int:
    """Semitones from the note to where a slide into it begins (negative: below)."""
    if note.entry is Entry.FROM_ABOVE:
        return SLIDE_IN_FRETS
    return -min(SLIDE_IN_FRETS, note.fret) if note.entry is Entry.FROM_BELOW else 0


class _Pen:
    """Collects the moves of one note while they are worked out in order of time."""

    def __init__(self, pitch: float, now: float) -> None:
        self.pitch = pitch
        self.now = now  # seconds at which the last movement was over
        self.moves: list[Move] = []
        self.shakes: list[Shake] = []
        self.targets: list[Goal] = []

    def move(self, start: float, end: float, goal: float) -> None:
        start = max(start, self.now)
        end = max(end, start)
        if goal != self.pitch:
            self.moves.append(Move(start, end, self.pitch, goal))
        self.pitch, self.now = goal, end

    def frets(self, start: float, end: float, goal: float) -> None:
        """Slide over the frets in steps of a semitone; the last step is over at `end`."""
        steps = max(1, round(abs(goal - self.pitch)))
        origin, start = self.pitch, max(start, self.now)
        slot = (end - start) / steps
        for step in range(1, steps + 1):
            there = start + step * slot
            self.move(there - 0.6 * slot, there, origin + (goal - origin) * step / steps)


def note_moves(
    phrase: Phrase, clock: Clock, time: NoteTime, following: NoteTime | None, pitch: float
) -> NoteMoves:
    """Work out the moves of one note that is entered at MIDI number `pitch`."""
    note = time.note
    fretted = phrase.midi(note)
    assert fretted is not None
    pen = _Pen(pitch, time.begin)
    leave = _leave(clock, time, following)
    _enter(pen, time, fretted)
    moments = _moments(note, clock, time.start, leave)
    open_start: float | None = None  # of an uncounted gesture behind a vibrato
    for index, (gesture, moment) in enumerate(zip(note.gestures, moments, strict=True)):
        start, limit = moment
        start, open_start = (open_start if start is None else start), None
        if isinstance(gesture, Vibrato) and _next_is_uncounted(note, index):
            # The vibrato takes half of what is left, as a bend does that is released uncounted.
            limit = open_start = (max(pen.now, start or pen.now) + limit) / 2
        _gesture(pen, gesture, start, limit, clock, fretted, note)
    _exit(pen, phrase, clock, time, following, leave)
    return NoteMoves(tuple(pen.moves), tuple(pen.shakes), tuple(pen.targets), pen.pitch)


def _enter(pen: _Pen, time: NoteTime, fretted: float) -> None:
    if time.begin < time.start:
        pen.frets(time.begin, time.start, fretted)
        pen.targets.append(Goal(time.start, fretted))
    first = time.note.gestures[0] if time.note.gestures else None
    bent = isinstance(first, Bend) and first.struck_bent
    pitch = fretted + float(first.to) if isinstance(first, Bend) and bent else fretted
    if pen.pitch != pitch:
        pen.move(time.start, time.start + STEP_SECONDS, pitch)
    if bent:
        pen.targets.append(Goal(time.start, pitch))
    pen.now = max(pen.now, time.start)


def _leave(clock: Clock, time: NoteTime, following: NoteTime | None) -> float:
    """Seconds at which the note stops standing: a slide out of it begins, or its end."""
    off = time.note.off
    if off is not None:
        if off.start is not None:
            return min(clock.seconds(off.start), time.end)
        return time.end - min(SLIDE_OFF_SECONDS, (time.end - time.start) * QUICK_SHARE)
    if following is not None and following.note.link is not None and following.note.link.slide:
        start = following.note.link.start
        if start is not None:
            return max(time.start, min(clock.seconds(start), following.start))
        return following.start - min(QUICK_MOVE_SECONDS, (following.start - time.start) * 0.8)
    return time.end


def _moments(
    note: Note, clock: Clock, start: float, leave: float
) -> list[tuple[float | None, float]]:
    """For each gesture: its counted start (None if it has none) and when the next one begins."""
    counted = [None if g.start is None else clock.seconds(g.start) for g in note.gestures]
    limits = [leave] * len(counted)
    for index in range(len(counted) - 2, -1, -1):
        nearest = counted[index + 1]
        limits[index] = limits[index + 1] if nearest is None else min(nearest, leave)
    return list(zip(counted, limits, strict=True))


def _next_is_uncounted(note: Note, index: int) -> bool:
    """True if another gesture follows whose start has no count."""
    return index + 1 < len(note.gestures) and note.gestures[index + 1].start is None


def _gesture(
    pen: _Pen,
    gesture: Gesture,
    start: float | None,
    limit: float,
    clock: Clock,
    fretted: float,
    note: Note,
) -> None:
    match gesture:
        case Bend(struck_bent=True):
            pass  # it was entered bent
        case Bend():
            begin = pen.now if start is None else start
            arrive = clock.seconds(gesture.arrive) if gesture.arrive is not None else None
            _counted_move(pen, begin, arrive, limit, fretted + float(gesture.to))
        case Release():
            begin = (pen.now + limit) / 2 if start is None else start
            arrive = clock.seconds(gesture.arrive) if gesture.arrive is not None else None
            _counted_move(pen, begin, arrive, limit, fretted + float(gesture.to))
        case Vibrato():
            _vibrato(pen, gesture, start, limit, bent=pen.pitch > fretted)
        case Trill():
            _trill(pen, start, limit, pen.pitch + gesture.fret - note.fret)


def _counted_move(pen: _Pen, begin: float, arrive: float | None, limit: float, goal: float) -> None:
    if arrive is None:
        arrive = begin + min(QUICK_MOVE_SECONDS, max(0.0, limit - begin) * QUICK_SHARE)
    pen.move(begin, arrive, goal)
    pen.targets.append(Goal(pen.now, goal))


def _vibrato(pen: _Pen, vibrato: Vibrato, start: float | None, limit: float, *, bent: bool) -> None:
    if start is None:
        start = pen.now + min(VIBRATO_DELAY_SECONDS, max(0.0, limit - pen.now) * 0.3)
    start = max(start, pen.now)
    if limit - start < 0.5 / VIBRATO_HZ:
        return  # no time for even half a shake
    depth = WIDE_VIBRATO_SEMITONES if vibrato.wide else VIBRATO_SEMITONES
    cycles = max(1, round((limit - start) * VIBRATO_HZ))
    # A finger can only pull a fretted string sharp; a bent one it lets down and up again.
    pen.shakes.append(Shake(start, limit, -depth if bent else depth, cycles))


def _trill(pen: _Pen, start: float | None, limit: float, other: float) -> None:
    start = pen.now if start is None else max(start, pen.now)
    if limit - start < 2 * STEP_SECONDS:
        return  # no time for a second note
    notes = max(2, round((limit - start) * TRILL_NOTES_A_SECOND))
    home, slot = pen.pitch, (limit - start) / notes
    step = min(STEP_SECONDS, slot / 2)
    for index in range(1, notes):
        moment = start + index * slot
        pen.move(moment, moment + step, other if index % 2 else home)


def _exit(
    pen: _Pen,
    phrase: Phrase,
    clock: Clock,
    time: NoteTime,
    following: NoteTime | None,
    leave: float,
) -> None:
    note = time.note
    if note.off is not None:
        frets = SLIDE_OFF_FRETS if note.off.up else -min(SLIDE_OFF_FRETS, note.fret)
        pen.frets(leave, time.end, pen.pitch + frets)
    elif following is not None and following.note.link is not None and following.note.link.slide:
        goal = phrase.midi(following.note)
        assert goal is not None
        pen.frets(leave, following.start, goal)
        pen.targets.append(Goal(following.start, goal))
