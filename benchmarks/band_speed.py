"""How fast is a whole band made, beside FluidSynth with FluidR3 playing the same notes?

Run: python benchmarks/band_speed.py. Every cold run is a process of its own, so that nothing is
remembered; times are medians of interleaved runs, in seconds of audio for each second of the clock
(wall) and of the processor (CPU, children included). FluidSynth and the FluidR3 sound font are
Debian packages (fluidsynth, fluid-soundfont-gm); where they are missing the benchmark says so.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage
from statistics import median
from time import perf_counter

import mido
from band_song import twelve_bars

from lickwright.band import PLAYERS, Backing, Drum, Player, play

RUNS = 7
ENVIRONMENT = os.environ | {"OPENBLAS_NUM_THREADS": "1"}  # waiting threads would count as work
ENVIRONMENT.pop("PYTHONDONTWRITEBYTECODE", None)  # an installed program is not compiled every time
FONT = Path("/usr/share/sounds/sf2/FluidR3_GM.sf2")
TICKS = 960  # a beat
CHANNELS = {Player.DRUMS: 9, Player.COUNT: 9, Player.BASS: 0, Player.KEYS: 1, Player.GUITAR: 2}
PROGRAMS = {Player.BASS: 33, Player.KEYS: 17, Player.GUITAR: 27}  # General MIDI, counted from 0
COLD_BAND = """
import sys
sys.path.insert(0, {folder!r})
from band_song import twelve_bars
from lickwright.sound import backing_sound
from time import perf_counter
before = perf_counter()
sound = backing_sound(twelve_bars({choruses}))
print(len(sound) / 48000, len(sound) / 48000 / (perf_counter() - before))
"""
COLD_LEAD = """
import sys
sys.path.insert(0, {folder!r})
from sound_speed import lead_phrase
from lickwright.sound import GUITARS, HUMAN, render_phrase
from time import process_time
phrase, guitar = lead_phrase(), next(g for g in GUITARS if g.name == {guitar!r})
spent = []
for _ in range(9):
    before = process_time()
    sound = render_phrase(phrase, guitar=guitar, human=HUMAN).samples
    spent.append(process_time() - before)
print(len(sound) / 48000 / sorted(spent)[4])
"""


def main() -> None:
    imports()
    band()
    for guitar in ("clean", "overdriven", "acoustic"):
        found = cold(COLD_LEAD.format(folder=folder(), guitar=guitar))[0][0]
        print(f"lead phrase, {guitar:10} {found:6.0f} times real time (CPU, one process, warm)")


def imports() -> None:
    """What importing costs, beside an interpreter that imports nothing and one with NumPy."""
    rows = {"nothing": "", "numpy": "import numpy", "lickwright.sound": "import lickwright.sound"}
    spent: dict[str, list[float]] = {name: [] for name in rows}
    for _ in range(RUNS):
        for name, code in rows.items():
            spent[name].append(cold(code + "\nprint(0)")[1])
    for name in rows:
        print(f"import {name:18} {1000 * median(spent[name]):6.0f} ms with the interpreter's start")


def band() -> None:
    """A five-part twelve-bar (drums, bass, organ, rhythm guitar, count), once and three times."""
    there = shutil.which("fluidsynth") is not None and FONT.exists()
    if not there:
        print("FluidSynth with FluidR3 is not installed: nothing to compare with")
    for choruses in (1, 3):
        ours: list[tuple[float, float]] = []
        inside: list[float] = []
        theirs: list[tuple[float, float]] = []
        with tempfile.TemporaryDirectory() as name:
            song = Path(name) / "band.mid"
            write_midi(twelve_bars(choruses), song)
            for _ in range(RUNS):
                code = COLD_BAND.format(folder=folder(), choruses=choruses)
                (seconds, made), wall, cpu = cold(code)
                inside.append(made)
                ours.append((seconds / wall, seconds / cpu))
                if there:
                    theirs.append(fluidsynth(song, seconds))
        show(f"{12 * choruses} bars, cold process", ours)
        print(
            f"{'  after the imports, cold':28} {median(inside):6.1f} times real time by the clock"
        )
        if there:
            show("  FluidSynth with FluidR3", theirs)


def cold(code: str) -> tuple[list[float], float, float]:
    """The numbers that `code` prints in a new process, and its seconds of clock and processor."""
    wall, cpu = perf_counter(), children()
    done = subprocess.run(
        [sys.executable, "-c", code], check=True, capture_output=True, text=True, env=ENVIRONMENT
    )
    return [float(n) for n in done.stdout.split()], perf_counter() - wall, children() - cpu


def fluidsynth(song: Path, seconds: float) -> tuple[float, float]:
    """Times real time, clock and processor, of FluidSynth writing the song to a file."""
    out = song.with_suffix(".wav")
    wall, cpu = perf_counter(), children()
    command = ["fluidsynth", "-ni", "-r", "48000", "-F", str(out), str(FONT), str(song)]
    subprocess.run(command, check=True, capture_output=True)
    return seconds / (perf_counter() - wall), seconds / (children() - cpu)


def children() -> float:
    usage = getrusage(RUSAGE_CHILDREN)
    return usage.ru_utime + usage.ru_stime


def show(name: str, runs: list[tuple[float, float]]) -> None:
    wall, cpu = (median(column) for column in zip(*runs, strict=True))
    print(f"{name:28} {wall:6.1f} times real time by the clock, {cpu:6.1f} by the processor")


def folder() -> str:
    return str(Path(__file__).parent)


def write_midi(backing: Backing, path: Path) -> None:
    """The same notes for a synthesiser."""
    song, track = mido.MidiFile(ticks_per_beat=TICKS), mido.MidiTrack()
    song.tracks.append(track)
    track.append(mido.MetaMessage("set_tempo", tempo=mido.bpm2tempo(float(backing.tempo))))
    for player in PLAYERS:
        if player in PROGRAMS:
            track.append(program(player))
    now = 0
    for tick, message in sorted(messages(backing), key=lambda each: each[0]):
        track.append(message.copy(time=tick - now))
        now = tick
    song.save(path)


def program(player: Player) -> mido.Message:
    return mido.Message("program_change", program=PROGRAMS[player], channel=CHANNELS[player])


def messages(backing: Backing) -> list[tuple[int, mido.Message]]:
    before = backing.count_in * backing.meter.beats
    found = []
    for event in play(backing):
        note = event.sound.value if isinstance(event.sound, Drum) else event.sound
        key = {"channel": CHANNELS[event.player], "note": note}
        velocity = max(1, round(127 * event.strength))
        begin, end = (
            round((backing.feel.sounding(beat) + before) * TICKS)
            for beat in (event.onset, event.end)
        )
        found.append((begin, mido.Message("note_on", velocity=velocity, **key)))
        found.append((end, mido.Message("note_off", **key)))
    return found


if __name__ == "__main__":
    main()
