"""How is a phrase said in MEI, so that verovio can set its notation?"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from itertools import pairwise

from lickwright.engrave.beams import nest
from lickwright.engrave.elements import (
    articulation,
    frame,
    heads,
    needs_small,
    raked,
    rest,
    shape,
    small_notes,
    spacer,
    struck_bent,
)
from lickwright.engrave.sent import Sent
from lickwright.engrave.spacing import SIMILE_WIDTH, Room
from lickwright.engrave.spelling import Accidentals, written_head
from lickwright.phrase import Note, Phrase
from lickwright.phrase.score import ScoreBar, ScoreEvent, ScoreNote
from lickwright.theory import Pitch

STEMLESS = 'grace="unacc" stem.visible="false" dur="4"'
LEAST_SPACER = 1.5  # sp
_Place = tuple[int, int]  # voice of a bar, and index in it


class MeiWriter:
    """Writes one phrase.

    `room` is what the tab asks verovio for. Without `signs` there are neither accidentals nor a
    key signature: enough where only the spacing will be used.
    """

    def __init__(
        self,
        phrase: Phrase,
        bars: tuple[ScoreBar, ...],
        room: Room,
        spelled: Mapping[str, Pitch],
        *,
        signs: bool = True,
    ) -> None:
        self.phrase = phrase
        self.bars = bars
        self.room = room
        self.spelled = spelled
        self.signs = signs
        self.sent = Sent()
        self._last_head: dict[str, str] = {}  # note id -> id of its last head so far
        self._bows: list[str] = []  # of the bar
        self._column_ids: dict[Fraction, str] = {}  # of the bar
        self._written: dict[tuple[_Place, str], str] = {}  # of the bar: pitches of all heads
        self._previous = {
            after.id: before.id for run in phrase.runs for before, after in pairwise(run)
        }

    def write(self, breaks: Iterable[int] = ()) -> Sent:
        """The whole phrase; a new line begins at each bar number in `breaks`."""
        begins = set(breaks)
        measures = []
        for bar in self.bars:
            if bar.bar.number in begins:
                measures.append("<sb/>")
            measures.append(self._measure(bar))
        fifths = self.phrase.key.fifths if self.signs else 0
        self.sent.mei = frame(self.phrase, "".join(measures), fifths)
        return self.sent

    def _measure(self, bar: ScoreBar) -> str:
        number = bar.bar.number
        self._bows, self._column_ids = [], {}
        if bar.bar.simile:
            element = f"r{number}"
            self.sent.similes[element] = number
            layers = f'<layer n="1"><mRpt xml:id="{element}"/></layer>'
            spacers = spacer('tstamp="0"', SIMILE_WIDTH)
        else:
            self._written = self._pitches(bar)
            layers = "".join(self._layer(bar, voice) for voice in range(len(bar.voices)))
            spacers = self._spacers(number)
        last = ' right="dbl"' if number == self.bars[-1].bar.number else ""
        short = ' metcon="false"' if bar.bar.length != self.phrase.meter.beats else ""
        return (
            f'<measure n="{number}" xml:id="m{number}"{last}{short}><staff n="1">{layers}</staff>'
            f"{''.join(self._bows)}{spacers}</measure>"
        )

    def _pitches(self, bar: ScoreBar) -> dict[tuple[_Place, str], str]:
        """Pitch attributes of every head of a bar, worked out in the order in which they sound."""
        signs = Accidentals(self.phrase.key.fifths)
        found: dict[tuple[_Place, str], str] = {}
        voices = enumerate(bar.voices)
        order = sorted((e.start, v, i) for v, voice in voices for i, e in enumerate(voice))
        for _, v, i in order:
            event = bar.voices[v][i]
            for note, key in small_notes(event):
                found[(v, i), key] = self._pitch(note, Fraction(0), False, signs)
            for head in event.notes:
                pitch = self._pitch(head.note, head.bent, head.tie_in, signs)
                found[(v, i), head.note.id] = pitch
        return found

    def _pitch(self, note: Note, bent: Fraction, tied: bool, signs: Accidentals) -> str:
        head = written_head(self.phrase, note, bent, self.spelled)
        shown = signs.attribute(head, tied) if self.signs and not note.dead else ""
        return f'pname="{head.letter.lower()}" oct="{head.octave}"{shown}'

    def _layer(self, bar: ScoreBar, voice: int) -> str:
        prefix = f"b{bar.bar.number}v{voice}e"
        items = [
            (event, *self._event(event, (voice, i), f"{prefix}{i}"))
            for i, event in enumerate(bar.voices[voice])
        ]
        return f'<layer n="{voice + 1}">{nest(items, [])}</layer>'

    def _event(self, event: ScoreEvent, place: _Place, element: str) -> tuple[str, str]:
        """MEI of the small notes before an event, and of the event itself."""
        if not event.hidden:
            self._column_ids.setdefault(event.start, element)
            if not event.whole_bar:
                self.sent.anchors[element] = event.start
        before = self._small(event, place, element)
        if event.rest:
            return before, rest(event, element)
        value = f'dur="{event.value.base}"' + (' dots="1"' if event.value.dots else "")
        single = len(event.notes) == 1
        found = []
        for head in event.notes:
            own = element if single else f"{element}s{head.note.string}"
            found.append((own, self._head(head, own, self._written[place, head.note.id])))
        return before, heads(found, value, element, articulation(event))

    def _head(self, head: ScoreNote, own: str, pitch: str) -> str:
        """Attributes of one full-size head; keeps what it is tied, bent or slurred to."""
        note = head.note
        self.sent.heads[own] = head
        before = self._last_head.get(note.id)
        if before is None:
            self._join(note, own)
        elif head.tie_in:
            self._bow("tie", before, own)
        elif head.stage:
            self.sent.bends.append((before, own))
        self._last_head[note.id] = own
        return pitch + shape(note, tied=head.tie_in)

    def _join(self, note: Note, own: str) -> None:
        """Slur, slide line or bend into the first head of a note."""
        small = self._last_head.get(f"{note.id}+bend")
        if small is not None:
            self.sent.bends.append((small, own))
        before = self._last_head.get(self._previous.get(note.id, ""))
        if note.link is None or before is None:
            return
        start = small or own
        self._bow("slur", before, start)
        if note.link.slide:
            self.sent.inside.append((before, start, note.link.kind.value))

    def _bow(self, kind: str, before: str, after: str) -> None:
        """A tie or slur between two heads."""
        own = f"l{len(self.sent.bows)}"
        self.sent.bows.append((own, before, after))
        self._bows.append(f'<{kind} xml:id="{own}" startid="#{before}" endid="#{after}"/>')

    def _small(self, event: ScoreEvent, place: _Place, element: str) -> str:
        """Small heads before an event."""
        parts = [
            self._grace(chord, f"{element}g{rank}", place, single=len(event.graces) == 1)
            for rank, chord in enumerate(event.graces)
        ]
        if len(parts) > 1 and not any(raked(chord) for chord in event.graces):
            parts = [f"<beam>{''.join(parts)}</beam>"]
        bent = [head.note for head in event.notes if needs_small(head)]
        if bent:
            parts.append(self._bend_heads(bent, place, f"{element}p"))
        return "".join(parts)

    def _grace(self, chord: tuple[Note, ...], element: str, place: _Place, *, single: bool) -> str:
        """One small note or chord before an event; `single`: it is the only one there."""
        if raked(chord):
            look = STEMLESS
        elif single:
            look = 'grace="unacc" stem.mod="1slash" dur="8"'
        else:
            look = 'grace="acc" dur="16"'
        found = []
        for note in chord:
            own = f"{element}s{note.string}" if len(chord) > 1 else element
            self.sent.small[own] = note
            self._join(note, own)
            self._last_head[note.id] = own
            found.append((own, self._written[place, note.id] + shape(note)))
        return heads(found, look)

    def _bend_heads(self, notes: list[Note], place: _Place, element: str) -> str:
        """Small stemless heads of the fretted pitches from which notes are bent at once."""
        found = []
        for note in notes:
            own = f"{element}s{note.string}" if len(notes) > 1 else element
            self.sent.small[own] = note
            self._last_head[f"{note.id}+bend"] = own
            paren = ' head.mod="paren"' if struck_bent(note) else ""
            found.append((own, self._written[place, f"{note.id}+bend"] + paren))
        return heads(found, STEMLESS)

    def _spacers(self, number: int) -> str:
        """Invisible words that hold the columns of a bar apart (see `spacer`)."""
        parts = []
        if number in self.room.lead:
            parts.append(spacer('tstamp="0"', self.room.lead[number] - 0.52))
        for beat, element in sorted(self._column_ids.items()):
            gap = self.room.after.get(beat)
            if gap is not None:
                kept = 0.1 if beat in self.room.last else 0.44
                parts.append(spacer(f'startid="#{element}"', max(gap - kept, LEAST_SPACER)))
        return "".join(parts)
