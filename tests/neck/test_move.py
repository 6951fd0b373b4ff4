"""Is a moved phrase the same music, where a teacher would put it, and are its words true?"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from random import Random
from typing import Any

import pytest
from music21 import interval as m21_interval
from music21 import pitch as m21_pitch
from tests.neck.made import line, n
from tests.neck.made import phrase as built
from tests.neck.random_phrases import by_pitch, made_phrases, read_back

from lickwright.lesson import phrase_block, read_lesson
from lickwright.neck import Guitar, Place, guitar_for
from lickwright.neck.guitar import usual_strings
from lickwright.neck.moving import CannotMove, Moved, move
from lickwright.neck.pattern import patterns
from lickwright.phrase import (
    STANDARD,
    Bend,
    Entry,
    Finger,
    Mark,
    Note,
    Phrase,
    Release,
    Span,
    Trill,
    Tuning,
    Vibrato,
)
from lickwright.theory import Key, Mode, parse_chord, parse_key, parse_pitch, spell, usual_key

DEMO = Path(__file__).parents[2] / "examples" / "thursday-class.md"
PHRASES = {p.name: p for p in read_lesson(DEMO.read_text(encoding="utf-8")).lesson.phrases}
LAMP = """\
title: The corner lamp
key: A
chords: A7

