"""The forms in every key, against music21's roman numerals."""

from __future__ import annotations

import pytest
from backings import chords, form
from music21 import harmony, key, roman

from lickwright.band import Backing, BandError, Form, form_chords, phrase_backing
from lickwright.lesson.blocks import FORMS, MOST_CHORUSES, PLAYERS
from lickwright.phrase import ChordAt, Meter
from lickwright.theory import parse_chord, parse_key

KEYS = ("C", "Db", "D", "Eb", "E", "F", "F#", "Gb", "G", "Ab", "A", "Bb", "B", "C#")
MINOR = ("A minor", "C minor", "F# minor", "Eb minor", "G# minor", "Bb minor", "Ab minor")

# Sources: standard twelve-bar I I I I / IV IV I I / V IV I I with the last bar on V; quick change
# with IV in bar 2; minor with bVI7 V7 in bars 9 and 10; eight bars I V IV IV / I V I V; sixteen
# with the first four bars doubled (W. Riker, Complete Blues Guitar Method, Alfred 1994, p. 91, as
# cited in encyclopaedia articles; the sevenths are common practice, no source).
ROWS = {
    Form.TWELVE_BAR: "I7 I7 I7 I7 IV7 IV7 I7 I7 V7 IV7 I7 V7",
    Form.QUICK_CHANGE: "I7 IV7 I7 I7 IV7 IV7 I7 I7 V7 IV7 I7 V7",
    Form.MINOR_TWELVE: "i7 i7 i7 i7 iv7 iv7 i7 i7 bVI7 V7 i7 V7",
    Form.EIGHT_BAR: "I7 V7 IV7 IV7 I7 V7 I7 V7",
    Form.SIXTEEN_BAR: "I7 I7 I7 I7 I7 I7 I7 I7 IV7 IV7 I7 I7 V7 IV7 I7 V7",
}
ROOTS = {"I7": 0, "i7": 0, "IV7": 5, "iv7": 5, "V7": 7, "bVI7": 8}  # semitones above the tonic


@pytest.mark.parametrize("name", KEYS + MINOR)
@pytest.mark.parametrize("which", list(Form))
def test_every_form_in_every_key(which, name):
    tonic = parse_key(name).tonic
    for chord, numeral in zip(
        form_chords(which, parse_key(name)), ROWS[which].split(), strict=True
    ):
        assert chord.root.chroma == (tonic.chroma + ROOTS[numeral]) % 12
        heard = harmony.ChordSymbol(str(chord).replace("b", "-")).pitches
        assert chord.chromas == {pitch.pitchClass for pitch in heard}
        assert chord.kind.suffix == ("m7" if numeral[0].islower() and numeral[0] != "b" else "7")


# Source: music21's roman numerals; bVI7 of a major key is its flat sixth degree.
@pytest.mark.parametrize("name", ["C", "B-", "E", "F#"])
@pytest.mark.parametrize("numeral", ["IV", "V"])
def test_roots_are_the_degrees_of_the_key(name, numeral):
    wanted = roman.RomanNumeral(numeral, key.Key(name)).root().name
    named = parse_key(name.replace("-", "b"))
    bar = {"IV": 4, "V": 8}[numeral]
    assert str(form_chords(Form.TWELVE_BAR, named)[bar].root) == wanted.replace("-", "b")


# Common practice, no source: a blues in G is on G7, C7, D7.
def test_a_blues_in_g():
    names = {str(chord) for chord in form_chords(Form.TWELVE_BAR, parse_key("G"))}
    assert names == {"G7", "C7", "D7"}


def test_the_lesson_file_can_name_every_form_and_player():
    assert tuple(each.value for each in Form) == FORMS
    assert tuple(player.value for player in form().players) == PLAYERS
    assert form(choruses=MOST_CHORUSES).choruses == MOST_CHORUSES


def test_a_chord_that_goes_on_is_no_change():
    backing = form(key="A")
    assert " ".join(str(change.chord) for change in backing.changes) == "A7 D7 A7 E7 D7 A7 E7"
    assert [int(change.beat) for change in backing.changes] == [0, 16, 24, 32, 36, 40, 44]


def test_chords_of_ones_own_are_one_a_bar():
    backing = chords("C7 F#m7b5 B7#9", Meter(3, 4))
    assert [(int(c.beat), str(c.chord)) for c in backing.changes] == [
        (0, "C7"), (3, "F#m7b5"), (6, "B7#9"),
    ]  # fmt: skip
    assert backing.bars == 3


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"choruses": 201}, "wanted 1 to 200 choruses, got 201"),
        ({"choruses": 0}, "wanted 1 to 200 choruses, got 0"),
        ({"tempo": 500}, "wanted 20 to 400 beats a minute, got 500"),
        ({"count_in": 9}, "wanted 0 to 4 bars of count-in, got 9"),
        ({"bars": 0}, "wanted 1 to 256 bars in a chorus, got 0"),
        ({"changes": ()}, "needs a chord to begin with"),
        ({"changes": (ChordAt(0, parse_chord("C")), ChordAt(99, parse_chord("F")))}, "inside the"),
    ],
)
def test_what_cannot_be_played_is_refused_in_plain_words(wrong, words):
    with pytest.raises(BandError, match=words):
        form(**wrong)


def test_a_phrase_brings_its_own_chords(phrase_over):
    backing = phrase_over("C7", (2, "F7"))
    assert [(c.beat, str(c.chord)) for c in backing.changes] == [(0, "C7"), (2, "F7")]
    assert (backing.bars, backing.choruses, backing.ending) == (1, 1, False)


def test_a_phrase_without_chords_stands_on_the_chord_of_its_key(phrase_over):
    assert str(phrase_over().changes[0].chord) == "Am"


@pytest.fixture
def phrase_over():
    from lickwright.phrase import Bar, Count, Phrase  # noqa: PLC0415

    def make(first: str | None = None, *more: tuple[int, str]) -> Backing:
        named = [(0, first), *more] if first else []
        at = tuple(ChordAt(beat, parse_chord(symbol)) for beat, symbol in named)
        bar = Bar(1, 0, 4, (Count(0),))
        return phrase_backing(Phrase("t", parse_key("A minor"), (bar,), (), at))

    return make
