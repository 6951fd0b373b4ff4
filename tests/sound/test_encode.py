"""Audio files read back by libsndfile's decoders, and what the formats' own documents say."""

from __future__ import annotations

from io import BytesIO

import numpy as np
import pytest
import scipy.signal
import soundfile
from playing import F, note, phrase

from lickwright.phrase import Bend
from lickwright.sound import AudioFormat, Tags, encode, loudness, normalise, render_phrase
from lickwright.sound.ogg import page_checksum, steady_serial

RATE = 48_000


@pytest.fixture(scope="module")
def music() -> np.ndarray:
    played = phrase(note(0, 2, gestures=(Bend(F(2)),)), note(2, 4, string=1, fret=8))
    return normalise(render_phrase(played).samples, RATE)


def read(data: bytes) -> np.ndarray:
    samples, rate = soundfile.read(BytesIO(data), dtype="float32")
    assert rate == RATE
    return samples


def delay(heard: np.ndarray, sent: np.ndarray) -> int:
    """Samples by which `heard` comes late, by cross-correlation."""
    piece = sent[RATE : 2 * RATE, 0]
    match = scipy.signal.correlate(heard[: 2 * RATE + 3000, 0], piece, mode="valid")
    return int(np.argmax(match)) - RATE


@pytest.mark.parametrize("kind", list(AudioFormat))
def test_a_file_reads_back_as_long_and_not_late(kind, music):
    # libsndfile's decoder takes off the delay that the MP3 encoder notes down in the file.
    heard = read(encode(music, RATE, kind))
    assert heard.shape == music.shape
    assert delay(heard, music) == 0


@pytest.mark.parametrize(("kind", "db"), [("WAV", -85), ("FLAC", -85), ("MP3", -20), ("OGG", -20)])
def test_a_file_sounds_like_what_was_sent(kind, db, music):
    error = read(encode(music, RATE, AudioFormat[kind])) - music
    assert 10 * np.log10(np.mean(error**2) / np.mean(music**2)) < db + 16


@pytest.mark.parametrize("kind", list(AudioFormat))
def test_loudness_and_peaks_survive_the_file(kind, music):
    heard = read(encode(music, RATE, kind))
    fine = scipy.signal.resample(heard.astype(np.float64), 8 * len(heard), axis=0)
    assert 20 * np.log10(np.abs(fine).max()) <= -1
    assert abs(loudness(heard, RATE) + 16) < 0.3


@pytest.mark.parametrize("kind", list(AudioFormat))
def test_tags_can_be_read_back(kind, music):
    tags = Tags(title="Lean & answer ♭3", artist="The evening class", album="Week 3")
    with soundfile.SoundFile(BytesIO(encode(music[:9600], RATE, kind, tags))) as sound:
        assert (sound.title, sound.artist, sound.album) == (tags.title, tags.artist, tags.album)


@pytest.mark.parametrize("kind", list(AudioFormat))
def test_the_same_sound_gives_the_same_bytes(kind, music, monkeypatch):
    tags = Tags(title="Lean")
    first = encode(music[:48000], RATE, kind, tags)
    assert encode(music[:48000], RATE, kind, tags) == first


def test_a_long_vorbis_file_is_written_in_blocks():
    seconds = 65
    tone = 0.1 * np.sin(np.arange(seconds * RATE) * 0.05)
    long = np.stack([tone, tone], axis=1).astype(np.float32)
    assert len(read(encode(long, RATE, AudioFormat.OGG))) == len(long)


def test_samples_beyond_full_scale_are_refused():
    with pytest.raises(ValueError, match="normalise them first"):
        encode(np.full((100, 2), 1.2, np.float32), RATE, AudioFormat.WAV)


def plain_vorbis() -> bytes:
    file = BytesIO()
    noise = np.random.default_rng(1).uniform(-0.2, 0.2, (RATE, 2))
    soundfile.write(file, noise, RATE, format="OGG", subtype="VORBIS")
    return file.getvalue()


def test_ogg_checksum_is_the_one_libogg_writes():
    data = plain_vorbis()
    segments = data[26]
    end = 27 + segments + sum(data[27 : 27 + segments])
    bare = data[:22] + bytes(4) + data[26:end]
    assert page_checksum(bare) == int.from_bytes(data[22:26], "little")


def test_a_steady_serial_changes_nothing_that_is_heard():
    data = plain_vorbis()
    steady = steady_serial(data)
    assert np.array_equal(read(steady), read(data))
    assert steady[14:18] == b"\x01\0\0\0"
    assert len(steady) == len(data)
