"""Which quality of chord is meant by what a teacher writes behind the root?"""

from __future__ import annotations

import re
from dataclasses import replace

from lickwright.theory.chord_kind import (
    CHORD_KINDS,
    Change,
    ChangeType,
    ChordKind,
    semitones_of,
)
from lickwright.theory.errors import nearest
from lickwright.theory.interval import ordinal

# Other ways to write a row's suffix, once `_SPELLINGS` has been applied.
_OTHER_SUFFIXES = {
    "maj": "", "sus": "sus4", "7sus": "7sus4", "9sus": "9sus4", "13sus": "13sus4",
    "69": "6/9", "6add9": "6/9", "m69": "m6/9", "m6add9": "m6/9", "add2": "add9",
    "madd2": "madd9", "mmaj7": "mMaj7", "mmaj9": "mMaj9", "7#5": "aug7", "7aug": "aug7",
    "dom7": "7",
}  # fmt: skip
_BY_SUFFIX = {kind.suffix: kind for kind in CHORD_KINDS}
_READABLE = _BY_SUFFIX | {other: _BY_SUFFIX[usual] for other, usual in _OTHER_SUFFIXES.items()}

# Signs and words for one quality, in turn brought to the spelling the tables above use.
_SPELLINGS = tuple(
    (re.compile(pattern), usual)
    for pattern, usual in (
        (r"^(?:minor|min|mi|-)", "m"),
        (r"[Δ△∆](?=9|11|13)", "maj"),
        (r"[Δ△∆]7?", "maj7"),
        (r"major|Major|Maj|MAJ|M|ma(?=\d|$)", "maj"),
        (r"^(?:[°º]|o(?=7?$))", "dim"),
        (r"^[øØ]7?", "m7b5"),
        (r"^\+", "aug"),
        (r"^7\+", "aug7"),
    )
)
_CHANGE = re.compile(
    r"(?P<open>[(, ]*)(?P<word>add|no|omit|)(?P<sign>[b#]?)(?P<number>11|13|[2-79])[), ]*"
)
_ALTERS = {"b": -1, "": 0, "#": 1}
_SIGN_WORDS = {-1: "flat", 0: "added", 1: "sharp"}


def read_suffix(suffix: str) -> ChordKind | None:
    """Read what follows the root of a chord symbol: m7, Δ, 7(#9,b13); None if it means nothing."""
    usual = _usual_spelling(suffix)
    whole = _READABLE.get(re.sub(r"[(), ]", "", usual))
    if whole is not None:
        return whole
    for end in range(len(usual), -1, -1):
        kind = _READABLE.get(usual[:end])
        changed = _changed(kind, usual[end:]) if kind else None
        if changed is not None:
            return changed
    return None


def nearest_suffix(suffix: str) -> str:
    """Return the readable suffix most like one that is not, or an empty string.

    One with the same signs in another order comes first: 7maj is maj7.
    """
    usual = _usual_spelling(suffix)
    turned = (known for known in _READABLE if sorted(known) == sorted(usual))
    return next(turned, None) or nearest(usual, _READABLE)


def _usual_spelling(suffix: str) -> str:
    suffix = suffix.strip()
    for pattern, usual in _SPELLINGS:
        suffix = pattern.sub(usual, suffix)
    return suffix


def _changed(kind: ChordKind, rest: str) -> ChordKind | None:
    """Apply alterations such as `#9b13` or `(b9)` to a kind; None if they cannot be read."""
    changed: ChordKind | None = kind
    position = 0
    while changed is not None and position < len(rest):
        match = _CHANGE.match(rest, position)
        if match is None:
            return None
        changed, position = _with_change(changed, match), match.end()
    return changed


def _with_change(kind: ChordKind, match: re.Match[str]) -> ChordKind | None:
    number, alter = int(match["number"]), _ALTERS[match["sign"]]
    if match["word"] in ("no", "omit"):
        return None if alter else _without(kind, number)
    bare = not match["word"] and not match["sign"]
    if number in (3, 7) or (bare and not match["open"]):
        return None
    return _with_tone(kind, number, alter)


def _without(kind: ChordKind, number: int) -> ChordKind | None:
    kept = tuple(tone for tone in kind.tones if tone[0] != number)
    if number == 1 or kept == kind.tones:
        return None
    return replace(
        kind,
        suffix=f"{kind.suffix}no{number}",
        name=f"{kind.name} without {ordinal(number)}",
        tones=kept,
        changes=(*kind.changes, Change(number, 0, ChangeType.SUBTRACT)),
    )


def _implied(kind: ChordKind, number: int) -> int | None:
    """Semitones of the eleventh that MusicXML's thirteenths hold though the table leaves it out."""
    return 17 if number == 11 and kind.musicxml in ("dominant-13th", "major-13th") else None


def _with_tone(kind: ChordKind, number: int, alter: int) -> ChordKind | None:
    """Alter the quality's own tone, or add one it has not; None if the very tone is there."""
    tone = (number, semitones_of(number, alter))
    if tone in kind.tones:
        return None
    touched = any(change.number == number for change in kind.changes)
    own = None if touched else dict(kind.tones).get(number, _implied(kind, number))
    if own is None:
        change, kept = Change(number, alter, ChangeType.ADD), kind.tones
    else:
        change = Change(number, tone[1] - own, ChangeType.ALTER)
        kept = tuple(other for other in kind.tones if other[0] != number)
    sign = {-1: "b", 0: "add", 1: "#"}[alter]
    return replace(
        kind,
        suffix=f"{kind.suffix}{sign}{number}",
        name=f"{kind.name} {_SIGN_WORDS[alter]} {ordinal(number)}",
        tones=tuple(sorted((*kept, tone))),
        changes=(*kind.changes, change),
    )