e      |-------5--------------------|
B      |----5-----8--5--------------|
G      |7b9-------------7--5h7p5----|
D      |-------------------------7~-|
count  |1   &  2  &  3  &  4     &  |
finger |3   1  1  4  1  3  1     3  |
"""
TUNINGS = {
    "dropped D": "D2 A2 D3 G3 B3 E4",
    "DADGAD": "D2 A2 D3 G3 A3 D4",
    "half a step down": "Eb2 Ab2 Db3 Gb3 Bb3 Eb4",
    "four strings": "E1 A1 D2 G2",
    "seven strings": "B1 E2 A2 D3 G3 B3 E4",
}


def tuned(names: str) -> Tuning:
    """A tuning from its strings, thickest first."""
    return Tuning(tuple(parse_pitch(name) for name in reversed(names.split())))


def quarters(*places: tuple[int, int], **more: Any) -> Phrase:
    """Quarter notes one after the other."""
    return read_back(line(*places, each=1, **more))


def phrase(notes: Iterable[Note], **more: Any) -> Phrase:
    """A phrase as the reader of lessons gives it."""
    return read_back(built(notes, **more))


def lick(rows: str, name: str = "corner-lamp") -> Phrase:
    reading = read_lesson(f"```lick {name}\n{rows}```\n")
    assert reading.problems == ()
    return reading.lesson.phrases[0]


def moved(made: Phrase, **asked: object) -> Moved:
    """The phrase moved; it must be possible, read back as it is, and sound the same."""
    found = move(made, guitar_for(made), **asked)  # type: ignore[arg-type]
    assert isinstance(found, Moved), found
    assert read_back(found.phrase) == found.phrase
    if not found.lost:
        assert lowered(found) == by_pitch(made)
    return found


def cannot(made: Phrase, **asked: object) -> CannotMove:
    found = move(made, guitar_for(made), **asked)  # type: ignore[arg-type]
    assert isinstance(found, CannotMove), found
    assert found.nearest is None or read_back(found.nearest.phrase) == found.nearest.phrase
    return found


def lowered(found: Moved) -> list[tuple[object, ...]]:
    """All that is heard of a moved phrase, moved back."""
    heard = [
        (None if pitch is None else pitch - 2 * found.semitones, *rest)  # type: ignore[operator]
        for pitch, *rest in by_pitch(found.phrase)
    ]
    return sorted(heard, key=repr)


def places(made: Phrase) -> list[tuple[int, int]]:
    return [(note.string, note.fret) for note in made.notes if not note.dead]


def along(made: Phrase, frets: int) -> list[tuple[int, int]]:
    return [(string, fret + frets) for string, fret in places(made)]


# --- to another key --------------------------------------------------------------------------


def test_a_shape_moves_along_the_neck_with_all_that_belongs_to_it() -> None:
    lamp = lick(LAMP)
    found = moved(lamp, key=parse_key("C"))
    assert places(found.phrase) == along(lamp, 3)
    assert [note.finger for note in found.phrase.notes] == [note.finger for note in lamp.notes]
    assert [at.chord.symbol for at in found.phrase.chords] == ["C7"]
    assert (found.phrase.name, found.phrase.title) == ("corner-lamp-in-c", "The corner lamp, in C")
    assert found.phrase.notes[0].id == "corner-lamp-in-c/1/1/3"
    assert found.changed == (
        "a minor third up, from A to C",
        "the chord is C7",
        "three frets up; same shape",
    )
    assert found.lost == ()
    again = moved(found.phrase, key=parse_key("G"))
    assert (again.phrase.name, again.phrase.title) == ("corner-lamp-in-g", "The corner lamp, in G")
    assert again.changed[-1] == "five frets down; same shape"


def test_the_target_of_a_bend_moves_as_a_fret() -> None:
    found = moved(lick(LAMP), key=parse_key("C"))
    assert "10b12" in "\n".join(phrase_block(found.phrase))


@pytest.mark.parametrize(
    ("key", "frets"),
    [("Bb", 1), ("B", 2), ("D", 5), ("Eb", 6), ("Ab", -1), ("G", -2), ("F", -4)],
)
def test_the_shorter_way_is_taken(key: str, frets: int) -> None:
    found = moved(lick(LAMP), key=parse_key(key))
    assert found.same_shape
    assert found.semitones == frets


def test_the_other_way_is_taken_where_the_neck_ends() -> None:
    low = quarters((6, 1), (6, 4), (5, 3), key="F minor")
    assert moved(low, key=parse_key("D minor")).semitones == 9
    high = quarters((1, 17), (1, 20), (2, 20), key="A minor")
    assert moved(high, key=parse_key("C minor")).semitones == -9


def test_the_same_key_changes_nothing() -> None:
    lamp = lick(LAMP)
    found = moved(lamp, key=parse_key("A"))
    assert places(found.phrase) == places(lamp)
    assert found.changed == ("it is in A already", "same places")


@pytest.mark.parametrize("name", PHRASES)
def test_twelve_half_steps_bring_a_lesson_s_phrase_back(name: str) -> None:
    """Common practice, no source: the twelfth fret repeats the open string an octave up."""
    made = start = PHRASES[name]
    steps = []
    for _ in range(12):
        found = move(
            made, guitar_for(start), key=usual_key(made.key.tonic.chroma + 1, start.key.mode)
        )
        assert isinstance(found, Moved), found
        steps.append(found)
        made = found.phrase
    assert made.key.tonic.chroma == start.key.tonic.chroma
    assert [at.chord for at in made.chords] == [at.chord for at in start.chords]
    up = sum(step.semitones for step in steps)
    assert up in (0, 12)
    if not any(step.lost for step in steps):
        assert lowered(replace(steps[-1], semitones=up)) == by_pitch(start)
    if all(step.same_shape for step in steps):
        assert places(made) == along(start, up)


@pytest.mark.parametrize("seed", range(0, 5000, 500))
def test_twelve_half_steps_bring_a_made_phrase_back(seed: int) -> None:
    for start in made_phrases(50_000 + seed, 2):
        made, up, shapes = start, 0, True
        for _ in range(12):
            key = usual_key(made.key.tonic.chroma + 1, made.key.mode)
            found = move(made, guitar_for(start), key=key)
            if isinstance(found, CannotMove) or found.lost:
                break
            made, up, shapes = found.phrase, up + found.semitones, shapes and found.same_shape
        else:
            assert up % 12 == 0
            last = Moved(made, (), (), up, shapes)
            assert lowered(last) == by_pitch(start)
            if shapes and not any(note.harmonic or note.dead for note in start.notes):
                assert places(made) == along(start, places(made)[0][1] - places(start)[0][1])


# --- names -----------------------------------------------------------------------------------

TONICS = ("C", "Db", "D", "Eb", "E", "F", "F#", "Gb", "G", "Ab", "A", "Bb", "B")


def m21(name: object) -> str:
    return str(name).replace("b", "-")


@pytest.mark.parametrize("tonic", TONICS)
def test_names_of_chords_and_notes_are_those_of_music21(tonic: str) -> None:
    """Transposition by the interval between the tonics, with music21's Interval."""
    made = replace(
        quarters((3, 5), (3, 6), (3, 7), (2, 5), (2, 8), (1, 5), (1, 8), (1, 9), key="A"),
        chords=phrase([n(1, 1, 0, 4)], chords=[(0, "A7"), (1, "D9"), (2, "F#m7b5/C"), (3, "E7#9")])
        .chords,
    )  # fmt: skip
    found = moved(made, key=parse_key(tonic))
    by = m21_interval.Interval(m21_pitch.Pitch("A4"), m21_pitch.Pitch(m21(tonic) + "5"))
    for old, new in zip(made.chords, found.phrase.chords, strict=True):
        for before, after in ((old.chord.root, new.chord.root), (old.chord.bass, new.chord.bass)):
            if before is not None:
                expected = m21_pitch.Pitch(m21(before)).transpose(by)
                assert after is not None
                assert after.chroma == expected.pitchClass
                if abs(expected.alter) < 2:
                    assert m21(after) == expected.name
        assert new.chord.kind == old.chord.kind
    key = found.phrase.key
    for old_note, new_note in zip(made.notes, found.phrase.notes, strict=True):
        was, now = _midi(made, old_note.id), _midi(found.phrase, new_note.id)
        expected = m21_pitch.Pitch(m21(spell(was, made.key))).transpose(by)
        assert (now - expected.midi) % 12 == 0
        if abs(expected.alter) < 2:
            assert m21(spell(now, key).name) == expected.name


