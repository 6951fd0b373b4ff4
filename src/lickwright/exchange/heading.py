"""What does a MusicXML file say before its first note: title, part, key, time, staves, strings?"""

from __future__ import annotations

from xml.etree.ElementTree import Element

from lickwright import __version__
from lickwright.exchange.markup import add, make
from lickwright.phrase import Meter, Phrase
from lickwright.theory import Key, Mode

PART = "P1"
INSTRUMENT = "P1-I1"
CLEAN_ELECTRIC_GUITAR = 28  # General MIDI, counted from 1 as MusicXML does


def score_heading(title: str, author: str, parts: Element) -> list[Element]:
    """Everything of `score-partwise` before the part itself. No date: same music, same bytes."""
    work = make("work")
    add(work, "work-title", title)
    identification = make("identification")
    if author:
        add(identification, "creator", author, type="composer")
    encoding = add(identification, "encoding")
    add(encoding, "software", f"Lickwright {__version__}")
    for element in ("accidental", "beam"):
        add(encoding, "supports", type="yes", element=element)
    add(encoding, "supports", type="yes", element="print", attribute="new-system", value="yes")
    return [work, identification, parts]


def guitar_part() -> Element:
    """The list of the one part of a phrase."""
    parts = named_part("Guitar")
    part = parts[0]
    instrument = add(part, "score-instrument", id=INSTRUMENT)
    add(instrument, "instrument-name", "Electric guitar")
    midi = add(part, "midi-instrument", id=INSTRUMENT)
    add(midi, "midi-channel", 1)
    add(midi, "midi-program", CLEAN_ELECTRIC_GUITAR)
    return parts


def named_part(name: str) -> Element:
    """A list of one part that has no more than a name."""
    parts = make("part-list")
    add(add(parts, "score-part", id=PART), "part-name", name)
    return parts


def key_signature(key: Key) -> Element:
    """Sharps or flats, and the mode."""
    element = make("key")
    add(element, "fifths", key.fifths)
    add(element, "mode", "minor" if key.mode is Mode.MINOR else "major")
    return element


def time_signature(meter: Meter) -> Element:
    """The meter as printed."""
    element = make("time")
    add(element, "beats", meter.upper)
    add(element, "beat-type", meter.lower)
    return element


def first_attributes(phrase: Phrase, divisions: int) -> Element:
    """Divisions of a quarter, key, time, and the two staves with their clefs."""
    attributes = make("attributes")
    add(attributes, "divisions", divisions)
    attributes.extend((key_signature(phrase.key), time_signature(phrase.meter)))
    add(attributes, "staves", 2)
    _clefs(attributes)
    _tab_staff(attributes, phrase)
    return attributes


def _clefs(attributes: Element) -> None:
    """G clef with an 8 below, so that `pitch` is what sounds; and the tab clef."""
    treble = add(attributes, "clef", number=1)
    add(treble, "sign", "G")
    add(treble, "line", 2)
    add(treble, "clef-octave-change", -1)
    tab = add(attributes, "clef", number=2)
    add(tab, "sign", "TAB")
    add(tab, "line", 5)


def _tab_staff(attributes: Element, phrase: Phrase) -> None:
    """Strings of the tab staff, thickest (line 1) first; the capo raises them all."""
    details = add(attributes, "staff-details", number=2, show_frets="numbers")
    add(details, "staff-lines", len(phrase.tuning))
    for line, pitch in enumerate(reversed(phrase.tuning.strings), start=1):
        tuning = add(details, "staff-tuning", line=line)
        add(tuning, "tuning-step", pitch.name.letter)
        if pitch.name.alter:
            add(tuning, "tuning-alter", pitch.name.alter)
        add(tuning, "tuning-octave", pitch.octave)
    if phrase.capo:
        add(details, "capo", phrase.capo)
