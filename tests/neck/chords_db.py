"""Published chord shapes against the hand: can it hold them, and does it choose their fingers?

Source: lib/guitar.json of the npm package @tombatossals/chords-db 0.5.1 (MIT), which npm fetches
for the test; it is not kept here. Shapes whose own finger data contradict each other (one finger in
two frets, a fret without a finger, a finger on an open string) are left out and counted. The
weights of `lickwright.neck.hold` were set with the chords on every second root (TUNED); the others
are the check.

Run: python -m tests.neck.chords_db [guitar.json].
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import tarfile
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from lickwright.neck import Fault, Neck, Place, Press, faults, finger_shape
from lickwright.phrase import Finger

PACKAGE = "@tombatossals/chords-db@0.5.1"
TUNED = ("A", "B", "C", "D", "Eb", "Fsharp")
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
    def tuned(self) -> bool:
        """Whether the weights of the hand were set with it."""
        return self.name.split()[0] in TUNED

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


def fetch(folder: Path) -> Path:
    """Get the file with npm, once, into `folder`. Raises OSError if there is no npm or network."""
    file = folder / "guitar.json"
    if file.is_file():
        return file
    npm = shutil.which("npm")
    if npm is None:
        raise OSError("npm is not installed")
    command = [npm, "pack", PACKAGE, "--silent", "--pack-destination", str(folder)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=300, check=False)
    if done.returncode:
        raise OSError(f"npm could not fetch {PACKAGE}: {done.stderr.strip()}")
    with tarfile.open(next(folder.glob("*.tgz"))) as archive:
        member = archive.extractfile("package/lib/guitar.json")
        if member is None:
            raise OSError(f"no guitar.json in {PACKAGE}")
        file.write_bytes(member.read())
    return file


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


def agreement(some: list[Shape]) -> float:
    """Share of shapes for which the hand chooses the published fingers."""
    return sum(map(same_fingers, some)) / len(some)


def main(file: Path) -> None:
    """Print what the tests check."""
    everything = list(shapes(file))
    sound = [shape for shape in everything if not shape.contradictory]
    refused = [(shape, found) for shape in sound if (found := unplayable(shape))]
    print(f"{len(everything)} shapes, {len(everything) - len(sound)} with contradictory fingers")
    print(f"playable: {100 - 100 * len(refused) / len(sound):.2f} %; not playable:")
    for shape, found in refused:
        what = "; ".join(f"{f.kind.value} {f.measured:.0f} > {f.limit:.0f}" for f in found)
        print(f"  {shape.name:12} {shape.frets} {shape.fingers} {what}")
    for alone in (True, False):
        for tuned in (True, False):
            some = [s for s in sound if (s.one_finger_a_note, s.tuned) == (alone, tuned)]
            name = "one finger a note" if alone else "with a barre"
            kind = "weights set with them" if tuned else "kept apart"
            print(f"same fingers, {name}, {kind}: {100 * agreement(some):.1f} % of {len(some)}")


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as place:
        main(Path(sys.argv[1]) if len(sys.argv) > 1 else fetch(Path(place)))
