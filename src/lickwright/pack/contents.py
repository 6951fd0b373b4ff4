"""What do the page and the handout say about a lesson and each of its phrases?"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from html import unescape
from typing import Any

from lickwright.lesson import Band, Block, Lesson, Lick, Neck, ProsePart, Solo, Stage
from lickwright.neck import Guitar, damping, damping_words, finger, picking, picking_words
from lickwright.pack.listening import Track, lesson_files, to_hear, to_play_over
from lickwright.pack.maps import left_path, map_path
from lickwright.pack.plan import (
    band_part,
    phrase_title,
    player_tempos,
    solo_part,
    stage_part,
)
from lickwright.pack.prose import to_html, to_tree
from lickwright.pack.tracks import TrackKind, tempo_text
from lickwright.phrase import STANDARD, Phrase, count_name
from lickwright.reasons import (
    Explanation,
    Survey,
    explain,
    fit,
    mend_words,
    survey,
    usual_chords,
)

CAUTION = (
    "Start slowly and stop when the hand tires; if it hurts or stays numb, rest and ask a doctor. "
    "Keep headphones low, and keep your face away from a string that you tighten."
)
PIXELS = 8  # on a wide screen, a staff space
PAGE_WIDTH = 120.0  # staff spaces; 180 mm
LONGEST_LEAD = 4  # blocks of prose that are kept on one page with what they lead to
_VIEW = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')
_TITLE = re.compile(r"<title[^>]*>(.*?)</title>", re.DOTALL)
_WORDS = re.compile(r"<desc[^>]*>(.*?)</desc>", re.DOTALL)


def contents(
    lesson: Lesson,
    title: str,
    files: Mapping[str, bytes],
    tracks: Sequence[Track],
    *,
    left_handed: bool = False,
) -> dict[str, Any]:
    """Everything that page and handout show, in the order of the lesson.

    `left_handed`: which of the two maps of the neck is shown first.
    """
    titles = {phrase.name: phrase_title(phrase) for phrase in lesson.phrases}
    explained = {phrase.name: explain(phrase) for phrase in lesson.phrases}
    whole = survey(list(explained.values()), lesson.guitars)
    simple = lesson.settings.level.strip().lower().startswith("beginner")
    parts: list[dict[str, Any]] = []
    maps = 0
    for part in lesson.parts:
        if isinstance(part, Lick):
            if part.phrase is not None:
                why, guitar = explained[part.name], lesson.guitars[part.name]
                heard = to_hear(part.phrase, tracks, files)
                said = phrase_part(files, why, guitar, simple)
                plan = [tempo_text(t) for t in player_tempos(part.phrase, lesson.stages)]
                parts.append(said | standing(why.phrase, whole) | heard | {"plan": plan})
            continue
        maps += isinstance(part, Neck)
        found = other_part(part, titles, files, tracks, maps)
        if found is not None:
            parts.append(found)
    return {
        "title": title,
        "lesson": re.sub(r"[^\w]+", "-", title.lower()).strip("-") or "lesson",
        "author": lesson.settings.author,
        "paper": "us-letter" if lesson.settings.paper == "Letter" else "a4",
        "caution": CAUTION,
        "left_handed": left_handed,
        "parts": levelled(parts),
        "more": lesson_files(tracks),
    }


def other_part(
    part: ProsePart | Block,
    titles: Mapping[str, str],
    files: Mapping[str, bytes],
    tracks: Sequence[Track],
    number: int,
) -> dict[str, Any] | None:
    """What is shown of a part that is no phrase; None if there is nothing to show.

    `titles`: of the phrases, by name. `number`: of this neck block, from 1.
    """
    match part:
        case ProsePart() if part.text.strip():
            return _prose(part.text)
        case Neck() if map_path(number) in files:
            return _map(part, files, map_path(number))
        case Stage():
            return stage_part(part, titles)
        case Solo():
            over = to_play_over(TrackKind.SOLO, part.name, tracks, files)
            return solo_part(part, titles) | {"sounds": over}
        case Band():
            over = to_play_over(TrackKind.BAND, part.name, tracks, files)
            return band_part(part) | {"sounds": over}
        case _:
            return None


def levelled(parts: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Each part with the level of its heading: below the teacher's own, if there is one above."""
    level = 2
    done = []
    for part in parts:
        if part["kind"] == "prose" and any(node["kind"] == "heading" for node in part["nodes"]):
            level = 3
        done.append(part | {"level": level})
    return done


def _prose(text: str) -> dict[str, Any]:
    """Prose. `lead`: how many blocks at its end, from the last heading on, lead to what follows."""
    nodes = to_tree(text)
    headings = [i for i, node in enumerate(nodes) if node["kind"] == "heading"]
    lead = len(nodes) - headings[-1] if headings else 1
    return {
        "kind": "prose",
        "html": to_html(text),
        "nodes": nodes,
        "lead": lead if lead <= LONGEST_LEAD else 0,
    }


