"""Is what the room offers there, each name once and in order?"""

from __future__ import annotations

from lickwright import neck

# What other rooms build on; more may be added.
NEEDED = [
    "Damping", "Fingering", "Guitar", "HandSize", "Mend", "Measure", "Picked", "Place", "Trouble",
    "TroubleKind", "bend_effort", "damping", "damping_words", "finger", "finger_shape",
    "guitar_for", "mended", "other_fingers", "picking", "picking_words", "playability",
    "why_finger", "with_fingers",
]  # fmt: skip


def test_every_public_name_is_there_once() -> None:
    assert len(neck.__all__) == len(set(neck.__all__))
    assert all(hasattr(neck, name) for name in neck.__all__)
    assert set(NEEDED) <= set(neck.__all__)
    assert all(getattr(neck, name).__doc__ for name in NEEDED)
