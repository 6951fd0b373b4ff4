"""Is each mistake found where it is, named in the trade's words, and mended?"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

import pytest
from lessons import LESSON, fenced, read

from lickwright.lesson import mend_text, read_lesson

HERE = Path(__file__).parent


@dataclass(frozen=True)
class Case:
    inside: str
    place: str
    code: str
    what: str
    mend: str
    rows: tuple[tuple[int, str], ...]


def _case(text: str) -> Case:
    lines = text.split("\n")
    at = next(i for i, line in enumerate(lines) if line.startswith("  -> "))
    head = re.fullmatch(r"  -> (\d+:\d+) ([a-z-]+): (.*)", lines[at])
    mend = re.fullmatch(r"     mend: (.*)", lines[at + 1])
    rows = [re.fullmatch(r"     row (\d+): (.*)", line) for line in lines[at + 2 :]]
    assert head
    assert mend
    assert all(rows)
    inside = "".join(line + "\n" for line in lines[:at])
    return Case(inside, *head.groups(), mend[1], tuple((int(m[1]), m[2]) for m in rows if m))


def _cases() -> list[Case]:
    text = (HERE / "broken_licks.txt").read_text(encoding="utf-8").strip("\n")
    return [_case(part) for part in re.split(r"\n\n(?=\S)", text)[1:]]


CASES = _cases()
MECHANICAL = [case for case in CASES if case.rows]


def test_all_cases_are_there():
    assert len(CASES) >= 33
    assert len(MECHANICAL) >= 11


@pytest.mark.parametrize("case", CASES, ids=lambda c: f"{c.code}-{c.place}-{c.what[:24]}")
def test_one_record_says_where_what_and_how_to_mend_it(case):
    (problem,) = read(case.inside).problems
    assert f"{problem.line - 1}:{problem.column}" == case.place
    assert problem.code == case.code
    assert problem.what == case.what
    assert problem.mend == case.mend
    assert tuple((fix.line - 1, fix.text) for fix in problem.fixes) == case.rows


@pytest.mark.parametrize("case", MECHANICAL, ids=lambda c: f"{c.code}-{c.place}-{c.what[:24]}")
def test_a_mechanical_mend_takes_its_problem_away(case):
    text = fenced(case.inside)
    mended = mend_text(text)
    assert mended.left == ()
    assert (mended.done[0].code, mended.done[0].what) == (case.code, case.what)
    again = mend_text(mended.text)
    assert (again.text, again.done) == (mended.text, ())


@pytest.mark.parametrize("case", CASES, ids=lambda c: f"{c.code}-{c.place}-{c.what[:24]}")
def test_mending_twice_is_mending_once(case):
    once = mend_text(fenced(case.inside))
    assert mend_text(once.text).text == once.text


def test_all_cases_in_one_file_are_found_in_one_pass():
    text = "".join(fenced(case.inside, f"case-{i}") for i, case in enumerate(CASES))
    found = read_lesson(text).problems
    assert [(p.code, p.what) for p in found] == [(c.code, c.what) for c in CASES]
    assert [p.line for p in found] == sorted(p.line for p in found)


def test_a_broken_phrase_leaves_the_others_whole():
    text = LESSON + fenced("B     |8--5--8--|\ncount |1  & 2   |\n", "broken")
    reading = read_lesson(text)
    assert len(reading.problems) == 1
    assert [lick.name for lick in reading.lesson.licks] == [
        "lean-and-answer",
        "back-step",
        "broken",
    ]
    assert [phrase.name for phrase in reading.lesson.phrases] == ["lean-and-answer", "back-step"]


ROWS = "B     |8--5--|\ncount |1  2  |\n"
SOUND = f"```lick lean-and-answer\n{ROWS}```\n"
OUTSIDE = [
    (
        f"```lick\n{ROWS}```\n",
        (1, "name", "a lick needs a name of its own", "lick my-first-turn"),
        ["```lick my-first-turn"],
    ),
    (
        "\n" * 11 + SOUND + SOUND,
        (16, "name", "this name is taken by the lick in line 12", "lean-and-answer-2"),
        ["```lick lean-and-answer-2"],
    ),
    (
        fenced("B     |8--5--|\ncount |1\t2  |\n"),
        (3, "tab-key", "a tab character hides the columns", "spaces or dashes"),
        [],
    ),
    (
        fenced(f"tempo: fast\n{ROWS}"),
        (
            2,
            "setting",
            "tempo is a number of beats a minute, 20 to 400; got 'fast'",
            "tempo: 120",
        ),
        [],
    ),
    (
        fenced(f"feel: shufle\n{ROWS}"),
        (2, "setting", "'shufle' is no feel; did you mean shuffle?", "feel: shuffle"),
        ["feel: shuffle"],
    ),
    (
        fenced("B     |8--10p8--|x-\\5-|\nG     |---------|7----|\n"),
        (
            2,
            "count",
            "a line of music needs a count row; this one has none",
            "count |?  ?     |?  ? |, with a beat in place of each ?",
        ),
        [],
    ),
    (
        fenced(f"{ROWS}count |1  2  |\n"),
        (
            4,
            "count",
            "one count row for each line of music",
            "a blank line between the two lines",
        ),
        [],
    ),
    (
        "\n" * 11 + f"```lick try\n{ROWS}\nNow play it slowly: with a pick.\n",
        (
            12,
            "fence",
            "the lick begun in line 12 has no closing fence",
            "three backticks after its last row",
        ),
        ["count |1  2  |\n```"],
    ),
]


@pytest.mark.parametrize(("text", "record", "rows"), OUTSIDE, ids=lambda v: str(v)[:40])
def test_outside_the_rows(text, record, rows):
    (problem,) = read_lesson(text).problems
    assert (problem.line, problem.code, problem.what, problem.mend) == record
    assert [fix.text for fix in problem.fixes] == rows
    if rows:
        mended = mend_text(text)
        assert mended.left == ()
        assert [p.what for p in mended.done] == [problem.what]
        assert mend_text(mended.text).text == mended.text
