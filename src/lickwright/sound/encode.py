"""How does a sound become the bytes of an audio file?"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from io import BytesIO
from typing import TYPE_CHECKING

from lickwright.sound.ogg import steady_serial

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

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
    samples: NDArray[np.float32], rate: int, kind: AudioFormat, tags: Tags | None = None
) -> bytes:
    """Write `samples` (float32 in -1..1, shape (n, 2)) as a whole audio file.

    The same samples and tags give the same bytes. Raises ValueError for samples beyond ±1, which
    would be cut off.
    """
    import soundfile  # noqa: PLC0415 - slow to import

    if samples.size and float(abs(samples).max()) > 1.0:
        raise ValueError("samples go beyond ±1: normalise them first")
    container, subtype = _SUBTYPES[kind]
    file = BytesIO()
    with soundfile.SoundFile(file, "w", rate, samples.shape[1], subtype, format=container) as sound:
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