def _midi(made: Phrase, note_id: str) -> int:
    pitch = made.midi(next(note for note in made.notes if note.id == note_id))
    assert pitch is not None
    return int(pitch)


def test_a_key_that_cannot_be_signed_is_called_by_its_other_name() -> None:
    tonic = parse_key("G# minor").tonic
    found = moved(lick(LAMP), key=Key(tonic, Mode.MAJOR))
    assert str(found.phrase.key) == "Ab"


def test_another_mode_is_said() -> None:
    found = moved(lick(LAMP), key=parse_key("C minor"))
    assert "the key is called minor now; the line keeps its steps above the root" in found.changed
    assert found.phrase.name == "corner-lamp-in-c-minor"


# --- onto another chord ----------------------------------------------------------------------


def test_the_line_stands_on_the_other_chord_as_on_its_own() -> None:
    lamp = lick(LAMP)
    found = moved(lamp, chord=parse_chord("D7"))
    assert found.phrase.key == lamp.key
    assert found.semitones == 5
    assert places(found.phrase) == along(lamp, 5)
    assert [at.chord.symbol for at in found.phrase.chords] == ["D7"]
    assert found.phrase.name == "corner-lamp-on-d7"
    above = [(_midi(p, note.id) - root) % 12 for p, root in ((lamp, 9), (found.phrase, 2))
             for note in p.notes]  # fmt: skip
    assert above[: len(lamp.notes)] == above[len(lamp.notes) :]


def test_a_line_over_several_chords_takes_them_along() -> None:
    found = moved(PHRASES["three-doors"], chord=parse_chord("D9"))
    assert [at.chord.symbol for at in found.phrase.chords] == ["D9", "G7", "A7"]
    assert not any("another third" in each for each in found.changed)
    minor = moved(PHRASES["three-doors"], chord=parse_chord("Dm7"))
    assert "the line was made over A7, which has another third" in minor.changed


def test_a_line_without_chords_is_counted_from_its_key() -> None:
    made = quarters((3, 5), (3, 7), key="A minor")
    found = moved(made, chord=parse_chord("Dm7"))
    assert found.semitones == 5
    assert [(at.beat, at.chord.symbol) for at in found.phrase.chords] == [(0, "Dm7")]


# --- octaves, patterns -----------------------------------------------------------------------


def test_an_octave_up_and_down() -> None:
    up = moved(lick(LAMP), octave=1)
    assert up.semitones == 12
    down = moved(lick(LAMP), octave=-1)
    assert down.semitones == -12
    assert all(note.fret <= 8 for note in down.phrase.notes)
    assert up.phrase.title == "The corner lamp, an octave up"
    assert moved(lick(LAMP), octave=1, key=parse_key("C")).semitones == 15


