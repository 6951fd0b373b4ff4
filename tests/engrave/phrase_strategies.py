"""Generated phrases: any meter, any fractions of a beat, overlaps, gestures, graces, marks."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import takewhile

from hypothesis import strategies as st
from phrase_builder import grace, n, phrase, quick

from lickwright.phrase import (
    Bend,
    Entry,
    Finger,
    Mark,
    Meter,
    Note,
    Phrase,
    Release,
    SlideOff,
    Span,
    Stroke,
    Trill,
    Vibrato,
)
from lickwright.phrase.note import Gesture

METERS = [
    Meter(4, 4),
    Meter(3, 4),
    Meter(12, 8),
    Meter(6, 8),
    Meter(7, 8),
    Meter(5, 4),
    Meter(2, 2),
]
FINGERS = [Finger.FIRST, Finger.SECOND, Finger.THIRD, Finger.FOURTH]
_F = Fraction
_PARTS = [
    [],
    [_F(1, 2)],
    [_F(1, 4), _F(1, 2), _F(3, 4)],
    [_F(1, 2), _F(3, 4)],
    [_F(1, 3), _F(2, 3)],
    [_F(2, 3)],
    [_F(k, 5) for k in range(1, 5)],
]


@st.composite
def gestures(draw: st.DrawFn, fret: int, onset: Fraction, end: Fraction) -> tuple[object, ...]:
    """What a note does after it is struck."""
    kind = draw(st.sampled_from(["", "", "", "b", "slow", "br", "pb", "~", "~~", "tr"]))
    amount = draw(st.sampled_from([_F(1, 2), _F(1), _F(3, 2), _F(2), _F(3)]))
    mid = (onset + end) / 2
    match kind:
        case "b":
            return (Bend(amount),)
        case "slow":
            return (Bend(amount, None, mid), Vibrato())
        case "br":
            return (Bend(amount), Release(start=draw(st.sampled_from([None, mid]))))
        case "pb":
            return (Bend(amount, struck_bent=True), Release())
        case "~" | "~~":
            return (Vibrato(wide=kind == "~~"),)
        case "tr":
            return (Trill(fret + draw(st.integers(1, 3))),)
        case _:
            return ()


@st.composite
def _notes_at(
    draw: st.DrawFn, onset: Fraction, end: Fraction, last: Fraction, strings: int
) -> list[Note]:
    chosen = draw(
        st.lists(st.integers(1, strings), min_size=1, max_size=3, unique=True).filter(
            lambda found: max(found) - min(found) < 4
        )
    )
    made: list[Note] = []
    for string in chosen:
        fret = draw(st.integers(0, 17))
        stop = min(last, end + draw(st.sampled_from([0, 0, 0, 1]))) if len(chosen) == 1 else end
        more = {
            "finger": draw(st.sampled_from(FINGERS)),
            "stroke": draw(st.sampled_from([None, Stroke.DOWN, Stroke.UP])),
            "marks": draw(st.sampled_from([(), (), (Mark.ACCENT,), (Mark.STACCATO,)])),
        }
        kind = draw(
            st.sampled_from(
                ["", "", "", "", "grace", "quick", "dead", "ghost", "harm", "in", "off"]
            )
        )
        if kind == "grace" and fret > 2:
            made.append(grace(string, fret - 2, onset))
            made.append(n(string, fret, onset, stop, link="h", **more))
        elif kind == "quick":
            made.append(n(string, fret, onset, onset, **more))
            made.append(quick(string, fret + 2, onset, stop, link="/"))
        elif kind == "dead":
            made.append(n(string, 0, onset, stop, dead=True, **more))
        elif kind == "harm":
            made.append(n(string, 12, onset, stop, harmonic=True, **more))
        elif kind == "in":
            made.append(n(string, fret, onset, stop, entry=Entry.FROM_BELOW, **more))
        elif kind == "off":
            made.append(n(string, fret, onset, stop, off=SlideOff(draw(st.booleans())), **more))
        else:
            moves = draw(gestures(fret, onset, stop)) if len(chosen) < 3 else ()
            made.append(n(string, fret, onset, stop, ghost=kind == "ghost", gestures=moves, **more))
    return made


def _cut_strings(notes: list[Note]) -> list[Note]:
    """A new note on a string ends the one before it, and what that would have done later."""
    cut = []
    for note in notes:
        later = [o.onset for o in notes if o.string == note.string and o.onset > note.onset]
        end = min([note.end, *later])
        moves = tuple(takewhile(lambda move, end=end: _moment(move) < end, note.gestures))
        cut.append(replace(note, end=end, gestures=moves))
    return cut


def _moment(move: Gesture) -> Fraction:
    """The last beat that a movement names; below all others if it names none."""
    arrive = getattr(move, "arrive", None)
    return max(beat for beat in (arrive, move.start, Fraction(-1)) if beat is not None)


@st.composite
def phrases(draw: st.DrawFn, most_bars: int = 3) -> Phrase:
    """A phrase with anything in it that a lesson can hold."""
    meter = draw(st.sampled_from(METERS))
    bars = draw(st.integers(1, most_bars))
    last = Fraction(bars * meter.beats)
    places: list[Fraction] = []
    for beat in range(int(last)):
        parts = draw(st.sampled_from(_PARTS))
        places += [Fraction(beat)] + [beat + part for part in parts]
    chosen = [p for p in places if draw(st.integers(0, 3))] or [places[0]]
    notes: list[Note] = []
    for index, onset in enumerate(chosen):
        end = chosen[index + 1] if index + 1 < len(chosen) else last
        if draw(st.integers(0, 9)) == 0:
            end = onset + (end - onset) / 2
        notes += draw(_notes_at(onset, end, last, 6))
    spans = ()
    if draw(st.booleans()):
        spans = (Span(draw(st.sampled_from([Mark.LET_RING, Mark.PALM_MUTE])), chosen[0], last),)
    chords = [
        (bar * meter.beats, draw(st.sampled_from(["A7", "D9", "Em7b5", "Bbmaj7"])))
        for bar in range(bars)
    ]
    return phrase(
        _cut_strings(notes),
        bars=bars,
        meter=meter,
        key=draw(st.sampled_from(["C", "A minor", "Eb", "E", "F# minor"])),
        chords=chords,
        spans=spans,
    )
