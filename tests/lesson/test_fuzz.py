"""Is there any text at all that makes the reader stumble?

LICKWRIGHT_FUZZ_EXAMPLES sets how many texts are tried; a few hundred if it is not set.
"""

from __future__ import annotations

import os
from random import Random

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from lessons import LESSON, WORKED, fenced
from made_licks import make_lick

from lickwright.lesson import lick_lines, mend_text, read_lesson, tidy_text

EXAMPLES = int(os.environ.get("LICKWRIGHT_FUZZ_EXAMPLES", "300"))
FUZZ = settings(max_examples=EXAMPLES, deadline=None, suppress_health_check=list(HealthCheck))
SIGNS = "0123456789-=|/\\()<>xhpbrt~%&ealtdu:·. \t\n\r#`—–−｜\u00a0\u200b\u200f\ufeff\0é٣½¼+×"
PIECES = (
    "tr",
    "pb",
    "b10",
    "1+1/5",
    "(2)",
    "PM--",
    "ring",
    "rake",
    "count |",
    "B |",
    "e |",
    "\n\n",
    "```",
    "```lick a\n",
    "```\n",
    "---\n",
    "tempo: ",
    "meter: 7/8\n",
    "tuning: ",
    "chord |",
    "finger|",
    "mark  |",
    "key: ",
    "feel: shuffle\n",
    "bar 1: ",
    "9" * 40,
)


def _sound(text: str) -> None:
    problems = read_lesson(text).problems
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    assert list(problems) == sorted(problems, key=lambda p: (p.line, p.column, p.code))
    for problem in problems:
        assert 1 <= problem.line <= len(lines)
        assert 1 <= problem.column <= len(lines[problem.line - 1]) + 1
        assert problem.what
        assert problem.mend
        for fix in problem.fixes:
            assert 1 <= fix.line <= len(lines)
            assert fix.text != lines[fix.line - 1] or len(problem.fixes) > 1
    tidy = tidy_text(text)
    assert tidy_text(tidy) == tidy
    mended = mend_text(text)
    assert mend_text(mended.text).text == mended.text
    assert mended.left == read_lesson(mended.text).problems


def _mutated(text: str, rng: Random) -> str:
    for _ in range(rng.choice((1, 1, 2, 3, 8))):
        at = rng.randrange(len(text) + 1)
        size = rng.choice((0, 0, 1, 1, 2, 5, 20))
        new = rng.choice(("", rng.choice(SIGNS), rng.choice(SIGNS), rng.choice(PIECES)))
        if rng.random() < 0.1:
            start = rng.randrange(len(text) + 1)
            new = text[start : start + rng.randrange(60)]
        text = text[:at] + new + text[at + size :]
    return text


@given(st.text(st.sampled_from(SIGNS), max_size=200))
@FUZZ
def test_any_text_at_all(text):
    _sound(text)
    _sound(fenced(text))


@given(st.text(max_size=80))
@FUZZ
def test_any_characters_in_a_row(text):
    _sound(f"```lick a\nB     |8{text}|\ncount |1|\n```\n")
    _sound(f"```lick a\nB     |8|\ncount |1 {text}|\n```\n")
    _sound(f"---\n{text}: {text}\n---\n```stage\n{text}\n```\n")


@given(st.lists(st.sampled_from([*PIECES, *SIGNS]), max_size=60))
@FUZZ
def test_heaps_of_signs(pieces):
    _sound("```lick a\nB     |" + "".join(pieces))


@given(st.sampled_from([LESSON, *map(fenced, WORKED.values())]), st.integers(0, 2**32 - 1))
@FUZZ
def test_mutated_lessons(text, seed):
    _sound(_mutated(text, Random(seed)))


@given(st.integers(0, 2**32 - 1))
@FUZZ
def test_mutated_made_licks(seed):
    rng = Random(seed)
    text = _mutated(fenced(make_lick(rng)), rng)
    _sound(text)
    for lick in read_lesson(text).lesson.licks:
        if lick.phrase is not None:
            (again,) = read_lesson(
                fenced("\n".join(lick_lines(lick)) + "\n", lick.name or "a")
            ).lesson.licks
            assert again.phrase is not None
            assert again.phrase.notes == lick.phrase.notes
