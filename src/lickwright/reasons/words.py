"""How are numbers, frets, lengths, places and intervals said in plain words?"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from lickwright.phrase import Phrase
from lickwright.reasons.tones import How, Tone

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
_INTERVALS = (
    "", "a half step", "a whole step", "a minor third", "a major third", "a fourth", "a tritone",
    "a fifth", "a minor sixth", "a major sixth", "a minor seventh", "a major seventh", "an octave",
)  # fmt: skip
_JOINS = {How.HAMMERED: "hammered on", How.SLID: "slid up", How.BENT: "bent up"}


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
    if beats < 1:
        return f"{beats} of a beat"
    return f"{beats // 1} and {beats % 1} beats"


def listed(words: list[str] | tuple[str, ...]) -> str:
    """Join words as one says them: root, third and fifth."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def said(tone: Tone) -> str:
    """The degree of a tone as a teacher says it: the root, the ♭3, the 5."""
    return "the root" if tone.degree_text == "R" else f"the {tone.degree_text}"


def at(beat: Fraction, phrase: Phrase) -> str:
    """Say where in its bar a beat is: beat 3, the & of 3, half a beat after beat 3."""
    place = beat % phrase.meter.beats
    number = int(place) + 1
    part = place % 1
    if part == 0:
        return f"beat {number}"
    said_part = phrase.meter.sayings.get(part)
    if said_part is None:
        return f"{beats_word(part)} after beat {number}"
    spoken = {"t": "trip", "l": "let"}.get(said_part, said_part)
    return f"the {spoken} of {number}"


def named(tone: Tone) -> str:
    """The name of a tone without its octave."""
    return tone.name.name.pretty


def place_words(tone: Tone) -> str:
    """A tone's place in its chord: the third of A7; empty without one."""
    if tone.place is None or tone.chord is None:
        return ""
    return f"the {tone.place.words} of {tone.chord.pretty}"


def interval_word(semitones: int) -> str:
    """Say a distance: a half step, a fourth, two octaves and a fifth."""
    octaves, rest = divmod(abs(semitones), 12)
    if octaves == 0 or semitones in (12, -12):
        return _INTERVALS[abs(semitones)]
    many = "an octave" if octaves == 1 else f"{number_word(octaves)} octaves"
    return f"{many} and {_INTERVALS[rest]}" if rest else many


def joined(tone: Tone) -> str:
    """How a tone was come by, without a stroke of its own: hammered on, slid up."""
    return _JOINS.get(tone.how, tone.how.value)


def ordinal_word(number: int) -> str:
    """Say a place in a row: first, 11th."""
    words = ("", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")
    return words[number] if number < len(words) else f"{number}th"


def bend_size(semitones: Fraction) -> str:
    """Say how far a bend goes."""
    names = {1: "half-step", 2: "whole-step", 3: "step-and-a-half", 4: "two-step"}
    if semitones.denominator == 1 and int(semitones) in names:
        return names[int(semitones)]
    return f"{semitones}-semitone"


def degree_words(degree: str) -> str:
    """The root, or the 4."""
    return "the root" if degree == "R" else f"the {degree}"


def said_all(tones: Sequence[Tone]) -> str:
    """The places of tones in their chord, each once: root, third and fifth."""
    words = dict.fromkeys(tone.place.words for tone in tones if tone.place is not None)
    return listed(tuple(words))
