"""How are elements, numbers and free text put into XML?"""

from __future__ import annotations

import re
from fractions import Fraction
from xml.etree.ElementTree import Element, SubElement

# What XML 1.0 (W3C) does not allow in a document, in any spelling.
_FORBIDDEN = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")

Attributes = str | int


def add(
    parent: Element, name: str, text: str | int | None = None, /, **attrs: Attributes
) -> Element:
    """Append an element; `_` in an attribute's name stands for `-`."""
    element = SubElement(parent, name, _attributes(attrs))
    if text is not None:
        element.text = clean(str(text))
    return element


def make(name: str, text: str | int | None = None, /, **attrs: Attributes) -> Element:
    """An element of its own; `_` in an attribute's name stands for `-`."""
    element = Element(name, _attributes(attrs))
    if text is not None:
        element.text = clean(str(text))
    return element


def _attributes(attrs: dict[str, Attributes]) -> dict[str, str]:
    return {name.replace("_", "-"): clean(str(value)) for name, value in attrs.items()}


def clean(text: str) -> str:
    """Text without the control characters that XML cannot hold."""
    return _FORBIDDEN.sub("", text)


def decimal(number: Fraction | float) -> str:
    """A number as XML Schema's decimal: at most six places, no exponent."""
    return f"{float(number):.6f}".rstrip("0").rstrip(".")
