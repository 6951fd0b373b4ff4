"""Which problems mend themselves, and what does the file look like then?"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass

from lickwright.lesson.document import split_lines
from lickwright.lesson.problems import Problem
from lickwright.lesson.read import read_lesson

MOST_ROUNDS = 200

Record = tuple[int, int, str, str]  # line, column, code, what


@dataclass(frozen=True, slots=True)
class Mended:
    """A text with all mechanical mends made; `done` says which, `left` what remains."""

    text: str
    done: tuple[Problem, ...]
    left: tuple[Problem, ...]


def mend_text(text: str) -> Mended:
    """Make the mechanical mends, round after round, as each may bring the next to light.

    A mend that would not make its own problem go away is not made.
    """
    done: list[Problem] = []
    refused: set[Record] = set()
    problems = read_lesson(text).problems
    for _ in range(MOST_ROUNDS):
        chosen = _apart(p for p in problems if p.fixes and _record(p) not in refused)
        if not chosen:
            break
        mended, after, stayed = _try(text, chosen)
        if stayed and len(chosen) > 1:
            chosen = chosen[:1]
            mended, after, stayed = _try(text, chosen)
        if stayed:
            refused.add(_record(chosen[0]))
            continue
        text, problems = mended, after
        done += chosen
        refused.clear()
    return Mended(text, tuple(done), problems)


def _record(problem: Problem) -> Record:
    return problem.line, problem.column, problem.code, problem.what


def _apart(problems: Iterable[Problem]) -> list[Problem]:
    """Problems whose mends touch lines of their own, at least two lines apart."""
    chosen: list[Problem] = []
    last = -2
    for problem in problems:
        lines = [problem.line, *(fix.line for fix in problem.fixes)]
        if min(lines) > last + 1:
            chosen.append(problem)
            last = max(lines)
    return chosen


def _try(text: str, chosen: list[Problem]) -> tuple[str, tuple[Problem, ...], bool]:
    """The text with these mends, what is wrong in it, and whether one of them did no good."""
    mended = _apply(text, chosen)
    after = read_lesson(mended).problems
    longer = sorted(fix.line for p in chosen for fix in p.fixes if "\n" in fix.text)
    left = {_record(problem) for problem in after}
    stayed = any(
        (p.line + bisect_left(longer, p.line), p.column, p.code, p.what) in left for p in chosen
    )
    return mended, after, stayed


def _apply(text: str, chosen: list[Problem]) -> str:
    fixes = {fix.line: fix.text for problem in chosen for fix in problem.fixes}
    out = []
    for line in split_lines(text):
        if line.number in fixes:
            ending = line.ending or "\n"
            out.append(fixes[line.number].replace("\n", ending) + line.ending)
        else:
            out.append(line.raw)
    return "".join(out)
