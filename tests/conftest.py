"""How made-up examples are chosen: the same ones in every run, others by hand.

A run that may fail by chance tells nothing about the change at hand, so `make test` always tries
the same examples. `LICKWRIGHT_EXAMPLES=new make test` looks for new ones; what it finds becomes a
test.
"""

from __future__ import annotations

import os

from hypothesis import settings

settings.register_profile("same", derandomize=True, deadline=None, print_blob=True)
settings.register_profile("new", deadline=None, print_blob=True)
wanted = os.environ.get("LICKWRIGHT_EXAMPLES", "same")
settings.load_profile("same" if wanted == "all" else wanted)
