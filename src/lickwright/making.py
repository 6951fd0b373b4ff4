"""The commands that make something: a pack, a moved phrase, a worksheet."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click
from rich.console import Console
from rich.progress import Progress

from lickwright.lesson import Lesson, Settings, phrase_block, read_lesson
from lickwright.neck import CannotMove, Guitar, finger, guitar_for, move, placements, with_fingers
from lickwright.phrase import Phrase
from lickwright.terminal import (
    chords_of,
    key_of,
    no_phrase,
    read_text,
    report,
    save_bytes,
    stop,
    tuning_of,
)
from lickwright.theory import TheoryError, parse_scale_kind

if TYPE_CHECKING:
    from lickwright.pack import AudioWish, Look


@click.command(name="move")
@click.argument("file", type=click.Path(path_type=Path))
@click.argument("phrase")
@click.option("--key", "key_text", default="", help="To another key, such as G.")
@click.option("--pattern", type=click.IntRange(1, 5), help="Into one of the five patterns.")
@click.option("--octave", type=click.IntRange(-4, 4), default=0, help="Octaves up, or down: -1.")
@click.option("--tuning", default="", help="To other strings, low to high, such as 'D A D G B E'.")
@click.option("--capo", type=click.IntRange(0, 12), help="With the capo at another fret.")
@click.option("--chord", default="", help="Onto another chord of the key, such as D7.")
def move_phrase(  # noqa: PLR0913, PLR0917 - one option for each kind of move
    file: Path,
    phrase: str,
    key_text: str,
    pattern: int | None,
    octave: int,
    tuning: str,
    capo: int | None,
    chord: str,
) -> None:
    """Print a phrase in another key, pattern, octave or tuning, or on another chord.

    The printed block can be put into a lesson as it is. What changed and what could not be kept is
    said after it.
    """
    written, own_guitar = _written(file, phrase)
    if not any((key_text, pattern, octave, tuning, capo is not None, chord)):
        raise stop("move it where? --key, --pattern, --octave, --tuning, --capo or --chord")
    own = written.key
    from lickwright.pack import in_mode_of  # noqa: PLC0415 - slow

    found = move(
        written,
        own_guitar,
        key=in_mode_of(key_of(key_text), key_text, own) if key_text else None,
        pattern=pattern,
        octave=octave,
        tuning=tuning_of(tuning) if tuning else None,
        capo=capo,
        chord=chords_of(chord)[0] if chord.strip() else None,
    )
    if isinstance(found, CannotMove):
        click.echo(f"{phrase} cannot be moved so: {found}", err=True)
        sys.exit(1)
    moved, changed = found.phrase, list(found.changed)
    if not found.same_shape:
        fits = len(moved.tuning) == len(own_guitar.tuning)
        guitar = guitar_for(moved, own_guitar.strings if fits else None, own_guitar.scale_mm)
        moved = with_fingers(finger(moved, guitar))
        changed.append("fingers are suggested for the new places")
    click.echo("\n".join(phrase_block(moved)))
    for text in changed:
        click.echo(f"changed: {text}", err=True)
    for text in found.lost:
        click.echo(f"lost: {text}", err=True)


def _written(file: Path, name: str) -> tuple[Phrase, Guitar]:
    """A phrase of a lesson as written, and what it is played on."""
    lesson = read_lesson(read_text(file)).lesson
    phrase = next((each for each in lesson.phrases if each.name == name), None)
    if phrase is None:
        raise no_phrase(name, file, lesson)
    return phrase, lesson.guitars[name]


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), help="Folder for the pack.")
@click.option(
    "--key",
    "keys",
    multiple=True,
    help="Also a pack in this key; name it again for several keys.",
)
@click.option(
    "--audio",
    multiple=True,
    type=click.Choice(["mp3", "flac", "wav", "ogg", "none"]),
    help="Kind of audio file (mp3 unless you say), again for more kinds; none: no audio.",
)
@click.option(
    "--show",
    type=click.Choice(["both", "tab", "notation"]),
    default="both",
    help="How the music is written.",
)
@click.option("--left-handed", is_flag=True, help="Draw the neck for left-handed players first.")
@click.option("--exact", is_flag=True, help="Every player exactly on the beat, like a machine.")
def build(
    file: Path,
    out: Path | None,
    keys: tuple[str, ...],
    audio: tuple[str, ...],
    show: str,
    left_handed: bool,
    exact: bool,
) -> None:
    """Make the whole pack: handout, page, audio, files for other programs.

    With --key the lesson is made in other keys too, each in a folder of its own.
    """
    from lickwright.pack import AudioFormat, AudioWish, Look, Shown  # noqa: PLC0415 - slow

    look = Look(Shown(show), left_handed)
    text = read_text(file)
    reading = read_lesson(text)
    kinds = [kind for kind in dict.fromkeys(audio or ("mp3",)) if kind != "none"]
    wish = AudioWish(tuple(AudioFormat(kind) for kind in kinds), exact)
    target = out or file.with_name(f"{file.stem}-pack")
    complete = _pack(reading.lesson, target, file.stem, wish, look)
    for words in keys:
        moved, name, notes = _in_key(reading.lesson, words, file.stem)
        click.echo("".join(f"{note}\n" for note in notes), nl=False)
        folder = target.with_name(f"{target.name.removesuffix('-pack')}-{name}-pack")
        complete &= _pack(moved, folder, f"{file.stem} {name}", wish, look)
    if reading.problems:
        left_out = [lick.name for lick in reading.lesson.licks if lick.phrase is None]
        report(reading, file, text)
        if left_out:
            click.echo(f"Left out because they could not be read: {', '.join(left_out)}")
    if reading.problems or not complete:
        sys.exit(1)


def _in_key(lesson: Lesson, words: str, name: str) -> tuple[Lesson, str, list[str]]:
    """The lesson in the key that is asked for, `in-G`, and what to say about it."""
    from lickwright.pack import home_key, in_mode_of, lesson_in_key  # noqa: PLC0415 - slow

    home = home_key(lesson)
    if home is None:
        raise stop("no key is written in this lesson, so it cannot be moved to another")
    key = in_mode_of(key_of(words), words, home)
    moved, notes = lesson_in_key(lesson, key)
    title = f"{lesson.settings.title or name}, in {key.pretty}"
    settings = replace(moved.settings, title=title)
    said = f"in-{str(key).replace('#', '-sharp').replace(' ', '-')}"
    return replace(moved, settings=settings), said, notes


def _pack(lesson: Lesson, target: Path, name: str, wish: AudioWish, look: Look) -> bool:
    """Build one pack with a progress bar and say what to open; whether nothing is left out."""
    from lickwright.pack import (  # noqa: PLC0415 - slow
        HandoutError,
        PackFolderError,
        build_pack,
    )

    try:
        with Progress(console=Console(stderr=True), transient=True) as bar:
            task = bar.add_task("Building", total=1)
            built = build_pack(
                lesson, target, name,
                lambda label, done, of: bar.update(
                    task, description=label, completed=done, total=of
                ),
                wish,
                look,
            )  # fmt: skip
    except KeyboardInterrupt:
        click.echo("Stopped; the pack is as it was before.", err=True)
        sys.exit(130)
    except (PackFolderError, HandoutError) as error:
        raise stop(str(error)) from None
    except OSError as error:
        words = f"the pack cannot be written: {error.strerror or error}; nothing was changed"
        raise stop(words) from None
    click.echo(f"{built.folder}: {len(built.made)} made, {len(built.kept)} unchanged. Open:")
    click.echo(f"  {built.folder / 'lesson.html'}\n  {built.folder / 'handout.pdf'}")
    for trouble in built.troubles:
        click.echo(f"Left out: {trouble}")
    for remark in built.remarks:
        click.echo(remark)
    return not built.troubles


@click.command()
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

    from lickwright.pack import (  # noqa: PLC0415 - slow
        MOST_SEED,
        HandoutError,
        make_worksheet,
        paper_remarks,
        worksheet_pdf,
    )

    settings = Settings() if file is None else read_lesson(read_text(file)).lesson.settings
    key = key_of(key_text) if key_text else settings.key
    if key is None:
        raise stop("which key? write --key A, or name a lesson file with a key at its top")
    number = SystemRandom().randrange(MOST_SEED + 1) if seed is None else seed
    try:
        sheet = make_worksheet(key, parse_scale_kind(scale), number, pattern or (1, 2, 3, 4, 5))
    except TheoryError as error:
        raise stop(f"--scale: {error}") from None
    folder = out or (file.parent if file else Path())
    name = f"worksheet-{key.tonic}-{sheet.kind.value}-{number}".replace("#", "-sharp")
    for answers in (False, True):
        path = folder / f"{name.replace(' ', '-')}{'-answers' if answers else ''}.pdf"
        try:
            pdf = worksheet_pdf(
                sheet, answers=answers, paper=settings.paper, author=settings.author
            )
        except HandoutError as error:
            raise stop(str(error)) from None
        save_bytes(path, pdf)
        click.echo(f"Made {path}")
    for remark in paper_remarks(settings.author):
        click.echo(remark)


def _span(text: str) -> tuple[int, int]:
    low, _, high = text.partition("-")
    if not (low.isdecimal() and high.isdecimal() and int(low) <= int(high)):
        raise stop("--frets: two numbers, low to high, such as 5-9")
    return int(low), int(high)


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.argument("phrase")
@click.option("--frets", default="", help="Only between these frets, such as 5-9.")
@click.option(
    "--number", type=click.IntRange(1, 8), help="Print this one of the places as a block."
)
def places(file: Path, phrase: str, frets: str, number: int | None) -> None:
    """List where else on the neck the same pitches can be played, the easiest first."""
    written, guitar = _written(file, phrase)
    span = _span(frets) if frets else None
    found = placements(written, guitar, frets=span)
    if not found:
        click.echo(f"{phrase} has no place there.", err=True)
        sys.exit(1)
    if number is not None:
        if number > len(found):
            raise stop(f"there are {len(found)} places for {phrase}, no number {number}")
        made = with_fingers(finger(found[number - 1].phrase, guitar))
        click.echo("\n".join(phrase_block(made)))
        return
    for index, place in enumerate(found, start=1):
        low, high = place.frets
        lost = f"; lost: {'; '.join(place.lost)}" if place.lost else ""
        click.echo(f"{index}. frets {low} to {high}, {place.cost:.1f} points{lost}")