def phrase_part(
    files: Mapping[str, bytes], why: Explanation, guitar: Guitar, simple: bool
) -> dict[str, Any]:
    """What is shown of a phrase by itself; `files` holds its pictures."""
    phrase = why.phrase
    lines, large = _lines(phrase.name, files), _lines(f"{phrase.name}-narrow", files)
    wide = files[f"pictures/{phrase.name}.svg"].decode()
    view, words = _VIEW.search(wide), _WORDS.search(wide)
    assert view is not None
    assert words is not None
    return {
        "kind": "phrase",
        "name": phrase.name,
        "title": phrase_title(phrase),
        "facts": _facts(phrase),
        "lines": lines,
        "large": large,
        "wide": wide,
        "pixels": round(min(PAGE_WIDTH, float(view[1])) * PIXELS),
        "narrow": files[f"pictures/{phrase.name}-narrow.svg"].decode(),
        "words": unescape(words[1]),
        "map": _pictures(files, f"pictures/{phrase.name}-neck.svg"),
        "reasons": [{"text": r.simple if simple else r.text, "notes": r.notes} for r in why.shown],
        "fits": _fits(why),
        "rows": _rows(why),
        **_hands(phrase, guitar),
    }


def _map(block: Neck, files: Mapping[str, bytes], path: str) -> dict[str, Any]:
    """A map of the neck by itself."""
    title = _TITLE.search(files[path].decode())
    assert title is not None
    task = "Worksheet: " if block.worksheet else ""
    return {"kind": "neck", "title": task + unescape(title[1])} | _pictures(files, path)


def _pictures(files: Mapping[str, bytes], path: str) -> dict[str, Any]:
    """A picture with its width in staff spaces and what it says to those who do not see it.

    `left`: the same for left-handed players.
    """
    picture, left = files[path].decode(), files[left_path(path)].decode()
    view, words = _VIEW.search(picture), _WORDS.search(picture)
    assert view is not None
    assert words is not None
    return {
        "picture": picture,
        "left": left,
        "width": float(view[1]),
        "words": unescape(words[1]),
    }


def _lines(name: str, files: Mapping[str, bytes]) -> list[dict[str, Any]]:
    """The lines of music on paper: each a picture with its width in staff spaces."""
    paths = [f"pictures/{name}.svg"]
    if f"pictures/{name}-line-1.svg" in files:
        own = re.compile(rf"pictures/{re.escape(name)}-line-(\d+)\.svg")
        found = [(int(match[1]), path) for path in files if (match := own.fullmatch(path))]
        paths = [path for _, path in sorted(found)]
    pictures = [files[path].decode() for path in paths]
    views = [_VIEW.search(picture) for picture in pictures]
    return [
        {"picture": picture, "width": min(PAGE_WIDTH, float(view[1]))}
        for picture, view in zip(pictures, views, strict=True)
        if view is not None
    ]


def _facts(phrase: Phrase) -> str:
    feel = "" if phrase.feel.straight else f", {phrase.feel}"
    facts = [
        phrase.key.pretty,
        f"{phrase.meter}{feel}",
        f"{float(phrase.tempo):g} beats a minute",
    ]
    if phrase.tuning != STANDARD:
        strings = range(len(phrase.tuning), 0, -1)
        names = [phrase.tuning.strings[s - 1].name.pretty for s in strings]
        facts.append(f"tuned {' '.join(names)}")
    if phrase.capo:
        facts.append(f"capo {phrase.capo}")
    return " · ".join(facts)


def _hands(phrase: Phrase, guitar: Guitar) -> dict[str, Any]:
    """How it is picked, and what keeps the idle strings quiet."""
    quiet = damping_words(damping(finger(phrase, guitar)), phrase.tuning)
    said = (picking_words(picking(phrase), phrase), quiet)
    return {"hands": [text for text in said if text]}


def standing(phrase: Phrase, whole: Survey) -> dict[str, Any]:
    """What a phrase is within its lesson: how hard it is, and what is new in it."""
    grade = whole.grades[phrase.name]
    return {
        "grade": f"{grade.total}",
        "hard": [f"{part.name} {part.points}: {part.measure}" for part in grade.parts],
        "new": ", ".join(whole.new[phrase.name]),
    }


def _fits(why: Explanation) -> list[dict[str, str]]:
    """Over which chords the phrase works."""
    phrase = why.phrase
    found = [fit(phrase, why.tones, chord) for chord in usual_chords(phrase.key)]
    return [
        {
            "chord": each.chord.pretty,
            "verdict": each.verdict.words,
            "step": each.verdict.name.lower().replace("_", "-"),
            "because": f"{each.why[:1].upper()}{each.why[1:]}.",
            "mend": mend_words(each.mend, phrase) if each.mend else "",
        }
        for each in found
        if each is not None
    ]


def _rows(why: Explanation) -> list[dict[str, str]]:
    phrase = why.phrase
    return [
        {
            "note": tone.note.id,
            "count": f"{tone.note.bar}: "
            f"{count_name(tone.start % phrase.meter.beats, phrase.meter)}",
            "string": phrase.tuning.label(tone.note.string),
            "fret": f"{tone.note.fret} ({tone.how.value})",
            "name": f"{tone.name.pretty}{' +¼' if tone.sharp else ''}",
            "degree": tone.degree_text,
            "place": "" if tone.place is None else tone.place.words,
            "motion": ", ".join(
                motion.value for motion in why.motions.get((tone.note.id, tone.index), ())
            ),
        }
        for tone in why.tones
    ]
