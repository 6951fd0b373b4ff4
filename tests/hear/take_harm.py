"""What a phone, a room and a house do to a take."""

from __future__ import annotations

import numpy as np
from scipy.signal import fftconvolve


def power(sound: np.ndarray) -> float:
    """Mean power of the sounding part: within 30 dB of its loudest 50 ms."""
    size = 2048
    blocks = sound[: len(sound) // size * size].reshape(-1, size)
    each = np.mean(blocks**2, axis=1)
    return float(np.mean(each[each > each.max() * 1e-3])) + 1e-20


def noise(count: int, rate: int, rng: np.random.Generator, hum: float = 50.0) -> np.ndarray:
    """Pink and white noise and mains hum, power 1 together."""
    white = rng.normal(size=count)
    spectrum = np.fft.rfft(rng.normal(size=count))
    hz = np.fft.rfftfreq(count, 1 / rate)
    spectrum[1:] /= np.sqrt(np.maximum(hz[1:], 40.0))
    spectrum[0] = 0
    pink = np.fft.irfft(spectrum, count)
    seconds = np.arange(count) / rate
    mains = sum(np.sin(2 * np.pi * hum * k * seconds + k) / k for k in (1, 2, 3, 5))
    parts = [part / np.sqrt(np.mean(part**2)) for part in (white, pink, mains)]
    return (0.5 * parts[0] + 0.7 * parts[1] + 0.5 * parts[2]) / np.sqrt(0.25 + 0.49 + 0.25)


def noisy(sound: np.ndarray, rate: int, db: float, seed: int = 0) -> np.ndarray:
    """With noise `db` below the sounding part."""
    rng = np.random.default_rng(seed)
    made = noise(len(sound), rate, rng, hum=(50.0, 60.0)[seed % 2])
    return sound + made * np.sqrt(power(sound) * 10 ** (-db / 10))


def roomy(sound: np.ndarray, rate: int, seed: int = 0, t60: float = 0.35, db: float = -4.0):
    """In a room whose answer is `db` against the direct sound."""
    rng = np.random.default_rng(seed + 1000)
    seconds = np.arange(round(t60 * 1.2 * rate)) / rate
    tail = rng.normal(size=len(seconds)) * np.exp(-6.907755 * seconds / t60)
    tail[: round(0.003 * rate)] = 0
    tail *= np.sqrt(10 ** (db / 10) / np.sum(tail**2))
    tail[0] = 1
    return fftconvolve(sound, tail)[: len(sound)]


def clipped(sound: np.ndarray, share: float = 0.35) -> np.ndarray:
    """Cut off at a share of its peak."""
    limit = share * np.abs(sound).max()
    return np.clip(sound, -limit, limit)


def clicked(sound: np.ndarray, rate: int, places: list[float], db: float) -> np.ndarray:
    """A metronome heard in the microphone: short knocks at 1.6 kHz, their peak against its own."""
    seconds = np.arange(round(0.05 * rate)) / rate
    knock = np.sin(2 * np.pi * 1600 * seconds) * np.exp(-seconds / 0.008)
    knock *= np.abs(sound).max() * 10 ** (db / 20)
    total = sound.copy()
    for place in places:
        at = round(place * rate)
        if 0 <= at < len(total):
            part = total[at : at + len(knock)]
            part += knock[: len(part)]
    return total


def squeaked(sound: np.ndarray, rate: int, places: list[float], seed: int = 0) -> np.ndarray:
    """Fingertips that slide along wound strings: short rising or falling hisses."""
    rng = np.random.default_rng(seed + 77)
    total = sound.copy()
    for place in places:
        seconds = np.arange(round(rng.uniform(0.05, 0.14) * rate)) / rate
        sweep = rng.uniform(900, 1600) + rng.uniform(-4000, 4000) * seconds
        hiss = rng.normal(size=len(seconds)) + 2.0 * np.sin(2 * np.pi * np.cumsum(sweep) / rate)
        hiss *= np.sin(np.pi * seconds / seconds[-1]) * np.abs(sound).max() * rng.uniform(0.04, 0.1)
        at = max(0, round(place * rate))
        part = total[at : at + len(hiss)]
        part += hiss[: len(part)]
    return total
