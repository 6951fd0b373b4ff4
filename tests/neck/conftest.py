"""What many tests of this folder ask for: music21 imported once, published chord shapes."""

from __future__ import annotations

import os
import subprocess
from types import SimpleNamespace

import pytest
from music21 import chord, pitch, scale
from tests.neck.chords_db import Shape, fetch, shapes


@pytest.fixture(scope="session")
def m21() -> SimpleNamespace:
    return SimpleNamespace(chord=chord, pitch=pitch, scale=scale)


@pytest.fixture(scope="session")
def chord_shapes(pytestconfig: pytest.Config) -> tuple[Shape, ...]:
    """Every published shape, fetched once and kept in pytest's cache; without a network: skipped.

    Where CI is "true" they must be there.
    """
    assert pytestconfig.cache is not None
    try:
        return tuple(shapes(fetch(pytestconfig.cache.mkdir("chords-db"))))
    except (OSError, subprocess.TimeoutExpired) as trouble:
        if os.environ.get("CI") == "true":
            pytest.fail(f"the published chord shapes are missing: {trouble}")
        pytest.skip(str(trouble))
