"""Can the hand hold published chord shapes, and does it choose their fingers?

Source: the npm package @tombatossals/chords-db 0.5.1, see tests/neck/chords_db.py.
"""

from __future__ import annotations

import pytest
from tests.neck.chords_db import Shape, agreement, unplayable

from lickwright.neck import FaultKind

pytestmark = pytest.mark.xdist_group("chords-db")

STRETCH, UNDER, WIDE = FaultKind.STRETCH, FaultKind.BARRE_LOWER, FaultKind.BARRE_WIDE
# Shapes that the hand model refuses, each looked at. Stretches: by 1 to 10 mm between neighbouring
# fingers at the nut, where a practised hand turns the wrist. Barres: a third finger that is bent
# backwards so that a string between its two is free, which few players can.
REFUSED = {
    ("C minor", (None, 3, 1, 0, 1, 3)): {STRETCH},
    ("C 69", (None, 3, 2, 2, 3, 3)): {UNDER},
    ("C mmaj11", (None, 3, 1, 0, 0, 1)): {STRETCH},
    ("Csharp sus4", (None, 4, 4, 1, 2, None)): {STRETCH},
    ("Csharp mmaj11", (None, 4, 2, 5, 4, 2)): {UNDER},
    ("Eb mmaj11", (None, 6, 4, 7, 6, 4)): {UNDER},
    ("E sus2", (12, 14, 14, None, 12, 14)): {WIDE, UNDER},
    ("F 9b5", (13, 12, 13, 0, 0, 13)): {UNDER},
    ("G aug9", (3, 0, 1, 0, 0, 1)): {STRETCH},
    ("G maj13", (3, 2, 2, 2, 3, 2)): {WIDE, UNDER},
    ("G m9", (3, 0, 0, 3, 3, 1)): {STRETCH},
    ("Ab m9", (4, 1, 1, 1, 0, 2)): {STRETCH},
    ("Ab m11", (None, 11, 9, 11, 11, 9)): {UNDER},
    ("Bb add9", (None, 1, 0, 3, 1, 1)): {STRETCH},
    ("B maj7#5", (7, 6, 8, 0, 8, None)): {UNDER},
    ("B mmaj9", (None, 14, 12, 15, 14, None)): {UNDER},
}


def test_the_file_holds_what_it_is_said_to(chord_shapes: tuple[Shape, ...]) -> None:
    assert len(chord_shapes) == 2069
    assert sum(shape.contradictory for shape in chord_shapes) == 20


def test_the_hand_holds_all_but_the_listed_shapes(chord_shapes: tuple[Shape, ...]) -> None:
    sound = [shape for shape in chord_shapes if not shape.contradictory]
    refused = {
        (shape.name, shape.frets): {fault.kind for fault in found}
        for shape in sound
        if (found := unplayable(shape))
    }
    assert refused == REFUSED
    assert len(refused) / len(sound) < 0.01


def test_refused_stretches_are_near_the_limit(chord_shapes: tuple[Shape, ...]) -> None:
    for shape in chord_shapes:
        if not shape.contradictory:
            for fault in unplayable(shape):
                assert fault.measured <= fault.limit * 1.16 or fault.kind is not STRETCH


@pytest.mark.parametrize("alone", [True, False], ids=["one finger a note", "with a barre"])
def test_it_chooses_the_published_fingers_of_four_shapes_in_five(
    chord_shapes: tuple[Shape, ...], alone: bool
) -> None:
    kept_apart = [
        shape
        for shape in chord_shapes
        if shape.one_finger_a_note == alone and not shape.tuned and not shape.contradictory
    ]
    assert len(kept_apart) > 400
    assert agreement(kept_apart) >= 0.8
