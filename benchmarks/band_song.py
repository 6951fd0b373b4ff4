"""The song that the band's benchmark plays, with nothing else to import."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from lickwright.band import Backing, Form, form_backing
from lickwright.phrase import Feel
from lickwright.theory import parse_key


def twelve_bars(choruses: int = 1) -> Backing:
    """A shuffle in A, all players, counted in; one chorus takes 36 seconds."""
    form = form_backing(Form.TWELVE_BAR, parse_key("A"))
    return replace(form, feel=Feel(Fraction(2, 3)), tempo=Fraction(98), choruses=choruses)
