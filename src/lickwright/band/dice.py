"""How is chance thrown, so that one seed gives the same playing on every machine?"""

from __future__ import annotations

from collections.abc import Sequence
from hashlib import blake2b
from typing import TypeVar

_T = TypeVar("_T")


def chance(seed: int, *words: object) -> float:
    """A number from 0 up to 1 that depends on nothing but the seed and the words."""
    text = "/".join(map(str, (seed, *words)))
    return int.from_bytes(blake2b(text.encode(), digest_size=6).digest(), "big") / float(1 << 48)


def choose(options: Sequence[_T], seed: int, *words: object) -> _T:
    """One of `options`, each as likely as the others."""
    return options[int(chance(seed, *words) * len(options))]
