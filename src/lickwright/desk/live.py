"""What is shown of a lesson while it is being written?

Everything here takes and gives plain values, so that it can be done in a process of its own. What
did not change since the last time is not done again.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from functools import lru_cache
from types import MappingProxyType
from typing import Any

from lickwright.lesson import Lesson, Lick, Neck, ProsePart, read_lesson
from lickwright.neck import Guitar
from lickwright.pack.contents import levelled, other_part, phrase_part, standing
from lickwright.pack.maps import MapOrder, map_orders
from lickwright.pack.page import part_html
from lickwright.pack.plan import phrase_title
from lickwright.pack.products import pictures
from lickwright.phrase import Phrase
from lickwright.reasons import explain, grade, survey

_KEPT = 240  # pieces of a lesson in memory


def read(text: str, have: Iterable[str]) -> dict[str, Any]:
    """Problems and parts of a lesson's text; the HTML only of parts whose key is not in `have`."""
    reading = read_lesson(text)
    lesson, known = reading.lesson, set(have)
    shown = [
        {"id": part["id"], "key": part["key"], "kind": part["kind"]}
        | ({} if part["key"] in known else {"html": part["html"]})
        for part in _parts(lesson)
    ]
    return {
        "title": lesson.settings.title,
        "author": lesson.settings.author,
        "key": "" if lesson.settings.key is None else str(lesson.settings.key),
        "problems": [asdict(problem) for problem in reading.problems],
        "parts": shown,
        "phrases": [
            {"name": lick.name, "title": _title(lick), "whole": lick.phrase is not None}
            for lick in lesson.licks
        ],
    }


def summary(text: str) -> dict[str, Any]:
    """What the list of lessons says of one."""
    reading = read_lesson(text)
    lesson = reading.lesson
    grades = [grade(phrase, lesson.guitars[phrase.name]).total for phrase in lesson.phrases]
    key = lesson.settings.key or next((phrase.key for phrase in lesson.phrases), None)
    return {
        "title": lesson.settings.title,
        "key": "" if key is None else key.pretty,
        "phrases": len(lesson.licks),
        "problems": len(reading.problems),
        "grade": [min(grades), max(grades)] if grades else [],
    }


def guitar_of(lesson: Lesson, name: str) -> tuple[Phrase, Guitar] | None:
    """A phrase that can be read, and what it is played on."""
    for lick in lesson.licks:
        if lick.name == name and lick.phrase is not None and lick.guitar is not None:
            return lick.phrase, lick.guitar
    return None


def phrase_html(phrase: Phrase, guitar: Guitar) -> str:
    """One phrase as it stands on the page, by itself."""
    whole = survey([explain(phrase)], {phrase.name: guitar})
    return _html_of_phrase(phrase, guitar, *_standing_of(phrase, whole), simple=False, level=2)


def _title(lick: Lick) -> str:
    return lick.name if lick.phrase is None else phrase_title(lick.phrase)


def _parts(lesson: Lesson) -> list[dict[str, Any]]:
    """Every part with its `id`, `kind`, `html` and the `key` by which a change is known."""
    titles = {phrase.name: phrase_title(phrase) for phrase in lesson.phrases}
    simple = lesson.settings.level.strip().lower().startswith("beginner")
    maps = {order.number: order for order in map_orders(lesson)}
    ranks = _ranks(tuple(lesson.phrases), tuple(lesson.guitars.items()))
    rough: list[dict[str, Any]] = []
    number = 0
    for index, part in enumerate(lesson.parts):
        if isinstance(part, Lick):
            rough.append({"kind": "phrase", "id": part.name, "lick": part})
            continue
        number += isinstance(part, Neck)
        files = _map_files(maps[number]) if isinstance(part, Neck) else {}
        found = other_part(part, titles, files, (), number)
        if found is not None:
            prose = isinstance(part, ProsePart)
            rough.append(found | {"id": f"{'prose' if prose else found['kind']}-{index}"})
    return [_finished(part, ranks, simple) for part in levelled(rough)]


def _finished(
    part: dict[str, Any], ranks: Mapping[str, tuple[str, tuple[str, ...], str]], simple: bool
) -> dict[str, Any]:
    lick: Lick | None = part.get("lick")
    if lick is None:
        html = part_html(part)
    elif lick.phrase is None or lick.guitar is None:
        html = ""
    else:
        ranked = ranks[lick.name]
        html = _html_of_phrase(
            lick.phrase, lick.guitar, *ranked, simple=simple, level=part["level"]
        )
    key = hashlib.sha256(f"{part['id']}\0{html}".encode()).hexdigest()[:24] if html else ""
    return {"id": part["id"], "kind": part["kind"], "key": key, "html": html}


@lru_cache(maxsize=8)
def _ranks(
    phrases: tuple[Phrase, ...], guitars: tuple[tuple[str, Guitar], ...]
) -> Mapping[str, tuple[str, tuple[str, ...], str]]:
    """Grade, its parts and what is new, for each phrase."""
    whole = survey([explain(phrase) for phrase in phrases], dict(guitars))
    return MappingProxyType({phrase.name: _standing_of(phrase, whole) for phrase in phrases})


def _standing_of(phrase: Phrase, whole: Any) -> tuple[str, tuple[str, ...], str]:
    said = standing(phrase, whole)
    return said["grade"], tuple(said["hard"]), said["new"]


@lru_cache(maxsize=_KEPT)
def _html_of_phrase(
    phrase: Phrase,
    guitar: Guitar,
    grade: str,
    hard: tuple[str, ...],
    new: str,
    *,
    simple: bool,
    level: int,
) -> str:
    said = _said(phrase, guitar, simple)
    place = {"grade": grade, "hard": hard, "new": new, "level": level}
    return part_html(said | place | {"player": None, "tracks": []})


@lru_cache(maxsize=_KEPT)
def _said(phrase: Phrase, guitar: Guitar, simple: bool) -> dict[str, Any]:
    why = explain(phrase)
    return phrase_part(pictures(phrase, guitar, why, lines=False), why, guitar, simple)


@lru_cache(maxsize=_KEPT)
def _map_files(order: MapOrder) -> dict[str, bytes]:
    return order.make().files
