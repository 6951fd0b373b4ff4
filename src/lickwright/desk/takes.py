"""What was heard in a take, for the desk? Plain values: it is done in another process."""

from __future__ import annotations

import tempfile
from dataclasses import asdict
from pathlib import Path
from typing import Any

from lickwright.desk.trouble import DeskError
from lickwright.hear import TakeProblem, hear, read_take
from lickwright.hear.picture import NARROW, picture
from lickwright.hear.table import summary
from lickwright.hear.words import report
from lickwright.lesson import read_lesson


def heard(text: str, name: str, audio: bytes, recording: str) -> dict[str, Any]:
    """A recording (any kind that can be read) against a phrase of a lesson's text."""
    phrase = next((each for each in read_lesson(text).lesson.phrases if each.name == name), None)
    if phrase is None:
        raise DeskError(404, f"there is no phrase {name[:100]} that can be read", "mend it first")
    with tempfile.TemporaryDirectory(prefix="lickwright-take-") as folder:
        file = Path(folder) / (_plain(recording) or "take")
        file.write_bytes(audio)
        try:
            take = read_take(file)
        except TakeProblem as problem:
            raise DeskError(422, f"{problem.where} {problem.what}", problem.mend) from None
    hearing = hear(phrase, take.samples, take.rate)
    told = report(phrase, hearing)
    return {
        "recording": recording,
        "phrase": name,
        "sentences": list(told.sentences),
        "asides": list(told.asides),
        "rows": [asdict(row) | {"fine": row.fine} for row in told.rows],
        "added": list(told.added),
        "summary": asdict(summary(hearing)),
        "wide": picture(phrase, hearing, prefix="take-wide"),
        "narrow": picture(phrase, hearing, NARROW, prefix="take-narrow"),
        "start": hearing.start,
    }


def _plain(name: str) -> str:
    """The last part of a file's name, with plain letters only."""
    return "".join(c for c in name[-80:] if c.isalnum() or c in " .-_").strip(" .")
