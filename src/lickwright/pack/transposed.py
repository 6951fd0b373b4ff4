"""What is a whole lesson in another key?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from lickwright.lesson import Band, Lesson, Lick, Neck, ProsePart, Solo, Stage
from lickwright.lesson.read import Block
from lickwright.neck import Moved, move, moved_chord
from lickwright.theory import Chord, Interval, Key, Mode, interval_between, practical_key, transpose


def home_key(lesson: Lesson) -> Key | None:
    """The key of the lesson, else of its first phrase."""
    keys = [lesson.settings.key, *(phrase.key for phrase in lesson.phrases)]
    return next((key for key in keys if key is not None), None)


def lesson_in_key(lesson: Lesson, key: Key) -> tuple[Lesson, list[str]]:
    """The lesson with everything in it moved as its own key moves to `key`.

    What cannot be moved is left out and said, in plain words. Phrases get the key in their names;
    modes stay as they are.
    """
    home = home_key(lesson)
    if home is None:
        return lesson, ["no key is written in this lesson, so it cannot be moved to another"]
    up = interval_between(home.tonic, key.tonic)
    licks, troubles = _licks(lesson, up)
    parts = tuple(
        made for part in lesson.parts for made in [_part(part, licks, up)] if made is not None
    )
    settings = replace(
        lesson.settings,
        key=_key(lesson.settings.key, up),
        chords=tuple(moved_chord(chord, up) for chord in lesson.settings.chords),
    )
    return replace(lesson, settings=settings, parts=parts), troubles


def _licks(lesson: Lesson, up: Interval) -> tuple[dict[str, Lick], list[str]]:
    """The moved licks by their old names, and why others are missing."""
    licks: dict[str, Lick] = {}
    troubles = []
    for lick in lesson.licks:
        if lick.phrase is None or lick.guitar is None:
            continue
        goal = _higher(lick.phrase.key, up)
        found = move(lick.phrase, lick.guitar, key=goal)
        if isinstance(found, Moved):
            licks[lick.name] = replace(lick, name=found.phrase.name, phrase=found.phrase)
            troubles += [f"{found.phrase.name}: {loss}" for loss in found.lost]
        else:
            troubles.append(f"{lick.name} is left out: {found}")
    return licks, troubles


def _part(
    part: ProsePart | Block, licks: Mapping[str, Lick], up: Interval
) -> ProsePart | Block | None:
    match part:
        case Lick():
            return licks.get(part.name)
        case Neck():
            named = licks[part.lick].name if part.lick in licks else part.lick
            return replace(
                part, key=_key(part.key, up), chord=_chord(part.chord, up), lick=named, frets=None
            )
        case Band():
            chords = tuple(moved_chord(chord, up) for chord in part.chords)
            return replace(part, key=_key(part.key, up), chords=chords)
        case Solo():
            placed = tuple(
                replace(each, lick=licks[each.lick].name, chord=_chord(each.chord, up))
                for each in part.placements
                if each.lick in licks
            )
            chords = tuple(moved_chord(chord, up) for chord in part.chords)
            return replace(part, key=_key(part.key, up), chords=chords, placements=placed)
        case Stage():
            names = tuple(licks[name].name for name in part.phrases if name in licks)
            return replace(part, phrases=names)
        case ProsePart():
            return part


def _higher(key: Key, up: Interval) -> Key:
    """A key an interval higher, with seven accidentals at most."""
    return practical_key(Key(transpose(key.tonic, up), key.mode))


def _key(key: Key | None, up: Interval) -> Key | None:
    return None if key is None else _higher(key, up)


def _chord(chord: Chord | None, up: Interval) -> Chord | None:
    return None if chord is None else moved_chord(chord, up)


def in_mode_of(key: Key, text: str, own: Key) -> Key:
    """A key as asked for in words; if they name no mode, in that of `own`."""
    plain = "minor" not in text.lower() and "major" not in text.lower()
    return Key(key.tonic, own.mode) if plain and own.mode is Mode.MINOR else key
