"""Which characters look like ours, and what is meant by them?"""

from __future__ import annotations

LONG_DASH = "—"
BARS = "｜│┃║¦❘ǀ"  # look like the bar line |
# Characters that take no room of their own, and spaces that are no plain space.
HIDDEN = {
    "\u00ad": "a soft hyphen",
    "\u200b": "a zero-width space",
    "\u200c": "a zero-width character",
    "\u200d": "a zero-width character",
    "\u200e": "a mark of writing direction",
    "\u200f": "a mark of writing direction",
    **dict.fromkeys("\u202a\u202b\u202c\u202d\u202e", "a mark of writing direction"),
    "\u2060": "a zero-width character",
    **dict.fromkeys("\u2066\u2067\u2068\u2069", "a mark of writing direction"),
    "\ufeff": "a zero-width character",
}
WIDE_SPACES = "\u00a0\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u3000"
# Signs that word processors and other keyboards put in place of ours.
MEANT = {
    "—": "--",
    "–": "-",
    "−": "-",
    "‐": "-",
    "‑": "-",
    "∕": "/",
    "⁄": "/",
    "∼": "~",
    "˜": "~",
    "×": "x",
    "X": "x",
    "H": "h",
    "P": "p",
    "B": "b",
    "R": "r",
    "O": "0",
    "o": "0",
    "＝": "=",
    "│": "|",
    "‹": "<",
    "›": ">",
}
