"""What can a teacher ask of Lickwright on the command line?

Exit codes: 0 all is well, 1 the lesson has problems, 2 the command or a file cannot be used,
130 stopped by the user.
"""

from __future__ import annotations

import json
import os
import sys
import tempfile
from dataclasses import asdict
from pathlib import Path

import click
from rich.console import Console
from rich.progress import Progress

from lickwright import __version__
from lickwright.advice import advice_json, advice_lines, both_hands, print_hands
from lickwright.lesson import Problem, Reading, Settings, mend_text, read_lesson, tidy_text
from lickwright.neck import HandSize
from lickwright.printout import explanation_json, print_explanation, print_survey
from lickwright.reasons import explain, survey
from lickwright.theory import Chord, Key, TheoryError, parse_chord, parse_key, parse_scale_kind

STARTER = """---
title: My first lesson
key: A minor
tempo: 80
---
Write here what you would say to your pupil.

```lick first-answer
chord |Am7                          |
e     |-----------------------------|
B     |5---8---5--------------------|
G     |------------7b9-----7---5----|
D     |----------------------------7|
count |1   &   2   &       3   &   4|
```
"""


@click.group(context_settings={"help_option_names": ["--help", "-h"]})
@click.version_option(__version__, prog_name="lickwright")
def main() -> None:
    """Turn one lesson file into tab, reasons, practice audio and a page for your pupil."""


def _read(file: Path) -> str:
    """The text of a lesson file; ends the command with plain words if it cannot be read."""
    if file.is_dir():
        raise _stop(f"{file} is a folder; name the lesson file in it")
    try:
        return file.read_bytes().decode("utf-8")
    except FileNotFoundError:
        raise _stop(f"{file} is not there; is the name right, and are you in its folder?") from None
    except PermissionError:
        raise _stop(f"{file} may not be read; ask for the right to read it") from None
    except UnicodeDecodeError:
        raise _stop(f"{file} is no text in UTF-8; save it from your editor as UTF-8") from None
    except OSError as error:
        raise _stop(f"{file} cannot be read: {error.strerror}") from None


class _Stop(click.ClickException):
    """The command cannot be carried out; the words say why."""

    exit_code = 2


def _stop(words: str) -> _Stop:
    return _Stop(words)


def _save(file: Path, text: str) -> None:
    """Write a text file whole or not at all."""
    _save_bytes(file, text.encode())


def _save_bytes(file: Path, data: bytes) -> None:
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
        raise _stop(f"{file} cannot be written: {error.strerror}; nothing was changed") from None


def _show(problem: Problem, file: Path, lines: list[str]) -> None:
    click.echo(f"{file}:{problem.line}:{problem.column} {problem.code}: {problem.what}")
    if problem.line <= len(lines):
        click.echo(f"    {lines[problem.line - 1]}")
        click.echo(f"    {' ' * (problem.column - 1)}^")
    click.echo(f"    mend: {problem.mend}")
    for fix in problem.fixes:
        click.echo(f"    line {fix.line}: {fix.text}")


def _report(reading: Reading, file: Path, text: str) -> None:
    for problem in reading.problems:
        _show(problem, file, text.splitlines())
    count = len(reading.problems)
    if count:
        click.echo(f"{count} problem{'s' if count > 1 else ''} in {file}.")
    else:
        phrases = len(reading.lesson.phrases)
        click.echo(f"{file}: all is well, {phrases} phrase{'s' if phrases != 1 else ''}.")


@main.command(name="new")
@click.argument("file", type=click.Path(path_type=Path))
def new_lesson(file: Path) -> None:
    """Begin a lesson file with one small phrase in it."""
    if file.exists():
        raise _stop(f"{file} is there already; give another name")
    _save(file, STARTER)
    click.echo(f"Made {file}. Open it in your editor, then: lickwright build {file}")


