"""How are the verdicts on a take put together?"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import numpy as np

from lickwright.hear.doubt import doubt_of
from lickwright.hear.gestures import reference_of, with_gestures
from lickwright.hear.judge import Judged, entry_heard, judge_voice
from lickwright.hear.left_over import Stray, added_notes, judge_unplaced, strays
from lickwright.hear.listen import FRAME
from lickwright.hear.onsets import error_of, punctuality
from lickwright.hear.take import Take
from lickwright.hear.verdicts import Hearing, NoteHeard, Unsure, Verdict
from lickwright.hear.written import Voice, left_out
from lickwright.phrase import Phrase

LEAST_ENTRY = 0.12  # evidence of its beginning under which nothing is said of a note


def hearing_of(phrase: Phrase, take: Take) -> Hearing:
    """All verdicts on a take."""
    stray, reference = strays(take), reference_of(take)
    notes: dict[str, NoteHeard] = {n: _not_judged(phrase, n) for n in left_out(phrase)}
    for index in range(len(take.events)):
        if take.begin(index) is not None:
            notes |= _found(phrase, take, index, reference)
        else:
            made, used = _unplaced(phrase, take, index, stray)
            stray = [s for s in stray if s is not used]
            notes |= made
    ordered = tuple(notes[n.id] for n in phrase.notes)
    return _whole(phrase, take, ordered, stray)


def _whole(phrase: Phrase, take: Take, notes: tuple[NoteHeard, ...], stray: list[Stray]) -> Hearing:
    doubt, reasons = doubt_of(take, notes)
    errors = [abs(n.error) for n in notes if n.error is not None]
    beat = take.beat if take.beat is not None and take.beat.certain else None
    there = np.flatnonzero(np.isfinite(take.pitch))
    written_beat = phrase.clock.beat_seconds
    return Hearing(
        phrase=phrase.name,
        doubt=doubt,
        reasons=reasons,
        start=None if beat is None else beat.start,
        tempo=None if beat is None else 60 / (written_beat * beat.pace),
        drift=None if beat is None else beat.drift,
        tuning=take.tuning,
        steadiness=float(np.median(errors) * 1000) if len(errors) >= 4 else None,
        cost=take.alignment.cost_per_event,
        notes=notes,
        added=added_notes(take, stray),
        pitch_seconds=tuple((there * FRAME).tolist()),
        pitch_midi=tuple(take.pitch[there].tolist()),
        onsets=tuple(take.found.seconds[take.found.strength > 0.3].tolist()),
        clicks=take.heard.clicks,
        length=take.heard.seconds,
    )


def _not_judged(phrase: Phrase, note_id: str) -> NoteHeard:
    note = next(n for n in phrase.notes if n.id == note_id)
    verdict, unsure = Verdict.CANNOT_TELL, Unsure.NO_PITCH_ASKED
    return NoteHeard(note_id, verdict, 0.0, None, note.end - note.onset, unsure=unsure)


def _found(phrase: Phrase, take: Take, index: int, reference: float) -> dict[str, NoteHeard]:
    made: dict[str, NoteHeard] = {}
    for voice in take.events[index].voices:
        judged = _sure_entry(take, index, judge_voice(take, index, voice))
        note = _note(phrase, voice, judged)
        if judged.verdict is not Verdict.MISSED:
            start, end = take.span(index)
            error = error_of(take, index)
            beats = (end - start) / (phrase.clock.beat_seconds * take.pace)
            note = replace(note, onset=start, end=end, beats=beats)
            note = replace(note, error=error, punctuality=punctuality(error))
            note = with_gestures(take, index, voice, note, reference)
        made[note.note_id] = note
    return made


def _sure_entry(take: Take, index: int, judged: Judged) -> Judged:
    if judged.verdict is Verdict.PLAYED and entry_heard(take, index) < LEAST_ENTRY:
        return Judged(Verdict.CANNOT_TELL, 0.4, judged.pitch, Unsure.WEAK_ENTRY)
    return judged


def _unplaced(
    phrase: Phrase, take: Take, index: int, stray: list[Stray]
) -> tuple[dict[str, NoteHeard], Stray | None]:
    judged, used = judge_unplaced(take, index, stray)
    made = {}
    for voice in take.events[index].voices:
        note = _note(phrase, voice, judged)
        if used is not None:
            note = replace(note, onset=used.seconds)
        made[note.note_id] = note
    return made, used


def _note(phrase: Phrase, voice: Voice, judged: Judged) -> NoteHeard:
    note = voice.time.note
    return NoteHeard(
        note_id=note.id,
        verdict=judged.verdict,
        evidence=judged.evidence,
        written=phrase.midi(note),
        written_beats=Fraction(note.end - note.onset),
        pitch=judged.pitch,
        unsure=judged.unsure,
    )
