"""How is a worksheet printed, with its answers on a sheet of their own?"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from lickwright.engrave import NeckSpec, neck_map
from lickwright.pack.paper import set_pdf
from lickwright.pack.worksheet import Question, Worksheet

UNIT_MM = 1.5  # a staff space of a map
CAUTION = (
    "Play what you have written. Stop when the hand tires; if it hurts or stays numb, rest and ask "
    "a doctor."
)


def worksheet_pdf(sheet: Worksheet, *, answers: bool, paper: str, author: str) -> bytes:
    """The sheet, or the answers to it. `paper`: A4 or Letter. Raises HandoutError."""
    questions = [_question(question, answers) for question in sheet.questions]
    return _pdf(
        sheet.title, str(sheet.seed), questions, answers=answers, paper=paper, author=author
    )


def answers_pdf(title: str, maps: Sequence[NeckSpec], *, paper: str, author: str) -> bytes:
    """The answers to the worksheets of a lesson, one map each. Raises HandoutError."""
    questions = [
        {"title": spec.title, "task": "", "maps": [_map(spec)], "lines": []} for spec in maps
    ]
    return _pdf(title, "of the lesson", questions, answers=True, paper=paper, author=author)


def _pdf(
    title: str, seed: str, questions: list[dict[str, Any]], *, answers: bool, paper: str,
    author: str,
) -> bytes:  # fmt: skip
    data = {
        "title": title,
        "author": author,
        "paper": "us-letter" if paper == "Letter" else "a4",
        "seed": seed,
        "answers": answers,
        "unit": UNIT_MM,
        "questions": questions,
        "caution": CAUTION,
    }
    return set_pdf("worksheet.typ", data)


def _question(question: Question, answers: bool) -> dict[str, Any]:
    maps = question.answer_maps if answers else question.shown
    return {
        "title": question.title,
        "task": question.task,
        "maps": [_map(spec) for spec in maps],
        "lines": list(question.answers if answers else question.blanks),
    }


def _map(spec: NeckSpec) -> dict[str, Any]:
    drawn = neck_map(spec)
    return {"picture": drawn.svg, "width": drawn.width_sp, "words": drawn.description}