@pytest.mark.parametrize("number", [1, 2, 3, 4, 5])
def test_a_scale_line_lies_in_the_pattern_asked_for(number: int) -> None:
    """Common practice, no source: all five patterns hold A3 to C5 or more of A minor."""
    made = quarters((4, 7), (3, 5), (3, 7), (2, 5), (2, 8), (1, 5), key="A minor")
    found = moved(made, pattern=number)
    inside = [each.places for each in patterns(9, STANDARD) if each.number == number]
    stand = {Place(note.string, note.fret) for note in found.phrase.notes}
    assert any(stand <= each for each in inside)
    assert f"pattern {number}" in found.changed[-1]


def test_a_pattern_and_a_key_together() -> None:
    made = quarters((4, 7), (3, 5), (3, 7), (2, 5), key="A minor")
    found = moved(made, pattern=4, key=parse_key("C minor"))
    stand = {Place(note.string, note.fret) for note in found.phrase.notes}
    assert any(stand <= each.places for each in patterns(0, STANDARD) if each.number == 4)


def test_a_joined_run_may_leave_the_pattern_and_that_is_said() -> None:
    made = phrase([n(3, 5, 0, 1), n(3, 7, 1, 2, link="h"), n(2, 5, 2, 3), n(1, 5, 3, 4)])
    found = moved(made, pattern=2)
    one, other = [note for note in found.phrase.notes if note.onset < 2]
    assert one.string == other.string
    assert found.changed[-1].startswith("outside the pattern's frets:")


# --- tunings and capos -----------------------------------------------------------------------


@pytest.mark.parametrize("name", TUNINGS)
def test_another_tuning_sounds_the_same(name: str) -> None:
    tuning = tuned(TUNINGS[name])
    for made in (lick(LAMP), PHRASES["back-stairs"], PHRASES["night-bus"]):
        down = -1 if name == "four strings" else 0
        found = moved(made, tuning=tuning, octave=down)
        assert found.semitones == 12 * down
        assert found.phrase.tuning == tuning


def test_strings_tuned_down_alike_keep_the_shape() -> None:
    lamp = lick(LAMP)
    found = moved(lamp, tuning=tuned(TUNINGS["half a step down"]))
    assert places(found.phrase) == along(lamp, 1)
    assert found.changed == ("for strings tuned Eb Ab Db Gb Bb Eb", "one fret up; same shape")


def test_a_capo_moves_the_frets() -> None:
    lamp = lick(LAMP)
    found = moved(lamp, capo=2)
    assert places(found.phrase) == along(lamp, -2)
    assert found.phrase.capo == 2
    back = moved(found.phrase, capo=0)
    assert places(back.phrase) == places(lamp)


def test_one_string_and_twelve() -> None:
    made = quarters((1, 3), (1, 5), (1, 8), (1, 5))
    one = moved(made, tuning=tuned("E4"))
    assert {note.string for note in one.phrase.notes} == {1}
    bent = replace(one.phrase, notes=(replace(one.phrase.notes[0], gestures=(Bend(to=2),)),  # type: ignore[arg-type]
                                      *one.phrase.notes[1:]))  # fmt: skip
    assert moved(bent, key=usual_key(bent.key.tonic.chroma + 2, bent.key.mode)).same_shape
    twelve = " ".join(["E2 A2 D3 G3 B3 E4"] * 2)
    assert len(moved(made, tuning=tuned(twelve)).phrase.tuning) == 12


# --- open strings, harmonics, the hand -------------------------------------------------------


def test_a_pull_off_to_an_open_string_becomes_one_to_a_fret() -> None:
    made = phrase([n(2, 3, 0, 1), n(2, 0, 1, 2, link="p"), n(3, 2, 2, 4)], key="E minor")
    found = moved(made, key=parse_key("G minor"))
    assert places(found.phrase) == along(made, 3)
    assert found.changed[-2:] == (
        "with a capo at fret 3 the fingers could stay as they were",
        "the pull-off to the open string on 2 became a pull-off to fret 3",
    )


def test_a_bend_never_falls_on_an_open_string() -> None:
    bent = (Bend(to=2), Release())  # type: ignore[arg-type]
    made = phrase([n(3, 2, 0, 2, gestures=bent), n(4, 2, 2, 4)], key="A minor")
    found = moved(made, key=parse_key("G minor"))
    assert found.semitones == 10  # two frets down the bent string would be open
    assert places(found.phrase) == along(made, 10)
    alone = phrase([n(1, 2, 0, 4, gestures=bent)], key="F#", tuning=tuned("E4"))
    stuck = move(alone, Guitar(alone.tuning, usual_strings(1), frets=7), key=parse_key("E"))
    assert isinstance(stuck, CannotMove)
    assert stuck.what == "the bend on 1 would fall on an open string, which cannot be bent"


