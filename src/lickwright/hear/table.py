"""How are many takes put side by side? One line each, for a screen and for a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from lickwright.hear.verdicts import BendVerdict, Doubt, Hearing, Punctuality, Verdict

HEAD = (
    "recording", "pupil", "lesson", "phrase", "tempo", "notes right", "notes", "wrong", "missed",
    "added", "bends in tune", "bends", "bend cents", "in time", "timed", "tuning cents", "first",
)  # fmt: skip
_DANGEROUS = ("=", "+", "-", "@", "\t", "\r")  # a spreadsheet would take it for a formula


@dataclass(frozen=True, slots=True)
class Summary:
    """A take in numbers. `tempo` in beats a minute, `tuning` in cents; both 0 if unknown.

    `bend_cents`: each judged bend's distance from its target, cents. `timed`: notes whose time is
    known; `together`: those within 20 ms of the pupil's own beat. `doubt`: whether it is the
    phrase at all.
    """

    phrase: str
    doubt: str
    tempo: int
    tuning: int
    notes: int
    right: int
    wrong: int
    missed: int
    unknown: int
    added: int
    bends: int
    bends_in_tune: int
    bend_cents: tuple[int, ...]
    timed: int
    together: int


def summary(hearing: Hearing) -> Summary:
    """A take in numbers."""
    verdicts = [note.verdict for note in hearing.notes]
    bends = [note.bend for note in hearing.notes if note.bend is not None]
    judged = [bend for bend in bends if bend.verdict is not BendVerdict.CANNOT_TELL]
    timed = [note for note in hearing.notes if note.error is not None]
    return Summary(
        phrase=hearing.phrase,
        doubt=hearing.doubt.value,
        tempo=round(hearing.tempo or 0),
        tuning=round(hearing.tuning),
        notes=len(verdicts),
        right=verdicts.count(Verdict.PLAYED),
        wrong=verdicts.count(Verdict.WRONG),
        missed=verdicts.count(Verdict.MISSED),
        unknown=verdicts.count(Verdict.CANNOT_TELL),
        added=len(hearing.added),
        bends=len(judged),
        bends_in_tune=sum(bend.verdict is BendVerdict.IN_TUNE for bend in judged),
        bend_cents=tuple(round(bend.cents) for bend in judged if bend.cents is not None),
        timed=len(timed),
        together=sum(note.punctuality is Punctuality.TOGETHER for note in timed),
    )


def is_phrase(found: Summary) -> bool:
    """False if the take is probably another phrase, or nothing."""
    return found.doubt != Doubt.NOT_THIS_PHRASE.value


def cells(
    recording: str, pupil: str, lesson: str, found: Summary, first: str
) -> tuple[str | int, ...]:
    """One line of the table, as `HEAD` says. `first`: what to practise first."""
    cents = ", ".join(
        f"{abs(value)} {'flat' if value < 0 else 'sharp'}" if value else "0"
        for value in found.bend_cents
    )
    return (
        recording, pupil, lesson, found.phrase, found.tempo, found.right, found.notes,
        found.wrong, found.missed, found.added, found.bends_in_tune, found.bends, cents,
        found.together, found.timed, found.tuning, first,
    )  # fmt: skip


def no_cells(recording: str, pupil: str, lesson: str, trouble: str) -> tuple[str | int, ...]:
    """The line of a recording that could not be listened to, and why."""
    return (recording, pupil, lesson, *[""] * (len(HEAD) - 4), trouble)


def csv_text(lines: Iterable[Sequence[str | int]]) -> str:
    """Lines as CSV (RFC 4180) under their head; no cell can be taken for a formula."""
    made = io.StringIO()
    writer = csv.writer(made, lineterminator="\r\n")
    writer.writerow(HEAD)
    for line in lines:
        writer.writerow([_safe(cell) for cell in line])
    return made.getvalue()


def _safe(cell: str | int) -> str | int:
    if isinstance(cell, str) and cell.startswith(_DANGEROUS):
        return f"'{cell}"
    return cell
