"""Where else a phrase works: shares, clashes, verdicts and mends."""

from __future__ import annotations

from fractions import Fraction

import naive
import pytest
from hypothesis import HealthCheck, given, settings
from licks import lick
from made_phrases import phrases
from music21 import scale as m21_scale

from lickwright.phrase import Phrase
from lickwright.reasons import (
    Fit,
    Verdict,
    fit,
    mend_words,
    scales_with,
    serves,
    tones_of,
    usual_chords,
)
from lickwright.reasons.fit import HELD
from lickwright.theory import ScaleKind, Standing, parse_chord, parse_key

HOME = "e     |----5-------|\nB     |5-8---8-5---|\nG     |----------7-|\ncount |1 & 2 & 3 4 |"
MUSIC21 = {
    ScaleKind.MAJOR: m21_scale.MajorScale,
    ScaleKind.NATURAL_MINOR: m21_scale.MinorScale,
    ScaleKind.DORIAN: m21_scale.DorianScale,
    ScaleKind.MIXOLYDIAN: m21_scale.MixolydianScale,
}


def over(phrase: Phrase, symbol: str) -> Fit:
    found = fit(phrase, tones_of(phrase), parse_chord(symbol))
    assert found is not None
    return found


def test_a_minor_pentatonic_phrase_serves_a7_c_and_d7() -> None:
    # Common practice, no source: A minor pentatonic is played over A7, over C and over D7.
    made = lick("G     |----5---|\nD     |7-5---7-|\ncount |1 & 2 4 |", "key: A minor")
    names = {f"{root} {kind.value}" for kind, root in scales_with(tones_of(made))}
    assert {"A minor pentatonic", "C major pentatonic", "D mixolydian"} <= names
    for symbol in ("A7", "C", "D7", "Am"):
        assert over(made, symbol).verdict >= Verdict.WORKS, symbol


def test_chords_and_scales_are_named_as_the_phrase_names_their_roots() -> None:
    # E minor has one sharp: its second is F#, not Gb (key signatures, any theory book).
    made = lick("G     |2-6-----|\nD     |----4-2-|\ncount |1 2 3 4 |", "key: E minor")
    chords = {str(found.chord) for found in serves(made, tones_of(made))}
    assert "F#7" in chords
    roots = {str(root) for _, root in scales_with(tones_of(made))}
    assert "F#" in roots
    assert not {"Gb", "Db"} & (roots | {chord[:2] for chord in chords})


def test_shares_are_of_the_sounding_time() -> None:
    made = lick("B     |5---8-6-|\ncount |1   3 4 |", "key: C")  # E two beats, G one, F one
    found = over(made, "C")
    assert (found.on_chord, found.on_scale, found.outside) == (Fraction(3, 4), Fraction(1, 4), 0)
    assert found.last is not None
    assert found.last.words == "eleventh"


def test_a_tone_held_a_half_step_above_a_chord_tone_keeps_the_phrase_away() -> None:
    made = lick("B     |6---5-|\ncount |1   4 |", "key: C")  # F three beats over the E of C
    found = over(made, "C")
    assert found.verdict is Verdict.KEEP_AWAY
    assert found.why == "F is held a half step above E"
    short = lick("B     |6-5-----|\ncount |1 & 2   |", "key: C")
    assert over(short, "C").verdict is Verdict.AT_HOME


def test_a_changed_last_note_lifts_the_verdict() -> None:
    made = lick("B     |5-8-6-|\ncount |1 3 4 |", "key: C")
    found = over(made, "C")
    assert found.mend is not None
    assert (found.mend.name.pretty, found.mend.fret) == ("E4", 5)
    assert mend_words(found.mend, made) == "End on E (5th fret, B string) and it is at home."
    mended = lick("B     |5-8-5-|\ncount |1 3 4 |", "key: C")
    assert over(mended, "C").verdict is found.mend.verdict > found.verdict


@pytest.mark.parametrize(
    ("key", "chords"),
    [("C", "C7 F7 G7 Am"), ("A minor", "Am7 Dm7 E7 C"), ("Eb", "Eb7 Ab7 Bb7 Cm")],
)
def test_the_chords_asked_for_by_default(key: str, chords: str) -> None:
    assert [str(chord) for chord in usual_chords(parse_key(key))] == chords.split()


def test_nothing_with_a_pitch_gives_no_verdict() -> None:
    made = lick("G     |x-x|\ncount |1 2|", "key: A")
    assert fit(made, tones_of(made), parse_chord("A7")) is None
    assert serves(made, tones_of(made)) == ()
    assert scales_with(tones_of(made)) == ()


@settings(deadline=None, max_examples=60, suppress_health_check=list(HealthCheck))
@given(made=phrases())
def test_every_claim_of_a_fit_is_true(made: Phrase) -> None:
    tones = tones_of(made)
    for symbol in ("A7", "Dm", "F", "Ebmaj7"):
        found = fit(made, tones, parse_chord(symbol))
        if found is None:
            continue
        assert found.on_chord + found.on_scale + found.outside == 1
        chord = naive.chord_chromas(symbol)
        for tone in found.clashes:
            assert tone.lasts >= HELD
            assert (tone.midi - 1) % 12 in chord
            assert tone.midi % 12 not in chord
        if found.verdict is Verdict.AT_HOME:
            assert found.last is not None
            assert found.last.standing is Standing.TONE
            assert naive.line(made)[-1].chroma in chord
        if found.mend is not None:
            assert found.mend.verdict > found.verdict
            assert found.mend.name.midi % 12 in chord


@settings(deadline=None, max_examples=40, suppress_health_check=list(HealthCheck))
@given(made=phrases())
def test_scales_that_hold_all_notes_do_so_for_music21(made: Phrase) -> None:
    tones = [tone for tone in tones_of(made) if not tone.sharp]
    chromas = {tone.chroma for tone in tones}
    found = scales_with(tones)
    for kind, build in MUSIC21.items():
        holding = {
            root
            for root in range(12)
            if chromas and chromas <= {p.pitchClass for p in build(_name(root)).pitches}
        }
        assert {root.chroma for each, root in found if each is kind} == holding


def _name(chroma: int) -> str:
    return ["C", "D-", "D", "E-", "E", "F", "G-", "G", "A-", "A", "B-", "B"][chroma]
