"""What does the rhythm section play over this form in this feel?"""

from lickwright.band.backing import (
    MOST_CHORUSES,
    Backing,
    Keyboard,
    changes_of,
    chords_backing,
    form_backing,
    home_chord,
    phrase_backing,
    pickup_beats,
)
from lickwright.band.errors import BandError
from lickwright.band.events import PLAYERS, Drum, Event, Player
from lickwright.band.forms import Form, form_chords
from lickwright.band.grip import HeldChord, held_chord
from lickwright.band.play import count_in, play, play_bar
from lickwright.band.voicing import keys_voicing

__all__ = [
    "MOST_CHORUSES",
    "PLAYERS",
    "Backing",
    "BandError",
    "Drum",
    "Event",
    "Form",
    "HeldChord",
    "Keyboard",
    "Player",
    "changes_of",
    "chords_backing",
    "count_in",
    "form_backing",
    "form_chords",
    "held_chord",
    "home_chord",
    "keys_voicing",
    "phrase_backing",
    "pickup_beats",
    "play",
    "play_bar",
]
