"""music21 for every test of this folder that asks for it, imported once."""

from __future__ import annotations

from types import SimpleNamespace

import pytest
from music21 import chord, pitch, scale


@pytest.fixture(scope="session")
def m21() -> SimpleNamespace:
    return SimpleNamespace(chord=chord, pitch=pitch, scale=scale)
