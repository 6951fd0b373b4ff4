"""Has this value changed since the last build? A fingerprint that is the same in every process."""

from __future__ import annotations

import hashlib
import json
from dataclasses import fields, is_dataclass
from enum import Enum
from fractions import Fraction
from typing import Any


def fingerprint(*values: Any) -> str:
    """SHA-256 (hex) of frozen values: dataclasses, enums, fractions, tuples, sets, plain values."""
    text = json.dumps([_plain(value) for value in values], sort_keys=True, ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


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
