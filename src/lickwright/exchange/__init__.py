"""How do other programs read a phrase or a band: as MusicXML, as MIDI?"""

from lickwright.exchange.band_sheet import band_musicxml
from lickwright.exchange.midi import band_midi, midi_lead, phrase_with_band_midi, to_midi
from lickwright.exchange.musicxml import to_musicxml
from lickwright.exchange.names import Staff, note_id, xml_id

__all__ = [
    "Staff",
    "band_midi",
    "band_musicxml",
    "midi_lead",
    "note_id",
    "phrase_with_band_midi",
    "to_midi",
    "to_musicxml",
    "xml_id",
]
