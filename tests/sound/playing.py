"""Short phrases to listen to, and ears for the tests that share nothing with the code.

Pitch is measured by Praat's autocorrelation (package praat-parselmouth), which reads a stiff
string a little sharp: `stretch` predicts by how much.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import numpy as np
import parselmouth
import scipy.signal

from lickwright.phrase import Bar, Count, Meter, Note, Phrase, perform
from lickwright.sound.guitar import CLEAN, RATE
from lickwright.sound.players import string_sum
from lickwright.theory import parse_key

F = Fraction
FOUR_FOUR = Meter(4, 4)
ZERO, SIXTY = F(0), F(60)
LEAD = 0.1  # seconds of silence before the first count in `dry`


def note(onset, end, *, string=3, fret=10, **more) -> Note:
    order = more.get("order", 0)
    return Note(f"t/{onset}/{string}/{order}", string, fret, F(onset), F(end), **more)


def phrase(*notes: Note, meter=FOUR_FOUR, start=ZERO, bars=1, tempo=SIXTY, **more) -> Phrase:
    edges = [start] + [F(meter.beats * number) for number in range(1, bars + 1)]
    made = tuple(Bar(i + 1, a, b - a, (Count(a),)) for i, (a, b) in enumerate(pairwise(edges)))
    return Phrase("t", parse_key("C"), made, notes, meter=meter, tempo=tempo, **more)


def dry(*notes: Note, **more) -> np.ndarray:
    """The string sum before the amplifier; second 0 of the phrase is at LEAD seconds."""
    performance = perform(phrase(*notes, **more))
    count = round((LEAD + performance.length + 0.5) * RATE)
    return string_sum(performance, CLEAN.strings, LEAD, count)


def part(sound: np.ndarray, first: float, last: float) -> np.ndarray:
    """From `first` to `last` second of the phrase, of a sound from `dry`."""
    return sound[round((LEAD + first) * RATE) : round((LEAD + last) * RATE)]


def level_db(sound: np.ndarray) -> float:
    return float(10 * np.log10(np.mean(np.square(sound, dtype=np.float64)) + 1e-20))


def heard_midi(sound: np.ndarray, midi: float) -> float:
    """Pitch near `midi` as Praat hears it in `sound` (mono), the median over its frames."""
    hz = 440 * 2 ** ((midi - 69) / 12)
    praat = parselmouth.Sound(sound.astype(np.float64), RATE)
    track = praat.to_pitch_ac(0.005, hz / 1.3, very_accurate=True, pitch_ceiling=hz * 1.3)
    frequencies = track.selected_array["frequency"]
    return float(69 + 12 * np.log2(np.median(frequencies[frequencies > 0]) / 440))


def fundamental_only(sound: np.ndarray, midi: float) -> np.ndarray:
    """The sound with its upper partials filtered away, so that stiffness cannot bias the ear."""
    hz = 440 * 2 ** ((midi - 69) / 12)
    low_pass = scipy.signal.butter(6, 1.4 * hz, fs=RATE, output="sos")
    return scipy.signal.sosfiltfilt(low_pass, sound.astype(np.float64))


def stretch(ratio: np.ndarray, amplitude: np.ndarray) -> float:
    """Cents by which autocorrelation hears a stiff string above its fundamental.

    Source: the mean of the partials' deviations weighted by (k·a)², the curvature that each gives
    the autocorrelation's peak.
    """
    k = np.round(ratio)
    weight = (k * amplitude) ** 2
    return float(np.sum(weight * 1200 * np.log2(ratio / k)) / np.sum(weight))


def onsets(sound: np.ndarray, places: list[float], db: float = -40.0) -> list[float]:
    """Where the sound first rises above `db` of the local peak, near each place (seconds).

    Only for strokes after silence: a first-threshold detector, since an energy detector would add
    half its window.
    """
    found = []
    for place in places:
        start = round((LEAD + place - 0.05) * RATE)
        window = np.abs(sound[start : start + round(0.15 * RATE)])
        first = int(np.argmax(window > window.max() * 10 ** (db / 20)))
        found.append((start + first) / RATE - LEAD)
    return found
