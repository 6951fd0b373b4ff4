"""What can a teacher ask of Lickwright on the command line?

Exit codes: 0 all is well, 1 the lesson has problems, 2 the command or a file cannot be used,
130 stopped by the user.
"""

from __future__ import annotations

import json
import sys
from dataclasses import asdict
from pathlib import Path
from typing import Any

import click
from rich.console import Console

from lickwright import __version__
from lickwright.advice import advice_json, advice_lines, both_hands, print_hands
from lickwright.installed import NotInstalledError
from lickwright.lesson import mend_text, read_lesson, starter, tidy_text
from lickwright.making import build, move_phrase, places, worksheet
from lickwright.neck import HandSize
from lickwright.printout import explanation_json, print_explanation, print_survey
from lickwright.reasons import explain, survey
from lickwright.taking import pupils, take
from lickwright.terminal import chords_of, no_phrase, read_text, report, save, stop


class _Commands(click.Group):
    """All commands. Any of them says in plain words what a half installed Lickwright lacks."""

    def invoke(self, ctx: click.Context) -> Any:
        try:
            return super().invoke(ctx)
        except NotInstalledError as error:
            raise stop(str(error)) from None


@click.group(cls=_Commands, context_settings={"help_option_names": ["--help", "-h"]})
@click.version_option(__version__, prog_name="lickwright")
def main() -> None:
    """Turn one lesson file into tab, reasons, practice audio and a page for your pupil."""


@main.command(name="new")
@click.argument("file", type=click.Path(path_type=Path))
def new_lesson(file: Path) -> None:
    """Begin a lesson file with one small phrase in it."""
    if file.exists():
        raise stop(f"{file} is there already; give another name")
    save(file, starter("My first lesson"))
    click.echo(f"Made {file}. Open it in your editor, then: lickwright build {file}")


@main.command(name="check")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--mend", is_flag=True, help="Put right what can be put right without guessing.")
@click.option("--json", "as_json", is_flag=True, help="Print the problems as JSON.")
def check_lesson(file: Path, mend: bool, as_json: bool) -> None:
    """Say what is wrong in a lesson, where, and how to mend it.

    Then what is too hard for an average hand, with its numbers and ways out.
    """
    text = read_text(file)
    if mend:
        mended = mend_text(text)
        if mended.text != text:
            save(file, mended.text)
            text = mended.text
        for problem in mended.done:
            click.echo(f"Mended line {problem.line}: {problem.what}", err=as_json)
    reading = read_lesson(text)
    if as_json:
        records = [{"file": str(file)} | asdict(problem) for problem in reading.problems]
        records += [{"file": str(file)} | advice for advice in advice_json(reading.lesson)]
        click.echo(json.dumps(records, ensure_ascii=False, indent=1))
    else:
        report(reading, file, text)
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
    text = read_text(file)
    tidied = tidy_text(text)
    if only_print:
        click.echo(tidied, nl=False)
    elif tidied == text:
        click.echo(f"{file} is tidy.")
    else:
        save(file, tidied)
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
    reading = read_lesson(read_text(file))
    explained = [explain(each) for each in reading.lesson.phrases]
    chosen = [why for why in explained if phrase in (None, why.phrase.name)]
    if not chosen:
        raise no_phrase(phrase or "", file, reading.lesson)
    whole, chords = survey(explained, reading.lesson.guitars), chords_of(over)
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
    reading = read_lesson(read_text(file))
    chosen = [each for each in reading.lesson.phrases if phrase in (None, each.name)]
    if not chosen:
        raise no_phrase(phrase or "", file, reading.lesson)
    guitars, own = reading.lesson.guitars, HandSize[size.upper()]
    if as_json:
        records = [both_hands(each, guitars[each.name], own) for each in chosen]
        click.echo(json.dumps(records, ensure_ascii=False, indent=1))
    else:
        console = Console()
        for each in chosen:
            print_hands(console, each, guitars[each.name], own)
    sys.exit(1 if reading.problems else 0)


@main.command()
@click.argument("folder", type=click.Path(path_type=Path), default=Path())
@click.option("--port", type=click.IntRange(1, 65535), help="Answer at this port.")
@click.option("--no-browser", is_flag=True, help="Do not open a browser.")
def desk(folder: Path, port: int | None, no_browser: bool) -> None:
    """Open the desk: write, hear and build the lessons of a FOLDER in the browser.

    It answers only on this machine.
    """
    from lickwright.desk import DeskError, serve  # noqa: PLC0415 - slow

    try:
        serve(folder, port, not no_browser, click.echo)
    except DeskError as error:
        raise stop(f"{error.what}; {error.mend}" if error.mend else error.what) from None


for _command in (build, move_phrase, places, worksheet, take, pupils):
    main.add_command(_command)
