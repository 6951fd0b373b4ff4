"""Does a phrase written as a block of its own read as the same phrase anywhere?"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from random import Random

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from lessons import read
from made_licks import make_lick

from lickwright.lesson import phrase_block, read_lesson
from lickwright.phrase import Phrase

OTHER_FILE = (
    "---\nkey: Db\ntempo: 211\nmeter: 12/8\nfeel: shuffle 70%\ntuning: D A D G A D\ncapo: 4\n---\n"
)
DEMO = Path(__file__).parents[2] / "examples" / "thursday-class.md"


def again(phrase: Phrase) -> Phrase:
    reading = read_lesson(OTHER_FILE + "\n".join(phrase_block(phrase)) + "\n")
    assert reading.problems == ()
    return reading.lesson.phrases[0]


@given(st.integers(0, 2**32 - 1))
@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.filter_too_much])
def test_it_reads_as_the_same_phrase_in_another_file(seed: int) -> None:
    reading = read(make_lick(Random(seed)))
    assume(not reading.problems)
    phrase = reading.lesson.licks[0].phrase
    assert phrase is not None
    assert again(phrase) == phrase


PHRASES = read_lesson(DEMO.read_text(encoding="utf-8")).lesson.phrases


@pytest.mark.parametrize("phrase", PHRASES, ids=[phrase.name for phrase in PHRASES])
def test_the_demo_lesson_too(phrase: Phrase) -> None:
    found = again(phrase)
    assert replace(found, chords=()) == replace(phrase, chords=())
    for bar in phrase.bars:  # a repeated bar may say its chord again
        assert found.chord_at(bar.start) == phrase.chord_at(bar.start)
    assert again(replace(phrase, title="")).title == ""
