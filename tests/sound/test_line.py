"""A line against a plain long array."""

from __future__ import annotations

import numpy as np

from lickwright.sound.line import Line


def test_what_is_taken_is_what_was_added_however_long_it_goes_on():
    dice = np.random.default_rng(5)
    history, ahead, total = 300, 50, 3_000_000
    plain = np.zeros(history + total + 200_000, np.float32)
    line, made = Line(history), 0
    while made < total:
        for _ in range(6):
            at = int(dice.integers(made - history - 40, made + 90_000))
            sound = dice.standard_normal(int(dice.integers(0, 60_000))).astype(np.float32)
            line.add(at, sound)
            late = max(0, made - history - at)  # what lies before the history is lost
            begin = at + late + history
            plain[begin : begin + len(sound[late:])] += sound[late:]
        last = made + int(dice.integers(1, 100_000))
        expected = plain[made : last + ahead + history]
        assert np.allclose(line.take(made, last, ahead), expected, atol=1e-5)
        made = last


def test_a_note_longer_than_all_its_place_is_kept_whole():
    line = Line(10)
    line.add(3, np.ones(2_000_000, np.float32))
    assert np.array_equal(line.take(0, 5, 0), [0] * 13 + [1, 1])
    assert line.take(5, 2_000_010, 0).sum() == 2_000_000
