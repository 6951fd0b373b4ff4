"""How does a sound become the bytes of an audio file?"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from io import BytesIO
from math import log10
from typing import TYPE_CHECKING

from lickwright.sound.loudness import CEILING_DBTP, normalise, true_peak
from lickwright.sound.ogg import steady_serial

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_SPARE_DB = 0.1
_ADDED_DB = 3.0  # a lossy file adds less to the peaks: what lies lower need not be looked at
_SMALL = 0.6  # of soundfile's levels, 0 to 1
_BLOCK = 16_384  # frames a write: one long write of Vorbis can end the whole process


class AudioFormat(Enum):
    """Kinds of audio file. The value is the usual ending of the file's name."""

    MP3 = "mp3"
    FLAC = "flac"
    WAV = "wav"
    OGG = "ogg"

    @property
    def media_type(self) -> str:
        """Its media type, for a web page or server."""
        return {"mp3": "audio/mpeg", "ogg": "audio/ogg"}.get(self.value, f"audio/{self.value}")


@dataclass(frozen=True, slots=True)
class Tags:
    """What a player shows. Empty text, or track number 0: no such tag."""

    title: str = ""
    artist: str = ""
    album: str = ""
    comment: str = ""
    track: int = 0


_SUBTYPES = {
    AudioFormat.MP3: ("MP3", "MPEG_LAYER_III"),
    AudioFormat.FLAC: ("FLAC", "PCM_16"),
    AudioFormat.WAV: ("WAV", "PCM_16"),
    AudioFormat.OGG: ("OGG", "VORBIS"),
}


def encode(
    samples: NDArray[np.float32],
    rate: int,
    kind: AudioFormat,
    tags: Tags | None = None,
    *,
    small: bool = False,
) -> bytes:
    """Write `samples` (float32 in -1..1, shape (n, 2)) as a whole audio file.

    `small`: a lossy file about a quarter smaller than usual (an MP3 of the band 104 instead of 148
    kbit/s, measured), for what goes into a page. The same samples and tags give the same bytes.
    Raises ValueError for samples beyond ±1, which would be cut off.
    """
    import soundfile  # noqa: PLC0415 - slow to import

    if samples.size and float(abs(samples).max()) > 1.0:
        raise ValueError("samples go beyond ±1: normalise them first")
    container, subtype = _SUBTYPES[kind]
    file = BytesIO()
    level = {"compression_level": _SMALL} if small else {}
    with soundfile.SoundFile(
        file, "w", rate, samples.shape[1], subtype, format=container, **level
    ) as sound:
        for name in ("title", "artist", "album", "comment"):
            text = getattr(tags or Tags(), name)
            if text:
                setattr(sound, name, text)
        if tags is not None and tags.track:
            sound.tracknumber = str(tags.track)
        for at in range(0, len(samples), _BLOCK):
            sound.write(samples[at : at + _BLOCK])
    data = file.getvalue()
    return steady_serial(data) if kind is AudioFormat.OGG else data


def encode_under_ceiling(
    samples: NDArray[np.float32],
    rate: int,
    kind: AudioFormat,
    tags: Tags | None = None,
    *,
    small: bool = False,
) -> bytes:
    """As `encode`, with no true peak of the decoded file above -1 dBTP.

    A lossy file adds a little to the peaks. Where it goes over the ceiling, the sound is limited
    by so much more and encoded again, at the same loudness.
    """
    data = encode(samples, rate, kind, tags, small=small)
    lossy = kind in (AudioFormat.MP3, AudioFormat.OGG)
    if not lossy or true_peak(samples) < 10 ** ((CEILING_DBTP - _ADDED_DB) / 20):
        return data
    over = true_peak(_decoded(data)) / 10 ** (CEILING_DBTP / 20)
    if over <= 1.0:
        return data
    lower = CEILING_DBTP - 20 * log10(over) - _SPARE_DB
    return encode(normalise(samples, rate, true_peak_dbtp=lower), rate, kind, tags, small=small)


def _decoded(data: bytes) -> NDArray[np.float32]:
    import soundfile  # noqa: PLC0415 - slow to import

    samples: NDArray[np.float32] = soundfile.read(BytesIO(data), dtype="float32", always_2d=True)[0]
    return samples
