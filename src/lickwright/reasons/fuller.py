"""How is a fact said to a pupil who knows the words? One template a kind."""

from __future__ import annotations

from lickwright.phrase import Phrase
from lickwright.reasons import facts as f
from lickwright.reasons.facts import Likeness, Passage
from lickwright.reasons.words import (
    at,
    beats_word,
    bend_size,
    degree_words,
    fret_word,
    interval_word,
    joined,
    listed,
    named,
    number_word,
    ordinal_word,
    place_words,
    said,
    said_all,
)


def ending(fact: f.Ending, phrase: Phrase) -> str:
    tone = fact.tone
    place = f"on {at(tone.start, phrase)}"
    if fact.root_of_key:
        text = f"It ends on {named(tone)}, the root of the key, {place}: it comes home."
        also = tone.place is not None and tone.place.words not in ("root", "no chord")
        return f"{text[:-1]} ({place_words(tone)})." if also else text
    if tone.sharp:
        return f"It ends {place} between two frets, on the {tone.degree} a quarter step sharp."
    inside = place_words(tone) or f"{said(tone)} of the key"
    return f"It ends on {named(tone)}, {inside}, {place}."


def octave_surprise(fact: f.OctaveSurprise, _: Phrase) -> str:
    name = named(fact.last)
    return f"The line heads down to the low {name}, but ends on the {name} an octave higher."


def outline(fact: f.Outline, _: Phrase) -> str:
    return (
        f"{number_word(len(fact.tones)).capitalize()} notes in a row are tones of "
        f"{fact.chord.pretty}: {said_all(fact.tones)}. You hear the chord in the line alone."
    )


def target(fact: f.Target, _: Phrase) -> str:
    origin, goal = fact.origin, fact.goal
    size = bend_size(goal.midi - origin.midi)
    text = f"The {size} bend starts on {said(origin)} and aims at {said(goal)}"
    if place_words(goal):
        text += f", {place_words(goal)}"
    if goal.strength > origin.strength:
        return f"{text}: a weaker note leans on a stronger one."
    return f"{text}."


def struck_bent(fact: f.StruckBent, _: Phrase) -> str:
    text = f"The string is bent before it is struck, so {said(fact.goal)} is heard at once"
    if fact.then is not None:
        return f"{text}, and is let down to {said(fact.then)}."
    return f"{text}."


def slide_home(fact: f.SlideHome, _: Phrase) -> str:
    text = f"The slide leaves {said(fact.origin)} and lands on {said(fact.goal)}"
    if place_words(fact.goal):
        text += f", {place_words(fact.goal)}"
    return f"{text}: a weaker note leads to a stronger one."


def minor_to_major(fact: f.MinorToMajor, _: Phrase) -> str:
    assert fact.third.chord is not None
    return (
        f"The minor third is {joined(fact.third)} to {named(fact.third)}, the major third of "
        f"{fact.third.chord.pretty}: minor turns to major."
    )


def guide_tones(fact: f.GuideTones, _: Phrase) -> str:
    before, after = fact.before, fact.after
    assert before.chord is not None
    assert after.chord is not None
    change = f"Where {before.chord.pretty} goes to {after.chord.pretty}"
    if before.midi == after.midi:
        return (
            f"{change}, {named(before)} stays: {place_words(before)} becomes {place_words(after)}."
        )
    way = "rises" if after.midi > before.midi else "falls"
    size = interval_word(int(after.midi - before.midi))
    return (
        f"{change}, {named(before)}, {place_words(before)}, {way} {size} to {named(after)}, "
        f"{place_words(after)}."
    )


def anticipation(fact: f.Anticipation, _: Phrase) -> str:
    return (
        f"{named(fact.tone)} sounds {beats_word(fact.ahead)} before {fact.chord.pretty}, of which "
        f"it is the {fact.place.words}: the line is there ahead of the chord."
    )


def suspension(fact: f.Suspension, _: Phrase) -> str:
    way = "down" if fact.home.midi < fact.tone.midi else "up"
    assert fact.tone.chord is not None
    return (
        f"{named(fact.tone)} is held over into {fact.tone.chord.pretty}, where it has no place, "
        f"and goes {way} to {named(fact.home)}, {place_words(fact.home)}."
    )


def enclosure(fact: f.Enclosure, _: Phrase) -> str:
    first, second = fact.around
    return (
        f"{named(first)} and {named(second)} close in on {named(fact.target)}, "
        f"{place_words(fact.target)}, from both sides."
    )


def approach(fact: f.Approach, _: Phrase) -> str:
    side = "under" if fact.tone.midi < fact.target.midi else "above"
    return (
        f"{named(fact.tone)} stands a half step {side} {named(fact.target)}, "
        f"{place_words(fact.target)}, and leads into it."
    )


def climax(fact: f.Climax, phrase: Phrase) -> str:
    return (
        f"The highest note, {named(fact.tone)} on {at(fact.tone.start, phrase)}, is heard once: "
        "the line climbs to it and comes down again."
    )


def call_and_answer(fact: f.CallAndAnswer, _: Phrase) -> str:
    first, last, third, fourth = fact.bars
    call = f"Bar {first} stops" if first == last else f"Bars {first} to {last} stop"
    answer = f"bar {third} ends" if third == fourth else f"bars {third} to {fourth} end"
    return (
        f"{call} on {said(fact.call)}, which leaves the line open; {answer} on the root: "
        "a call and its answer."
    )


