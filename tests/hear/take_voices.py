"""What a made take sounds like: by our own strings, by sums of partials, by a sound font.

The second and third share nothing with the voice of the package.
"""

from __future__ import annotations

import shutil
import subprocess
from dataclasses import dataclass, replace
from math import ceil
from pathlib import Path
from random import Random

import mido
import numpy as np
from made_takes import Planned
from scipy.signal import resample_poly

from lickwright.phrase import NoteTime, Performance, PitchCurve, run_curve
from lickwright.sound import EXACT, RATE, Guitar
from lickwright.sound.mix import guitar_sound

FONT = Path("/usr/share/sounds/sf2/FluidR3_GM.sf2")
FONT_MISSING = shutil.which("fluidsynth") is None or not FONT.exists()
FONT_RATE = 44_100
STEEL, JAZZ, CLEAN_FONT, OVERDRIVEN_FONT = 25, 26, 27, 29
STEP = 0.004  # seconds between pitch-bend messages
CHANNELS = (0, 1, 2, 3, 4, 5, 6, 7, 8, 10, 11, 12)


def own(planned: Planned, guitar: Guitar) -> tuple[np.ndarray, int]:
    """Our own strings, mono."""
    count = ceil(planned.seconds * RATE)
    total = np.zeros(count, np.float64)
    for lead, part in planned.parts:
        total += guitar_sound(part, guitar, lead, count, EXACT).mean(axis=1)
    return detuned(total, planned.plan.detune), RATE


def detuned(sound: np.ndarray, cents: float) -> np.ndarray:
    """Read faster or slower: pitch and time change together by up to 2 %."""
    if cents == 0:
        return sound
    places = np.arange(0, len(sound) - 1, 2 ** (cents / 1200))
    return np.interp(places, np.arange(len(sound)), sound)


def additive(planned: Planned, bright: float = 1.1, rate: int = 32_000) -> tuple[np.ndarray, int]:
    """Each string a sum of partials that die away, each stroke with a burst of noise."""
    rng = np.random.default_rng(planned.plan.seed)
    total = np.zeros(ceil(planned.seconds * rate), np.float64)
    for lead, part in planned.parts:
        for run in part.runs:
            curve = run_curve(part, run)
            if curve is None:
                continue
            at, sound = _string(run, curve, planned.plan.detune, bright, rate, rng)
            first = round((lead + at) * rate)
            end = min(len(total), first + len(sound))
            total[first:end] += sound[: end - first]
    return total, rate


def _string(
    run: tuple[NoteTime, ...], curve: PitchCurve, detune: float, bright: float, rate: int,
    rng: np.random.Generator,
) -> tuple[float, np.ndarray]:  # fmt: skip
    seconds = np.arange(0, run[-1].end - run[0].begin + 0.03, 1 / rate)
    midi = curve.at(run[0].begin + seconds) + detune / 100
    hz = 440 * 2 ** ((midi - 69) / 12)
    phase = 2 * np.pi * np.cumsum(hz) / rate
    level = np.zeros_like(seconds)
    noise = np.zeros_like(seconds)
    for index, time in enumerate(run):
        slid = time.note.link is not None and time.note.link.slide
        if slid:
            continue
        force = 1.0 if index == 0 else rng.uniform(0.5, 0.8)
        since = seconds - (time.begin - run[0].begin)
        fresh = since >= 0
        rise = 0.002 if index == 0 else 0.004
        shape = np.minimum(1, since / rise) * np.exp(-since / 1.4)
        level = np.where(fresh, np.maximum(level * np.exp(-np.maximum(since, 0) / 0.004),
                                           force * shape), level)  # fmt: skip
        if index == 0:
            burst = rng.normal(size=len(seconds)) * np.exp(-np.maximum(since, 0) / 0.003)
            noise += np.where(fresh, 0.15 * burst, 0)
    sound = noise
    place = rng.uniform(0.08, 0.2)
    for k in range(1, 24):
        stretched = k * np.sqrt(1 + 4e-5 * k * k)
        amplitude = abs(np.sin(np.pi * k * place)) / k**bright
        damp = np.exp(-seconds * 0.15 * k) * (stretched * hz < 0.45 * rate)
        sound += amplitude * damp * level * np.sin(stretched * phase + rng.uniform(0, 6.28))
    tail = round(0.03 * rate)
    sound[-tail:] *= np.linspace(1, 0, tail)
    return run[0].begin, sound * 0.2


