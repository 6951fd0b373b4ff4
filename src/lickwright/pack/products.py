"""Which pictures and files for other programs does one phrase give?"""

from __future__ import annotations

from dataclasses import dataclass, replace

from lickwright.engrave import PAPER, PHONE, engrave, neck_map, phrase_map
from lickwright.exchange import to_midi, to_musicxml
from lickwright.neck import Guitar, finger, with_fingers
from lickwright.pack.fingerprint import fingerprint, of_rooms
from lickwright.pack.made import Made
from lickwright.phrase import Phrase
from lickwright.reasons import Explanation, explain

_PROGRAM = of_rooms("theory", "phrase", "neck", "reasons", "engrave", "exchange")


@dataclass(frozen=True, slots=True)
class Order:
    """What is to be drawn and written of one phrase."""

    phrase: Phrase
    guitar: Guitar
    author: str

    @property
    def key(self) -> str:
        """Fingerprint of all that its files depend on."""
        return fingerprint(_PROGRAM, self.phrase, self.guitar, self.author)

    @property
    def label(self) -> str:
        """The phrase's name."""
        return self.phrase.name

    def make(self) -> Made:
        """Draw and write it."""
        explanation = explain(self.phrase)
        fingered = with_fingers(finger(self.phrase, self.guitar))
        return Made(_pictures(fingered, self.phrase, explanation) | _files(self, explanation))


def _pictures(phrase: Phrase, written: Phrase, explanation: Explanation) -> dict[str, bytes]:
    """`phrase` is the one that was `written`, with all its fingers."""
    made: dict[str, bytes] = {}
    own_fingers = {note.id for note in written.notes if note.finger is not None}
    suggested = frozenset(note.id for note in phrase.notes) - own_fingers
    for suffix, style in (("", PAPER), ("-narrow", PHONE)):
        own = replace(style, id_prefix=f"lw{suffix}")
        drawn = engrave(phrase, own, explanation.degrees, explanation.spelled, suggested)
        made[f"pictures/{phrase.name}{suffix}.svg"] = drawn.svg.encode()
        if style is PAPER and len(drawn.systems) > 1:
            for line, system in enumerate(drawn.systems, start=1):
                made[f"pictures/{phrase.name}-line-{line}.svg"] = system.svg.encode()
    made[f"pictures/{phrase.name}-neck.svg"] = neck_map(phrase_map(phrase)).svg.encode()
    return made


def _files(order: Order, explanation: Explanation) -> dict[str, bytes]:
    phrase = order.phrase
    title = phrase.title or phrase.name
    return {
        f"files/{phrase.name}.musicxml": to_musicxml(
            phrase, title=title, author=order.author, spelled=explanation.spelled
        ),
        f"files/{phrase.name}.mid": to_midi(phrase, title=title),
    }
