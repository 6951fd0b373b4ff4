"""What does the teacher see of one phrase up close, and what can be done with it there?

Plain values in and out, as in `live`: it is done in another process.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from lickwright.advice import advice_json, both_hands
from lickwright.desk.live import phrase_html
from lickwright.desk.trouble import DeskError
from lickwright.lesson import Lesson, Lick, SettingError, phrase_block, read_lesson, read_tuning
from lickwright.neck import (
    CannotMove,
    Guitar,
    HandSize,
    finger,
    guitar_for,
    mended,
    move,
    other_fingers,
    other_strings,
    placements,
    playability,
    with_fingers,
)
from lickwright.pack import AudioWish, in_mode_of
from lickwright.pack.player import timing
from lickwright.pack.playlist import playlist
from lickwright.pack.tracks import TrackKind
from lickwright.phrase import Finger, Note, Phrase
from lickwright.reasons import explain
from lickwright.theory import TheoryError, parse_chord, parse_key

_FINGERS = {
    "1": Finger.FIRST, "2": Finger.SECOND, "3": Finger.THIRD, "4": Finger.FOURTH,
    "T": Finger.THUMB, "0": Finger.OPEN,
}  # fmt: skip
_SIGN = {finger_: sign for sign, finger_ in _FINGERS.items()}


def close(text: str, name: str) -> dict[str, Any]:
    """All about one phrase: both hands, what is too hard with the ways out, reasons in full."""
    lesson, lick = _lick(text, name)
    phrase, guitar = _whole(lick)
    why = explain(phrase)
    return {
        "name": name,
        "title": phrase.title or name,
        "html": phrase_html(phrase, guitar),
        "hands": both_hands(phrase, guitar, HandSize.AVERAGE),
        "others": {note.id: _other_fingers(phrase, guitar, note) for note in phrase.notes},
        "troubles": [each for each in advice_json(lesson) if each["phrase"] == name],
        "reasons": [
            {"text": reason.text, "simple": reason.simple, "notes": list(reason.notes)}
            for reason in why.reasons
        ],
        "block": "\n".join(phrase_block(phrase)),
    }


def _other_fingers(phrase: Phrase, guitar: Guitar, note: Note) -> list[dict[str, Any]]:
    """Every finger but its own that could take a note, with its points beyond the best one's."""
    free = phrase
    if note.finger is not None:  # what the teacher wrote is left open, to see what else would do
        others = tuple(replace(n, finger=None) if n is note else n for n in phrase.notes)
        free = replace(phrase, notes=others)
    fingering = finger(free, guitar)
    best = fingering.fingers.get(note.id)
    found = [(choice.finger, choice.extra) for choice in other_fingers(fingering, note.id)]
    if found and note.finger is not None and best is not None:
        found.insert(0, (best, 0.0))
    return [
        {"finger": _SIGN[each], "extra": round(extra, 1)}
        for each, extra in found
        if each is not note.finger
    ]


def strings(text: str, name: str, note_id: str) -> list[dict[str, Any]]:
    """On which other strings a note could be played, the easiest first, each as a block."""
    phrase, guitar = _whole(_lick(text, name)[1])
    if all(note.id != note_id for note in phrase.notes):
        raise DeskError(404, "that note is not in the phrase", "choose one of its notes")
    return [
        {
            "string": phrase.tuning.label(other.string),
            "fret": other.fret,
            "extra": round(other.extra, 1),
            **_as_block(other.phrase, guitar),
        }
        for other in other_strings(phrase, guitar, note_id)
    ]


def places(text: str, name: str) -> list[dict[str, Any]]:
    """Where else on the neck it can be played, the easiest first, each as a block."""
    phrase, guitar = _whole(_lick(text, name)[1])
    found = []
    for place in placements(phrase, guitar):
        made = with_fingers(finger(place.phrase, guitar))
        low, high = place.frets
        found.append(
            {
                "frets": [low, high],
                "cost": round(place.cost, 1),
                "lost": list(place.lost),
                "block": "\n".join(phrase_block(made)),
                "html": phrase_html(made, guitar),
            }
        )
    return found


