"""What does it sound like: strings, amplifier, room, count-in, loudness and files' bytes?"""

from lickwright.sound.encode import AudioFormat, Tags, encode
from lickwright.sound.guitar import CLEAN, RATE, Amp, Guitar, Room, Strings
from lickwright.sound.loudness import loudness, normalise, true_peak
from lickwright.sound.mix import Rendered, playing_times, render_phrase

__all__ = [
    "CLEAN",
    "RATE",
    "Amp",
    "AudioFormat",
    "Guitar",
    "Rendered",
    "Room",
    "Strings",
    "Tags",
    "encode",
    "loudness",
    "normalise",
    "playing_times",
    "render_phrase",
    "true_peak",
]
