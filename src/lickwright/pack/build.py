"""How does a lesson become a pack on disk?"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from lickwright.lesson import Lesson
from lickwright.pack.contents import contents
from lickwright.pack.folder import (
    keep_own_files,
    new_folder,
    put_in_place,
    read_manifest,
    recover,
)
from lickwright.pack.handout import LARGE, make_handout, make_stand_sheet
from lickwright.pack.made import Job
from lickwright.pack.manifest import taken_over, write_pack
from lickwright.pack.maps import MapOrder, map_orders
from lickwright.pack.page import make_page
from lickwright.pack.paper import paper_remarks
from lickwright.pack.playlist import AudioWish, band_files, playlist
from lickwright.pack.products import Order, Shown
from lickwright.pack.sheets import answers_pdf
from lickwright.pack.workers import make_all

Progress = Callable[[str, int, int], None]  # name of what was made, done, of how many


@dataclass(frozen=True, slots=True)
class Look:
    """How the music is written, and for which hand the neck is drawn first."""

    shown: Shown = Shown.BOTH
    left_handed: bool = False


@dataclass(frozen=True, slots=True)
class Built:
    """What a build did.

    `made` and `kept`: labels of its parts; `troubles`: what is not there, and why; `remarks`: what
    else to know, in whole sentences.
    """

    folder: Path
    made: tuple[str, ...]
    kept: tuple[str, ...]
    troubles: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()


def build_pack(
    lesson: Lesson,
    target: Path,
    name: str,
    progress: Progress,
    wish: AudioWish | None = None,
    look: Look | None = None,
) -> Built:
    """Build the pack of `lesson` into the folder `target`; what did not change is taken over.

    The old pack stays whole until the new one is complete. `name`: used as title if the lesson
    has none. Raises PackFolderError, HandoutError and OSError.
    """
    recover(target)
    old = read_manifest(target)
    own = look or Look()
    jobs, troubles = _jobs(lesson, lesson.settings.title or name, wish or AudioWish(), own)
    fresh = new_folder(target)
    try:
        wanted = _Wanted(lesson, lesson.settings.title or name, own)
        built = _fill(wanted, target, fresh, jobs, old, progress)
        put_in_place(fresh, target)
    except BaseException:
        shutil.rmtree(fresh, ignore_errors=True)
        raise
    return replace(built, troubles=(*troubles, *built.troubles))


def _jobs(lesson: Lesson, title: str, wish: AudioWish, look: Look) -> tuple[list[Job], list[str]]:
    """Everything that is made by itself, and what cannot be."""
    author = lesson.settings.author
    orders = [
        Order(lick.phrase, lick.guitar, author, look.shown)
        for lick in lesson.licks
        if lick.phrase is not None and lick.guitar is not None
    ]
    tracks, silent = playlist(lesson, title, wish)
    bands, troubles = band_files(lesson)
    jobs: list[Job] = [*orders, *map_orders(lesson), *bands, *tracks]
    return jobs, list(dict.fromkeys(troubles + silent))


@dataclass(frozen=True, slots=True)
class _Wanted:
    """What is built."""

    lesson: Lesson
    title: str
    look: Look


def _fill(
    wanted: _Wanted,
    target: Path,
    fresh: Path,
    jobs: list[Job],
    old: dict[str, Any],
    progress: Progress,
) -> Built:
    made = {job.key: own for job in jobs if (own := taken_over(target, old, job.key))}
    kept = tuple(job.label for job in jobs if job.key in made)
    new = [job for job in jobs if job.key not in made]
    steps = len(new) + 2
    progress(new[0].label if new else "lesson.html", 0, steps)
    for done, (job, result) in enumerate(make_all(new), start=1):
        made[job.key] = result
        progress(job.label, done, steps)
    files = {path: data for job in jobs for path, data in made[job.key].files.items()}
    keys = {path: job.key for job in jobs for path in made[job.key].files}
    tracks = [track | {"from": job.key} for job in jobs for track in made[job.key].tracks]
    hand = wanted.look.left_handed
    data = contents(wanted.lesson, wanted.title, files, tracks, left_handed=hand)
    progress("lesson.html", steps - 2, steps)
    files["lesson.html"] = make_page(data)
    progress("handout.pdf", steps - 1, steps)
    files["handout.pdf"] = make_handout(data)
    files["handout-large-print.pdf"] = make_handout(data, LARGE)
    if any(part["kind"] == "phrase" for part in data["parts"]):
        files["music-stand.pdf"] = make_stand_sheet(data)
    files |= _answers(wanted.lesson, data["title"], jobs)
    write_pack(fresh, files, keys, tracks)
    keep_own_files(target, fresh, set(old.get("files", {})) | set(files))
    troubles = tuple(made[job.key].trouble for job in jobs if made[job.key].trouble)
    return Built(target, tuple(job.label for job in new), kept, troubles, paper_remarks(data))


def _answers(lesson: Lesson, title: str, jobs: list[Job]) -> dict[str, bytes]:
    """The answers to the lesson's worksheets, if it has any."""
    maps = [job.answer for job in jobs if isinstance(job, MapOrder) and job.block.worksheet]
    found = [spec for spec in maps if spec is not None]
    if not found:
        return {}
    own = lesson.settings
    return {"worksheet-answers.pdf": answers_pdf(title, found, paper=own.paper, author=own.author)}