@main.command(name="check")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--mend", is_flag=True, help="Put right what can be put right without guessing.")
@click.option("--json", "as_json", is_flag=True, help="Print the problems as JSON.")
def check_lesson(file: Path, mend: bool, as_json: bool) -> None:
    """Say what is wrong in a lesson, where, and how to mend it.

    Then what is too hard for an average hand, with its numbers and ways out.
    """
    text = _read(file)
    if mend:
        mended = mend_text(text)
        if mended.text != text:
            _save(file, mended.text)
            text = mended.text
        for problem in mended.done:
            click.echo(f"Mended line {problem.line}: {problem.what}", err=as_json)
    reading = read_lesson(text)
    if as_json:
        records = [{"file": str(file)} | asdict(problem) for problem in reading.problems]
        records += [{"file": str(file)} | advice for advice in advice_json(reading.lesson)]
        click.echo(json.dumps(records, ensure_ascii=False, indent=1))
    else:
        _report(reading, file, text)
        advice = list(advice_lines(reading.lesson))
        if advice:
            click.echo("For the hand (advice; the lesson can be built as it is):")
            click.echo("\n".join(advice))
    sys.exit(1 if reading.problems else 0)


@main.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--print", "only_print", is_flag=True, help="Print it and leave the file as it is.")
def tidy(file: Path, only_print: bool) -> None:
    """Align the columns of every phrase; the meaning stays."""
    text = _read(file)
    tidied = tidy_text(text)
    if only_print:
        click.echo(tidied, nl=False)
    elif tidied == text:
        click.echo(f"{file} is tidy.")
    else:
        _save(file, tidied)
        click.echo(f"Tidied {file}.")


@main.command(name="explain")
@click.argument("file", type=click.Path(path_type=Path))
@click.argument("phrase", required=False)
@click.option("--all", "show_all", is_flag=True, help="Every reason, not only the first five.")
@click.option("--simple", is_flag=True, help="In words for a beginner.")
@click.option("--over", default="", help="Chords to hear the phrase over, such as 'F7, Dm'.")
@click.option("--json", "as_json", is_flag=True, help="Print all of it as JSON.")
def explain_lesson(
    file: Path, phrase: str | None, show_all: bool, simple: bool, over: str, as_json: bool
) -> None:
    """Say why the phrases of a lesson work, where else, and how hard they are."""
    reading = read_lesson(_read(file))
    explained = [explain(each) for each in reading.lesson.phrases]
    chosen = [why for why in explained if phrase in (None, why.phrase.name)]
    if not chosen:
        raise _no_phrase(phrase or "", file, reading)
    whole, chords = survey(explained, reading.lesson.guitars), _chords(over)
    if as_json:
        records = [explanation_json(why, whole, chords) for why in chosen]
        click.echo(json.dumps(records, ensure_ascii=False, indent=1))
    else:
        console = Console()
        for why in chosen:
            print_explanation(console, why, whole, chords, show_all, simple)
        if phrase is None and len(chosen) > 1:
            print_survey(console, whole, {w.phrase.name: w.phrase.title for w in explained})
    if reading.problems and not as_json:
        click.echo(f"The lesson has problems: lickwright check {file}", err=True)
    sys.exit(1 if reading.problems else 0)


@main.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.argument("phrase", required=False)
@click.option(
    "--size",
    type=click.Choice(["small", "average", "large"]),
    default="average",
    help="Size of the fretting hand.",
)
@click.option("--json", "as_json", is_flag=True, help="Print it as JSON.")
def hand(file: Path, phrase: str | None, size: str, as_json: bool) -> None:
    """Say which finger and stroke each note takes and why, and what keeps idle strings quiet.

    Fingers in brackets are suggested; the others are written in the lesson.
    """
    reading = read_lesson(_read(file))
    chosen = [each for each in reading.lesson.phrases if phrase in (None, each.name)]
    if not chosen:
        raise _no_phrase(phrase or "", file, reading)
    guitars, own = reading.lesson.guitars, HandSize[size.upper()]
    if as_json:
        records = [both_hands(each, guitars[each.name], own) for each in chosen]
        click.echo(json.dumps(records, ensure_ascii=False, indent=1))
    else:
        console = Console()
        for each in chosen:
            print_hands(console, each, guitars[each.name], own)
    sys.exit(1 if reading.problems else 0)


def _no_phrase(name: str, file: Path, reading: Reading) -> _Stop:
    known = ", ".join(each.name for each in reading.lesson.phrases) or "none that can be read"
    return _stop(f"no phrase {name} in {file}; its phrases: {known}")


def _chords(text: str) -> list[Chord]:
    """The chords of `--over`, between commas, bars or spaces."""
    try:
        return [parse_chord(word) for word in text.replace(",", " ").replace("|", " ").split()]
    except TheoryError as error:
        raise _stop(f"--over: {error}") from None


