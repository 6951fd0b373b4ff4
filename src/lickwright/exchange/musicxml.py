"""How does another score program read a phrase: as one MusicXML 4.0 (W3C) file?

One part on two staves. The notation staff has a G clef with an 8 below, so every `pitch` is the
sounding one, as fretted; the tab staff repeats the notes with string and fret. What MusicXML
cannot say is listed at `to_musicxml`.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from lickwright.exchange.heading import PART, guitar_part, score_heading
from lickwright.exchange.markup import add, make
from lickwright.exchange.measures import Measures
from lickwright.phrase import Phrase
from lickwright.theory import Pitch

# Public identifier and address as the W3C prints them for MusicXML 4.0.
_DOCTYPE = (
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">'
)
_NOTHING: Mapping[str, Pitch] = MappingProxyType({})


def to_musicxml(
    phrase: Phrase, *, title: str, author: str = "", spelled: Mapping[str, Pitch] = _NOTHING
) -> bytes:
    """One phrase as an uncompressed MusicXML 4.0 file in UTF-8; the same phrase, the same bytes.

    `spelled` gives note ids the pitch names to be written; other notes are named in the phrase's
    key. Every `note` has an id from which `exchange.note_id` gives the phrase's own back.

    MusicXML has no words for these: how long a rake, a quick note or a grace takes; where in its
    note a vibrato, trill or slide off begins; how wide a vibrato is; a trill over more than two
    frets (the fret is given in words on the tab staff); a bend that goes on beyond the head it
    begins in; a feel whose halves are no eighths or 16ths (given in words).
    """
    score = make("score-partwise", version="4.0")
    score.extend(score_heading(title, author, guitar_part()))
    add(score, "part", id=PART).extend(Measures(phrase, spelled).write())
    return serialised(score)


def serialised(score: Element) -> bytes:
    """A score as the bytes of a file."""
    ElementTree.indent(score)
    body = ElementTree.tostring(score, encoding="unicode")
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{_DOCTYPE}\n{body}\n'.encode()
