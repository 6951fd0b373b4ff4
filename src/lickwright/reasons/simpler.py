"""How is a fact said to a beginner? One template a kind; no degrees, no roman numerals."""

from __future__ import annotations

from lickwright.phrase import Phrase
from lickwright.reasons import facts as f
from lickwright.reasons import fuller
from lickwright.reasons.facts import Likeness
from lickwright.reasons.words import (
    at,
    beats_word,
    fret_word,
    interval_word,
    listed,
    named,
    number_word,
)


def ending(fact: f.Ending, phrase: Phrase) -> str:
    tone = fact.tone
    if tone.sharp:
        return "It ends between two frets."
    home = ", the home note of the key" if fact.root_of_key else ""
    return f"The last note is {named(tone)}{home}, on {at(tone.start, phrase)}."


def outline(fact: f.Outline, _: Phrase) -> str:
    count = number_word(len(fact.tones)).capitalize()
    return f"{count} notes in a row are notes of the chord {fact.chord.pretty}."


def target(fact: f.Target, _: Phrase) -> str:
    size = int(fact.goal.midi - fact.origin.midi)
    away = "next fret" if size == 1 else f"note {number_word(size)} frets higher"
    return f"Bend until it sounds like the {away}, {named(fact.goal)}."


def struck_bent(fact: f.StruckBent, _: Phrase) -> str:
    text = f"Bend first, then pick: you hear {named(fact.goal)} at once"
    return f"{text}, then let it down." if fact.then is not None else f"{text}."


def slide_home(fact: f.SlideHome, _: Phrase) -> str:
    return f"Slide from {named(fact.origin)} to {named(fact.goal)}, where the line can rest better."


def minor_to_major(fact: f.MinorToMajor, _: Phrase) -> str:
    return f"It goes from the sad third to the bright one, {named(fact.third)}."


def guide_tones(fact: f.GuideTones, _: Phrase) -> str:
    before, after = fact.before.chord, fact.after.chord
    assert before is not None
    assert after is not None
    return f"You can hear {before.pretty} turn into {after.pretty} in the line alone."


def anticipation(fact: f.Anticipation, _: Phrase) -> str:
    return f"{named(fact.tone)} comes before its chord, {fact.chord.pretty}, does."


def suspension(fact: f.Suspension, _: Phrase) -> str:
    return f"{named(fact.tone)} stays a moment too long, then gives way to {named(fact.home)}."


def enclosure(fact: f.Enclosure, _: Phrase) -> str:
    return f"The line goes around {named(fact.target)} before it lands on it."


def approach(fact: f.Approach, _: Phrase) -> str:
    return f"{named(fact.tone)} is one fret away from {named(fact.target)} and leads into it."


def climax(fact: f.Climax, phrase: Phrase) -> str:
    return f"The highest note, {named(fact.tone)} on {at(fact.tone.start, phrase)}, is heard once."


def call_and_answer(fact: f.CallAndAnswer, _: Phrase) -> str:
    return "The first half asks, the second half answers and comes home."


def blue_third(_fact: f.BlueThird, _: Phrase) -> str:
    return "Push the string a hair sharp: the note lies between two frets."


def blue_fifth(fact: f.BlueFifth, _: Phrase) -> str:
    return f"{named(fact.tone)} is the blue note; it is not in the chord."


def added_sixth(fact: f.AddedSixth, _: Phrase) -> str:
    assert fact.tone.chord is not None
    return f"{named(fact.tone)} is not in {fact.tone.chord.pretty}, but colours it."


def grip(fact: f.ChordGrip, _: Phrase) -> str:
    count = number_word(len(fact.notes))
    return f"The {count} notes struck together are a piece of the chord {fact.chord_name}."


def in_pattern(fact: f.InPattern, _: Phrase) -> str:
    place = "in open position" if fact.pattern.fret == 0 else f"at {fret_word(fact.pattern.fret)}"
    number = fact.pattern.number
    if not fact.notes:
        return f"The hand can stay in pattern {number} {place}."
    outside = "one note" if len(fact.notes) == 1 else f"{number_word(len(fact.notes))} notes"
    return f"All but {outside} lie in pattern {number} {place}."


def repetition(fact: f.Repetition, phrase: Phrase) -> str:
    first, second = fact.bars
    match fact.likeness:
        case Likeness.MOVED if fact.moved:
            way = "higher" if fact.moved > 0 else "lower"
            return f"Bar {second} is bar {first} again, {interval_word(fact.moved)} {way}."
        case _:
            return fuller.repetition(fact, phrase)


def sequence(fact: f.Sequence, _: Phrase) -> str:
    chords = listed([chord.pretty for chord in fact.chords])
    return f"Play the same shape for {chords}."


def pickup(fact: f.Pickup, _: Phrase) -> str:
    return f"It starts {beats_word(fact.beats)} before beat 1."


def triplets(_fact: f.Triplets, _: Phrase) -> str:
    return "Three notes share a beat."


def open_strings(fact: f.OpenStrings, _: Phrase) -> str:
    return f"Open strings sound: {listed(fact.names)}."
