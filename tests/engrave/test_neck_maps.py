"""Are maps of the neck right, told apart by shape, free of overlaps, and mirrored for the left?"""

from __future__ import annotations

from dataclasses import replace

import pytest
from music21 import pitch, scale

from lickwright.engrave import (
    PAPER,
    Board,
    NeckMapError,
    NeckSpec,
    Tone,
    block_map,
    chord_map,
    neck_map,
    phrase_map,
    scale_map,
)
from lickwright.engrave.neck_picture import draw_map
from lickwright.lesson import Neck, Show, read_lesson
from lickwright.phrase import STANDARD
from lickwright.theory import ScaleKind, parse_chord, parse_key

TEXT = """```lick up
key: A
chords: A7
B     |-----5--8-|
G     |5b7-------|
D     |----------|
count |1    2  3 |
```
"""
PHRASE = read_lesson(TEXT).lesson.phrases[0]
TONICS = ["A", "C", "Eb", "F#", "B"]


def specs() -> list[NeckSpec]:
    made = [
        scale_map(kind, parse_key(tonic).tonic, pattern=pattern, show=show)
        for kind in (ScaleKind.MINOR_PENTATONIC, ScaleKind.BLUES, ScaleKind.MAJOR)
        for tonic in TONICS
        for pattern in (None, 1, 3, 5)
        for show in (Show.DEGREES, Show.NAMES)
    ]
    made += [chord_map(parse_chord(symbol), frets=(3, 10)) for symbol in ("A7", "F#m7b5", "C9")]
    board = Board(capo=3)
    made.append(scale_map(ScaleKind.BLUES, parse_key("G").tonic, board, frets=(0, 5)))
    made += [phrase_map(PHRASE), replace(phrase_map(PHRASE), worksheet=True)]
    return made


SPECS = specs()


@pytest.mark.parametrize("tonic", TONICS)
@pytest.mark.parametrize("pattern", [None, 1, 2, 3, 4, 5])
def test_every_spot_has_the_name_and_pitch_that_music21_gives_it(
    tonic: str, pattern: int | None
) -> None:
    spec = scale_map(ScaleKind.NATURAL_MINOR, parse_key(tonic).tonic, pattern=pattern)
    # Source: music21's minor scale.
    wanted = scale.MinorScale(tonic.replace("b", "-"))
    names = {wanted.pitchFromDegree(degree).name for degree in range(1, 8)}
    root = wanted.pitchFromDegree(1).pitchClass
    assert {spot.name.replace("♭", "-").replace("♯", "#") for spot in spec.spots} == names
    for spot in spec.spots:
        named = pitch.Pitch(spot.name.replace("♭", "-").replace("♯", "#"))
        midi = STANDARD.midi(spot.place.string, spot.place.fret)
        assert midi % 12 == named.pitchClass
        assert (spot.tone is Tone.ROOT) == (named.pitchClass == root)
    if pattern is None:
        counted = sum(
            STANDARD.midi(string, fret) % 12 in {pitch.Pitch(name).pitchClass for name in names}
            for string in range(1, 7)
            for fret in range(23)
        )
        assert len(spec.spots) == counted, "every place of the whole neck"


@pytest.mark.parametrize("spec", SPECS, ids=lambda spec: spec.name)
def test_nothing_overlaps_and_all_lies_inside(spec: NeckSpec) -> None:
    drawn = draw_map(spec, PAPER)
    for mark in drawn.marks:
        assert mark.box.x0 >= -0.05
        assert mark.box.x1 <= drawn.width + 0.05
        assert mark.box.y1 <= drawn.height + 0.05
    spots = [(spot.x, spot.y, spot.half) for spot in drawn.layout]
    for index, (x, y, half) in enumerate(spots):
        for other_x, other_y, other_half in spots[index + 1 :]:
            apart = ((x - other_x) ** 2 + (y - other_y) ** 2) ** 0.5
            assert apart > half + other_half - 0.02, "two spots"


def test_the_left_handed_neck_is_the_mirror() -> None:
    spec = scale_map(ScaleKind.BLUES, parse_key("A").tonic, pattern=1)
    left = replace(spec, board=replace(spec.board, left_handed=True))
    here, there = draw_map(spec, PAPER), draw_map(left, PAPER)
    order = [(spot.string, spot.fret) for spot in sorted(here.layout, key=lambda s: (s.y, s.x))]
    mirrored = [(s.string, s.fret) for s in sorted(there.layout, key=lambda s: (s.y, -s.x))]
    assert order == mirrored
    assert [spot.label for spot in here.layout] == [spot.label for spot in there.layout]


def test_tones_differ_by_shape_and_not_by_colour_alone() -> None:
    svg = neck_map(scale_map(ScaleKind.BLUES, parse_key("A").tonic, frets=(3, 9))).svg
    shapes = {}
    for tone in Tone:
        at = svg.find(f'class="spot {tone.value}"')
        assert at > 0, tone
        shapes[tone] = svg[at : svg.index("</g>", at)].split("<")[1].split('"')[1][:60]
    assert len(set(shapes.values())) == len(Tone)


def test_the_way_of_a_phrase_has_its_notes_in_order_and_the_goal_of_its_bend() -> None:
    spec = phrase_map(PHRASE)
    visits = sorted((visit.order, visit.note) for spot in spec.spots for visit in spot.visits)
    assert [note for _, note in visits] == [note.id for note in PHRASE.notes]
    [bent] = spec.bends
    assert (bent.place.fret, bent.target.fret if bent.target else None) == (5, 7)
    assert bent.name == "D"
    svg = neck_map(spec).svg
    assert all(f'data-note="{note.id}"' in svg for note in PHRASE.notes)


def test_what_cannot_be_shown_is_said_in_plain_words() -> None:
    lost = Neck("lost", (), lick="nowhere")
    with pytest.raises(NeckMapError, match="cannot be read"):
        block_map(lost, {})
    block = Neck("home", (), key=parse_key("E"), scale=ScaleKind.MINOR_PENTATONIC, pattern=1)
    tuned = read_lesson("---\ntuning: E B E G# B E\n---\n").lesson.settings.tuning
    with pytest.raises(NeckMapError, match="usual steps"):
        block_map(block, {}, tuning=tuned)
    with pytest.raises(NeckMapError, match="needs a key"):
        block_map(replace(block, key=None), {})
