"""Where on the neck can it be played, with which fingers, and how hard is it?

The names are those of `__init__.pyi`. Each module is read when one of its names is first asked for:
the band wants nothing but the chord forms, and should not wait for the rest.
"""

from __future__ import annotations

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
