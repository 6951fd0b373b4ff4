"""What stands over and under the notes: tempo, feel, chord symbols, palm mute, let ring, rake?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from xml.etree.ElementTree import Element

from lickwright.exchange.markup import add, decimal, make
from lickwright.phrase import Feel, Mark, Meter, Phrase, Span, Timing
from lickwright.theory import Chord, PitchClass

_BEAT_UNITS = {1: "whole", 2: "half", 4: "quarter", 8: "eighth", 16: "16th"}
_SPANS = {Mark.PALM_MUTE: ("P.M.", 1), Mark.LET_RING: ("let ring", 2)}  # words, dashes number


@dataclass(frozen=True, slots=True)
class Placed:
    """An element that belongs to `beat` on staff 1 or 2. `closing`: it ends there."""

    beat: Fraction
    staff: int
    element: Element
    closing: bool = False


def placed_directions(phrase: Phrase) -> list[Placed]:
    """Every direction and chord symbol of a phrase, in order of time; none has its staff yet."""
    found = [
        Placed(phrase.start, 1, tempo_mark(phrase.tempo, phrase.meter)),
        *(Placed(beat, 1, harmony(chord)) for beat, chord in _chords(phrase).items()),
        *(Placed(beat, 2, words("rake")) for beat in sorted(_rakes(phrase))),
    ]
    if not phrase.feel.straight:
        found.insert(1, Placed(phrase.start, 1, swing_words(phrase.feel, phrase.meter)))
    for span in phrase.spans:
        found += _dashed(span, phrase)
    return sorted(found, key=lambda placed: placed.beat)


def _direction(placement: str) -> tuple[Element, Element]:
    direction = make("direction", placement=placement)
    return direction, add(direction, "direction-type")


def words(text: str) -> Element:
    """A direction in words, above the staff."""
    direction, kind = _direction("above")
    add(kind, "words", text)
    return direction


def beat_unit(meter: Meter) -> str:
    """MusicXML's name of the value that is a beat; it has a dot in a compound meter."""
    return _BEAT_UNITS[4 if meter.compound else meter.lower]


def tempo_mark(tempo: Fraction, meter: Meter) -> Element:
    """Beats a minute as a metronome mark; in `sound`, quarters a minute (W3C: sound tempo)."""
    direction, kind = _direction("above")
    metronome = add(kind, "metronome")
    add(metronome, "beat-unit", beat_unit(meter))
    if meter.compound:
        add(metronome, "beat-unit-dot")
    add(metronome, "per-minute", decimal(tempo))
    add(direction, "sound", tempo=decimal(tempo * meter.beat_in_quarters))
    return direction


def swing_words(feel: Feel, meter: Meter) -> Element:
    """The feel in words, and as a ratio of two halves of a beat where MusicXML can name those."""
    direction = words(str(feel))
    halves = {Fraction(1): "eighth", Fraction(1, 2): "16th"}.get(meter.beat_in_quarters)
    if halves is not None:
        late = feel.offbeat
        swing = add(add(direction, "sound"), "swing")
        add(swing, "first", late.numerator)
        add(swing, "second", late.denominator - late.numerator)
        add(swing, "swing-type", halves)
    return direction


def _chords(phrase: Phrase) -> dict[Fraction, Chord]:
    """Chords by the beat at which they are written; what sounds before a pickup stands on it."""
    return {max(at.beat, phrase.start): at.chord for at in phrase.chords}


def _rakes(phrase: Phrase) -> set[Fraction]:
    return {n.onset for n in phrase.notes if n.timing is Timing.GRACE and Mark.RAKE in n.marks}


def _dashed(span: Span, phrase: Phrase) -> Iterator[Placed]:
    text, number = _SPANS[span.mark]
    start, kind = _direction("above")
    add(kind, "words", text)
    add(add(start, "direction-type"), "dashes", type="start", number=number)
    stop, kind = _direction("above")
    add(kind, "dashes", type="stop", number=number)
    yield Placed(max(span.start, phrase.start), 2, start)
    yield Placed(min(span.end, phrase.end), 2, stop, closing=True)


def harmony(chord: Chord) -> Element:
    """A chord symbol, with the words and degrees of MusicXML 4.0 that its kind carries."""
    element = make("harmony")
    _named(element, "root", chord.root)
    if not chord.sounds:
        element[0][0].set("text", "")  # W3C: keeps a root that has no meaning from being displayed
        add(element, "kind", "none", text="N.C.")
        return element
    suffix = chord.symbol.removeprefix(str(chord.root))
    if chord.bass is not None:
        suffix = suffix[: suffix.rindex("/")]
    add(element, "kind", chord.kind.musicxml, text=suffix)
    if chord.bass is not None:
        _named(element, "bass", chord.bass)
    for change in chord.kind.changes:
        # The symbol is printed whole from the kind's text, so its degrees are not printed again.
        degree = add(element, "degree", print_object="no")
        add(degree, "degree-value", change.number)
        add(degree, "degree-alter", change.alter)
        add(degree, "degree-type", change.type.value)
    return element


def _named(element: Element, role: str, name: PitchClass) -> None:
    group = add(element, role)
    add(group, f"{role}-step", name.letter)
    if name.alter:
        add(group, f"{role}-alter", name.alter)


def finished(placed: Placed, offset: str | None) -> Element:
    """The element with its staff, and its `offset` in divisions from where it is written."""
    element = placed.element
    after = {"sound"}
    at = next((i for i, child in enumerate(element) if child.tag in after), len(element))
    if offset is not None:
        element.insert(at, make("offset", offset))
        at += 1
    element.insert(at, make("staff", placed.staff))
    return element