def test_fingers_are_left_out_where_an_open_string_needs_one() -> None:
    made = phrase([n(2, 3, 0, 1, finger=Finger.THIRD), n(2, 0, 1, 2), n(1, 3, 2, 4)], key="E minor")
    found = moved(made, key=parse_key("G minor"))
    assert all(note.finger is None for note in found.phrase.notes)
    assert found.changed[-1] == "the written fingers are left out: they are to be found anew"


def test_a_harmonic_stays_one_where_its_node_allows() -> None:
    made = phrase([n(3, 7, 0, 2), n(4, 12, 2, 4, harmonic=True)], key="D")
    found = moved(made, key=parse_key("G"))  # the next string, a fourth up
    assert [(note.string, note.fret) for note in found.phrase.notes if note.harmonic] == [(3, 12)]
    lost = moved(made, key=parse_key("Eb"))
    assert lost.lost == ("the harmonic on 3 became a fretted note",)
    assert not any(note.harmonic for note in lost.phrase.notes)


def test_a_stretch_of_six_frets_keeps_to_where_the_hand_reaches() -> None:
    """Arithmetic: 12 to 18 is 94.9 mm on a 648 mm scale, 2 to 8 is 169 mm."""
    made = phrase([n(1, 12, 0, 1), n(1, 18, 1, 2, link="h"), n(1, 12, 2, 4, link="p")], key="E")
    found = move(made, guitar_for(made), key=parse_key("Bb"))
    assert isinstance(found, Moved)
    low = min(note.fret for note in found.phrase.notes)
    neck = guitar_for(made).neck
    assert neck.distance(low, low + 6) <= 128.0 or found.lost


def test_what_rings_open_is_said_to_be_lost() -> None:
    rung = [replace(note, marks=frozenset({Mark.LET_RING}))
            for note in (n(3, 0, 0, 4), n(2, 0, 1, 4), n(1, 0, 2, 4))]  # fmt: skip
    made = phrase(rung, key="E minor", spans=[Span(Mark.LET_RING, rung[0].onset, rung[0].end)])
    made = replace(made, spans=tuple(made.spans))
    found = move(made, guitar_for(made), key=parse_key("G minor"))
    assert isinstance(found, Moved)
    assert any("no longer rings by itself" in each for each in found.lost)


# --- what cannot be --------------------------------------------------------------------------


def test_too_low_names_the_note_and_what_works() -> None:
    made = quarters((6, 11), (6, 10), key="Eb")
    found = cannot(made, octave=-1)
    assert found.what == "the lowest note would be D2, below the lowest string, E2"
    assert found.instead == ""
    low = quarters((6, 3), (5, 2), key="G")
    found = cannot(low, tuning=tuned("A2 D3 G3 C4"))
    assert str(found) == (
        "the lowest note would be G2, below the lowest string, A2: an octave higher works"
    )
    assert found.nearest is not None
    assert found.nearest.semitones == 12


def test_too_high_names_the_note_and_what_works() -> None:
    made = quarters((1, 20), (1, 17), key="C")
    found = cannot(made, key=parse_key("G"), octave=1)
    assert found.what == "the highest note would be G6, above fret 22 of the highest string"
    assert found.instead == "an octave lower works"
    assert found.nearest is not None
    assert found.nearest.semitones == -5


@pytest.mark.parametrize(
    ("asked", "what"),
    [
        ({"capo": 13}, "a capo is put on a fret from 1 to 12, not 13"),
        ({"capo": -1}, "a capo is put on a fret from 1 to 12, not -1"),
        ({"chord": parse_chord("N.C.")}, "N.C. has no root that a line could stand on"),
        ({"pattern": 6}, "there are five patterns, 1 to 5, and no pattern 6"),
        ({"pattern": 2, "tuning": tuned("D2 A2 D3 G3 A3 D4")},
         "the five patterns are those of the usual tuning, not of D A D G A D"),
    ],
)  # fmt: skip
def test_what_cannot_be_whatever_the_phrase(asked: dict[str, object], what: str) -> None:
    assert cannot(lick(LAMP), **asked) == CannotMove(what)


