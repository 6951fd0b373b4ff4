"""What FluidSynth plays with the FluidR3 sound font, to compare with: a Debian package, not ours.

Nothing of it is shipped. Where it is not installed the tests that ask for it are skipped, unless
CI is set: there `make test` has to install it.
"""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import mido
import numpy as np
import pytest
import soundfile

RATE = 48_000
FONT = Path("/usr/share/sounds/sf2/FluidR3_GM.sf2")
DRUMS = 9  # channel of the General MIDI percussion map

MISSING = shutil.which("fluidsynth") is None or not FONT.exists()
needed = pytest.mark.skipif(
    MISSING and os.environ.get("CI") != "true", reason="FluidR3 is not installed"
)


def recorded(folder: Path, note: int, program: int | None = None, seconds: float = 3.0):
    """One recorded note, mono, without effects; a drum if no program is named."""
    channel = DRUMS if program is None else 0
    track = mido.MidiTrack()
    if program is not None:
        track.append(mido.Message("program_change", program=program, channel=channel))
    track.append(mido.Message("note_on", note=note, velocity=100, channel=channel))
    ticks = round(seconds * 960)
    track.append(mido.Message("note_off", note=note, channel=channel, time=ticks))
    track.append(mido.MetaMessage("end_of_track", time=2880))
    song = mido.MidiFile(ticks_per_beat=480)
    song.tracks.append(track)
    path = folder / f"{program}-{note}"
    song.save(f"{path}.mid")
    command = ["fluidsynth", "-ni", "-R", "0", "-C", "0", "-r", str(RATE), "-F", f"{path}.wav"]
    subprocess.run([*command, str(FONT), f"{path}.mid"], check=True, capture_output=True)
    samples, _ = soundfile.read(f"{path}.wav", dtype="float64")
    return from_onset(samples.mean(axis=1))


def from_onset(sound: np.ndarray, seconds: float = 3.0) -> np.ndarray:
    """A sound from where it sets in, with silence behind, `seconds` long."""
    first = int(np.argmax(np.abs(sound) > 0.02 * np.abs(sound).max()))
    count = round(seconds * RATE)
    return np.pad(sound[first : first + count].astype(np.float64), (0, count))[:count]


def centroid(sound: np.ndarray) -> float:
    """Middle of the power spectrum, Hz."""
    power = np.abs(np.fft.rfft(sound)) ** 2
    return float(np.sum(power * np.fft.rfftfreq(len(sound), 1 / RATE)) / np.sum(power))


def t60(sound: np.ndarray) -> float:
    """Seconds to fall by 60 dB, from -5 to -25 dB of Schroeder's integral (ISO 3382-1)."""
    left = np.cumsum(sound[::-1] ** 2)[::-1]
    fall = 10 * np.log10(left / left[0] + 1e-12)
    return float(3 * (np.argmax(fall < -25) - np.argmax(fall < -5)) / RATE)


def octaves(sound: np.ndarray, low: float = 63.0, high: float = 8000.0) -> np.ndarray:
    """Power in octave bands, dB against the whole."""
    power = np.abs(np.fft.rfft(sound)) ** 2
    hz = np.fft.rfftfreq(len(sound), 1 / RATE)
    edges = low * 2.0 ** np.arange(int(np.log2(high / low)) + 1)
    bands = [power[(hz >= a) & (hz < 2 * a)].sum() for a in edges]
    return 10 * np.log10(np.array(bands) / power.sum() + 1e-6)


def thirds(sound: np.ndarray) -> np.ndarray:
    """Power in third octaves, 80 Hz to 6.3 kHz, in four stretches of time, dB against the whole."""
    rows = []
    for first, last in ((0, 0.1), (0.1, 0.4), (0.4, 1.0), (1.0, 2.0)):
        part = sound[round(first * RATE) : round(last * RATE)]
        power = np.abs(np.fft.rfft(part * np.hanning(len(part)), 2 * RATE)) ** 2
        hz = np.fft.rfftfreq(2 * RATE, 1 / RATE)
        middles = 1000 * 2.0 ** (np.arange(-11, 9) / 3)
        band = [power[(hz >= m / 2 ** (1 / 6)) & (hz < m * 2 ** (1 / 6))].sum() for m in middles]
        rows.append(10 * np.log10(np.array(band) / len(part) + 1e-9))
    grid = np.array(rows)
    return np.maximum(grid - grid.max(), -50.0)
