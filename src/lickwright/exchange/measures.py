"""How is each bar written as a MusicXML measure: two staves, their voices and notes?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from xml.etree.ElementTree import Element

from lickwright.exchange.directions import Placed, finished, placed_directions
from lickwright.exchange.gestures import Head
from lickwright.exchange.heading import first_attributes
from lickwright.exchange.markup import add, decimal, make
from lickwright.exchange.names import Staff, xml_id
from lickwright.exchange.notations import Notations
from lickwright.exchange.rhythm import (
    Beams,
    beams,
    divisions,
    printed,
    time_modification,
    tuplet_marks,
)
from lickwright.exchange.spelling import HeadKey, bar_accidentals, head_pitch
from lickwright.phrase import Bar, Mark, Note, Phrase, Timing
from lickwright.phrase.score import ScoreBar, ScoreEvent, score_bars
from lickwright.theory import Pitch

# Loudness in percent of a forte of MIDI velocity 90, as MusicXML counts it. Our choice.
GHOST_PERCENT = 60
ACCENT_PERCENT = 125
_STAVES = (Staff.NOTATION, Staff.TAB)


class Measures:
    """Writes the measures of one phrase."""

    def __init__(self, phrase: Phrase, spelled: Mapping[str, Pitch]) -> None:
        self.phrase = phrase
        self.spelled = spelled
        self.bars = score_bars(phrase)
        self.divisions = divisions(self.bars, phrase.meter)
        self.a_beat = self.divisions * phrase.meter.beat_in_quarters
        self.notations = Notations(phrase, self.a_beat)
        self._directions = placed_directions(phrase)
        self._heads: dict[tuple[str, Staff], int] = {}  # heads of a note written so far
        self._signs: dict[HeadKey, str] = {}

    def write(self) -> Iterator[Element]:
        """All measures, in order."""
        previous: Bar | None = None
        for bar in self.bars:
            yield self._measure(bar, previous)
            previous = bar.bar

    def _measure(self, bar: ScoreBar, previous: Bar | None) -> Element:
        measure = make("measure", number=self._number(bar.bar))
        if self.phrase.pickup and previous is None:
            measure.set("implicit", "yes")
        if previous is not None and previous.ends_line:
            add(measure, "print", new_system="yes")
        if previous is None:
            measure.append(first_attributes(self.phrase, self.divisions))
        measure.extend(_simile(bar.bar, previous))
        self._signs = bar_accidentals(self.phrase, bar, self.spelled)
        self._voices(measure, bar)
        if bar.bar.end == self.phrase.end:
            add(add(measure, "barline", location="right"), "bar-style", "light-light")
        return measure

    def _number(self, bar: Bar) -> int:
        return bar.number - 1 if self.phrase.pickup else bar.number

    def _voices(self, measure: Element, bar: ScoreBar) -> None:
        back = self._ticks(bar.bar.length)
        for place, staff in enumerate(_STAVES):
            waiting = self._placed_in(bar.bar, place + 1)
            for index, voice in enumerate(bar.voices):
                if place or index:
                    add(add(measure, "backup"), "duration", back)
                number = 2 * place + index + 1
                for child in self._voice(voice, number, staff, waiting):
                    measure.append(child)
            for placed in waiting:
                measure.append(finished(placed, None))

    def _placed_in(self, bar: Bar, staff: int) -> list[Placed]:
        return [
            p
            for p in self._directions
            if p.staff == staff
            and (bar.start < p.beat <= bar.end if p.closing else bar.start <= p.beat < bar.end)
        ]

    def _voice(
        self, voice: tuple[ScoreEvent, ...], number: int, staff: Staff, waiting: list[Placed]
    ) -> Iterator[Element]:
        """One voice of one staff. Directions in `waiting` are written on the way, and taken off."""
        beamed = beams(voice) if staff is Staff.NOTATION else {}
        for index, event in enumerate(voice):
            while waiting and waiting[0].beat < event.end:
                placed = waiting.pop(0)
                offset = (placed.beat - event.start) * self.a_beat
                yield finished(placed, decimal(offset) if offset else None)
            yield from self._graces(event, number, staff)
            yield from self._event(voice, index, number, staff, beamed)

    def _graces(self, event: ScoreEvent, voice: int, staff: Staff) -> Iterator[Element]:
        for chord in event.graces:
            for place, played in enumerate(chord):
                note = make("note")
                slash = "yes" if played.timing is Timing.GRACE and len(event.graces) == 1 else "no"
                add(note, "grace", slash=slash)
                small = Head(played, played.onset, played.onset)
                self._pitched(note, small, staff, in_chord=place > 0)
                add(note, "voice", voice)
                add(note, "type", "eighth" if len(event.graces) == 1 else "16th")
                self._looks(note, small, staff, event, None)
                self._notated(note, small, staff, [], _marks(chord, place))
                yield note

    def _event(
        self,
        voice: tuple[ScoreEvent, ...],
        index: int,
        number: int,
        staff: Staff,
        beamed: Beams,
    ) -> Iterator[Element]:
        event = voice[index]
        if event.rest:
            yield self._rest(voice, index, number, staff)
        struck = [h.note for h in event.notes if not h.tie_in]
        for place, score_note in enumerate(event.notes):
            played = score_note.note
            head = Head(
                played, event.start, event.end, self._count_head(played, staff), score_note.tie_out
            )
            note = make("note")
            self._pitched(note, head, staff, in_chord=place > 0)
            add(note, "duration", self._ticks(event.duration))
            if not head.first:
                add(note, "tie", type="stop")
            if head.tie_out:
                add(note, "tie", type="start")
            add(note, "voice", number)
            printed(note, event.value)
            self._looks(note, head, staff, event, beamed.get(index) if place == 0 else None)
            marks = _marks(tuple(struck), struck.index(played)) if head.first else set()
            brackets = self._brackets(voice, index, staff) if place == 0 else []
            self._notated(note, head, staff, brackets, marks)
            if self._palm_muted(played):
                add(add(note, "play"), "mute", "palm")
            yield note

    def _brackets(self, voice: tuple[ScoreEvent, ...], index: int, staff: Staff) -> list[Element]:
        """Tuplets are numbered in notation only."""
        return tuplet_marks(voice, index, shown=staff is Staff.NOTATION)

    def _count_head(self, note: Note, staff: Staff) -> int:
        self._heads[note.id, staff] = self._heads.get((note.id, staff), 0) + 1
        return self._heads[note.id, staff]

    def _rest(
        self, voice: tuple[ScoreEvent, ...], index: int, number: int, staff: Staff
    ) -> Element:
        event = voice[index]
        unseen = event.hidden or staff is Staff.TAB
        if unseen and event.tuplet is None:
            forward = make("forward")
            add(forward, "duration", self._ticks(event.duration))
            add(forward, "voice", number)
            add(forward, "staff", _STAVES.index(staff) + 1)
            return forward
        note = make("note", print_object="no") if unseen else make("note")
        add(note, "rest", measure="yes") if event.whole_bar else add(note, "rest")
        add(note, "duration", self._ticks(event.duration))
        add(note, "voice", number)
        if not event.whole_bar:
            printed(note, event.value)
        self._modified(note, event)
        add(note, "staff", _STAVES.index(staff) + 1)
        brackets = self._brackets(voice, index, staff)
        if brackets:
            add(note, "notations").extend(brackets)
        return note

    def _pitched(self, note: Element, head: Head, staff: Staff, *, in_chord: bool) -> None:
        """Start of a note: its id, its loudness and its pitch."""
        note.set("id", xml_id(head.note.id, staff, head.number))
        if head.note.ghost:
            note.set("dynamics", str(GHOST_PERCENT))
        elif Mark.ACCENT in head.note.marks:
            note.set("dynamics", str(ACCENT_PERCENT))
        if in_chord:
            add(note, "chord")
        pitch = head_pitch(self.phrase, head.note, self.spelled)
        element = add(note, "pitch")
        add(element, "step", pitch.name.letter)
        if pitch.name.alter:
            add(element, "alter", pitch.name.alter)
        add(element, "octave", pitch.octave)

    def _looks(
        self, note: Element, head: Head, staff: Staff, event: ScoreEvent, beam: list[str] | None
    ) -> None:
        """Accidental, tuplet ratio, stem, head, staff and beams."""
        sign = self._signs.get((head.note.id, event.start)) if staff is Staff.NOTATION else None
        if sign is not None:
            add(note, "accidental", sign)
        if head.end > head.start:
            self._modified(note, event)
        if staff is Staff.TAB:
            add(note, "stem", "none")
        _notehead(note, head, staff)
        add(note, "staff", _STAVES.index(staff) + 1)
        for level, what in enumerate(beam or (), start=1):
            add(note, "beam", what, number=level)

    def _modified(self, note: Element, event: ScoreEvent) -> None:
        ratio = time_modification(event, self.phrase.meter)
        if ratio is not None:
            note.append(ratio)

    def _notated(
        self, note: Element, head: Head, staff: Staff, brackets: list[Element], marks: set[Mark]
    ) -> None:
        if staff is Staff.TAB:
            note.append(self.notations.tab_staff(head, brackets))
            return
        notations = self.notations.notation_staff(head, brackets, marks)
        if notations is not None:
            note.append(notations)

    def _palm_muted(self, note: Note) -> bool:
        return Mark.PALM_MUTE in note.marks or any(
            span.mark is Mark.PALM_MUTE and span.start <= note.onset < span.end
            for span in self.phrase.spans
        )

    def _ticks(self, beats: Fraction) -> int:
        ticks = beats * self.a_beat
        assert ticks.denominator == 1
        return ticks.numerator


def _marks(notes: tuple[Note, ...], place: int) -> set[Mark]:
    """Marks to be shown at one note of a chord: those that no note before it has shown."""
    shown = {mark for note in notes[:place] for mark in note.marks}
    return set(notes[place].marks - shown)


def _simile(bar: Bar, previous: Bar | None) -> Iterator[Element]:
    """Where bars begin, and cease, to be drawn as a repeat of the bar before."""
    before = previous is not None and previous.simile
    if bar.simile == before:
        return
    attributes = make("attributes")
    style = add(attributes, "measure-style")
    if bar.simile:
        add(style, "measure-repeat", 1, type="start")
    else:
        add(style, "measure-repeat", type="stop")
    yield attributes


def _notehead(note: Element, head: Head, staff: Staff) -> None:
    played = head.note
    if played.dead:
        shape = "x"
    elif played.harmonic:
        shape = "diamond"
    elif played.ghost:
        shape = "normal"
    else:
        return
    element = add(note, "notehead", shape)
    if played.ghost:
        element.set("parentheses", "yes")
    if shape == "diamond" and staff is Staff.TAB:
        element.text = "normal"