def displacement(fact: f.Displacement, phrase: Phrase) -> str:
    return (
        f"The same {number_word(fact.count)} notes come again, but begin on "
        f"{at(fact.second, phrase)} instead of {at(fact.first, phrase)}."
    )


def blue_third(fact: f.BlueThird, _: Phrase) -> str:
    if fact.over_major:
        return (
            "The ♭3 is pushed a quarter step sharp, between the minor and the major third "
            "of the chord: neither one nor the other."
        )
    return "The ♭3 is pushed a quarter step sharp: a pitch between the frets."


def blue_fifth(fact: f.BlueFifth, _: Phrase) -> str:
    degree = fact.tone.degree_text
    match fact.passage:
        case Passage.UP:
            return f"The {degree} passes between the 4 and the 5, on the way up."
        case Passage.DOWN:
            return f"The {degree} passes between the 5 and the 4, on the way down."
        case Passage.OTHER:
            return f"The {degree} is the blue fifth, between the 4 and the 5."


def added_sixth(fact: f.AddedSixth, _: Phrase) -> str:
    chord = fact.tone.chord
    assert chord is not None
    text = f"{named(fact.tone)} is the sixth over {chord.pretty}: not in the chord, it colours it"
    if fact.then is not None and fact.then.place is not None:
        return (
            f"{text}, and the line goes straight back to a chord tone, the {fact.then.place.words}."
        )
    return f"{text}."


def grip(fact: f.ChordGrip, _: Phrase) -> str:
    count = number_word(len(fact.notes))
    form = fact.grip.form.name
    source = f"the open {form} chord"
    if fact.grip.fret:
        source += f" moved up to {fret_word(fact.grip.fret)}"
    text = f"The {count} notes struck together are a piece of {fact.chord_name} ({source})"
    if fact.same_as_chord:
        return f"{text}, the chord under them."
    return f"{text}, the {fact.numeral} of the key."


def in_pattern(fact: f.InPattern, _: Phrase) -> str:
    scale = f"pattern {fact.pattern.number} of the {fact.tonic} minor pentatonic"
    if fact.relative_major:
        scale += f" (the notes of {fact.relative_major} major pentatonic)"
    place = "in open position" if fact.pattern.fret == 0 else f"at {fret_word(fact.pattern.fret)}"
    outside = len(fact.notes)
    if not outside:
        return f"All notes lie in {scale} {place}."
    if outside == 1:
        return (
            f"All but one note lie in {scale} {place}; the other is {degree_words(fact.others[0])}."
        )
    degrees = listed([degree_words(degree) for degree in fact.others])
    return f"All but {number_word(outside)} notes lie in {scale} {place}; the others are {degrees}."


def repetition(fact: f.Repetition, _: Phrase) -> str:
    first, second = fact.bars
    match fact.likeness:
        case Likeness.SAME:
            return f"Bar {second} is bar {first} again."
        case Likeness.LAST_NOTE:
            return f"Bar {second} is bar {first} again; only the last note changes."
        case Likeness.ONE_NOTE:
            return (
                f"Bar {second} is bar {first} again; only the {ordinal_word(fact.number)} note "
                "changes."
            )
        case Likeness.MOVED if fact.moved == 0:
            return f"Bar {second} sounds the notes of bar {first} again, played another way."
        case Likeness.MOVED:
            way = "up" if fact.moved > 0 else "down"
            return f"Bar {second} is bar {first} moved {way} {interval_word(fact.moved)}."
        case Likeness.SAME_RHYTHM:
            return f"Bar {second} has the rhythm of bar {first}, with other notes."


def sequence(fact: f.Sequence, _: Phrase) -> str:
    chords = listed([chord.pretty for chord in fact.chords])
    return f"The same shape is played on {chords}: it moves with the chords."


def pickup(fact: f.Pickup, _: Phrase) -> str:
    count = len(fact.notes)
    notes = "One note leads" if count == 1 else f"{number_word(count).capitalize()} notes lead"
    return f"{notes} into beat 1: a pickup of {beats_word(fact.beats)}."


def triplets(fact: f.Triplets, _: Phrase) -> str:
    text = "Triplets against a straight beat"
    return f"{text}; the last note lands on the beat." if fact.last_on_beat else f"{text}."


def space(fact: f.Space, _: Phrase) -> str:
    if fact.beats * 2 == fact.bar_beats:
        return "The second half of the last bar is left for the answer."
    if fact.beats > 1:
        return f"The last {beats_word(fact.beats)} are silent: space for the answer."
    return f"The last {beats_word(fact.beats).removeprefix('one ')} is silent."


def open_strings(fact: f.OpenStrings, _: Phrase) -> str:
    names = listed(fact.names)
    if len(fact.names) == 1:
        return f"The open {names} string sounds: in another key its note is fretted."
    return f"The open {names} strings sound: in another key these notes are fretted."


def slide_imitation(fact: f.SlideImitation, _: Phrase) -> str:
    return (
        f"Sliding into a barre at {fret_word(fact.fret)} over {number_word(len(fact.notes))} "
        "strings sounds like a bottleneck."
    )
