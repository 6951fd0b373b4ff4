"""Published chord shapes against the hand: can it hold them, and does it choose their fingers?

Run: python tests/neck/chords_db.py guitar.json. The file is lib/guitar.json of the npm package
@tombatossals/chords-db 0.5.1 (MIT), which is fetched for the test and not kept here. Shapes whose
own finger data contradict each other (one finger in two frets, a fret without a finger, a finger on
an open string) are left out and counted.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from lickwright.neck import Fault, Neck, Place, Press, faults, finger_shape
from lickwright.phrase import Finger

FINGERS = {1: Finger.FIRST, 2: Finger.SECOND, 3: Finger.THIRD, 4: Finger.FOURTH}


@dataclass(frozen=True, slots=True)
class Shape:
    """One published shape: frets (None muted, 0 open) and fingers, lowest string first."""

    name: str
    frets: tuple[int | None, ...]
    fingers: tuple[int, ...]

    @property
    def presses(self) -> tuple[Press, ...]:
        """Its fingers on the neck."""
        held: dict[tuple[int, int], list[int]] = {}
        for index, (fret, finger) in enumerate(zip(self.frets, self.fingers, strict=True)):
            if fret and finger:
                held.setdefault((finger, fret), []).insert(0, len(self.frets) - index)
        return tuple(Press(FINGERS[n], fret, tuple(s)) for (n, fret), s in held.items())

    @property
    def open_strings(self) -> tuple[int, ...]:
        """Strings that sound open."""
        return tuple(len(self.frets) - i for i, fret in enumerate(self.frets) if fret == 0)

    @property
    def one_finger_a_note(self) -> bool:
        """Whether no finger holds two strings."""
        return not any(press.barre for press in self.presses)

    @property
    def contradictory(self) -> bool:
        """Whether the file's own fingers cannot all be meant."""
        pairs = list(zip(self.frets, self.fingers, strict=True))
        unmatched = any(bool(fret) != bool(finger) for fret, finger in pairs)
        used = [press.finger for press in self.presses]
        crossed = any(
            one.finger.value < other.finger.value and one.fret > other.fret
            for one in self.presses
            for other in self.presses
        )
        return unmatched or len(used) != len(set(used)) or crossed


def shapes(file: Path) -> Iterator[Shape]:
    """Every shape in the file."""
    for key, chords in json.loads(file.read_text(encoding="utf-8"))["chords"].items():
        for chord in chords:
            for position in chord["positions"]:
                yield _shape(f"{key} {chord['suffix']}", position)


def _shape(name: str, position: dict[str, Any]) -> Shape:
    base = position["baseFret"] - 1
    frets = tuple(None if f < 0 else f + base if f else 0 for f in position["frets"])
    return Shape(name, frets, tuple(position["fingers"]))


def unplayable(shape: Shape) -> tuple[Fault, ...]:
    """What an average hand cannot do in it, on a scale of 648 mm."""
    return faults(shape.presses, Neck(), open_strings=shape.open_strings)


def same_fingers(shape: Shape) -> bool:
    """Whether the hand's own choice of fingers is the published one."""
    count = len(shape.frets)
    places = [Place(count - i, fret) for i, fret in enumerate(shape.frets) if fret is not None]
    own = finger_shape(places, Neck())
    return own is not None and set(own.presses) == set(shape.presses)


def main(path: str) -> None:
    everything = list(shapes(Path(path)))
    sound = [shape for shape in everything if not shape.contradictory]
    refused = [(shape, found) for shape in sound if (found := unplayable(shape))]
    print(f"{len(everything)} shapes, {len(everything) - len(sound)} with contradictory fingers")
    print(f"playable: {100 - 100 * len(refused) / len(sound):.2f} %; not playable:")
    for shape, found in refused:
        what = "; ".join(f"{f.kind.value} {f.measured:.0f} > {f.limit:.0f}" for f in found)
        print(f"  {shape.name:12} {shape.frets} {shape.fingers} {what}")
    for name, some in (
        ("one finger a note", [shape for shape in sound if shape.one_finger_a_note]),
        ("with a barre", [shape for shape in sound if not shape.one_finger_a_note]),
    ):
        share = sum(map(same_fingers, some)) / len(some)
        print(f"same fingers, {name}: {100 * share:.1f} % of {len(some)}")


if __name__ == "__main__":
    main(sys.argv[1])
