"""What ought to be heard, in order? The phrase as a line of beginnings with their pitches."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np

from lickwright.phrase import (
    LinkKind,
    NoteTime,
    Performance,
    Phrase,
    PitchCurve,
    Timing,
    perform,
    run_curve,
)

TOGETHER = 0.012  # seconds: what begins within this is one event
_STEP = 0.004


class Entry(Enum):
    """How an event begins."""

    STRUCK = "struck"
    LEGATO = "legato"  # hammered, pulled, tapped: a change of pitch, hardly an attack
    SLIDE = "slide"
    MUTED = "muted"  # an attack without a pitch


@dataclass(frozen=True, slots=True)
class Voice:
    """One note of an event. MIDI numbers: `first` where it is entered, `low` to `high` over it.

    `fretted` is the pitch without bends; `curve` the whole run's pitch, in seconds of the phrase
    at its written tempo, None for a muted string.
    """

    time: NoteTime
    first: float
    fretted: float
    low: float
    high: float
    curve: PitchCurve | None


@dataclass(frozen=True, slots=True)
class Event:
    """What begins together. Seconds at the written tempo after the first count.

    `begins`: the sound sets in; `arrives`: it is at its pitch (differs where it is slid into);
    `stops`: it is written to stop, or its run goes on. `held`: pitch ranges of what still sounds.
    `busy`: beginnings inside it are part of it (trill, slide off).
    """

    entry: Entry
    voices: tuple[Voice, ...]
    begins: float
    arrives: float
    stops: float
    held: tuple[tuple[float, float], ...] = ()
    busy: bool = False

    @property
    def pitched(self) -> bool:
        """True if a pitch is expected."""
        return self.entry is not Entry.MUTED

    @property
    def ranges(self) -> tuple[tuple[float, float], ...]:
        """Pitch range of each of its own notes, MIDI numbers."""
        return tuple((v.low, v.high) for v in self.voices)


def events_of(phrase: Phrase) -> tuple[Event, ...]:
    """The phrase as events in order of time. Muted strings raked into a note are left out."""
    performance = perform(phrase)
    voices = _voices(performance)
    ordered = sorted(voices, key=lambda v: (v.time.begin, -v.time.note.string))
    groups: list[list[Voice]] = []
    for voice in ordered:
        near = groups and voice.time.begin - groups[-1][0].time.begin < TOGETHER
        if near and _entry(voice) is _entry(groups[-1][0]):
            groups[-1].append(voice)
        else:
            groups.append([voice])
    return tuple(_event(group, voices) for group in groups)


def left_out(phrase: Phrase) -> tuple[str, ...]:
    """Ids of the notes that are not listened for: muted strings raked into another note."""
    return tuple(n.id for n in phrase.notes if n.dead and n.timing is Timing.GRACE)


def _voices(performance: Performance) -> list[Voice]:
    skipped = set(left_out(performance.phrase))
    found: list[Voice] = []
    for run in performance.runs:
        curve = run_curve(performance, run)
        found += [_voice(performance, t, curve) for t in run if t.note.id not in skipped]
    return found


def _voice(performance: Performance, time: NoteTime, curve: PitchCurve | None) -> Voice:
    if curve is None or time.note.dead:
        return Voice(time, 0.0, 0.0, 0.0, 0.0, None)
    fretted = performance.phrase.midi(time.note) or 0.0
    bend = time.note.bend
    first = fretted + (float(bend.to) if bend is not None and bend.struck_bent else 0.0)
    inside = np.arange(time.start + 0.004, max(time.start + 0.006, _still(time)), _STEP)
    pitch = curve.at(inside)
    low, high = float(min(pitch.min(), first)), float(max(pitch.max(), first))
    return Voice(time, first, fretted, low, high, curve)


def _still(time: NoteTime) -> float:
    """Until when a note is looked at for its range: not while it slides away."""
    if time.note.off is not None:
        return time.start + 0.6 * (time.end - time.start)
    return time.end - min(0.12, 0.4 * (time.end - time.start))


def _entry(voice: Voice) -> Entry:
    note = voice.time.note
    if note.dead:
        return Entry.MUTED
    if note.link is None or note.stroke is not None:
        return Entry.STRUCK
    slid = note.link.kind in (LinkKind.SLIDE_UP, LinkKind.SLIDE_DOWN)
    return Entry.SLIDE if slid else Entry.LEGATO


def _event(group: list[Voice], everything: list[Voice]) -> Event:
    begins = min(v.time.begin for v in group)
    arrives = min(v.time.start for v in group)
    stops = max(v.time.end for v in group)
    held = tuple(
        (v.low, v.high)
        for v in everything
        if v not in group and v.time.begin < begins - TOGETHER and v.time.end > arrives + TOGETHER
    )
    busy = any(v.time.note.trill is not None or v.time.note.off is not None for v in group)
    return Event(_entry(group[0]), tuple(group), begins, arrives, stops, held, busy)
