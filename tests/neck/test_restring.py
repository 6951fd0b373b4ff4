"""Does a note on another string sound the same, and does all else stay as it is?"""

from __future__ import annotations

import pytest
from music21 import pitch as m21_pitch
from tests.neck.made import line, n
from tests.neck.made import phrase as built
from tests.neck.random_phrases import by_pitch, made_phrases, read_back

from lickwright.neck import finger, guitar_for, other_strings
from lickwright.phrase import Bend, Finger, Phrase

OPEN = {1: "E4", 2: "B3", 3: "G3", 4: "D3", 5: "A2", 6: "E2"}  # common practice, no source


def found(phrase: Phrase, index: int) -> list[tuple[int, int]]:
    others = other_strings(phrase, guitar_for(phrase), phrase.notes[index].id)
    return [(other.string, other.fret) for other in others]


def test_the_same_pitch_on_every_string_that_has_it() -> None:
    # Source: music21 counts the semitones between the open strings.
    phrase = line((2, 5), (2, 8), (3, 7))
    for index, note in enumerate(phrase.notes):
        sounding = m21_pitch.Pitch(OPEN[note.string]).midi + note.fret
        wanted = {
            (string, round(sounding - m21_pitch.Pitch(name).midi))
            for string, name in OPEN.items()
            if string != note.string and 0 <= sounding - m21_pitch.Pitch(name).midi <= 22
        }
        assert set(found(phrase, index)) == wanted


def test_what_is_joined_goes_along() -> None:
    phrase = built([n(3, 5, 0, 0.5), n(3, 7, 0.5, 1, link="h"), n(2, 5, 1, 2)])
    (made,) = [
        other.phrase
        for other in other_strings(phrase, guitar_for(phrase), phrase.notes[1].id)
        if other.string == 4
    ]
    assert [(note.string, note.fret) for note in made.notes] == [(4, 10), (4, 12), (2, 5)]


def test_a_string_that_is_taken_is_left_out() -> None:
    phrase = built([n(2, 5, 0, 1), n(3, 7, 0, 1)])
    assert 3 not in [string for string, _ in found(phrase, 0)]
    assert 2 not in [string for string, _ in found(phrase, 1)]


def test_an_open_string_is_not_bent() -> None:
    bent = built([n(2, 5, 0, 1, gestures=(Bend(2),))])
    assert (1, 0) not in found(bent, 0)
    assert (1, 0) in found(line((2, 5)), 0)


def test_fingers_of_other_notes_are_kept() -> None:
    phrase = built([n(2, 5, 0, 1, finger=Finger.FOURTH), n(3, 7, 1, 2)])
    for other in other_strings(phrase, guitar_for(phrase), phrase.notes[1].id):
        assert other.phrase.notes[0].finger is Finger.FOURTH


def test_no_such_note() -> None:
    with pytest.raises(KeyError):
        other_strings(line((2, 5)), guitar_for(line((2, 5))), "nowhere")


def test_made_phrases_sound_the_same_and_their_costs_are_the_hands_own() -> None:
    tried = 0
    for phrase in made_phrases(900, 25):
        guitar = guitar_for(phrase)
        for note in phrase.notes[:: max(1, len(phrase.notes) // 3)]:
            others = other_strings(phrase, guitar, note.id)
            extras = [other.extra for other in others]
            assert extras == sorted(extras)
            for other in others:
                assert by_pitch(read_back(other.phrase)) == by_pitch(phrase)
                cost = finger(other.phrase, guitar).cost - finger(phrase, guitar).cost
                assert other.extra == pytest.approx(cost)
                tried += 1
    assert tried > 60