DAMPED, LEFT_RINGING = 0.025, 0.25  # seconds


@dataclass(frozen=True)
class Strike:
    """One key of the font held from `begin` to `end` (seconds), moved by `cents`."""

    begin: float
    end: float
    key: int
    velocity: int
    channel: int
    cents: float


@dataclass(frozen=True)
class Event:
    tick: int
    order: int
    message: mido.Message


def font(
    planned: list[Planned], program: int, folder: Path, correct: dict[int, float], gap: float = 2.0
) -> list[tuple[np.ndarray, int]]:
    """A sound font's guitar, all takes in one run of FluidSynth. `correct`: cents off, by key."""
    events: list[Event] = []
    firsts, now = [], 0.5
    for take in planned:
        firsts.append(now)
        rng = Random(f"font/{take.phrase.name}/{take.plan.seed}")
        restruck, cut = rng.random() < 0.5, rng.random() < 0.75
        for lead, part in take.parts:
            events += _part_events(part, now + lead, take.plan.detune, restruck, cut, correct)
        now += take.seconds + gap
    sound = _sounded(events, program, now, folder)
    return [
        (sound[round(f * FONT_RATE) : round((f + t.seconds) * FONT_RATE)], FONT_RATE)
        for f, t in zip(firsts, planned, strict=True)
    ]


def _part_events(
    part: Performance,
    at: float,
    detune: float,
    restruck: bool,
    cut: bool,
    correct: dict[int, float],
) -> list[Event]:
    """A string has two channels in turn, so that an old note can be damped under a new one."""
    planned: dict[int, list[tuple[PitchCurve, Strike, float]]] = {}
    for run in sorted(part.runs, key=lambda r: r[0].begin):
        curve = run_curve(part, run)
        if curve is None:
            continue
        string = run[0].note.string
        for strike, last in _strikes(run, curve, restruck):
            ring = DAMPED if cut or not last else LEFT_RINGING
            own = planned.setdefault(string, [])
            channel = CHANNELS[2 * (string - 1) + len(own) % 2]
            cents = detune - correct.get(strike.key, 0.0)
            own.append((curve, replace(strike, channel=channel, cents=cents), ring))
    events: list[Event] = []
    for own in planned.values():
        for index, (curve, strike, ring) in enumerate(own):
            # The next but one sounds on the same channel: by then this one has died away.
            free = own[index + 2][1].begin - strike.end - 0.002 if index + 2 < len(own) else ring
            events += _strike(curve, at, strike, max(0.004, min(ring, free)))
    return events


def _strikes(
    run: tuple[NoteTime, ...], curve: PitchCurve, restruck: bool
) -> list[tuple[Strike, bool]]:
    """The strokes of a run, and whether each is its last."""
    begins = [(run[0].begin, _key(curve, run[0].begin), 96)]
    if restruck:
        begins += [
            (t.start, _key(curve, t.start + 0.01), 50)
            for t in run[1:]
            if t.note.link is not None and not t.note.link.slide
        ]
    ends = [begin for begin, _, _ in begins[1:]] + [run[-1].end]
    return [
        (Strike(begin, end, key, velocity, 0, 0.0), end == ends[-1])
        for (begin, key, velocity), end in zip(begins, ends, strict=True)
    ]


def _key(curve: PitchCurve, seconds: float) -> int:
    return round(float(curve.at(np.array([seconds]))[0]))


