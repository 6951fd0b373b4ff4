"""What does a score program show of a band: which chords in which bars, and how often?

A chord sheet of one staff. Every bar is a whole rest under the standard's slash style, so a
program that knows the style draws a slash a beat and any other a rest; none plays notes that
nobody has written. Chords are `harmony` elements.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import lcm
from xml.etree.ElementTree import Element

from lickwright.band import Backing
from lickwright.exchange.directions import (
    beat_unit,
    harmony,
    swing_words,
    tempo_mark,
    words,
)
from lickwright.exchange.heading import (
    PART,
    key_signature,
    named_part,
    score_heading,
    time_signature,
)
from lickwright.exchange.markup import add, make
from lickwright.exchange.musicxml import serialised
from lickwright.phrase import ChordAt
from lickwright.theory import Key

_BARS_A_LINE = 4  # common practice, no source


def band_musicxml(
    backing: Backing, *, title: str, author: str = "", key: Key | None = None
) -> bytes:
    """The band's chords as a chord sheet in MusicXML 4.0 (UTF-8); the same band, the same bytes.

    One chorus, between repeat signs that say how often if there are more, then the ending's bar
    if there is one. Without a `key` none is signed. Who plays what, the count-in and a feel whose
    halves are no eighths or 16ths (given in words) are not in the file.
    """
    score = make("score-partwise", version="4.0")
    score.extend(score_heading(title, author, named_part("Band")))
    part = add(score, "part", id=PART)
    divisions = _divisions(backing)
    for bar in range(backing.bars + backing.ending):
        part.append(_measure(backing, bar, divisions, key))
    return serialised(score)


def _divisions(backing: Backing) -> int:
    """The least number of parts of a quarter in which all bars and changes are whole."""
    beats = [Fraction(backing.meter.beats), *(change.beat for change in backing.changes)]
    return lcm(*((beat * backing.meter.beat_in_quarters).denominator for beat in beats))


def _measure(backing: Backing, bar: int, divisions: int, key: Key | None) -> Element:
    measure = make("measure", number=bar + 1)
    if bar and bar % _BARS_A_LINE == 0 and bar < backing.bars:
        add(measure, "print", new_system="yes")
    if bar == 0:
        measure.extend(_first(backing, divisions, key))
    a_beat = divisions * backing.meter.beat_in_quarters
    start = bar * backing.meter.beats
    if _repeated(backing, bar):
        measure.append(words(f"{backing.choruses} times"))
    for at in _changes(backing, bar):
        measure.append(_symbol(at, (at.beat - start) * a_beat))
    rest = add(measure, "note")
    add(rest, "rest", measure="yes")
    add(rest, "duration", int(backing.meter.beats * a_beat))
    add(rest, "voice", 1)
    measure.extend(_bar_line(backing, bar))
    return measure


def _first(backing: Backing, divisions: int, key: Key | None) -> Iterator[Element]:
    """What stands before the first chord: signatures, repeat sign, tempo, feel."""
    attributes = make("attributes")
    add(attributes, "divisions", divisions)
    if key is not None:
        attributes.append(key_signature(key))
    attributes.append(time_signature(backing.meter))
    clef = add(attributes, "clef")
    add(clef, "sign", "G")
    add(clef, "line", 2)
    attributes.append(_slashes(backing))
    if backing.choruses > 1:
        left = make("barline", location="left")
        add(left, "bar-style", "heavy-light")
        add(left, "repeat", direction="forward")
        yield left
    yield attributes
    yield tempo_mark(backing.tempo, backing.meter)
    if not backing.feel.straight:
        yield swing_words(backing.feel, backing.meter)


def _slashes(backing: Backing) -> Element:
    """From here on a slash a beat."""
    style = make("measure-style")
    slash = add(style, "slash", type="start", use_stems="no")
    add(slash, "slash-type", beat_unit(backing.meter))
    if backing.meter.compound:
        add(slash, "slash-dot")
    return style


def _changes(backing: Backing, bar: int) -> tuple[ChordAt, ...]:
    """The chords that come in during a bar, in beats from the first 1."""
    start, end = bar * backing.meter.beats, (bar + 1) * backing.meter.beats
    if bar == backing.bars:
        return (ChordAt(Fraction(start), backing.changes[0].chord),)
    return tuple(change for change in backing.changes if start <= change.beat < end)


def _symbol(at: ChordAt, offset: Fraction) -> Element:
    """A chord symbol so many divisions after the bar line."""
    element = harmony(at.chord)
    if offset:
        add(element, "offset", int(offset))
    return element


def _repeated(backing: Backing, bar: int) -> bool:
    """Whether a repeat sign stands at the end of a bar."""
    return bar == backing.bars - 1 and backing.choruses > 1


def _bar_line(backing: Backing, bar: int) -> Iterator[Element]:
    repeated = _repeated(backing, bar)
    if repeated or bar == backing.bars + backing.ending - 1:
        line = make("barline", location="right")
        add(line, "bar-style", "light-heavy")
        if repeated:
            add(line, "repeat", direction="backward", times=backing.choruses)
        yield line
