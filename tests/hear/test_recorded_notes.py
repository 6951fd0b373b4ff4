"""Are takes heard right that are put together of recorded guitar notes?

Source: the four guitars of the Debian package freepats, see `recorded_notes`; what each recording's
pitch is says Praat's tracker, not ours. The limits lie under what was measured (docs/hearing.md).
"""

from __future__ import annotations

import numpy as np
import pytest
from heard_phrases import aside, named
from made_takes import Plan, carried_out, plan_take
from measure import Counts, harmed
from recorded_notes import GUITARS, needed, of_recordings, recorded

from lickwright.hear import Doubt, Verdict, hear

pytestmark = [needed, pytest.mark.xdist_group("takes")]


def test_the_recordings_are_what_their_labels_say() -> None:
    notes = [note for guitar in GUITARS for note in recorded(guitar)]
    off = [1200 * np.log2(note.true_hz / note.hz) for note in notes]
    assert len(notes) == 40
    assert max(map(abs, off)) < 30


@pytest.mark.parametrize("guitar", GUITARS)
@pytest.mark.parametrize("condition", ["clean", "room + 15 dB"])
def test_takes_of_recorded_notes_reach_the_goals(guitar: str, condition: str) -> None:
    counts = Counts()
    for number, phrase in enumerate(aside()):
        planned = plan_take(phrase, 800 + number)
        sound, rate = of_recordings(planned, guitar)
        counts.add(planned, hear(phrase, harmed(planned, sound, rate, condition), rate))
    assert counts.f1 > 0.96
    assert counts.alarms < 0.7
    assert np.median(counts.bends) < 5
    assert np.percentile(counts.onsets, 95) < 25
    assert counts.unsure < 0.1 * (counts.there + counts.unsure)


@pytest.mark.parametrize("guitar", GUITARS)
@pytest.mark.parametrize("cents", [-55, 0, 30])
def test_a_recorded_bend_is_measured(guitar: str, cents: int) -> None:
    phrase = named("late-tram")
    bent = next(note for note in phrase.notes if note.bend is not None)
    planned = carried_out(phrase, Plan(jitter=0.0, bends={bent.id: cents} if cents else {}))
    found = hear(phrase, *of_recordings(planned, guitar))
    assert found.doubt is Doubt.NONE
    note = found.note(bent.id)
    assert note.verdict is Verdict.PLAYED
    assert note.bend is not None
    assert note.bend.cents == pytest.approx(cents, abs=9)
