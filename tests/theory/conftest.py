"""music21 for every test of this folder that asks for it, imported once."""

from __future__ import annotations

from types import SimpleNamespace

import pytest
from music21 import chord, converter, harmony, interval, key, pitch, roman, scale
from music21.analysis import discrete


@pytest.fixture(scope="session")
def m21() -> SimpleNamespace:
    return SimpleNamespace(
        chord=chord, converter=converter, discrete=discrete, harmony=harmony, interval=interval,
        key=key, pitch=pitch, roman=roman, scale=scale,
    )  # fmt: skip
