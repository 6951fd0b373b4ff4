"""Which pictures and files for other programs does one phrase give?"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum

from lickwright.band import Backing, BandError, phrase_backing
from lickwright.engrave import PAPER, PHONE, engrave, neck_map, phrase_map
from lickwright.exchange import band_midi, band_musicxml, to_midi, to_musicxml
from lickwright.neck import Guitar, finger, with_fingers
from lickwright.pack.fingerprint import fingerprint, of_rooms
from lickwright.pack.made import Made
from lickwright.pack.maps import LEFT
from lickwright.phrase import Phrase
from lickwright.reasons import Explanation, explain
from lickwright.theory import Key

_PROGRAM = of_rooms("theory", "phrase", "neck", "reasons", "band", "engrave", "exchange")


class Shown(Enum):
    """How the music is written in the pictures."""

    BOTH = "both"
    TAB = "tab"
    NOTATION = "notation"


@dataclass(frozen=True, slots=True)
class Order:
    """What is to be drawn and written of one phrase."""

    phrase: Phrase
    guitar: Guitar
    author: str
    shown: Shown = Shown.BOTH

    @property
    def key(self) -> str:
        """Fingerprint of all that its files depend on."""
        return fingerprint(_PROGRAM, self.phrase, self.guitar, self.author, self.shown)

    @property
    def label(self) -> str:
        """The phrase's name."""
        return self.phrase.name

    def make(self) -> Made:
        """Draw and write it."""
        explanation = explain(self.phrase)
        drawn = pictures(self.phrase, self.guitar, explanation, self.shown)
        return Made(drawn | _files(self, explanation))


def pictures(
    written: Phrase,
    guitar: Guitar,
    explanation: Explanation,
    shown: Shown = Shown.BOTH,
    *,
    lines: bool = True,
) -> dict[str, bytes]:
    """A phrase for paper and phone with all its fingers, and its way on the neck, by their paths.

    `lines`: also each line of music by itself, for paper and large print.
    """
    phrase = with_fingers(finger(written, guitar))
    made: dict[str, bytes] = {}
    own_fingers = {note.id for note in written.notes if note.finger is not None}
    suggested = frozenset(note.id for note in phrase.notes) - own_fingers
    for suffix, style in (("", PAPER), ("-narrow", PHONE)):
        notation, tab = shown is not Shown.TAB, shown is not Shown.NOTATION
        own = replace(style, id_prefix=f"lw{suffix}", notation=notation, tab=tab)
        drawn = engrave(phrase, own, explanation.degrees, explanation.spelled, suggested)
        made[f"pictures/{phrase.name}{suffix}.svg"] = drawn.svg.encode()
        if lines and len(drawn.systems) > 1:
            for line, system in enumerate(drawn.systems, start=1):
                made[f"pictures/{phrase.name}{suffix}-line-{line}.svg"] = system.svg.encode()
    made[f"pictures/{phrase.name}-neck.svg"] = neck_map(phrase_map(phrase)).svg.encode()
    left = neck_map(phrase_map(phrase, left_handed=True), LEFT)
    made[f"pictures/{phrase.name}-neck-left.svg"] = left.svg.encode()
    return made


def _files(order: Order, explanation: Explanation) -> dict[str, bytes]:
    phrase = order.phrase
    title = phrase.title or phrase.name
    return _over_band(phrase, title) | {
        f"files/{phrase.name}.musicxml": to_musicxml(
            phrase, title=title, author=order.author, spelled=explanation.spelled
        ),
        f"files/{phrase.name}.mid": to_midi(phrase, title=title),
    }


def _over_band(phrase: Phrase, title: str) -> dict[str, bytes]:
    """The phrase over its chords; nothing if no band can play them."""
    try:
        backing = phrase_backing(phrase)
    except BandError:
        return {}
    return {f"files/{phrase.name}-with-band.mid": to_midi(phrase, title=title, backing=backing)}


@dataclass(frozen=True, slots=True)
class BandOrder:
    """The files for other programs of one band."""

    name: str  # of the files
    title: str
    backing: Backing
    music_key: Key
    author: str

    @property
    def key(self) -> str:
        """Fingerprint of all that its files depend on."""
        return fingerprint(_PROGRAM, self)

    @property
    def label(self) -> str:
        """The name of its files."""
        return self.name

    def make(self) -> Made:
        """Write them."""
        midi = band_midi(self.backing, title=self.title, key=self.music_key)
        sheet = band_musicxml(
            self.backing, title=self.title, key=self.music_key, author=self.author
        )
        return Made({f"files/{self.name}.mid": midi, f"files/{self.name}.musicxml": sheet})
