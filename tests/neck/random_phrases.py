"""Phrases made at random for tests that ask where they can be played, as the reader gives them."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count
from random import Random

from tests.lesson.made_licks import make_lick

from lickwright.lesson import phrase_block, read_lesson
from lickwright.phrase import Bend, Note, Phrase, Release, Trill, Vibrato


def made_phrases(first_seed: int, many: int) -> Iterator[Phrase]:
    """Licks made at random, without those that break a rule of the lesson format."""
    found = 0
    for seed in count(first_seed):
        reading = read_lesson(f"```lick try\n{make_lick(Random(seed))}```\n")
        phrase = reading.lesson.licks[0].phrase if reading.lesson.licks else None
        if reading.problems or phrase is None:
            continue
        yield phrase
        found += 1
        if found == many:
            return


def read_back(phrase: Phrase) -> Phrase:
    """The phrase as the reader of lessons sees it; fails if anything is wrong with it."""
    block = phrase_block(phrase)
    reading = read_lesson("\n".join(block) + "\n")
    assert reading.problems == (), "\n".join([*block, *map(str, reading.problems)])
    return reading.lesson.phrases[0]


def heard(phrase: Phrase, note: Note) -> tuple[object, ...]:
    """What is heard of a note: pitch in half semitones, times, gestures, joins, marks."""
    pitch = phrase.midi(note)
    gestures = tuple(_gesture(note, gesture) for gesture in note.gestures)
    return (
        None if pitch is None else round(pitch * 2),
        (note.onset, note.order, note.timing, note.bar),
        gestures,
        (note.entry, note.link, note.off, note.ghost, note.dead, note.stroke, note.marks),
    )


def _gesture(note: Note, gesture: Bend | Release | Trill | Vibrato) -> object:
    if isinstance(gesture, Trill):
        return "trill", gesture.fret - note.fret, gesture.start
    return gesture


def by_pitch(phrase: Phrase) -> list[tuple[object, ...]]:
    """All that is heard, in an order that no place on the neck changes."""
    return sorted((heard(phrase, note) for note in phrase.notes), key=repr)
