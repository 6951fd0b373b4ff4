"""Where are the takes of all pupils kept? In one SQLite file beside the lessons.

No recording is kept, only what was heard in it. What is said of a pupil can be taken out as a file
and forgotten for good, each in one step.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from lickwright.hear.table import Summary

FILE = "takes.sqlite"
VERSION = 1  # of the tables
APPLICATION = 0x4C57_5348  # marks the file as ours (SQLite's application_id)
LONGEST_NAME = 100
_TABLES = """
CREATE TABLE take (
  id INTEGER PRIMARY KEY,
  pupil TEXT NOT NULL,
  at TEXT NOT NULL,
  lesson TEXT NOT NULL,
  phrase TEXT NOT NULL,
  recording TEXT NOT NULL,
  sentences TEXT NOT NULL,
  summary TEXT NOT NULL
);
CREATE INDEX take_of_pupil ON take (pupil, at);
"""


class ShelfError(Exception):
    """The shelf cannot be used; the words say why and what to do."""


@dataclass(frozen=True, slots=True)
class KeptTake:
    """One take. `at`: when it was kept (UTC, ISO 8601). `sentences`: what the pupil was told."""

    id: int
    pupil: str
    at: str
    lesson: str
    phrase: str
    recording: str
    sentences: tuple[str, ...]
    summary: Summary


class Shelf:
    """The takes of all pupils of one folder. Use `open_shelf`."""

    def __init__(self, file: Path) -> None:
        self._file = file

    def keep(
        self,
        pupil: str,
        lesson: str,
        recording: str,
        sentences: tuple[str, ...],
        summary: Summary,
        at: datetime | None = None,
    ) -> KeptTake:
        """Keep a take; `at` is now unless given. Raises ShelfError for a name that is none."""
        name = pupil_name(pupil)
        when = (at or datetime.now(UTC)).astimezone(UTC).isoformat(timespec="seconds")
        row = (name, when, lesson, summary.phrase, recording, json.dumps(list(sentences)),
               json.dumps(asdict(summary)))  # fmt: skip
        with self._open() as base:
            made = base.execute(
                "INSERT INTO take (pupil, at, lesson, phrase, recording, sentences, summary) "
                "VALUES (?, ?, ?, ?, ?, ?, ?)",
                row,
            )
            number = made.lastrowid or 0
        return KeptTake(number, name, when, lesson, summary.phrase, recording, sentences, summary)

    def pupils(self) -> list[tuple[str, int, str]]:
        """Each pupil with the number of takes and when the last one was kept."""
        with self._open() as base:
            rows = base.execute(
                "SELECT pupil, count(*), max(at) FROM take GROUP BY pupil "
                "ORDER BY pupil COLLATE NOCASE"
            ).fetchall()
        return [(str(name), int(count), str(last)) for name, count, last in rows]

    def takes(self, pupil: str) -> list[KeptTake]:
        """All takes of a pupil, the oldest first."""
        with self._open() as base:
            rows = base.execute(
                "SELECT id, pupil, at, lesson, phrase, recording, sentences, summary FROM take "
                "WHERE pupil = ? ORDER BY at, id",
                (pupil_name(pupil),),
            ).fetchall()
        return [_take(row) for row in rows]

    def export(self, pupil: str) -> dict[str, Any]:
        """All that is kept of a pupil, as plain values. Raises ShelfError if there is nothing."""
        takes = self.takes(pupil)
        if not takes:
            raise ShelfError(f"nothing is kept of {pupil!r}; the names: {self._names()}")
        return {
            "kind": "lickwright-takes",
            "pupil": takes[0].pupil,
            "takes": [
                {key: value for key, value in asdict(take).items() if key not in ("id", "pupil")}
                for take in takes
            ],
        }

    def forget(self, pupil: str) -> int:
        """Delete every trace of a pupil from the file itself; how many takes that was."""
        name = pupil_name(pupil)
        with self._open() as base:
            count = base.execute("DELETE FROM take WHERE pupil = ?", (name,)).rowcount
        if not count:
            raise ShelfError(f"nothing is kept of {pupil!r}; the names: {self._names()}")
        with self._open() as base:
            base.commit()
            base.execute("VACUUM")
            base.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        return count

    def _names(self) -> str:
        return ", ".join(name for name, _, _ in self.pupils()) or "none"

    @contextmanager
    def _open(self) -> Iterator[sqlite3.Connection]:
        """A connection whose changes are kept whole or not at all."""
        try:
            base = sqlite3.connect(self._file, timeout=15)
        except sqlite3.Error as error:
            raise _unusable(self._file, error) from None
        try:
            _prepare(base, self._file)
            with base:
                yield base
        except sqlite3.Error as error:
            raise _unusable(self._file, error) from None
        finally:
            base.close()


def open_shelf(folder: Path) -> Shelf:
    """The shelf of a folder, made if it is not there. Raises ShelfError."""
    file = folder / FILE
    if not folder.is_dir():
        raise ShelfError(f"{folder} is no folder; name the one that holds your lessons")
    if file.is_symlink() or (file.exists() and not file.is_file()):
        raise ShelfError(f"{file} is no file of takes; move it away")
    shelf = Shelf(file)
    shelf.pupils()
    return shelf


def pupil_name(name: str) -> str:
    """A pupil's name with single spaces. Raises ShelfError if it is none."""
    plain = " ".join(name.split())
    if not 0 < len(plain) <= LONGEST_NAME or not plain.isprintable():
        raise ShelfError("a pupil's name has 1 to 100 letters; choose any that you know them by")
    return plain


def _prepare(base: sqlite3.Connection, file: Path) -> None:
    """Set the connection up and make the tables in a new file; never touch a foreign one."""
    mark = base.execute("PRAGMA application_id").fetchone()[0]
    version = base.execute("PRAGMA user_version").fetchone()[0]
    tables = base.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
    if mark not in (0, APPLICATION) or (mark == 0 and tables):
        raise ShelfError(f"{file.name} was made by another program; move it away or rename it")
    if version > VERSION:
        raise ShelfError(f"{file.name} was written by a newer Lickwright; install that one")
    base.execute("PRAGMA journal_mode = WAL")
    base.execute("PRAGMA synchronous = FULL")
    base.execute("PRAGMA secure_delete = ON")
    if version < VERSION:
        # One writer at a time: a second one waits and then finds the tables there.
        base.execute("BEGIN IMMEDIATE")
        if base.execute("PRAGMA user_version").fetchone()[0] < VERSION:
            for statement in _TABLES.split(";"):
                if statement.strip():
                    base.execute(statement)
            base.execute(f"PRAGMA application_id = {APPLICATION}")
            base.execute(f"PRAGMA user_version = {VERSION}")
        base.commit()


def _unusable(file: Path, error: sqlite3.Error) -> ShelfError:
    return ShelfError(
        f"{file.name} cannot be used ({error}); nothing was changed. Move it away to begin a new "
        "one, or bring back a copy of it"
    )


def _take(row: tuple[Any, ...]) -> KeptTake:
    number, pupil, at, lesson, phrase, recording, sentences, summary = row
    values = json.loads(summary)
    return KeptTake(
        number, pupil, at, lesson, phrase, recording, tuple(json.loads(sentences)),
        Summary(**values | {"bend_cents": tuple(values["bend_cents"])}),
    )  # fmt: skip