@main.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), help="Folder for the pack.")
@click.option(
    "--audio",
    multiple=True,
    type=click.Choice(["mp3", "flac", "wav", "ogg", "none"]),
    help="Kind of audio file (mp3 unless you say), again for more kinds; none: no audio.",
)
@click.option("--exact", is_flag=True, help="Every player exactly on the beat, like a machine.")
def build(file: Path, out: Path | None, audio: tuple[str, ...], exact: bool) -> None:
    """Make the whole pack: handout, page, audio, files for other programs."""
    from lickwright.pack import (  # noqa: PLC0415 - slow
        AudioFormat,
        AudioWish,
        HandoutError,
        PackFolderError,
        build_pack,
    )

    text = _read(file)
    reading = read_lesson(text)
    target = out or file.with_name(f"{file.stem}-pack")
    kinds = [kind for kind in dict.fromkeys(audio or ("mp3",)) if kind != "none"]
    formats = tuple(AudioFormat(kind) for kind in kinds)
    try:
        with Progress(console=Console(stderr=True), transient=True) as bar:
            task = bar.add_task("Building", total=1)
            built = build_pack(
                reading.lesson, target, file.stem,
                lambda name, done, of: bar.update(
                    task, description=name, completed=done, total=of
                ),
                AudioWish(formats, exact),
            )  # fmt: skip
    except KeyboardInterrupt:
        click.echo("Stopped; the pack is as it was before.", err=True)
        sys.exit(130)
    except (PackFolderError, HandoutError) as error:
        raise _stop(str(error)) from None
    except OSError as error:
        words = f"the pack cannot be written: {error.strerror or error}; nothing was changed"
        raise _stop(words) from None
    click.echo(f"{built.folder}: {len(built.made)} made, {len(built.kept)} unchanged. Open:")
    click.echo(f"  {built.folder / 'lesson.html'}\n  {built.folder / 'handout.pdf'}")
    for trouble in built.troubles:
        click.echo(f"Left out: {trouble}")
    if reading.problems:
        left_out = [lick.name for lick in reading.lesson.licks if lick.phrase is None]
        _report(reading, file, text)
        if left_out:
            click.echo(f"Left out because they could not be read: {', '.join(left_out)}")
    if reading.problems or built.troubles:
        sys.exit(1)


@main.command()
@click.argument("file", required=False, type=click.Path(path_type=Path))
@click.option("--key", "key_text", default="", help="Key, such as A or C minor.")
@click.option("--scale", default="minor pentatonic", help="Scale, such as blues.")
@click.option("--pattern", multiple=True, type=click.IntRange(1, 5), help="Only these patterns.")
@click.option(
    "--seed", type=click.IntRange(0, 99_999), help="Number of a sheet, to print it again."
)
@click.option("--out", type=click.Path(path_type=Path), help="Folder for the two PDF files.")
def worksheet(
    file: Path | None,
    key_text: str,
    scale: str,
    pattern: tuple[int, ...],
    seed: int | None,
    out: Path | None,
) -> None:
    """Make a worksheet about a scale, and the sheet with its answers; never the same twice.

    With a lesson FILE its key, author and paper are taken.
    """
    from random import SystemRandom  # noqa: PLC0415

    from lickwright.pack import MOST_SEED, make_worksheet, worksheet_pdf  # noqa: PLC0415 - slow

    settings = Settings() if file is None else read_lesson(_read(file)).lesson.settings
    key = _key(key_text) if key_text else settings.key
    if key is None:
        raise _stop("which key? write --key A, or name a lesson file with a key at its top")
    number = SystemRandom().randrange(MOST_SEED + 1) if seed is None else seed
    try:
        sheet = make_worksheet(key, parse_scale_kind(scale), number, pattern or (1, 2, 3, 4, 5))
    except TheoryError as error:
        raise _stop(f"--scale: {error}") from None
    folder = out or (file.parent if file else Path())
    name = f"worksheet-{key.tonic}-{sheet.kind.value}-{number}".replace("#", "-sharp")
    for answers in (False, True):
        path = folder / f"{name.replace(' ', '-')}{'-answers' if answers else ''}.pdf"
        pdf = worksheet_pdf(sheet, answers=answers, paper=settings.paper, author=settings.author)
        _save_bytes(path, pdf)
        click.echo(f"Made {path}")


def _key(text: str) -> Key:
    try:
        return parse_key(text)
    except TheoryError as error:
        raise _stop(f"--key: {error}") from None
