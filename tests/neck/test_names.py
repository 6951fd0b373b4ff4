"""Does the package give what it promises, in whatever order its modules were read?"""

from __future__ import annotations

import pkgutil
import subprocess
import sys
from importlib import import_module
from types import ModuleType

from lickwright import neck


def test_no_name_is_hidden_by_a_module_of_the_same_name() -> None:
    modules = [each.name for each in pkgutil.iter_modules(neck.__path__)]
    for name in modules:
        import_module(f"lickwright.neck.{name}")
    assert not set(modules) & set(neck.__all__)
    for name in neck.__all__:
        assert not isinstance(getattr(neck, name), ModuleType), name


def test_the_band_reads_only_what_it_needs_of_the_neck() -> None:
    code = "import sys, lickwright.band; print(*(n for n in sys.modules if '.neck.' in n))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert set(done.stdout.split()) == {"lickwright.neck.forms", "lickwright.neck.pattern"}
