"""How is the neck block of a lesson drawn?"""

from __future__ import annotations

from dataclasses import dataclass, replace

from lickwright.engrave import PAPER, NeckMapError, NeckSpec, block_map, neck_map
from lickwright.lesson import Lesson, Neck, Show
from lickwright.pack.fingerprint import fingerprint, of_rooms
from lickwright.pack.made import Made
from lickwright.phrase import Phrase, Tuning

LEFT = replace(PAPER, id_prefix="lw-left")  # ids of pictures for left-handed players
_PROGRAM = of_rooms("theory", "phrase", "neck", "reasons", "engrave")


@dataclass(frozen=True, slots=True)
class MapOrder:
    """One neck block to be drawn. `number`: from 1, of the lesson's neck blocks."""

    block: Neck
    number: int
    phrase: Phrase | None  # the one whose way is shown, if any
    tuning: Tuning
    capo: int

    @property
    def key(self) -> str:
        """Fingerprint of all that its picture depends on."""
        return fingerprint(_PROGRAM, self)

    @property
    def label(self) -> str:
        """The block's name."""
        return self.block.name or f"neck-{self.number}"

    @property
    def path(self) -> str:
        """Where the picture lies in the pack."""
        return map_path(self.number)

    @property
    def answer(self) -> NeckSpec | None:
        """The map with everything filled in; None if there is no such map."""
        asked = replace(self.block, worksheet=False)
        if asked.show is Show.BLANK:
            asked = replace(asked, show=Show.DEGREES)
        try:
            return self._spec(asked)
        except NeckMapError:
            return None

    def _spec(self, block: Neck) -> NeckSpec:
        phrases = {} if self.phrase is None else {self.phrase.name: self.phrase}
        return block_map(block, phrases, tuning=self.tuning, capo=self.capo)

    def make(self) -> Made:
        """Draw it, or say why it cannot be drawn."""
        try:
            spec = self._spec(self.block)
            left = replace(spec, board=replace(spec.board, left_handed=True))
            return Made(
                {
                    self.path: neck_map(spec).svg.encode(),
                    left_path(self.path): neck_map(left, LEFT).svg.encode(),
                }
            )
        except NeckMapError as error:
            return Made(trouble=f"{self.label}: {error}")


def map_path(number: int) -> str:
    """Where the picture of a lesson's neck block lies in the pack."""
    return f"pictures/neck-map-{number}.svg"


def left_path(path: str) -> str:
    """The same picture for left-handed players."""
    return f"{path.removesuffix('.svg')}-left.svg"


def map_orders(lesson: Lesson) -> list[MapOrder]:
    """The maps of a lesson's neck blocks, in its tuning."""
    phrases = {phrase.name: phrase for phrase in lesson.phrases}
    blocks = [part for part in lesson.parts if isinstance(part, Neck)]
    tuning, capo = lesson.settings.tuning, lesson.settings.capo
    return [
        MapOrder(block, number, phrases.get(block.lick), tuning, capo)
        for number, block in enumerate(blocks, start=1)
    ]