def test_notes_at_once_need_strings_enough() -> None:
    made = phrase([n(4, 5, 0, 1), n(5, 5, 0, 1), n(6, 5, 0, 1)], key="A")
    found = cannot(made, tuning=tuned("E2 A2"))
    assert found.what == "the notes on 1 would need one string at the same time"


def test_a_slide_from_below_has_a_fret_below() -> None:
    made = phrase([n(1, 1, 0, 4, entry=Entry.FROM_BELOW)], key="F")
    found = moved(replace(made, tuning=tuned("E4")), key=parse_key("E"))
    assert found.semitones == 11


# --- anything at all -------------------------------------------------------------------------

KEYS = ("C", "Db", "E", "F#", "Gb", "A minor", "Bb minor", "G# minor", "D# minor")
CHORDS = ("C7", "F#m7b5", "Bb7", "E7#9", "D/F#", "Ebmaj7", "Cb7", "N.C.")


def any_request(dice: Random) -> dict[str, object]:
    asked: dict[str, object] = {}
    while not asked:
        if dice.random() < 0.4:
            asked["key"] = parse_key(dice.choice(KEYS))
        if dice.random() < 0.15:
            asked["pattern"] = dice.randint(1, 5)
        if dice.random() < 0.2:
            asked["octave"] = dice.choice([-2, -1, 1])
        if dice.random() < 0.25:
            asked["tuning"] = tuned(dice.choice([*TUNINGS.values(), "E4"]))
        if dice.random() < 0.2:
            asked["capo"] = dice.choice([0, 1, 3, 12])
        if dice.random() < 0.25:
            asked["chord"] = parse_chord(dice.choice(CHORDS))
    return asked


@pytest.mark.parametrize("seed", range(0, 9000, 600))
def test_whatever_is_asked_the_music_stays_or_the_answer_says_why(seed: int) -> None:
    dice = Random(seed)
    for made in made_phrases(seed, 4):
        asked = any_request(dice)
        found = move(made, guitar_for(made), **asked)  # type: ignore[arg-type]
        if isinstance(found, CannotMove):
            assert found.what
            assert bool(found.instead) == (found.nearest is not None)
            found = found.nearest  # type: ignore[assignment]
        if isinstance(found, Moved):
            assert read_back(found.phrase) == found.phrase, asked
            if not found.lost:
                assert lowered(found) == by_pitch(made), asked


def test_an_empty_phrase_moves_too() -> None:
    made = phrase([])
    found = moved(made, key=parse_key("C minor"), octave=1)
    assert found.phrase.notes == ()


def test_gestures_and_marks_go_along() -> None:
    made = phrase(
        [
            n(1, 8, 0, 1, gestures=[Trill(10, finger=Finger.THIRD)], finger=Finger.FIRST),
            n(
                2,
                8,
                1,
                3,
                gestures=[Bend(to=1), Release(), Vibrato(wide=True)],
                marks=[Mark.ACCENT],
            ),  # type: ignore[arg-type]
            n(2, 0, 3, 4, dead=True),
        ],
        key="A minor",
    )
    found = moved(made, key=parse_key("B minor"))
    first, second, third = found.phrase.notes
    assert first.gestures == (Trill(12, finger=Finger.THIRD),)
    assert second.gestures == made.notes[1].gestures
    assert second.marks == {Mark.ACCENT}
    assert (third.string, third.fret, third.dead) == (2, 0, True)


def test_a_repeated_bar_stays_one_where_it_is_played_alike() -> None:
    rows = "B     |5--8--5--8--|   |\ncount |1  2  3  4  |%  |\n"
    made = lick(rows, "twice")
    found = moved(made, key=usual_key(made.key.tonic.chroma + 2, made.key.mode))
    assert [bar.simile for bar in found.phrase.bars] == [False, True]
    assert all(one.fret == other.fret for one, other in pairwise(found.phrase.notes[::4]))


def test_the_guitar_may_have_its_own_strings() -> None:
    made = lick(LAMP)
    heavy = Guitar(strings=usual_strings(6), frets=24)
    assert isinstance(move(made, heavy, key=parse_key("C")), Moved)
