"""Is every kind of recording read, and is what cannot be read said in plain words?"""

from __future__ import annotations

import struct
import tracemalloc
from pathlib import Path

import av
import numpy as np
import pytest
import soundfile

from lickwright.hear import TakeProblem, read_take

RATE = 44_100
TONE = (0.3 * np.sin(2 * np.pi * 220 * np.arange(2 * RATE) / RATE)).astype(np.float32)


def hz(samples: np.ndarray) -> float:
    spectrum = np.abs(np.fft.rfft(samples * np.hanning(len(samples))))
    return float(np.argmax(spectrum)) * 16_000 / len(samples)


@pytest.mark.parametrize("ending", ["wav", "flac", "ogg", "mp3", "aiff"])
@pytest.mark.parametrize("channels", [1, 2])
def test_plain_kinds_are_read(tmp_path: Path, ending: str, channels: int) -> None:
    file = tmp_path / f"take.{ending}"
    soundfile.write(file, np.stack([TONE] * channels, axis=1), RATE)
    found = read_take(file)
    assert found.seconds == pytest.approx(2.0, abs=0.1)
    assert hz(found.samples) == pytest.approx(220, abs=1)


@pytest.mark.parametrize(
    ("ending", "codec", "rate"),
    [("m4a", "aac", RATE), ("webm", "libopus", 48_000), ("mp4", "aac", 8_000)],
)
def test_what_telephones_and_browsers_record_is_read(
    tmp_path: Path, ending: str, codec: str, rate: int
) -> None:
    file = tmp_path / f"take.{ending}"
    tone = (0.3 * np.sin(2 * np.pi * 220 * np.arange(2 * rate) / rate)).astype(np.float32)
    with av.open(str(file), "w") as container:
        stream = container.add_stream(codec, rate=rate, layout="mono")
        kind = "fltp" if codec == "aac" else "flt"
        frame = av.AudioFrame.from_ndarray(tone[np.newaxis, :], format=kind, layout="mono")
        frame.rate = rate
        for packet in (*stream.encode(frame), *stream.encode(None)):
            container.mux(packet)
    found = read_take(file)
    assert found.seconds == pytest.approx(2.0, abs=0.3)
    assert hz(found.samples) == pytest.approx(220, abs=1)


def _wav(frames: int, data: bytes, rate: int = RATE, channels: int = 1) -> bytes:
    """A WAV file that says how many frames it has, whatever is in it."""
    size = frames * channels * 2
    fmt = struct.pack("<HHIIHH", 1, channels, rate, rate * channels * 2, channels * 2, 16)
    head = b"WAVEfmt " + struct.pack("<I", 16) + fmt + b"data" + struct.pack("<I", size % 2**32)
    return b"RIFF" + struct.pack("<I", (len(head) + size) % 2**32) + head + data


BAD = {
    "empty": (b"", "0 bytes"),
    "a PDF": (b"%PDF-1.7 and so on", "PDF"),
    "a picture": (b"\x89PNG\r\n\x1a\n" + b"x" * 100, "no recording"),
    "a text": (b"hello, this is my take", "no recording"),
    "only a head": (_wav(0, b""), "too little"),
    "a short one": (_wav(100, b"\1\0" * 100), "too little"),
    "silence": (_wav(RATE, b"\0\0" * RATE), "silence"),
    "a broken head": (b"RIFF\xff\xff\xff\xffWAVEfmt \x10\0\0\0" + b"\xff" * 40, "broken"),
    "an odd rate": (_wav(1000, b"\1\0" * 1000, rate=3), "samples a second"),
    "a cut MP4": (b"\0\0\0\x18ftypM4A " + b"\0" * 200, "broken"),
    "a cut WebM": (b"\x1a\x45\xdf\xa3" + b"\0" * 50, "broken"),
    "a broken MP3": (b"ID3\x04" + b"\xff" * 400, "broken"),
}


@pytest.mark.parametrize("name", BAD)
def test_what_cannot_be_read_is_said(tmp_path: Path, name: str) -> None:
    data, words = BAD[name]
    file = tmp_path / "take.wav"
    file.write_bytes(data)
    with pytest.raises(TakeProblem, match=words) as caught:
        read_take(file)
    assert "take.wav" in str(caught.value)
    assert caught.value.mend


def test_a_file_that_is_not_there_or_a_folder(tmp_path: Path) -> None:
    for path in (tmp_path / "absent.wav", tmp_path):
        with pytest.raises(TakeProblem, match="not there"):
            read_take(path)


def test_three_hours_are_refused_with_little_memory(tmp_path: Path) -> None:
    frames = 3 * 3600 * 8000
    with (tmp_path / "long.wav").open("wb") as file:
        file.write(_wav(frames, b"", rate=8000))
        file.truncate(44 + 2 * frames)
    (tmp_path / "says long.wav").write_bytes(_wav(frames, b"\1\0" * 1000, rate=8000))
    tracemalloc.start()
    with pytest.raises(TakeProblem, match="longer than ten minutes"):
        read_take(tmp_path / "long.wav")
    with pytest.raises(TakeProblem):
        read_take(tmp_path / "says long.wav")
    assert tracemalloc.get_traced_memory()[1] < 200 << 20
    tracemalloc.stop()
