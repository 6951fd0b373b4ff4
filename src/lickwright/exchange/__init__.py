"""How do other programs read a phrase: MusicXML for score programs, MIDI for instruments?"""

from lickwright.exchange.midi import midi_lead, to_midi
from lickwright.exchange.musicxml import to_musicxml
from lickwright.exchange.names import Staff, note_id, xml_id

__all__ = ["Staff", "midi_lead", "note_id", "to_midi", "to_musicxml", "xml_id"]
