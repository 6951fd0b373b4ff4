"""Generated phrases in which facts are likely: few pitches, changing chords, simple gestures."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from hypothesis import strategies as st

from lickwright.phrase import (
    Bar,
    Bend,
    ChordAt,
    Count,
    Entry,
    Feel,
    Link,
    LinkKind,
    Meter,
    Note,
    Phrase,
)
from lickwright.theory import parse_chord, parse_key

KEYS = ["A", "C", "E", "Bb", "A minor", "E minor", "F# minor"]
CHORDS = ["A7", "D7", "E7", "Am", "Dm", "C", "F", "G7", "Cmaj7", "Bb7", "Eb7", "F#m", "Bm"]
METERS = [Meter(4, 4), Meter(4, 4), Meter(3, 4), Meter(12, 8)]
PARTS = [[], [Fraction(1, 2)], [Fraction(1, 2)], [Fraction(1, 3), Fraction(2, 3)]]


@st.composite
def phrases(draw: st.DrawFn) -> Phrase:
    """One to four bars of notes and small chords; the last beats may be silent."""
    meter = draw(st.sampled_from(METERS))
    bars = draw(st.integers(1, 4))
    pickup = draw(st.sampled_from([0, 0, 1])) if bars > 1 else 0
    last = Fraction(bars * meter.beats)
    first = Fraction(meter.beats - pickup) if pickup else Fraction(0)
    base = draw(st.sampled_from([0, 2, 5, 9]))
    frets = draw(st.lists(st.integers(base, base + 4), min_size=2, max_size=5))
    strings = draw(st.lists(st.integers(1, 6), min_size=1, max_size=3, unique=True))
    onsets = _onsets(draw, first, last)
    notes: list[Note] = []
    for place, onset in enumerate(onsets):
        end = onsets[place + 1] if place + 1 < len(onsets) else last
        if place + 1 == len(onsets) and draw(st.booleans()):
            end = min(last, onset + 1)
        notes += draw(_struck(notes, onset, end, strings, frets, meter))
    chords = _chords(draw, bars, meter)
    if draw(st.booleans()) and bars > 1 and not pickup:
        up = draw(st.sampled_from([0, 0, 2, 5]))
        notes = _repeated(notes, meter, up)
        if up and draw(st.booleans()):
            names = ("A7", {2: "B7", 5: "D7"}[up])
            chords = tuple(
                ChordAt(Fraction(bar * meter.beats), parse_chord(name))
                for bar, name in enumerate(names)
            )
    return Phrase(
        "p", parse_key(draw(st.sampled_from(KEYS))), _bars(bars, meter, first),
        tuple(notes), chords, (), meter,
        feel=draw(st.sampled_from([Feel(Fraction(1, 2)), Feel(Fraction(2, 3))])),
    )  # fmt: skip


def _onsets(draw: st.DrawFn, first: Fraction, last: Fraction) -> list[Fraction]:
    places: list[Fraction] = []
    for beat in range(int(first), int(last)):
        places += [Fraction(beat), *(beat + part for part in draw(st.sampled_from(PARTS)))]
    return [place for place in places if draw(st.integers(0, 4))] or [first]


@st.composite
def _struck(
    draw: st.DrawFn, before: list[Note], onset: Fraction, end: Fraction, strings: list[int],
    frets: list[int], meter: Meter,
) -> list[Note]:  # fmt: skip
    many = draw(st.sampled_from([1, 1, 1, 1, 2, 3]))
    chosen = draw(st.permutations(strings))[:many]
    bar = int(onset // meter.beats) + 1
    made = []
    for string in chosen:
        fret = draw(st.sampled_from(frets))
        note = Note(f"p/{bar}/{onset}/{string}", string, fret, onset, end, bar=bar)
        kind = draw(st.sampled_from(["", "", "", "bend", "pre", "dead", "link", "in"]))
        if kind == "bend" and fret:
            to = draw(st.sampled_from([Fraction(1, 2), Fraction(1), Fraction(2), Fraction(3)]))
            note = replace(note, gestures=(Bend(to),))
        elif kind == "pre" and fret:
            note = replace(note, gestures=(Bend(Fraction(2), struck_bent=True),))
        elif kind == "dead":
            note = replace(note, dead=True, fret=0)
        elif kind == "in":
            note = replace(note, entry=Entry.FROM_BELOW)
        elif kind == "link" and many == 1 and before and _joins(before[-1], note):
            up = fret > before[-1].fret
            kinds = (LinkKind.HAMMER, LinkKind.SLIDE_UP) if up else (LinkKind.PULL,)
            note = replace(note, link=Link(draw(st.sampled_from(kinds))))
        made.append(note)
    return made


def _joins(before: Note, note: Note) -> bool:
    same = before.string == note.string and before.fret != note.fret
    return same and not before.dead and not before.gestures and before.end == note.onset


def _repeated(notes: list[Note], meter: Meter, up: int) -> list[Note]:
    """The second bar becomes the first one again, perhaps higher."""
    first = [note for note in notes if note.bar == 1 and note.end <= meter.beats]
    others = [note for note in notes if note.bar != 2]
    again = [
        replace(
            note,
            id=f"{note.id}-again",
            bar=2,
            fret=note.fret + (0 if note.dead else up),
            onset=note.onset + meter.beats,
            end=note.end + meter.beats,
            link=None if not place else note.link,
        )
        for place, note in enumerate(first)
    ]
    return sorted(others + again, key=lambda note: (note.onset, note.string))


def _bars(count: int, meter: Meter, first: Fraction) -> tuple[Bar, ...]:
    made = []
    for number in range(1, count + 1):
        start = max(first, Fraction((number - 1) * meter.beats))
        length = number * meter.beats - start
        made.append(Bar(number, start, length, (Count(start, silent=False),)))
    return tuple(made)


def _chords(draw: st.DrawFn, bars: int, meter: Meter) -> tuple[ChordAt, ...]:
    if not draw(st.integers(0, 5)):
        return ()
    names = draw(st.lists(st.sampled_from(CHORDS), min_size=bars, max_size=bars))
    found: list[ChordAt] = []
    for bar, name in enumerate(names):
        if not found or str(found[-1].chord) != name:
            found.append(ChordAt(Fraction(bar * meter.beats), parse_chord(name)))
    return tuple(found)