def _strike(curve: PitchCurve, at: float, strike: Strike, ring: float) -> list[Event]:
    key, channel = strike.key, strike.channel
    on = mido.Message("note_on", note=key, velocity=strike.velocity, channel=channel)
    off = mido.Message("note_off", note=key, channel=channel)
    events = [Event(_tick(at + strike.begin), 1, on), Event(_tick(at + strike.end + ring), 0, off)]
    for step in range(25):
        value = round(127 * (1 - step / 25))
        level = mido.Message("control_change", control=11, value=value, channel=channel)
        second = strike.begin if step == 0 else strike.end + ring * step / 25
        events.append(Event(_tick(at + second), 0, level))
    last = None
    seconds = np.arange(strike.begin, strike.end + STEP, STEP)
    for second, midi in zip(seconds, curve.at(seconds), strict=True):
        value = round((midi - key + strike.cents / 100) / 12 * 8192)
        value = max(-8192, min(8191, value))
        if value != last:
            bent = mido.Message("pitchwheel", pitch=value, channel=channel)
            events.append(Event(_tick(at + float(second)), 0, bent))
            last = value
    return events


def _tick(seconds: float) -> int:
    return round(seconds * 2000)  # 1000 ticks a beat of half a second


def _sounded(events: list[Event], program: int, seconds: float, folder: Path) -> np.ndarray:
    import soundfile  # noqa: PLC0415

    track = mido.MidiTrack()
    for channel in CHANNELS:
        track.append(mido.Message("program_change", program=program, channel=channel))
        for control, value in ((101, 0), (100, 0), (6, 12), (38, 0), (91, 0), (93, 0)):
            track.append(
                mido.Message("control_change", control=control, value=value, channel=channel)
            )
    now = 0
    for event in sorted(events, key=lambda e: (e.tick, e.order)):
        track.append(event.message.copy(time=event.tick - now))
        now = event.tick
    track.append(mido.MetaMessage("end_of_track", time=max(0, _tick(seconds) - now)))
    song = mido.MidiFile(ticks_per_beat=1000)
    song.tracks.append(track)
    name = folder / f"takes-{program}"
    song.save(f"{name}.mid")
    command = ["fluidsynth", "-ni", "-R", "0", "-C", "0", "-g", "0.5", "-r", str(FONT_RATE)]
    subprocess.run(
        [*command, "-F", f"{name}.wav", str(FONT), f"{name}.mid"], check=True, capture_output=True
    )
    samples, _ = soundfile.read(f"{name}.wav", dtype="float64")
    sound = samples.mean(axis=1)
    return np.pad(sound, (0, max(0, ceil(seconds * FONT_RATE) - len(sound))))


def font_cents(program: int, keys: range, folder: Path) -> dict[int, float]:
    """By how much each recorded key is off, in cents, by autocorrelation near its name."""
    events = []
    for index, key in enumerate(keys):
        at = 0.5 + 1.5 * index
        events.append(Event(_tick(at), 1, mido.Message("note_on", note=key, velocity=96)))
        events.append(Event(_tick(at + 1.2), 0, mido.Message("note_off", note=key)))
    sound = _sounded(events, program, 1.5 * len(keys) + 1, folder)
    found = {}
    for index, key in enumerate(keys):
        first = round((0.5 + 1.5 * index + 0.15) * FONT_RATE)
        found[key] = cents_off(sound[first : first + round(0.4 * FONT_RATE)], FONT_RATE, key)
    return found


def cents_off(sound: np.ndarray, rate: int, midi: float) -> float:
    """Cents from `midi` to the best period nearby, by autocorrelation of the whole stretch."""
    up = resample_poly(sound * np.hanning(len(sound)), 4, 1)
    size = 1 << (2 * len(up) - 1).bit_length()
    auto = np.fft.irfft(np.abs(np.fft.rfft(up, size)) ** 2)[: len(up)]
    window = np.hanning(len(sound))
    ramp = np.fft.irfft(np.abs(np.fft.rfft(resample_poly(window, 4, 1), size)) ** 2)[: len(up)]
    auto = auto / np.maximum(ramp, ramp[0] * 1e-3)
    lag = 4 * rate / (440 * 2 ** ((midi - 69) / 12))
    low, high = int(lag * 2 ** (-60 / 1200)), int(lag * 2 ** (60 / 1200)) + 2
    best = low + int(np.argmax(auto[low:high]))
    a, b, c = auto[best - 1 : best + 2]
    exact = best + 0.5 * (a - c) / (a - 2 * b + c)
    return float(1200 * np.log2(lag / exact))
