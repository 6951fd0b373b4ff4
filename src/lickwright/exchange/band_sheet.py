"""What does a score program show of a band: which chords in which bars?"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from lickwright.band import Backing
from lickwright.exchange.markup import add, make
from lickwright.exchange.musicxml import serialised, written_score
from lickwright.phrase import Bar, Count, Phrase
from lickwright.theory import Key


def silent_phrase(backing: Backing, title: str, key: Key, choruses: int = 1) -> Phrase:
    """Bars and chords of so many choruses, and the ending after the last, without a note."""
    beats = backing.meter.beats
    count = backing.bars * choruses + (backing.ending and choruses == backing.choruses)
    bars = tuple(
        Bar(index + 1, Fraction(index * beats), Fraction(beats), (Count(Fraction(index * beats)),))
        for index in range(count)
    )
    chords = [
        replace(change, beat=change.beat + chorus * backing.chorus_beats)
        for chorus in range(choruses)
        for change in backing.changes
    ]
    if count > backing.bars * choruses:
        first = backing.changes[0]
        chords.append(replace(first, beat=Fraction(backing.bars * choruses * beats)))
    return Phrase(
        "band", key, bars, (), tuple(chords), (), backing.meter, backing.tempo, backing.feel,
        title=title,
    )  # fmt: skip


def band_musicxml(backing: Backing, *, title: str, key: Key, author: str = "") -> bytes:
    """One chorus of the band's chords as a chord sheet in MusicXML 4.0: slashes under the names."""
    once = replace(backing, choruses=1, ending=False)
    score = written_score(silent_phrase(once, title, key), title=title, author=author)
    first = score.find("part/measure")
    assert first is not None
    attributes = make("attributes")
    style = add(attributes, "measure-style")
    add(style, "slash", type="start", use_stems="no")
    first.insert(1, attributes)
    return serialised(score)
