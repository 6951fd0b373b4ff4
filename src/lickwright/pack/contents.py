"""What do the page and the handout say about a lesson and each of its phrases?"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from lickwright.lesson import Lesson, Lick, ProsePart
from lickwright.pack.page import data_address
from lickwright.pack.products import Order
from lickwright.pack.prose import to_html, to_tree
from lickwright.phrase import count_name
from lickwright.reasons import Explanation, explain
from lickwright.sound import AudioFormat, playing_times

CAUTION = (
    "Start slowly and stop when the hand tires; if it hurts or stays numb, rest and ask a doctor. "
    "Keep headphones low, and keep your face away from a string that you tighten."
)
PIXELS = 8  # on a wide screen, a staff space
_VIEW = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')
_WORDS = re.compile(r"<desc[^>]*>(.*?)</desc>", re.DOTALL)


def contents(
    lesson: Lesson, title: str, orders: Mapping[str, Order], files: Mapping[str, bytes]
) -> dict[str, Any]:
    """Everything that page and handout show, in the order of the lesson."""
    parts: list[dict[str, Any]] = []
    for part in lesson.parts:
        if isinstance(part, ProsePart) and part.text.strip():
            parts.append({"kind": "prose", "html": to_html(part.text), "nodes": to_tree(part.text)})
        elif isinstance(part, Lick) and part.name in orders:
            parts.append(_phrase(orders[part.name], files))
    return {
        "title": title,
        "author": lesson.settings.author,
        "paper": "us-letter" if lesson.settings.paper == "Letter" else "a4",
        "caution": CAUTION,
        "parts": parts,
    }


def _phrase(order: Order, files: Mapping[str, bytes]) -> dict[str, Any]:
    phrase = order.phrase
    why = explain(phrase)
    wide = files[f"pictures/{phrase.name}.svg"].decode()
    view, words = _VIEW.search(wide), _WORDS.search(wide)
    assert view is not None
    assert words is not None
    feel = "" if phrase.feel.straight else f", {phrase.feel}"
    return {
        "kind": "phrase",
        "name": phrase.name,
        "title": phrase.title or phrase.name.replace("-", " ").capitalize(),
        "facts": f"{phrase.key.pretty} · {phrase.meter}{feel} · "
        f"{float(phrase.tempo):g} beats a minute",
        "picture": wide,
        "wide": wide,
        "pixels": round(min(120.0, float(view[1])) * PIXELS),
        "narrow": files[f"pictures/{phrase.name}-narrow.svg"].decode(),
        "width": min(120.0, float(view[1])),
        "words": words[1],
        "reasons": [{"text": r.text, "notes": r.notes} for r in why.shown],
        "sounds": _sounds(order, files),
        "rows": _rows(why),
    }


def _sounds(order: Order, files: Mapping[str, bytes]) -> list[dict[str, Any]]:
    return [
        {
            "label": f"{'Slow' if tempo < order.phrase.tempo else 'At tempo'}: {float(tempo):g}",
            "data": data_address(AudioFormat.MP3.media_type, files[f"{name}.mp3"]),
            "times": [
                (time.note.id, round(time.start, 3), round(time.end, 3))
                for time in playing_times(order.phrase, tempo)
            ],
        }
        for name, tempo in order.audio_names.items()
    ]


def _rows(why: Explanation) -> list[dict[str, str]]:
    phrase = why.phrase
    return [
        {
            "count": f"{tone.note.bar}: "
            f"{count_name(tone.start % phrase.meter.beats, phrase.meter)}",
            "string": phrase.tuning.label(tone.note.string),
            "fret": f"{tone.note.fret} ({tone.how.value})",
            "name": f"{tone.name.pretty}{' +¼' if tone.sharp else ''}",
            "degree": tone.degree_text,
            "place": "" if tone.place is None else tone.place.words,
        }
        for tone in why.tones
    ]
