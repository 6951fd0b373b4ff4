"""Takes put together of recorded guitar notes: each read faster or slower along the pitch wanted.

The recordings are those of the Debian package freepats (GPL, for tests only, nothing of it is
kept here): four guitars, 40 notes. Patch files as of the Gravis Ultrasound, their layout from
memory: heads of 129, 63 and 47 bytes, then for each sample a head of 96 bytes and its 16-bit data.
"""

from __future__ import annotations

import os
import struct
from collections.abc import Iterator
from functools import cache
from math import ceil
from pathlib import Path
from typing import NamedTuple

import numpy as np
import parselmouth
import pytest
from made_takes import Planned
from scipy.signal import resample_poly

from lickwright.phrase import NoteTime, PitchCurve, run_curve

FOLDER = Path("/usr/share/midi/freepats/Tone_000")
GUITARS = {
    "nylon": "024_Nylon_Guitar",
    "steel": "025_Steel_Guitar",
    "jazz": "026_Jazz_Guitar",
    "clean": "027_Clean_Electric_Guitar",
}
RATE = 44_100
MISSING = not FOLDER.exists()
needed = pytest.mark.skipif(
    MISSING and os.environ.get("CI") != "true", reason="freepats is missing: make tools"
)


class Recorded(NamedTuple):
    """One note. `hz`: as the player wrote it down; `loop`: samples that go on for ever."""

    sound: np.ndarray
    hz: float
    loop: tuple[int, int]

    def read(self, cycles: np.ndarray) -> np.ndarray:
        """The recording at these places, counted in cycles from its onset."""
        places = cycles / self.true_hz * RATE
        first, last = self.loop
        beyond = places > last
        rounds = np.floor((places - first) / (last - first))
        inside = np.where(beyond, first + (places - first) % (last - first), places)
        fading = np.where(beyond, np.exp(-0.5 * rounds * (last - first) / RATE), 1.0)
        return np.interp(inside, np.arange(len(self.sound)), self.sound) * fading

    @property
    def true_hz(self) -> float:
        return _true_hz(self.sound.tobytes(), self.hz)


@cache
def _true_hz(sound: bytes, hz: float) -> float:
    """What a second tracker says of a recording (Boersma 1993, in parselmouth), Hz."""
    heard = parselmouth.Sound(np.frombuffer(sound), RATE).to_pitch_ac(
        time_step=0.01, pitch_floor=hz / 1.3, pitch_ceiling=hz * 1.3
    )
    found = [heard.get_value_at_time(second) for second in np.arange(0.15, 0.6, 0.01)]
    return float(np.nanmedian(found))


@cache
def recorded(guitar: str) -> tuple[Recorded, ...]:
    """All notes of one guitar, lowest first."""
    return tuple(_patches((FOLDER / f"{GUITARS[guitar]}.pat").read_bytes()))


def _patches(data: bytes) -> Iterator[Recorded]:
    assert data.startswith(b"GF1PATCH"), "no patch file"
    at = 129 + 63
    count = data[at + 6]
    at += 47
    for _ in range(count):
        size, loop_start, loop_end, rate = struct.unpack_from("<IIIH", data, at + 8)
        (root,) = struct.unpack_from("<I", data, at + 30)
        sound = np.frombuffer(data, "<i2", size // 2, at + 96) / 32768
        yield _from_onset(sound, root / 1000, (loop_start // 2, loop_end // 2), rate)
        at += 96 + size


def _from_onset(sound: np.ndarray, hz: float, loop: tuple[int, int], rate: int) -> Recorded:
    if abs(rate - RATE) > 0.05 * RATE:  # what is left of the rates is a tuning
        sound = resample_poly(sound, RATE, rate)
        loop = (loop[0] * RATE // rate, loop[1] * RATE // rate)
    first = int(np.argmax(np.abs(sound) > 0.05 * np.abs(sound).max()))
    first = max(0, first - 40)
    moved = (loop[0] - first, min(loop[1], len(sound) - 1) - first)
    return Recorded(np.ascontiguousarray(sound[first:] / np.abs(sound).max()), hz, moved)


def of_recordings(planned: Planned, guitar: str) -> tuple[np.ndarray, int]:
    """A take, mono."""
    rng = np.random.default_rng(planned.plan.seed)
    total = np.zeros(ceil(planned.seconds * RATE))
    for lead, part in planned.parts:
        for run in part.runs:
            curve = run_curve(part, run)
            if curve is None:
                continue
            sound = _string(run, curve, planned.plan.detune, guitar, rng)
            first = round((lead + run[0].begin) * RATE)
            end = min(len(total), first + len(sound))
            total[first:end] += sound[: end - first]
    return 0.25 * total, RATE


def _string(
    run: tuple[NoteTime, ...],
    curve: PitchCurve,
    detune: float,
    guitar: str,
    rng: np.random.Generator,
) -> np.ndarray:
    """One string from its stroke on. A hammered note sets in anew, softer and without the pick."""
    seconds = np.arange(0, run[-1].end - run[0].begin + 0.03, 1 / RATE)
    hz = 440 * 2 ** ((curve.at(run[0].begin + seconds) + detune / 100 - 69) / 12)
    cycles = np.concatenate([[0.0], np.cumsum(hz)[:-1]]) / RATE
    total = np.zeros_like(seconds)
    for index, time in enumerate(run):
        if time.note.link is not None and time.note.link.slide:
            continue
        first = round((time.begin - run[0].begin) * RATE)
        note = min(recorded(guitar), key=lambda r: abs(np.log(r.hz / hz[min(first, len(hz) - 1)])))
        skipped = 0.0 if index == 0 else 0.015 * note.true_hz
        force = rng.uniform(0.8, 1.0) if index == 0 else rng.uniform(0.45, 0.7)
        fresh = force * note.read(cycles[first:] - cycles[first] + skipped)
        turn = np.ones(len(fresh)) if index == 0 else np.minimum(1, np.arange(len(fresh)) / 200)
        total[first:] = total[first:] * (1 - turn) + fresh * turn
    tail = round(0.03 * RATE)
    total[-tail:] *= np.linspace(1, 0, tail)
    return total
