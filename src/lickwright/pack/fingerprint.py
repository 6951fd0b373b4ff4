"""Has this value changed since the last build? A fingerprint that is the same in every process."""

from __future__ import annotations

import hashlib
import json
from dataclasses import fields, is_dataclass
from enum import Enum
from fractions import Fraction
from functools import cache
from importlib import resources
from typing import Any

from lickwright import __version__


def fingerprint(*values: Any) -> str:
    """SHA-256 (hex) of frozen values: dataclasses, enums, fractions, tuples, sets, plain values."""
    text = json.dumps([_plain(value) for value in values], sort_keys=True, ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


@cache
def of_rooms(*rooms: str) -> str:
    """Fingerprint of the program's own rooms and version, so that what a new one makes is new."""
    digest = hashlib.sha256(__version__.encode())
    package = resources.files("lickwright")
    for room in rooms:
        for file in sorted((package / room).iterdir(), key=lambda each: each.name):
            if file.name.endswith(".py"):
                digest.update(file.read_bytes())
    return digest.hexdigest()


def checksum(data: bytes) -> str:
    """SHA-256 (hex) of bytes."""
    return hashlib.sha256(data).hexdigest()


def _plain(value: Any) -> Any:
    if isinstance(value, Enum):
        return [type(value).__name__, value.name]
    if is_dataclass(value) and not isinstance(value, type):
        parts = {each.name: _plain(getattr(value, each.name)) for each in fields(value)}
        return [type(value).__name__, parts]
    if isinstance(value, Fraction):
        return str(value)
    if isinstance(value, set | frozenset):
        return sorted((_plain(each) for each in value), key=json.dumps)
    if isinstance(value, tuple | list):
        return [_plain(each) for each in value]
    return value
