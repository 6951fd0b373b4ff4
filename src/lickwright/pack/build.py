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
from lickwright.pack.products import Order, make_products, slow_tempo

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
    made: list[str] = []
    kept: list[str] = []
    for done, (phrase_name, order) in enumerate(orders.items()):
        progress(phrase_name, done, len(orders) + 2)
        products = _taken_over(target, old, phrase_name, order.key)
        (kept if products else made).append(phrase_name)
        products = products or make_products(order)
        files |= products
        keys |= dict.fromkeys(products, order.key)
    data = contents(lesson, lesson.settings.title or name, orders, files)
    progress("lesson.html", len(orders), len(orders) + 2)
    files["lesson.html"] = make_page(data)
    progress("handout.pdf", len(orders) + 1, len(orders) + 2)
    files["handout.pdf"] = _handout(data)
    _write(fresh, files, keys, {name: order.key for name, order in orders.items()})
    old_files = set(old.get("files", {}))
    keep_own_files(target, fresh, old_files | set(files))
    return Built(target, tuple(made), tuple(kept))


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
    parts = [
        {k: v for k, v in part.items() if k in _ON_PAPER}
        | ({"reasons": [r["text"] for r in part["reasons"]]} if "reasons" in part else {})
        for part in data["parts"]
    ]
    with tempfile.TemporaryDirectory() as folder:
        write_fonts(folder)
        return make_handout({**data, "parts": parts}, folder)


_ON_PAPER = ("kind", "nodes", "title", "facts", "picture", "width", "words")


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
