"""Which problems mend themselves, and what does the file look like then?"""

from __future__ import annotations

from dataclasses import dataclass

from lickwright.lesson.document import split_lines
from lickwright.lesson.problems import Problem
from lickwright.lesson.read import read_lesson

MOST_ROUNDS = 200


@dataclass(frozen=True, slots=True)
class Mended:
    """A text with all mechanical mends made; `done` says which, `left` what remains."""

    text: str
    done: tuple[Problem, ...]
    left: tuple[Problem, ...]


def mend_text(text: str) -> Mended:
    """Make the mechanical mends one after the other, as each may bring the next to light.

    A mend that would not make its own problem go away is not made.
    """
    done: list[Problem] = []
    refused: set[tuple[int, int, str]] = set()
    problems = read_lesson(text).problems
    for _ in range(MOST_ROUNDS):
        problem = next((p for p in problems if p.fixes and _place(p) not in refused), None)
        if problem is None:
            break
        mended = _apply(text, problem)
        after = read_lesson(mended).problems
        if any(_place(p) == _place(problem) and p.what == problem.what for p in after):
            refused.add(_place(problem))
            continue
        text, problems = mended, after
        done.append(problem)
        refused.clear()
    return Mended(text, tuple(done), problems)


def _place(problem: Problem) -> tuple[int, int, str]:
    return problem.line, problem.column, problem.code


def _apply(text: str, problem: Problem) -> str:
    fixes = {fix.line: fix.text for fix in problem.fixes}
    out = []
    for line in split_lines(text):
        if line.number in fixes:
            ending = line.ending or "\n"
            out.append(fixes[line.number].replace("\n", ending) + line.ending)
        else:
            out.append(line.raw)
    return "".join(out)
