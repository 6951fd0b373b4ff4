"""How is a phrase said in words, for those who do not see the picture?"""

from __future__ import annotations

from fractions import Fraction
from itertools import groupby

from lickwright.engrave.bends import amount_text
from lickwright.phrase import (
    Bar,
    Bend,
    Entry,
    LinkKind,
    Mark,
    Meter,
    Note,
    Phrase,
    Release,
    Timing,
    Trill,
    Vibrato,
    count_name,
)

_LINKS = {
    LinkKind.HAMMER: "hammered to",
    LinkKind.PULL: "pulled off to",
    LinkKind.SLIDE_UP: "slid up to",
    LinkKind.SLIDE_DOWN: "slid down to",
    LinkKind.TAP: "tapped at",
}
_ENTRIES = {Entry.FROM_BELOW: "slid into from below, ", Entry.FROM_ABOVE: "slid into from above, ",
            Entry.TAPPED: "tapped, "}  # fmt: skip
_MARKS = {Mark.ACCENT: "accented", Mark.STACCATO: "short", Mark.RAKE: "raked"}
_SPANS = {Mark.PALM_MUTE: "palm muted", Mark.LET_RING: "ringing on"}


def describe(phrase: Phrase) -> str:
    """The phrase in words: its facts, then bar by bar and count by count what is played."""
    notes: dict[int, list[Note]] = {}
    for note in phrase.notes:
        notes.setdefault(note.bar, []).append(note)
    bars = (
        f"Bar {bar.number}: {_bar(phrase, bar, notes.get(bar.number, []))}." for bar in phrase.bars
    )
    return " ".join([_facts(phrase), *bars])


def _facts(phrase: Phrase) -> str:
    count = len(phrase.bars)
    tempo = phrase.tempo
    number = int(tempo) if tempo.denominator == 1 else round(float(tempo), 1)
    facts = [
        f"{count} bar{'s' if count > 1 else ''} in {phrase.meter}",
        f"key {phrase.key.pretty}",
        f"{number} beats a minute",
    ]
    if not phrase.feel.straight:
        facts.append(str(phrase.feel))
    if phrase.capo:
        facts.append(f"capo at fret {phrase.capo}")
    return ", ".join(facts) + "."


def _bar(phrase: Phrase, bar: Bar, notes: list[Note]) -> str:
    start, end = bar.start, bar.end
    chords = [c.chord.pretty for c in phrase.chords if start <= c.beat < end]
    chord = f"chord {', '.join(chords)}; " if chords else ""
    if bar.simile:
        return chord + "the bar before once more"
    if not notes:
        return chord + "silent, or what rings on"
    return chord + "; ".join(
        f"{_said(beat, phrase.meter)}: {_together(phrase, list(together))}"
        for beat, together in groupby(notes, lambda note: note.onset)
    )


def _said(beat: Fraction, meter: Meter) -> str:
    return count_name(beat % meter.beats, meter)


def _together(phrase: Phrase, notes: list[Note]) -> str:
    return ", ".join(_note(phrase, n) for n in sorted(notes, key=lambda n: (n.order, -n.string)))


def _note(phrase: Phrase, note: Note) -> str:
    label = phrase.tuning.label(note.string)
    words = "quickly " if note.timing is not Timing.COUNTED else ""
    words += _ENTRIES.get(note.entry, "") if note.entry else ""
    words += f"{_LINKS[note.link.kind]} " if note.link else ""
    if note.dead:
        words += f"muted {label} string"
    else:
        kind = "harmonic over fret" if note.harmonic else "fret"
        words += f"{label} string {kind} {note.fret}" + (" softly" if note.ghost else "")
    words += "".join(f", {_gesture(note, g)}" for g in note.gestures)
    if note.off is not None:
        words += f", slid off {'upward' if note.off.up else 'downward'}"
    words += "".join(f", {name}" for mark, name in _MARKS.items() if mark in note.marks)
    spans = {s.mark for s in phrase.spans if s.start <= note.onset < s.end}
    return words + "".join(f", {name}" for mark, name in _SPANS.items() if mark in spans)


def _gesture(note: Note, gesture: Bend | Release | Vibrato | Trill) -> str:
    match gesture:
        case Bend():
            amount = amount_text(gesture.to)
            said = "a full step" if amount == "full" else f"{amount} of a step"
            if gesture.to > 2:
                said = f"{amount} steps"
            return f"bent {said}" + (" before it is struck" if gesture.struck_bent else "")
        case Release():
            return "released"
        case Vibrato():
            return "with wide vibrato" if gesture.wide else "with vibrato"
        case Trill():
            return f"trilled with fret {gesture.fret}"
