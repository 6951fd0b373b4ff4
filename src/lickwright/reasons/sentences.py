"""How is a fact said in plain words? One template a kind; a sentence says what was computed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from lickwright.phrase import Phrase, count_name
from lickwright.reasons.facts import (
    AddedSixth,
    BlueFifth,
    BlueThird,
    ChordGrip,
    Ending,
    Fact,
    InPattern,
    Likeness,
    OctaveSurprise,
    OpenStrings,
    Outline,
    Passage,
    Pickup,
    Repetition,
    Sequence,
    SlideImitation,
    Space,
    Target,
    Triplets,
)
from lickwright.reasons.tones import Tone

_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_ORDINALS = {1: "1st", 2: "2nd", 3: "3rd", 21: "21st", 22: "22nd", 23: "23rd"}
_FRACTIONS = {
    Fraction(1, 4): "a quarter of a beat",
    Fraction(1, 3): "a third of a beat",
    Fraction(1, 2): "half a beat",
    Fraction(2, 3): "two thirds of a beat",
    Fraction(3, 4): "three quarters of a beat",
    Fraction(1): "one beat",
}


@dataclass(frozen=True, slots=True)
class Reason:
    """A sentence about some notes. `salience`: how much it helps to know it, 0 to 100."""

    kind: str  # the fact's kind in words: ending, target, blue third
    text: str
    notes: tuple[str, ...]  # ids
    salience: int


def number_word(count: int) -> str:
    """Say a small number: three, 11."""
    return _NUMBERS[count] if count < len(_NUMBERS) else str(count)


def fret_word(fret: int) -> str:
    """Say a fret: the 5th fret, open position."""
    if fret == 0:
        return "open position"
    return f"the {_ORDINALS.get(fret, f'{fret}th')} fret"


def beats_word(beats: Fraction) -> str:
    """Say a length in beats: one beat, half a beat, 1½ beats, 2 beats."""
    if beats in _FRACTIONS:
        return _FRACTIONS[beats]
    if beats.denominator == 1:
        return f"{number_word(int(beats))} beats"
    if beats.denominator == 2:
        return f"{beats // 1}½ beats"
    return f"{beats // 1} and {beats % 1} beats"


def listed(words: list[str] | tuple[str, ...]) -> str:
    """Join words as one says them: root, third and fifth."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def said(tone: Tone) -> str:
    """The degree of a tone as a teacher says it: the root, the ♭3, the 5."""
    return "the root" if tone.degree_text == "R" else f"the {tone.degree_text}"


def where(tone: Tone, phrase: Phrase) -> str:
    """The count at which a tone is heard: on 3, on 3&."""
    return count_name(tone.start % phrase.meter.beats, phrase.meter)


def say(fact: Fact, phrase: Phrase) -> Reason:
    """Say one fact about `phrase`."""
    kind, salience, template = _TEMPLATES[type(fact)]
    return Reason(kind, template(fact, phrase), fact.notes, salience)


def _ending(fact: Ending, phrase: Phrase) -> str:
    tone = fact.tone
    place = f"on {where(tone, phrase)}"
    if fact.root_of_key:
        return f"It ends on {tone.name.name.pretty}, the root of the key, {place}: it comes home."
    if tone.sharp:
        return f"It ends {place} between two frets, on the {tone.degree} a quarter step sharp."
    if tone.place is None or tone.chord is None:
        return f"It ends on {tone.name.name.pretty}, {said(tone)} of the key, {place}."
    return (
        f"It ends on {tone.name.name.pretty}, the {tone.place.words} of {tone.chord.pretty}, "
        f"{place}."
    )


def _octave_surprise(fact: OctaveSurprise, _: Phrase) -> str:
    name = fact.last.name.name.pretty
    return f"The line heads down to the low {name}, but ends on the {name} an octave higher."


def _outline(fact: Outline, _: Phrase) -> str:
    words = tuple(dict.fromkeys(tone.place.words for tone in fact.tones if tone.place is not None))
    return (
        f"{number_word(len(fact.tones)).capitalize()} notes in a row are tones of "
        f"{fact.chord.pretty}: {listed(words)}. You hear the chord in the line alone."
    )


def _target(fact: Target, _: Phrase) -> str:
    origin, goal = fact.origin, fact.goal
    steps = _bend_size(goal.midi - origin.midi)
    text = f"The {steps} bend starts on {said(origin)} and aims at {said(goal)}"
    if goal.place is not None and goal.chord is not None:
        text += f", the {goal.place.words} of {goal.chord.pretty}"
    if goal.strength > origin.strength:
        return f"{text}: a weaker note leans on a stronger one."
    return f"{text}."


def _bend_size(semitones: Fraction) -> str:
    names = {1: "half-step", 2: "whole-step", 3: "step-and-a-half", 4: "two-step"}
    return names.get(int(semitones), f"{semitones}-semitone")


def _blue_third(fact: BlueThird, _: Phrase) -> str:
    if fact.over_major:
        return (
            "The ♭3 is pushed a quarter step sharp, between the minor and the major third "
            "of the chord: neither one nor the other."
        )
    return "The ♭3 is pushed a quarter step sharp: a pitch between the frets."


