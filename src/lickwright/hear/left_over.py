"""What became of events without a place, and which beginnings are notes that are not written?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lickwright.hear.judge import Judged
from lickwright.hear.listen import FRAME
from lickwright.hear.salience import at, pitches
from lickwright.hear.take import Take
from lickwright.hear.verdicts import AddedNote, Unsure, Verdict
from lickwright.hear.written import Entry, Voice

LASTS = 0.06  # seconds that an added note must keep its pitch
STRONG = 0.55  # strength of its beginning
STRONG_NEW = 0.42  # the same if a new pitch begins with it and the level rises
LOUDER = 1.5  # dB that the level rises at least
_NEAR = 0.12  # seconds, or a share of the gap, from where a note is due
_UNPLACED_FRAMES = 2


@dataclass(frozen=True, slots=True)
class Stray:
    """A beginning that no event explains, and the pitch (MIDI number) that begins there."""

    place: int
    seconds: float
    strength: float
    pitch: float


def strays(take: Take) -> list[Stray]:
    """Beginnings inside the phrase that no event explains and that are notes."""
    used = {p for p in take.alignment.places if p is not None}
    if not used:
        return []
    seconds = take.found.seconds
    begin, end = _stretch(take)
    inside = [j for j in range(len(seconds)) if begin < seconds[j] < end - 0.05]
    found = [_stray(take, j) for j in inside if j not in used and not _explained(take, j)]
    return [s for s in found if s is not None]


def _stretch(take: Take) -> tuple[float, float]:
    """Seconds of the take in which the phrase lies; events at its edges may be unplaced."""
    placed = [i for i, p in enumerate(take.alignment.places) if p is not None]
    begin, end = take.span(placed[0])[0], take.span(placed[-1])[1]
    if placed[0] > 0:
        begin = min(begin, take.due(take.events[0].begins) - _NEAR)
    if placed[-1] < len(take.events) - 1:
        end = max(end, take.due(take.events[-1].begins) + 2 * _NEAR)
    return begin, end


def _explained(take: Take, place: int) -> bool:
    """True where a trill or a slide goes on, or a used beginning is too near."""
    second = float(take.found.seconds[place])
    for index, used in enumerate(take.alignment.places):
        if used is None:
            continue
        start, end = take.span(index)
        if take.events[index].busy and start <= second < end + 0.02:
            return True
        if abs(second - start) < 0.045:
            return True
        after = index + 1 < len(take.events) and take.events[index + 1].entry is Entry.SLIDE
        if after and end - 0.16 < second < end:
            return True  # fret steps of a slide
    return False


def _stray(take: Take, place: int) -> Stray | None:
    found = take.found
    if found.strength[place] < STRONG_NEW:
        return None
    second = float(found.seconds[place])
    pitch = _lasting(take, second)
    if pitch is None:
        return None
    before = float(found.before[place])
    rises, new = _rises(take, second), not abs(pitch - before) < 0.6
    if take.clicks_at(second) and not new:
        return None  # the metronome over a note that sounds on
    if not new and not rises:
        return None  # a noise over a note that sounds on
    if found.strength[place] < STRONG and not (new and rises):
        return None
    fresh = found.fresh[place]
    if at(fresh, pitch - 0.3, pitch + 0.3) < 0.8 * fresh.max():
        return None
    return Stray(place, second, float(found.strength[place]), pitch)


def _lasting(take: Take, second: float) -> float | None:
    """The pitch that stands for 60 ms after a beginning; None if none does."""
    stretch = take.pitch[take.frames(second + 0.012, second + 0.14)]
    need = round(LASTS / FRAME)
    for first in range(len(stretch) - need + 1):
        part = stretch[first : first + need]
        if np.isfinite(part).all() and np.ptp(part) < 0.5:
            return float(np.median(part))
    return None


def _rises(take: Take, second: float) -> bool:
    before = take.heard.level[take.frames(second - 0.06, second - 0.02)]
    after = take.heard.level[take.frames(second + 0.01, second + 0.07)]
    return float(after.max()) > float(np.median(before)) + LOUDER


def judge_unplaced(take: Take, index: int, stray: list[Stray]) -> tuple[Judged, Stray | None]:
    """Verdict on an event without a place; with the stray beginning that was played for it."""
    event = take.events[index]
    due = take.due(event.begins)
    low, high = _room(take, index)
    taken = [
        s for s in stray if low < s.seconds < high and abs(s.seconds - due) < _reach(low, high)
    ]
    if taken and event.pitched:
        nearest = min(taken, key=lambda s: abs(s.seconds - due))
        voice = event.voices[0]
        right = voice.low - 0.45 < nearest.pitch < voice.high + 0.45
        verdict = Verdict.PLAYED if right else Verdict.WRONG
        return Judged(verdict, 0.6, nearest.pitch), nearest
    if _sounds_at(take, index, due):
        return Judged(Verdict.CANNOT_TELL, 0.4, None, Unsure.WEAK_ENTRY), None
    if _too_fast(take, index):
        return Judged(Verdict.CANNOT_TELL, 0.4, None, Unsure.TOO_FAST), None
    return Judged(Verdict.MISSED, 0.8, None), None


def _room(take: Take, index: int) -> tuple[float, float]:
    """Seconds between the found events before and after."""
    before = [take.begin(i) for i in range(index)]
    after = [take.begin(i) for i in range(index + 1, len(take.events))]
    low = max((b for b in before if b is not None), default=0.0)
    high = min((b for b in after if b is not None), default=take.heard.seconds)
    return low + 0.02, high - 0.02


def _reach(low: float, high: float) -> float:
    return max(_NEAR, 0.3 * (high - low))


def _sounds_at(take: Take, index: int, due: float) -> bool:
    """True if the tracker hears an unplaced event where it is due, and not its neighbours."""
    event = take.events[index]
    length = (event.stops - event.begins) * take.pace
    stretch = take.pitch[take.frames(due - 0.03, due + min(length, 0.3) + 0.02)]
    real = stretch[np.isfinite(stretch)]
    others = [v for i in (index - 1, index + 1) if 0 <= i < len(take.events)
              for v in take.events[i].voices]  # fmt: skip
    own = [v for v in event.voices if not any(_overlap(v, o) for o in others)]
    hits = [((real > v.low - 0.45) & (real < v.high + 0.45)).sum() for v in own]
    return bool(hits) and min(hits) >= _UNPLACED_FRAMES


def _overlap(one: Voice, other: Voice) -> bool:
    return one.low < other.high + 0.9 and other.low < one.high + 0.9


def _too_fast(take: Take, index: int) -> bool:
    """True if single notes come here at more than eleven a second."""
    event = take.events[index]
    if event.entry is Entry.STRUCK:
        return False
    gaps = [abs(take.events[i].begins - event.begins) * take.pace
            for i in (index - 1, index + 1) if 0 <= i < len(take.events)]  # fmt: skip
    return bool(gaps) and min(gaps) < 1 / 11


def added_notes(take: Take, stray: list[Stray]) -> tuple[AddedNote, ...]:
    """Strays as added notes, each with the written note that it follows."""
    found = []
    for one in stray:
        before = [
            (begin, event)
            for index, event in enumerate(take.events)
            if (begin := take.begin(index)) is not None and begin <= one.seconds
        ]
        after = max(before, key=lambda b: b[0])[1].voices[0].time.note.id if before else None
        found.append(AddedNote(one.seconds, one.pitch, one.strength, after))
    return tuple(found)


def top_pitch(take: Take, place: int) -> float:
    """MIDI number of the most salient new pitch at a beginning."""
    return float(pitches()[int(np.argmax(take.found.fresh[place]))])
