"""The commands that listen: one take, a folder of takes, and what is kept of each pupil."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click
from rich.console import Console
from rich.progress import track
from rich.table import Table

from lickwright.lesson import read_lesson
from lickwright.phrase import Phrase
from lickwright.terminal import no_phrase, read_text, save, save_bytes, stop

if TYPE_CHECKING:
    from lickwright.hear import Hearing
    from lickwright.hear.words import Report
    from lickwright.shelf import Shelf

ENDINGS = (".wav", ".flac", ".ogg", ".mp3", ".aif", ".aiff", ".m4a", ".mp4", ".webm", ".opus")


@dataclass(frozen=True, slots=True)
class _Heard:
    """A take that was listened to, or the words why it was not."""

    file: Path
    hearing: Hearing | None = None
    report: Report | None = None
    trouble: str = ""


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.argument("phrase")
@click.argument("audio", type=click.Path(path_type=Path))
@click.option("--csv", "csv_file", type=click.Path(path_type=Path), help="Save a table (CSV).")
@click.option(
    "--picture", type=click.Path(path_type=Path), help="Save the picture (SVG); a folder for many."
)
@click.option("--pupil", default="", help="Keep what was heard under this name.")
@click.option("--json", "as_json", is_flag=True, help="Print all of it as JSON.")
def take(
    file: Path,
    phrase: str,
    audio: Path,
    csv_file: Path | None,
    picture: Path | None,
    pupil: str,
    as_json: bool,
) -> None:
    """Listen to a pupil's take of a phrase, or to a folder of takes.

    Says what to practise first, then note by note what was heard. Nothing is sent anywhere.
    """
    written = _written(file, phrase)
    shelf = _shelf(file.parent) if pupil else None
    files = _recordings(audio)
    heard = list(_all_heard(written, files, many=audio.is_dir()))
    if as_json:
        click.echo(json.dumps([_plain(each) for each in heard], ensure_ascii=False, indent=1))
    else:
        _print(heard, one=not audio.is_dir())
    _save(heard, written, file, csv_file, picture, pupil, many=audio.is_dir())
    if shelf is not None:
        _keep(shelf, heard, file, pupil)
    sys.exit(1 if any(each.trouble for each in heard) else 0)


def _written(file: Path, name: str) -> Phrase:
    lesson = read_lesson(read_text(file)).lesson
    for each in lesson.phrases:
        if each.name == name:
            return each
    raise no_phrase(name, file, lesson)


def _recordings(audio: Path) -> list[Path]:
    if not audio.is_dir():
        return [audio]
    found = sorted(
        path for path in audio.iterdir() if path.is_file() and path.suffix.lower() in ENDINGS
    )
    if not found:
        raise stop(f"no recording is in {audio}; WAV, FLAC, OGG and MP3 files are looked for")
    return found


def _all_heard(phrase: Phrase, files: list[Path], *, many: bool) -> Iterator[_Heard]:
    console = Console(stderr=True)
    shown = track(files, "Listening", console=console, transient=True) if many else files
    for file in shown:
        yield _one(phrase, file)


def _one(phrase: Phrase, file: Path) -> _Heard:
    from lickwright.hear import TakeProblem, hear, read_take  # noqa: PLC0415 - slow
    from lickwright.hear.words import report  # noqa: PLC0415 - slow

    try:
        recording = read_take(file)
    except TakeProblem as problem:
        return _Heard(file, trouble=str(problem))
    hearing = hear(phrase, recording.samples, recording.rate)
    return _Heard(file, hearing, report(phrase, hearing))


def _print(heard: list[_Heard], *, one: bool) -> None:
    console = Console()
    if one:
        _print_one(console, heard[0])
        return
    from lickwright.hear.table import summary  # noqa: PLC0415 - slow

    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for name in ("recording", "tempo", "right", "bends in tune", "in time", "first"):
        table.add_column(name, header_style="dim", no_wrap=name != "first")
    for each in heard:
        if each.hearing is None or each.report is None:
            table.add_row(each.file.name, "", "", "", "", each.trouble)
            continue
        found = summary(each.hearing)
        table.add_row(
            each.file.name, str(found.tempo or ""), f"{found.right} of {found.notes}",
            f"{found.bends_in_tune} of {found.bends}" if found.bends else "",
            f"{found.together} of {found.timed}" if found.timed else "",
            each.report.sentences[0],
        )  # fmt: skip
    console.print(table, highlight=False)


def _print_one(console: Console, heard: _Heard) -> None:
    if heard.report is None:
        click.echo(heard.trouble, err=True)
        return
    for sentence in heard.report.sentences:
        console.print(sentence, highlight=False, markup=False)
    for aside in heard.report.asides:
        console.print(aside, highlight=False, markup=False, style="dim")
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for name in ("bar, count", "written", "heard", "time", "bend, vibrato, slide"):
        table.add_column(name, header_style="dim")
    for row in heard.report.rows:
        place = row.place.removeprefix("bar ").replace(", count", ",")
        table.add_row(place, row.where, row.verdict, row.time, row.pitch)
    console.print()
    console.print(table, highlight=False)
    for extra in heard.report.added:
        console.print(f"Not written: a note {extra}", highlight=False, markup=False)


def _plain(heard: _Heard) -> dict[str, object]:
    if heard.hearing is None or heard.report is None:
        return {"recording": heard.file.name, "trouble": heard.trouble}
    from dataclasses import asdict  # noqa: PLC0415

    from lickwright.hear.table import summary  # noqa: PLC0415 - slow

    return {
        "recording": heard.file.name,
        "sentences": list(heard.report.sentences),
        "asides": list(heard.report.asides),
        "notes": [asdict(row) for row in heard.report.rows],
        "added": list(heard.report.added),
        "summary": asdict(summary(heard.hearing)),
    }


def _save(
    heard: list[_Heard], phrase: Phrase, lesson: Path, csv_file: Path | None,
    picture: Path | None, pupil: str, *, many: bool,
) -> None:  # fmt: skip
    from lickwright.hear.picture import picture as drawn  # noqa: PLC0415 - slow
    from lickwright.hear.table import cells, csv_text, no_cells, summary  # noqa: PLC0415 - slow

    good = [each for each in heard if each.hearing is not None]
    if csv_file is not None:
        lines = [
            no_cells(each.file.name, pupil, lesson.stem, each.trouble)
            if each.hearing is None or each.report is None
            else cells(each.file.name, pupil, lesson.stem, summary(each.hearing),
                       each.report.sentences[0])
            for each in heard
        ]  # fmt: skip
        save_bytes(csv_file, b"\xef\xbb\xbf" + csv_text(lines).encode())
        click.echo(f"Made {csv_file}", err=True)
    for each in good if picture is not None else ():
        assert picture is not None
        assert each.hearing is not None
        target = picture / f"{each.file.stem}.svg" if many else picture
        save(target, drawn(phrase, each.hearing))
        click.echo(f"Made {target}", err=True)


def _shelf(folder: Path) -> Shelf:
    from lickwright.shelf import ShelfError, open_shelf  # noqa: PLC0415 - slow

    try:
        return open_shelf(folder)
    except ShelfError as error:
        raise stop(str(error)) from None


def _keep(shelf: Shelf, heard: list[_Heard], lesson: Path, pupil: str) -> None:
    from lickwright.hear.table import summary  # noqa: PLC0415 - slow
    from lickwright.shelf import ShelfError  # noqa: PLC0415 - slow

    try:
        for each in heard:
            if each.hearing is not None and each.report is not None:
                said = each.report.sentences
                shelf.keep(pupil, lesson.stem, each.file.name, said, summary(each.hearing))
    except ShelfError as error:
        raise stop(str(error)) from None
    click.echo(f"Kept under {pupil}.", err=True)


@click.command()
@click.argument("folder", type=click.Path(path_type=Path), default=Path())
@click.option("--export", nargs=2, type=str, help="NAME FILE: all that is kept of a pupil (JSON).")
@click.option("--progress", nargs=2, type=str, help="NAME FILE: a plot over the weeks (SVG).")
@click.option("--forget", default="", help="NAME: delete all that is kept of a pupil, for good.")
@click.option("--yes", is_flag=True, help="Do not ask before forgetting.")
def pupils(
    folder: Path,
    export: tuple[str, str] | None,
    progress: tuple[str, str] | None,
    forget: str,
    yes: bool,
) -> None:
    """List what is kept of each pupil, take it out, plot it, or forget it."""
    from lickwright.shelf import ShelfError, progress_plot  # noqa: PLC0415 - slow

    shelf = _shelf(folder)
    try:
        if export:
            text = json.dumps(shelf.export(export[0]), ensure_ascii=False, indent=1)
            save(Path(export[1]), text + "\n")
            click.echo(f"Made {export[1]}")
        if progress:
            takes = shelf.takes(progress[0])
            if not takes:
                raise stop(f"nothing is kept of {progress[0]}")
            save(Path(progress[1]), progress_plot(takes[0].pupil, takes))
            click.echo(f"Made {progress[1]}")
        if forget:
            if not yes:
                click.confirm(f"Delete all that is kept of {forget}, for good?", abort=True)
            count = shelf.forget(forget)
            click.echo(f"Forgotten: {count} take{'s' if count > 1 else ''} of {forget}.")
        if not (export or progress or forget):
            _list(shelf)
    except ShelfError as error:
        raise stop(str(error)) from None


def _list(shelf: Shelf) -> None:
    found = shelf.pupils()
    if not found:
        click.echo("Nothing is kept yet: lickwright take LESSON PHRASE AUDIO --pupil NAME")
    for name, count, last in found:
        click.echo(f"{name}: {count} take{'s' if count > 1 else ''}, the last on {last[:10]}")
