"""What does it sound like: guitar, band, room, practice audio, loudness and files' bytes?"""

from lickwright.sound.backing import backing_pieces, backing_sound
from lickwright.sound.encode import AudioFormat, Tags, encode, encode_under_ceiling
from lickwright.sound.guitar import (
    ACOUSTIC,
    CLEAN,
    GUITARS,
    OVERDRIVEN,
    RATE,
    Amp,
    Body,
    Guitar,
    Room,
    Strings,
)
from lickwright.sound.human import EXACT, HUMAN, Human
from lickwright.sound.loop import chord_loop, round_and_round
from lickwright.sound.loudness import loudness, normalise, true_peak
from lickwright.sound.mix import Rendered, playing_times, render_phrase
from lickwright.sound.practice import (
    Placed,
    band_alone,
    echo,
    ladder,
    over_band,
    phrase_over_band,
)
from lickwright.sound.reference import bend_reference, open_strings
from lickwright.sound.stems import band_stem, lead_stem
from lickwright.sound.track import Begins, Start, Track

__all__ = [
    "ACOUSTIC",
    "CLEAN",
    "EXACT",
    "GUITARS",
    "HUMAN",
    "OVERDRIVEN",
    "RATE",
    "Amp",
    "AudioFormat",
    "Begins",
    "Body",
    "Guitar",
    "Human",
    "Placed",
    "Rendered",
    "Room",
    "Start",
    "Strings",
    "Tags",
    "Track",
    "backing_pieces",
    "backing_sound",
    "band_alone",
    "band_stem",
    "bend_reference",
    "chord_loop",
    "echo",
    "encode",
    "encode_under_ceiling",
    "ladder",
    "lead_stem",
    "loudness",
    "normalise",
    "open_strings",
    "over_band",
    "phrase_over_band",
    "playing_times",
    "render_phrase",
    "round_and_round",
    "true_peak",
]
