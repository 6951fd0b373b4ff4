"""What pitch does a string have at every moment? The one pitch curve that every output reads."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from lickwright.phrase.moves import Move, Shake, note_moves, slide_in_origin
from lickwright.phrase.times import NoteTime, Performance

if TYPE_CHECKING:
    from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class Target:
    """A pitch that a movement aims for. `seconds`: when it is there; `midi`: a float."""

    note_id: str
    seconds: float
    midi: float


@dataclass(frozen=True, slots=True)
class PitchCurve:
    """MIDI note number (float) against seconds for one run on one string.

    Between moves the pitch stands still; a move is an S-curve (3u² - 2u³). Shakes (vibrato) are
    added on top: whole cycles of depth * (1 - cos) / 2, so they start and end on the pitch.
    """

    begin: float
    end: float
    first: float  # MIDI number before the first move
    moves: tuple[Move, ...]
    shakes: tuple[Shake, ...]
    targets: tuple[Target, ...]

    def at(self, seconds: NDArray[np.float64]) -> NDArray[np.float64]:
        """MIDI numbers at `seconds` (any shape; same shape returned)."""
        pitch = np.full(np.shape(seconds), self.first, dtype=np.float64)
        for move in self.moves:
            length = max(move.end - move.start, 1e-9)
            u = np.clip((seconds - move.start) / length, 0.0, 1.0)
            pitch += (move.goal - move.origin) * u * u * (3 - 2 * u)
        for shake in self.shakes:
            phase = np.clip((seconds - shake.start) / (shake.end - shake.start), 0.0, 1.0)
            pitch += shake.depth * (1 - np.cos(2 * np.pi * shake.cycles * phase)) / 2
        return pitch


def run_curve(performance: Performance, run: tuple[NoteTime, ...]) -> PitchCurve | None:
    """Pitch curve of one run of `performance`; None if its first note is a muted string."""
    phrase = performance.phrase
    if run[0].note.dead:
        return None
    moves: list[Move] = []
    shakes: list[Shake] = []
    targets: list[Target] = []
    pitch = first = _first_pitch(performance, run[0])
    for index, time in enumerate(run):
        following = run[index + 1] if index + 1 < len(run) else None
        parts = note_moves(phrase, performance.clock, time, following, pitch)
        moves += parts.moves
        shakes += parts.shakes
        targets += [Target(time.note.id, t.seconds, t.midi) for t in parts.targets]
        pitch = parts.last
    return PitchCurve(run[0].begin, run[-1].end, first, tuple(moves), tuple(shakes), tuple(targets))


def _first_pitch(performance: Performance, time: NoteTime) -> float:
    note = time.note
    pitch = performance.phrase.midi(note)
    assert pitch is not None
    if time.begin < time.start and note.entry is not None:
        return pitch + slide_in_origin(note)
    if note.bend is not None and note.gestures[0] == note.bend and note.bend.struck_bent:
        return pitch + float(note.bend.to)
    return pitch