def _blue_fifth(fact: BlueFifth, _: Phrase) -> str:
    degree = fact.tone.degree_text
    match fact.passage:
        case Passage.UP:
            return f"The {degree} passes between the 4 and the 5, on the way up."
        case Passage.DOWN:
            return f"The {degree} passes between the 5 and the 4, on the way down."
        case Passage.OTHER:
            return f"The {degree} is the blue fifth, between the 4 and the 5."


def _added_sixth(fact: AddedSixth, _: Phrase) -> str:
    chord = fact.tone.chord
    assert chord is not None
    text = (
        f"{fact.tone.name.name.pretty} is the sixth over {chord.pretty}: not in the chord, it "
        "colours it"
    )
    if fact.then is not None and fact.then.place is not None:
        return (
            f"{text}, and the line goes straight back to a chord tone, the {fact.then.place.words}."
        )
    return f"{text}."


def _grip(fact: ChordGrip, _: Phrase) -> str:
    count = number_word(len(fact.notes))
    where_from = f"moved up to {fret_word(fact.grip.fret)}" if fact.grip.fret else "unmoved"
    text = (
        f"The {count} notes struck together are a piece of {fact.chord_name} "
        f"(the open {fact.grip.form.name} chord {where_from})"
    )
    if fact.same_as_chord:
        return f"{text}, the chord under them."
    return f"{text}, the {fact.numeral} of the key."


def _in_pattern(fact: InPattern, _: Phrase) -> str:
    scale = f"pattern {fact.pattern.number} of the {fact.tonic} minor pentatonic"
    if fact.relative_major:
        scale += f" (the notes of {fact.relative_major} major pentatonic)"
    place = "in open position" if fact.pattern.fret == 0 else f"at {fret_word(fact.pattern.fret)}"
    if not fact.notes:
        return f"All notes lie in {scale} {place}."
    outside = len(fact.notes)
    if outside == 1:
        return f"All but one note lie in {scale} {place}; the other is {_the(fact.others[0])}."
    degrees = listed([_the(degree) for degree in fact.others])
    return f"All but {number_word(outside)} notes lie in {scale} {place}; the others are {degrees}."


def _the(degree: str) -> str:
    return "the root" if degree == "R" else f"the {degree}"


def _repetition(fact: Repetition, _: Phrase) -> str:
    first, second = fact.bars
    match fact.likeness:
        case Likeness.SAME:
            return f"Bar {second} is bar {first} again."
        case Likeness.LAST_NOTE:
            return f"Bar {second} is bar {first} again; only the last note changes."
        case Likeness.SAME_RHYTHM:
            return f"Bar {second} has the rhythm of bar {first}, with other notes."


def _sequence(fact: Sequence, _: Phrase) -> str:
    chords = listed([chord.pretty for chord in fact.chords])
    return f"The same shape is played on {chords}: it moves with the chords."


def _pickup(fact: Pickup, _: Phrase) -> str:
    count = len(fact.notes)
    notes = "One note leads" if count == 1 else f"{number_word(count).capitalize()} notes lead"
    return f"{notes} into beat 1: a pickup of {beats_word(fact.beats)}."


def _triplets(fact: Triplets, _: Phrase) -> str:
    text = "Triplets against a straight beat"
    return f"{text}; the last note lands on the beat." if fact.last_on_beat else f"{text}."


def _space(fact: Space, _: Phrase) -> str:
    if fact.beats * 2 == fact.bar_beats:
        return "The second half of the last bar is left for the answer."
    return (
        f"The last {beats_word(fact.beats)} are silent: space for the answer."
        if fact.beats > 1
        else f"The last {beats_word(fact.beats).removeprefix('one ')} is silent."
    )


def _open_strings(fact: OpenStrings, _: Phrase) -> str:
    names = listed(fact.names)
    if len(fact.names) == 1:
        return f"The open {names} string sounds: in another key its note is fretted."
    return f"The open {names} strings sound: in another key these notes are fretted."


def _slide_imitation(fact: SlideImitation, _: Phrase) -> str:
    return (
        f"Sliding into a barre at {fret_word(fact.fret)} over {number_word(len(fact.notes))} "
        "strings sounds like a bottleneck."
    )


# Kind in words, salience (our choice: what a teacher would say first), template.
_TEMPLATES: dict[type, tuple[str, int, Callable[[Any, Phrase], str]]] = {
    Ending: ("ending", 90, _ending),
    Sequence: ("sequence", 88, _sequence),
    OctaveSurprise: ("octave surprise", 85, _octave_surprise),
    BlueThird: ("blue third", 82, _blue_third),
    Target: ("target", 80, _target),
    BlueFifth: ("blue fifth", 75, _blue_fifth),
    Outline: ("chord outline", 70, _outline),
    InPattern: ("pattern", 68, _in_pattern),
    Pickup: ("pickup", 66, _pickup),
    ChordGrip: ("grip", 65, _grip),
    AddedSixth: ("added sixth", 60, _added_sixth),
    SlideImitation: ("slide imitation", 58, _slide_imitation),
    Repetition: ("repetition", 55, _repetition),
    Space: ("space", 52, _space),
    Triplets: ("rhythm", 50, _triplets),
    OpenStrings: ("open strings", 45, _open_strings),
}
