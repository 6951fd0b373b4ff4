"""How does a command read, save, take words for values, and stop with plain words?"""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

import click

from lickwright.lesson import Lesson, Problem, Reading, SettingError, read_tuning
from lickwright.phrase import Tuning
from lickwright.theory import Chord, Key, TheoryError, parse_chord, parse_key


class Stop(click.ClickException):
    """The command cannot be carried out; the words say why."""

    exit_code = 2


def stop(words: str) -> Stop:
    """The error to raise when a command cannot be carried out; exit code 2."""
    return Stop(words)


def no_phrase(name: str, file: Path, lesson: Lesson) -> Stop:
    """The error for a phrase that is not there; `name`: empty if any would have done."""
    if not lesson.phrases:
        return stop(f"no phrase of {file} can be read: `lickwright check {file}` says why")
    known = ", ".join(phrase.name for phrase in lesson.phrases)
    return stop(f"no phrase {name} in {file}; its phrases: {known}")


def read_text(file: Path) -> str:
    """The text of a lesson file; ends the command with plain words if it cannot be read."""
    if file.is_dir():
        raise stop(f"{file} is a folder; name the lesson file in it")
    try:
        return file.read_bytes().decode("utf-8")
    except FileNotFoundError:
        raise stop(f"{file} is not there; is the name right, and are you in its folder?") from None
    except PermissionError:
        raise stop(f"{file} may not be read; ask for the right to read it") from None
    except UnicodeDecodeError:
        raise stop(f"{file} is no text in UTF-8; save it from your editor as UTF-8") from None
    except OSError as error:
        raise stop(f"{file} cannot be read: {error.strerror}") from None


def save(file: Path, text: str) -> None:
    """Write a text file whole or not at all."""
    save_bytes(file, text.encode())


def save_bytes(file: Path, data: bytes) -> None:
    """Write a file whole or not at all, with its folder if that is not there."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=file.parent, prefix=f".{file.name}.")
        try:
            with os.fdopen(handle, "wb") as new:
                new.write(data)
            Path(name).chmod(file.stat().st_mode & 0o777 if file.exists() else 0o644)
            Path(name).replace(file)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
    except OSError as error:
        raise stop(f"{file} cannot be written: {error.strerror}; nothing was changed") from None


def chords_of(text: str) -> list[Chord]:
    """The chords of `--over`, between commas, bars or spaces."""
    try:
        return [parse_chord(word) for word in text.replace(",", " ").replace("|", " ").split()]
    except TheoryError as error:
        raise stop(f"--over: {error}") from None


def key_of(text: str) -> Key:
    """The key of an option."""
    try:
        return parse_key(text)
    except TheoryError as error:
        raise stop(f"--key: {error}") from None


def tuning_of(text: str) -> Tuning:
    """The tuning of an option."""
    try:
        return read_tuning(text)
    except SettingError as error:
        raise stop(f"--tuning: {error}") from None


def _show(problem: Problem, file: Path, lines: list[str]) -> None:
    click.echo(f"{file}:{problem.line}:{problem.column} {problem.code}: {problem.what}")
    if problem.line <= len(lines):
        click.echo(f"    {lines[problem.line - 1]}")
        click.echo(f"    {' ' * (problem.column - 1)}^")
    click.echo(f"    mend: {problem.mend}")
    for fix in problem.fixes:
        click.echo(f"    line {fix.line}: {fix.text}")


def report(reading: Reading, file: Path, text: str) -> None:
    """Print every problem of a lesson, and how many there are."""
    for problem in reading.problems:
        _show(problem, file, text.splitlines())
    count = len(reading.problems)
    if count:
        click.echo(f"{count} problem{'s' if count > 1 else ''} in {file}.")
    else:
        phrases = len(reading.lesson.phrases)
        click.echo(f"{file}: all is well, {phrases} phrase{'s' if phrases != 1 else ''}.")
