"""What does the first track of a MIDI file say: title, tempo, meter, key, chords?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from lickwright.band import Backing, pickup_beats
from lickwright.exchange.midi_events import TrackEvent, meta
from lickwright.exchange.midi_time import TickGrid, tempo_changes
from lickwright.phrase import Meter, Phrase
from lickwright.theory import Key, Mode

Marker = tuple[Fraction, str]  # beat of the grid, what is said there


@dataclass(frozen=True, slots=True)
class Heading:
    """What is said of the whole. Without a `key` none is signed."""

    title: str
    author: str
    meter: Meter
    key: Key | None
    markers: tuple[Marker, ...]


def conductor(heading: Heading, grid: TickGrid, end: Fraction) -> Iterator[TrackEvent]:
    """The events of the track, up to beat `end`. A marker stands where its beat is heard."""
    meter = heading.meter
    yield meta(0, "track_name", name=heading.title)
    if heading.author:
        yield meta(0, "text", text=heading.author)
    for tick, tempo in tempo_changes(grid, end):
        yield meta(tick, "set_tempo", tempo=tempo)
    yield meta(
        0,
        "time_signature",
        numerator=meter.upper,
        denominator=meter.lower,
        clocks_per_click=round(24 * meter.beat_in_quarters),
        notated_32nd_notes_per_beat=8,
    )
    if heading.key is not None:
        minor = "m" if heading.key.mode is Mode.MINOR else ""
        yield meta(0, "key_signature", key=f"{heading.key.tonic}{minor}")
    for beat, text in heading.markers:
        yield meta(grid.heard_tick(beat), "marker", text=text)


def phrase_markers(phrase: Phrase, backing: Backing | None) -> tuple[Marker, ...]:
    """The phrase's name on its first count, and its chords, or the band's if one plays.

    A chord that sounds before the first count stands on it.
    """
    named = (phrase.start, phrase.name)
    if backing is not None:
        return (named, *band_markers(backing, Fraction(pickup_beats(phrase))))
    return (named, *((max(at.beat, phrase.start), str(at.chord)) for at in phrase.chords))


def band_markers(backing: Backing, offset: Fraction = Fraction(0)) -> tuple[Marker, ...]:
    """The chords of all choruses and of the ending, the first of them on beat `offset`."""
    found = [
        (offset + chorus * backing.chorus_beats + change.beat, str(change.chord))
        for chorus in range(backing.choruses)
        for change in backing.changes
    ]
    if backing.ending:
        end = offset + backing.choruses * backing.chorus_beats
        found.append((end, str(backing.changes[0].chord)))
    return tuple(found)
