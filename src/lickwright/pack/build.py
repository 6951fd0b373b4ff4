"""How does a lesson become a pack on disk?"""

from __future__ import annotations

import json
import shutil
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

from lickwright import __version__
from lickwright.lesson import Lesson
from lickwright.pack.contents import contents
from lickwright.pack.fingerprint import checksum
from lickwright.pack.folder import (
    MANIFEST,
    keep_own_files,
    new_folder,
    put_in_place,
    read_manifest,
    recover,
)
from lickwright.pack.handout import make_handout, write_fonts
from lickwright.pack.page import make_page
from lickwright.pack.products import Order, slow_tempo
from lickwright.pack.workers import make_all

Progress = Callable[[str, int, int], None]  # name of what was made, done, of how many


@dataclass(frozen=True, slots=True)
class Built:
    """What a build did. Names of phrases."""

    folder: Path
    made: tuple[str, ...]
    kept: tuple[str, ...]


def build_pack(lesson: Lesson, target: Path, name: str, progress: Progress) -> Built:
    """Build the pack of `lesson` into the folder `target`; unchanged phrases are taken over.

    The old pack stays whole until the new one is complete. `name`: used as title if the lesson
    has none. Raises PackFolderError, HandoutError and OSError.
    """
    recover(target)
    old = read_manifest(target)
    orders = _orders(lesson, lesson.settings.title or name)
    fresh = new_folder(target)
    try:
        built = _fill(lesson, target, fresh, orders, old, name, progress)
        put_in_place(fresh, target)
    except BaseException:
        shutil.rmtree(fresh, ignore_errors=True)
        raise
    return built


def _orders(lesson: Lesson, title: str) -> dict[str, Order]:
    starts: dict[str, Fraction] = {}
    for stage in lesson.stages:
        for phrase_name in stage.phrases:
            starts.setdefault(phrase_name, stage.start)
    return {
        phrase.name: Order(
            phrase,
            slow_tempo(phrase.tempo, starts.get(phrase.name)),
            title,
            lesson.settings.author,
        )
        for phrase in lesson.phrases
    }


def _fill(
    lesson: Lesson,
    target: Path,
    fresh: Path,
    orders: dict[str, Order],
    old: dict[str, Any],
    name: str,
    progress: Progress,
) -> Built:
    files: dict[str, bytes] = {}
    keys: dict[str, str] = {}
    kept = {phrase: _taken_over(target, old, phrase, o.key) for phrase, o in orders.items()}
    kept = {phrase: products for phrase, products in kept.items() if products}
    new = [order for phrase, order in orders.items() if phrase not in kept]
    steps = len(new) + 2
    progress(new[0].phrase.name if new else "lesson.html", 0, steps)
    made = dict(kept)
    for done, (order, products) in enumerate(make_all(new), start=1):
        made[order.phrase.name] = products
        progress(order.phrase.name, done, steps)
    for phrase, order in orders.items():
        files |= made[phrase]
        keys |= dict.fromkeys(made[phrase], order.key)
    data = contents(lesson, lesson.settings.title or name, orders, files)
    progress("lesson.html", steps - 2, steps)
    files["lesson.html"] = make_page(data)
    progress("handout.pdf", steps - 1, steps)
    files["handout.pdf"] = _handout(data)
    _write(fresh, files, keys, {phrase: order.key for phrase, order in orders.items()})
    keep_own_files(target, fresh, set(old.get("files", {})) | set(files))
    return Built(target, tuple(order.phrase.name for order in new), tuple(kept))


def _taken_over(target: Path, old: dict[str, Any], name: str, key: str) -> dict[str, bytes]:
    """The old pack's files of an unchanged phrase; nothing if one is missing or was altered."""
    if old.get("phrases", {}).get(name) != key:
        return {}
    found: dict[str, bytes] = {}
    for path, entry in old["files"].items():
        if entry.get("from") == key:
            try:
                found[path] = (target / path).read_bytes()
            except OSError:
                return {}
            if checksum(found[path]) != entry["sha256"]:
                return {}
    return found


def _handout(data: dict[str, Any]) -> bytes:
    """The PDF, from the same parts as the page without what only a page can show."""
    parts = [_on_paper(part) for part in data["parts"]]
    with tempfile.TemporaryDirectory() as folder:
        write_fonts(folder)
        return make_handout({**data, "parts": parts}, folder)


_ON_PAPER = ("kind", "level", "title", "facts", "lines", "words", "fits", "grade", "new")


def _on_paper(part: dict[str, Any]) -> dict[str, Any]:
    if part["kind"] != "phrase":
        return {name: value for name, value in part.items() if name != "html"}
    kept = {name: part[name] for name in _ON_PAPER}
    return kept | {"reasons": [reason["text"] for reason in part["reasons"]]}


def _write(
    folder: Path, files: dict[str, bytes], keys: dict[str, str], phrases: dict[str, str]
) -> None:
    for path, data in files.items():
        place = folder / path
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_bytes(data)
    entries = {
        path: {"sha256": checksum(data)} | ({"from": keys[path]} if path in keys else {})
        for path, data in sorted(files.items())
    }
    manifest = {"made_by": f"Lickwright {__version__}", "phrases": phrases, "files": entries}
    text = json.dumps(manifest, indent=1, ensure_ascii=False)
    (folder / MANIFEST).write_text(text + "\n", encoding="utf-8")
