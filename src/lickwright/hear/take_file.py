"""What is in the file that a pupil hands in, and if it cannot be listened to, why not?"""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from lickwright.hear.problem import TakeProblem
from lickwright.hear.strength import RATE

if TYPE_CHECKING:
    from numpy.typing import NDArray

LONGEST = 600.0  # seconds
SHORTEST = 0.3
SILENT = 3e-4  # highest sample of what counts as silence, full scale 1 (-70 dB)
LEAST_RATE, MOST_RATE = 6_000, 400_000
MOST_CHANNELS = 32
_BLOCK = 1 << 16
_KINDS = "Save it as WAV, FLAC, OGG or MP3 and try again."
_AGAIN = "Record it again, or save it once more from the program that it was recorded with."


@dataclass(frozen=True, slots=True, eq=False)
class Recording:
    """A decoded take: mono `samples` at `rate` (16 000 a second)."""

    samples: NDArray[np.float32]
    rate: int

    @property
    def seconds(self) -> float:
        """Its length."""
        return len(self.samples) / self.rate


def read_take(path: str | os.PathLike[str]) -> Recording:
    """Decode a WAV, FLAC, OGG, MP3, M4A or WebM file of any rate, block by block.

    Raises TakeProblem, in words for a pupil, if it is missing, no sound file, broken, empty,
    silent, or longer than ten minutes.
    """
    file = Path(path)
    kind = _check_file(file)
    if kind is _Kind.PHONE:
        return Recording(_checked(file, _gathered(file, _by_av(file))), RATE)
    import soundfile  # noqa: PLC0415

    try:
        with soundfile.SoundFile(os.fspath(file)) as sound:
            _check_header(file, sound)
            samples = _gathered(file, _resampled(sound))
    except (soundfile.SoundFileError, OSError, ValueError, TypeError) as error:
        raise TakeProblem(file.name, "is broken or no sound file.", _AGAIN) from error
    return Recording(_checked(file, samples), RATE)


class _Kind(Enum):
    """What a file's first bytes say that it is."""

    PLAIN = "plain"
    PHONE = "phone"  # as telephones and browsers record: MP4 (ISO 14496-12) or WebM (Matroska)


def _check_file(file: Path) -> _Kind:
    if not file.is_file():
        raise TakeProblem(file.name, "is not there, or is no file.", "Check its name and folder.")
    try:
        with file.open("rb") as opened:
            start = opened.read(64)
    except OSError as error:
        raise TakeProblem(file.name, "cannot be opened.", "Check who may read it.") from error
    if not start:
        raise TakeProblem(file.name, "is empty (0 bytes).", _AGAIN)
    if start[4:8] == b"ftyp" or start.startswith(b"\x1a\x45\xdf\xa3"):
        return _Kind.PHONE
    if start.startswith(b"%PDF"):
        raise TakeProblem(file.name, "is a PDF document, not a recording.", _KINDS)
    if not _known(start):
        raise TakeProblem(file.name, "is no recording of a kind known here.", _KINDS)
    return _Kind.PLAIN


def _known(start: bytes) -> bool:
    """True if a file begins as WAV, AIFF, FLAC, OGG or MP3 do."""
    heads = (b"RIFF", b"RIFX", b"RF64", b"FORM", b"fLaC", b"OggS", b"ID3")
    return start.startswith(heads) or (len(start) > 1 and start[0] == 0xFF and start[1] >= 0xE0)


def _by_av(file: Path) -> Iterator[NDArray[np.float32]]:
    """Mono blocks at 16 kHz of what a telephone or a browser recorded."""
    try:
        import av  # noqa: PLC0415
    except ImportError:
        what = "is a recording of a kind (M4A, MP4 or WebM) that needs one more package to be read."
        mend = "Install it with pip install 'lickwright[phone]', or save it as WAV or MP3."
        raise TakeProblem(file.name, what, mend) from None
    broken = TakeProblem(file.name, "is broken or holds no sound.", _AGAIN)
    try:
        with av.open(os.fspath(file)) as container:
            if not container.streams.audio:
                raise broken
            resampler = av.AudioResampler(format="flt", layout="mono", rate=RATE)
            for frame in container.decode(container.streams.audio[0]):
                for made in resampler.resample(frame):
                    yield np.nan_to_num(made.to_ndarray()[0].astype(np.float32))
    except (av.FFmpegError, ValueError, OSError):
        raise broken from None


def _check_header(file: Path, sound: Any) -> None:
    if not LEAST_RATE <= sound.samplerate <= MOST_RATE:
        what = f"has {sound.samplerate} samples a second, which is not enough or not real."
        raise TakeProblem(file.name, what, "Save it with 44 100 samples a second.")
    if sound.channels > MOST_CHANNELS:
        what = f"says that it has {sound.channels} channels."
        raise TakeProblem(file.name, what, "Save it in mono or stereo.")
    if sound.frames / sound.samplerate > LONGEST and _can_hold(file, sound):
        raise _too_long(file)


def _can_hold(file: Path, sound: Any) -> bool:
    """True if so many samples could be in a file of this size (1 bit each at the very least)."""
    return bool(file.stat().st_size * 8 >= sound.frames // 8)


def _too_long(file: Path) -> TakeProblem:
    what = "is longer than ten minutes."
    return TakeProblem(file.name, what, "Cut out the part in which the phrase is played.")


def _resampled(sound: Any) -> Iterator[NDArray[np.float32]]:
    """Mono blocks at 16 kHz."""
    import soxr  # type: ignore[import-untyped]  # noqa: PLC0415

    stream = soxr.ResampleStream(sound.samplerate, RATE, 1, dtype="float32")
    while True:
        block = sound.read(_BLOCK, dtype="float32", always_2d=True)
        mono = np.nan_to_num(block.mean(axis=1, dtype=np.float32), posinf=1.0, neginf=-1.0)
        last = len(block) < _BLOCK
        yield stream.resample_chunk(mono, last=last)
        if last:
            return


def _gathered(file: Path, blocks: Iterator[NDArray[np.float32]]) -> NDArray[np.float32]:
    parts: list[NDArray[np.float32]] = []
    count = 0
    for block in blocks:
        parts.append(block)
        count += len(block)
        if count > LONGEST * RATE:
            raise _too_long(file)
    return np.concatenate(parts) if parts else np.zeros(0, np.float32)


def _checked(file: Path, samples: NDArray[np.float32]) -> NDArray[np.float32]:
    if len(samples) < SHORTEST * RATE:
        what = f"holds {len(samples) / RATE:.1f} seconds of sound, which is too little."
        raise TakeProblem(file.name, what, "Record the whole phrase.")
    if float(np.abs(samples).max()) < SILENT:
        mend = "Check that the microphone is on and its level is up, and record it again."
        raise TakeProblem(file.name, "holds only silence.", mend)
    return samples
