"""How made-up examples are chosen: the same ones in every run, others by hand.

A run that may fail by chance tells nothing about the change at hand, so `make test` always tries
the same examples. `LICKWRIGHT_EXAMPLES=new make test` looks for new ones; what it finds becomes a
test.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from playwright.sync_api import Browser

settings.register_profile("same", derandomize=True, deadline=None, print_blob=True)
settings.register_profile("new", deadline=None, print_blob=True)
wanted = os.environ.get("LICKWRIGHT_EXAMPLES", "same")
settings.load_profile("same" if wanted == "all" else wanted)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Chromium, started once in each process that asks for it. Where CI is "true" it is a must."""
    from playwright.sync_api import sync_playwright  # noqa: PLC0415 - few tests need it

    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None:
        if os.environ.get("CI") == "true":
            pytest.fail("Chromium is missing: make chromium")
        pytest.skip("Chromium is missing: make chromium")
    switches = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
    switches += ["--use-fake-ui-for-media-stream", "--use-fake-device-for-media-stream"]
    with sync_playwright() as play:
        started = play.chromium.launch(executable_path=chromium, args=switches)
        yield started
        started.close()