def moved(text: str, name: str, to: dict[str, Any]) -> dict[str, Any]:
    """A phrase moved to another `key`, `pattern`, `octave`, `tuning`, `capo` or `chord`."""
    phrase, guitar = _whole(_lick(text, name)[1])
    if all(value in (None, "") or (value == 0 and each == "octave") for each, value in to.items()):
        raise DeskError(400, "nothing was chosen to move it to", "choose a key, a pattern …")
    try:
        key_text = str(to.get("key") or "")
        found = move(
            phrase,
            guitar,
            key=in_mode_of(parse_key(key_text), key_text, phrase.key) if key_text else None,
            pattern=to.get("pattern") or None,
            octave=to.get("octave") or 0,
            tuning=read_tuning(str(to["tuning"])) if to.get("tuning") else None,
            capo=to.get("capo"),
            chord=parse_chord(str(to["chord"])) if to.get("chord") else None,
        )
    except (TheoryError, SettingError) as error:
        raise DeskError(400, str(error), "write it as in the lesson: A minor, D7") from None
    if isinstance(found, CannotMove):
        raise DeskError(422, f"it cannot be moved so: {found}", "try another place")
    made, changed, own = found.phrase, list(found.changed), guitar
    if made.tuning != guitar.tuning or not found.same_shape:
        fits = len(made.tuning) == len(guitar.tuning)
        own = guitar_for(made, guitar.strings if fits else None, guitar.scale_mm)
    if not found.same_shape:
        made = with_fingers(finger(made, own))
        changed.append("fingers are suggested for the new places")
    return {
        "name": made.name,
        "block": "\n".join(phrase_block(made)),
        "html": phrase_html(made, own),
        "changed": changed,
        "lost": list(found.lost),
    }


def with_finger(text: str, name: str, note_id: str, sign: str) -> dict[str, Any]:
    """A phrase with another finger on one note, as a block."""
    phrase, guitar = _whole(_lick(text, name)[1])
    if sign not in _FINGERS:
        raise DeskError(400, f"{sign[:20]} is no finger", "1, 2, 3, 4, T or 0")
    notes = tuple(
        replace(note, finger=_FINGERS[sign]) if note.id == note_id else note
        for note in phrase.notes
    )
    if notes == phrase.notes:
        raise DeskError(404, "that note is not in the phrase", "choose one of its notes")
    return _as_block(replace(phrase, notes=notes), guitar)


def with_mend(text: str, name: str, trouble: int, way: int) -> dict[str, Any]:
    """A phrase after one of the ways out of what is too hard, by their numbers from 0."""
    phrase, guitar = _whole(_lick(text, name)[1])
    found = playability(phrase, guitar)
    if not 0 <= trouble < len(found) or not 0 <= way < len(found[trouble].mends):
        raise DeskError(404, "there is no such way out any more", "look at the phrase again")
    mend = found[trouble].mends[way]
    if mend.strings is not None:
        words = f"other strings are a setting, not a phrase: {mend.words}"
        raise DeskError(422, words, "write strings: with their gauges at the top of the lesson")
    made, own = mended(phrase, guitar, mend)
    return _as_block(made, own)


def sound(text: str, name: str) -> dict[str, Any]:
    """The player's data of a phrase and its sounds (bytes) by `lead` and `band`."""
    lesson, lick = _lick(text, name)
    phrase, _ = _whole(lick)
    orders, troubles = playlist(lesson, "desk", AudioWish())
    made = {}
    for order in orders:
        if order.phrase == phrase and order.kind in (TrackKind.PAGE_LEAD, TrackKind.PAGE_BAND):
            done = order.make()
            if done.trouble:
                troubles.append(done.trouble)
            else:
                made[order.kind] = (done.tracks[0], next(iter(done.files.values())))
    if TrackKind.PAGE_LEAD not in made:
        raise DeskError(422, "; ".join(troubles) or "it cannot be played", "shorten the phrase")
    lead, band = made[TrackKind.PAGE_LEAD], made.get(TrackKind.PAGE_BAND)
    return {
        "data": {"name": name} | timing(phrase, lead[0], band[0] if band else None),
        "sounds": {"lead": lead[1]} | ({"band": band[1]} if band else {}),
    }


def _as_block(phrase: Phrase, guitar: Guitar) -> dict[str, Any]:
    return {
        "name": phrase.name,
        "block": "\n".join(phrase_block(phrase)),
        "html": phrase_html(phrase, guitar),
    }


def _lick(text: str, name: str) -> tuple[Lesson, Lick]:
    lesson = read_lesson(text).lesson
    for lick in lesson.licks:
        if lick.name == name:
            return lesson, lick
    raise DeskError(404, f"there is no phrase {name[:100]} in the lesson", "choose one of its own")


def _whole(lick: Lick) -> tuple[Phrase, Guitar]:
    if lick.phrase is None or lick.guitar is None:
        raise DeskError(422, f"{lick.name} has problems", "mend it first")
    return lick.phrase, lick.guitar
