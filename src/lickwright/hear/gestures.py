"""What is heard of a note's bend, slide, vibrato and trill?"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from lickwright.hear.bends import bend_heard, follow
from lickwright.hear.shakes import steady_pitch, trill_heard, vibrato_heard
from lickwright.hear.slides import slide_heard
from lickwright.hear.take import Take
from lickwright.hear.verdicts import BendHeard, BendVerdict, NoteHeard, Unsure, Verdict
from lickwright.hear.written import Entry, Voice

_LEAST = 0.16  # seconds that a straight note must last to serve as a reference
_MOST = 12  # straight notes looked at


def with_gestures(
    take: Take, index: int, voice: Voice, note: NoteHeard, reference: float
) -> NoteHeard:
    """The note with what is heard of its gestures. `reference`: see reference_of."""
    written = voice.time.note
    heard = note.verdict is Verdict.PLAYED
    if written.bend is not None:
        bend = bend_heard(take, index, voice, reference) if heard else _unheard(voice)
        note = replace(note, bend=bend)
    if written.vibrato is not None and heard:
        note = replace(note, vibrato=vibrato_heard(take, index, voice))
    if written.trill is not None and heard:
        note = replace(note, trill=trill_heard(take, index, voice))
    origin = _slid_from(take, index, voice)
    if origin is not None and heard:
        note = replace(note, slide=slide_heard(take, index, voice, origin))
    return note


def reference_of(take: Take) -> float:
    """Semitones by which the take's straight notes read above what is written, median."""
    found: list[float] = []
    for index, event in enumerate(take.events):
        if take.begin(index) is None or len(event.voices) != 1 or event.held or not event.pitched:
            continue
        voice = event.voices[0]
        start, end = take.span(index)
        if voice.high - voice.low > 0.05 or end - start < _LEAST or len(found) >= _MOST:
            continue
        fine = follow(take, index, voice.fretted - 0.6, voice.fretted + 0.6)
        pitch = steady_pitch(fine)
        if pitch is not None:
            found.append(pitch - take.tuning / 100 - voice.fretted)
    near = [f for f in found if abs(f) < 0.3]
    return float(np.median(near)) if len(near) >= 2 else 0.0


def _unheard(voice: Voice) -> BendHeard:
    bend = voice.time.note.bend
    assert bend is not None
    target = voice.fretted + float(bend.to)
    nothing = (None, None, None, 0.0, 0.0, 0.0)
    return BendHeard(BendVerdict.CANNOT_TELL, target, *nothing, Unsure.NOTE_NOT_HEARD)


def _slid_from(take: Take, index: int, voice: Voice) -> float | None:
    """MIDI number from which a note is slid to; None if it is not."""
    note, event = voice.time.note, take.events[index]
    if voice.curve is None:
        return None
    if event.entry is Entry.SLIDE:
        for before in reversed(take.events[:index]):
            for other in before.voices:
                if other.time.note.string == note.string and other.curve is not None:
                    return float(voice.curve.at(np.array([other.time.start + 0.01]))[0])
    if event.arrives > event.begins + 0.01:
        return float(voice.curve.first)
    return None
