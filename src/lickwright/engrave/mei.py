"""How is a phrase said in MEI, so that verovio can set its notation?"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import groupby, pairwise
from math import ceil

from lickwright.engrave.spacing import SIMILE_WIDTH, Room
from lickwright.engrave.spelling import Written, written_head
from lickwright.phrase import Bend, Mark, Note, Phrase
from lickwright.phrase.score import ScoreBar, ScoreEvent, ScoreNote
from lickwright.theory import Pitch

_KEYS = {0: "0"} | {n: f"{n}s" for n in range(1, 8)} | {-n: f"{n}f" for n in range(1, 8)}
_SHARPS = "FCGDAEB"
DOT = 0.25  # sp


@dataclass(slots=True)
class Sent:
    """What was sent to verovio, and what each of its ids stands for."""

    mei: str = ""
    heads: dict[str, ScoreNote] = field(default_factory=dict)  # full-size heads
    small: dict[str, Note] = field(default_factory=dict)  # small heads before a main one
    bends: list[tuple[str, str]] = field(default_factory=list)  # head ids joined by a bend
    anchors: dict[str, Fraction] = field(default_factory=dict)  # element id -> its beat
    similes: dict[str, int] = field(default_factory=dict)  # element id -> bar number
    bows: list[tuple[str, str, str]] = field(default_factory=list)  # own id, ids of the heads
    inside: list[tuple[str, str, str]] = field(default_factory=list)  # slides: ids and way


class _Accidentals:
    """What a reader takes every line and space to mean in one bar."""

    def __init__(self, fifths: int) -> None:
        letters = _SHARPS[:fifths] if fifths >= 0 else _SHARPS[fifths:]
        self.key = {letter: Fraction(1 if fifths > 0 else -1) for letter in letters}
        self.state: dict[tuple[str, int], Fraction] = {}

    def attribute(self, head: Written, tied: bool) -> str:
        """The MEI attribute of a head; changes what the next one means."""
        place = (head.letter, head.octave)
        meant = self.state.get(place, self.key.get(head.letter, Fraction(0)))
        if tied or meant == head.alter:
            return "" if head.alter == 0 else f' accid.ges="{_gestural(head)}"'
        self.state[place] = head.alter
        return f' accid="{head.sign}"'


def _gestural(head: Written) -> str:
    return {"1qf": "f", "3qf": "f", "1qs": "s", "3qs": "s", "x": "ss"}.get(head.sign, head.sign)


class MeiWriter:
    """Writes one phrase. `room` is what the tab asks verovio for."""

    def __init__(
        self,
        phrase: Phrase,
        bars: tuple[ScoreBar, ...],
        room: Room,
        spelled: Mapping[str, Pitch],
    ) -> None:
        self.phrase = phrase
        self.bars = bars
        self.room = room
        self.spelled = spelled
        self.sent = Sent()
        self._last_head: dict[str, str] = {}  # note id -> id of its last head so far
        self._ties: list[str] = []
        self._column_ids: dict[Fraction, str] = {}
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
        self.sent.mei = _frame(self.phrase, "".join(measures))
        return self.sent

    def _measure(self, bar: ScoreBar) -> str:
        number = bar.bar.number
        self._ties, self._column_ids = [], {}
        if bar.bar.simile:
            element = f"r{number}"
            self.sent.similes[element] = number
            layers = f'<layer n="1"><mRpt xml:id="{element}"/></layer>'
            spacers = _spacer('tstamp="0"', ceil(SIMILE_WIDTH / DOT))
        else:
            signs = _Accidentals(self.phrase.key.fifths)
            written = self._heads_in_time(bar, signs)
            layers = "".join(
                f'<layer n="{v + 1}">{self._layer(voice, f"b{number}v{v}", written)}</layer>'
                for v, voice in enumerate(bar.voices)
            )
            spacers = self._spacers(number)
        last = ' right="dbl"' if number == self.bars[-1].bar.number else ""
        short = ' metcon="false"' if bar.bar.length != self.phrase.meter.beats else ""
        return (
            f'<measure n="{number}" xml:id="m{number}"{last}{short}><staff n="1">{layers}</staff>'
            f"{''.join(self._ties)}{spacers}</measure>"
        )

    def _heads_in_time(self, bar: ScoreBar, signs: _Accidentals) -> dict[tuple[int, int, str], str]:
        """Pitch attributes of every head of a bar, worked out in the order in which they sound."""
        found: dict[tuple[int, int, str], str] = {}
        voices = enumerate(bar.voices)
        order = sorted((e.start, v, i) for v, voice in voices for i, e in enumerate(voice))
        for _, v, i in order:
            event = bar.voices[v][i]
            for note, key in _small_notes(event):
                found[v, i, key] = self._pitch(note, Fraction(0), False, signs)
            for head in event.notes:
                found[v, i, head.note.id] = self._pitch(head.note, head.bent, head.tie_in, signs)
        return found

    def _pitch(self, note: Note, bent: Fraction, tied: bool, signs: _Accidentals) -> str:
        head = written_head(self.phrase, note, bent, self.spelled)
        shown = "" if note.dead else signs.attribute(head, tied)
        return f'pname="{head.letter.lower()}" oct="{head.octave}"{shown}'

    def _layer(
        self,
        voice: tuple[ScoreEvent, ...],
        prefix: str,
        written: Mapping[tuple[int, int, str], str],
    ) -> str:
        items = [
            (event, *self._event(event, i, f"{prefix}e{i}", int(prefix.split("v")[1]), written))
            for i, event in enumerate(voice)
        ]
        return _nest(items, [])

    def _event(
        self,
        event: ScoreEvent,
        index: int,
        element: str,
        voice: int,
        written: Mapping[tuple[int, int, str], str],
    ) -> tuple[str, str]:
        """MEI of the small notes before an event, and of the event itself."""
        if not event.hidden:
            self._column_ids.setdefault(event.start, element)
            if not event.whole_bar:
                self.sent.anchors[element] = event.start
        if event.rest:
            before = self._graces(event, element, voice, index, written)
            return before, _rest(event, element)
        before = self._graces(event, element, voice, index, written)
        single = len(event.notes) == 1
        notes = [
            self._head(
                head,
                element if single else f"{element}s{head.note.string}",
                written[voice, index, head.note.id],
            )
            for head in event.notes
        ]
        value = f'dur="{event.value.base}"' + (' dots="1"' if event.value.dots else "")
        artic = _articulation(event)
        if len(notes) == 1:
            return before, f'<note xml:id="{element}" {value} {notes[0]}>{artic}</note>'
        heads = "".join(
            f'<note xml:id="{element}s{head.note.string}" {body}/>'
            for head, body in zip(event.notes, notes, strict=True)
        )
        return before, f'<chord xml:id="{element}" {value}>{heads}{artic}</chord>'

    def _head(self, head: ScoreNote, own: str, pitch: str) -> str:
        """Attributes of one full-size head; keeps what it is tied, bent or slurred to."""
        note = head.note
        self.sent.heads[own] = head
        before = self._last_head.get(note.id)
        if before is not None and head.tie_in:
            self._ties.append(self._bow("tie", before, own))
        elif before is not None and head.stage:
            self.sent.bends.append((before, own))
        elif before is None:
            self._join(note, own)
        self._last_head[note.id] = own
        return pitch + _shape(note, tied=head.tie_in)

    def _join(self, note: Note, own: str) -> None:
        """Slur, slide line or bend into the first head of a note."""
        small = self._last_head.get(f"{note.id}+bend")
        if small is not None:
            self.sent.bends.append((small, own))
        link = note.link
        before = self._before(note)
        if link is None or before is None:
            return
        start = small or own
        self._ties.append(self._bow("slur", before, start))
        if link.slide:
            self.sent.inside.append((before, start, link.kind.value))

    def _bow(self, kind: str, before: str, after: str) -> str:
        """A tie or slur between two heads."""
        own = f"l{len(self.sent.bows)}"
        self.sent.bows.append((own, before, after))
        return f'<{kind} xml:id="{own}" startid="#{before}" endid="#{after}"/>'

    def _before(self, note: Note) -> str | None:
        """Last head of the note before on the string of a run."""
        earlier = self._previous.get(note.id)
        return self._last_head.get(earlier) if earlier is not None else None

    def _graces(
        self,
        event: ScoreEvent,
        element: str,
        voice: int,
        index: int,
        written: Mapping[tuple[int, int, str], str],
    ) -> str:
        parts = [
            self._grace(chord, f"{element}g{rank}", len(event.graces), written, (voice, index))
            for rank, chord in enumerate(event.graces)
        ]
        if len(parts) > 1 and not any(_raked(chord) for chord in event.graces):
            parts = [f"<beam>{''.join(parts)}</beam>"]
        bent = [head.note for head in event.notes if _needs_small(head)]
        if bent:
            parts.append(self._bend_heads(bent, f"{element}p", voice, index, written))
        return "".join(parts)

    def _grace(
        self,
        chord: tuple[Note, ...],
        element: str,
        played: int,
        written: Mapping[tuple[int, int, str], str],
        place: tuple[int, int],
    ) -> str:
        """One small note or chord of `played` before the event at a place (voice, index)."""
        if _raked(chord):
            look = 'grace="unacc" stem.visible="false" dur="4"'
        elif played == 1:
            look = 'grace="unacc" stem.mod="1slash" dur="8"'
        else:
            look = 'grace="acc" dur="16"'
        notes = []
        for note in chord:
            own = f"{element}s{note.string}" if len(chord) > 1 else element
            self.sent.small[own] = note
            self._join(note, own)
            self._last_head[note.id] = own
            body = written[(*place, note.id)] + _shape(note)
            notes.append((own, body))
        if len(notes) == 1:
            return f'<note xml:id="{notes[0][0]}" {look} {notes[0][1]}/>'
        inner = "".join(f'<note xml:id="{own}" {body}/>' for own, body in notes)
        return f"<chord {look}>{inner}</chord>"

    def _bend_heads(
        self,
        notes: list[Note],
        element: str,
        voice: int,
        index: int,
        written: Mapping[tuple[int, int, str], str],
    ) -> str:
        """Small stemless heads of the fretted pitches from which notes are bent at once."""
        look = 'grace="unacc" stem.visible="false" dur="4"'
        parts = []
        for note in notes:
            own = f"{element}s{note.string}" if len(notes) > 1 else element
            self.sent.small[own] = note
            self._last_head[f"{note.id}+bend"] = own
            paren = ' head.mod="paren"' if _struck_bent(note) else ""
            parts.append((own, written[voice, index, f"{note.id}+bend"] + paren))
        if len(parts) == 1:
            return f'<note xml:id="{parts[0][0]}" {look} {parts[0][1]}/>'
        inner = "".join(f'<note xml:id="{own}" {body}/>' for own, body in parts)
        return f"<chord {look}>{inner}</chord>"

    def _spacers(self, number: int) -> str:
        """Invisible words that hold the columns of a bar apart (see `_spacer`)."""
        parts = []
        if number in self.room.lead:
            parts.append(_spacer('tstamp="0"', ceil((self.room.lead[number] - 0.52) / DOT)))
        for beat, element in sorted(self._column_ids.items()):
            gap = self.room.after.get(beat)
            if gap is not None:
                kept = 0.1 if beat in self.room.last else 0.44
                parts.append(_spacer(f'startid="#{element}"', max(ceil((gap - kept) / DOT), 6)))
        return "".join(parts)


def _spacer(where: str, dots: int) -> str:
    """Words below the staff that nobody will see.

    Measured with verovio 6.4.1 at a lyric size of 2: each dot is .25 sp wide; words begin at the
    centre of their head (at time stamp 0: .08 behind the bar line), and .44 sp are kept between
    the end of one and the beginning of the next. At a line's end they reach to the bar line.
    """
    return f'<harm place="below" staff="1" {where}><rend halign="left">{"." * dots}</rend></harm>'


def _small_notes(event: ScoreEvent) -> list[tuple[Note, str]]:
    found = [(note, note.id) for chord in event.graces for note in chord]
    return found + [(h.note, f"{h.note.id}+bend") for h in event.notes if _needs_small(h)]


def _needs_small(head: ScoreNote) -> bool:
    """True for the first head of a note that is written bent from its beginning."""
    return head.bent > 0 and head.stage == 0 and not head.tie_in


def _raked(chord: tuple[Note, ...]) -> bool:
    return all(Mark.RAKE in note.marks or note.dead for note in chord)


def _struck_bent(note: Note) -> bool:
    first = note.gestures[0] if note.gestures else None
    return isinstance(first, Bend) and first.struck_bent


def _shape(note: Note, *, tied: bool = False) -> str:
    if note.dead:
        return ' head.shape="x"'
    if note.harmonic:
        return ' head.shape="diamond"'
    return ' head.mod="paren"' if note.ghost and not tied else ""


def _rest(event: ScoreEvent, element: str) -> str:
    if event.whole_bar:
        return f'<{"mSpace" if event.hidden else "mRest"} xml:id="{element}"/>'
    dots = ' dots="1"' if event.value.dots else ""
    name = "space" if event.hidden else "rest"
    return f'<{name} xml:id="{element}" dur="{event.value.base}"{dots}/>'


def _articulation(event: ScoreEvent) -> str:
    struck = [head.note for head in event.notes if not head.tie_in and not head.stage]
    marks = {mark for note in struck for mark in note.marks}
    names = [(Mark.STACCATO, "stacc"), (Mark.ACCENT, "acc")]
    return "".join(f'<artic artic="{name}"/>' for mark, name in names if mark in marks)


_Item = tuple[ScoreEvent, str, str]


def _nest(items: list[_Item], around: list[str]) -> str:
    """Put events under their beams and tuplets; small notes stand before an opening beam."""
    parts = []
    for (kind, _), members in groupby(items, lambda item: _outer(item[0], items, around)):
        group = list(members)
        if kind == "":
            parts += [before + body for _, before, body in group]
            continue
        first = group[0]
        inner = [(first[0], "", first[2]), *group[1:]]
        if kind == "beam":
            parts.append(f"{first[1]}<beam>{_nest(inner, [*around, kind])}</beam>")
        else:
            tuplet = first[0].tuplet
            assert tuplet is not None
            beamed = "beam" in around or (
                first[0].beam is not None and len({e.beam for e, _, _ in group}) == 1
            )
            bracket = "false" if beamed else "true"
            parts.append(
                f'{first[1]}<tuplet num="{tuplet.actual}" numbase="{tuplet.normal}" '
                f'bracket.visible="{bracket}">{_nest(inner, [*around, kind])}</tuplet>'
            )
    return "".join(parts)


def _outer(event: ScoreEvent, items: list[_Item], around: list[str]) -> tuple[str, object]:
    """The widest beam or tuplet, not yet open, that an event stands under."""
    beam = event.beam if "beam" not in around else None
    tuplet = event.tuplet if "tuplet" not in around else None
    if beam is None and tuplet is None:
        return "", None
    under_beam = sum(e.beam == beam for e, _, _ in items) if beam is not None else 0
    in_tuplet = sum(e.tuplet == tuplet for e, _, _ in items) if tuplet is not None else 0
    if tuplet is not None and in_tuplet >= under_beam:
        return "tuplet", tuplet
    return "beam", beam


def _frame(phrase: Phrase, measures: str) -> str:
    meter = phrase.meter
    return (
        '<mei xmlns="http://www.music-encoding.org/ns/mei"><meiHead/><music><body><mdiv><score>'
        '<scoreDef><staffGrp><staffDef n="1" lines="5" clef.shape="G" clef.line="2" clef.dis="8" '
        f'clef.dis.place="below" keysig="{_KEYS[phrase.key.fifths]}" meter.count="{meter.upper}" '
        f'meter.unit="{meter.lower}"/></staffGrp></scoreDef><section>{measures}</section></score>'
        "</mdiv></body></music></mei>"
    )
