"""What stands on the strings at each place in time, and how much room does it need?"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from lickwright.engrave.faces import Cut, text_width
from lickwright.engrave.style import BRACKETED, FRET_SIZE, ROW_SIZE, SMALL, Row, Style
from lickwright.phrase import (
    Bend,
    Count,
    Entry,
    Mark,
    Meter,
    Note,
    Phrase,
    Release,
    Timing,
    Trill,
    Vibrato,
)
from lickwright.phrase.bent import stages
from lickwright.phrase.note import Gesture

ARROW_X = 1.35  # from a number's edge to the arrow of a quick bend
LABEL_HALF = 1.15  # half the width of the word "full"
SECOND_X = LABEL_HALF + 0.85  # from a bend's arrow to that of a bend further up from it
APART = 1.7  # between the arrows of two bends of different size that begin together
RELEASE_X = 1.75  # from a bend's arrow to that of its release, at least
ARC_ROOM = 1.0  # between a small number and the next one
RAKE_ROOM = 0.5
WORD_ROOM = 0.3  # between the words under two small numbers
SMALL_ROW = 0.8  # size of a word under a small number, as a share of a usual one
SLIDE_ROOM = 1.5  # of a slide in or off
BRACKET_ROOM = 3.4  # of a bracketed fret drawn at once behind its note
VIBRATO_ROOM = 2.2
CLEAR = 0.75  # between what belongs to two places


@dataclass(frozen=True, slots=True)
class Token:
    """A fret number. `dx`: its centre right (or left, below 0) of its place, sp."""

    note: Note
    text: str
    size: float
    dx: float = 0.0

    @property
    def half(self) -> float:
        """Half its width, sp."""
        return text_width(self.text, Cut.SANS, self.size) / 2


@dataclass(frozen=True, slots=True)
class Column:
    """All that is struck at one beat. `left`, `right`: room needed beside its centre, sp."""

    beat: Fraction
    tokens: tuple[Token, ...]
    half: float  # of its widest full-size number
    left: float
    right: float


def fret_text(note: Note) -> str:
    """What is written on the string: 8, (8), x, ‹12›."""
    text = "x" if note.dead else str(note.fret)
    if note.harmonic:
        text = f"‹{text}›"
    return f"({text})" if note.ghost else text


def held_text(note: Note) -> str:
    """What is written where a note sounds on: (8), (x)."""
    return "(x)" if note.dead else f"({note.fret})"


def tab_columns(
    phrase: Phrase, style: Style, beats: list[Fraction], words: Mapping[Row, Mapping[str, str]]
) -> dict[Fraction, Column]:
    """One column for each of `beats` (where something is written) with its room.

    `words`: for each row, the text of each note by its id.
    """
    by_beat: dict[Fraction, list[Note]] = {beat: [] for beat in beats}
    for note in phrase.notes:
        by_beat.setdefault(note.onset, []).append(note)
    counted = {count.beat: count_text(count, phrase.meter) for count in phrase.counts}
    plain = {beat: _column(beat, notes, words) for beat, notes in sorted(by_beat.items())}
    later = _on_columns(moves_room(phrase), list(plain.values()))
    held = {} if style.notation else _held_halves(phrase, sorted(by_beat))
    columns = {}
    for beat, notes in sorted(by_beat.items()):
        texts = [found[n.id] for found in words.values() for n in notes if n.id in found]
        if Row.COUNT in style.rows and beat in counted:
            texts.append(counted[beat])
        half = max((text_width(t, Cut.SANS, ROW_SIZE) / 2 for t in texts), default=0.0)
        half = max(half, held.get(beat, 0.0))
        left, right = later.get(beat, (0.0, 0.0))
        column = plain[beat]
        columns[beat] = replace(
            column, left=max(column.left, half, left), right=max(column.right, half, right)
        )
    return columns


def _held_halves(phrase: Phrase, beats: list[Fraction]) -> dict[Fraction, float]:
    """Half the width of the numbers in brackets by which tab alone shows that notes sound on."""
    found: dict[Fraction, float] = {}
    for note in phrase.notes:
        half = text_width(held_text(note), Cut.SANS, FRET_SIZE * BRACKETED) / 2
        for beat in beats[bisect_right(beats, note.onset) : bisect_left(beats, note.end)]:
            found[beat] = max(found.get(beat, 0.0), half)
    return found


def _on_columns(
    room: Mapping[Fraction, tuple[float, float]], columns: list[Column]
) -> dict[Fraction, tuple[float, float]]:
    """Room of movements that fall between two columns, asked for from the first of the two."""
    found: dict[Fraction, tuple[float, float]] = {}
    beats = [column.beat for column in columns]
    for beat, (before, after) in sorted(room.items()):
        left, right = before, after
        index = max(bisect_right(beats, beat) - 1, 0)
        column = columns[index]
        if column.beat != beat:
            following, reach = Fraction(ceil(beat + Fraction(1, 99))), 0.0
            if index + 1 < len(columns):
                following, reach = beats[index + 1], columns[index + 1].left
            share = float((beat - column.beat) / (following - column.beat))
            quick = column.half + ARROW_X + RELEASE_X + before + after  # right behind a bend
            even = (after + CLEAR + reach * share) / (1 - share)  # in proportion to its time
            left, right = 0.0, max(even, quick)
        known = found.get(column.beat, (0.0, 0.0))
        found[column.beat] = (max(known[0], left), max(known[1], right))
    return found


def count_text(count: Count, meter: Meter) -> str:
    """What is said at a count: `3`, `&`, `t`; `(4)` if it is silent."""
    part = count.beat % 1
    said = meter.sayings.get(part)
    text = f"+{part}" if said is None else said or str(int(count.beat % meter.beats) + 1)
    return f"({text})" if count.silent else text


def _column(beat: Fraction, notes: list[Note], words: Mapping[Row, Mapping[str, str]]) -> Column:
    mains = [
        Token(n, fret_text(n), FRET_SIZE * (BRACKETED if n.ghost else 1.0))
        for n in notes
        if not n.instant
    ]
    half = max((token.half for token in mains), default=0.5)
    under = max((_word_half(token.note, words, 1.0) for token in mains), default=0.0)
    small, left = _instants(notes, half, under, words)
    entry = any(n.entry in (Entry.FROM_BELOW, Entry.FROM_ABOVE) for n in notes)
    if entry:
        left += SLIDE_ROOM
    right = max((_reach_right(token, half) for token in mains), default=0.5)
    quick = {(b.to, b.struck_bent) for n in notes if (b := n.bend) and b.start is None is b.arrive}
    right += APART * max(len(quick) - 1, 0)
    return Column(beat, tuple(small + mains), half, left, right)


def _word_half(note: Note, words: Mapping[Row, Mapping[str, str]], size: float) -> float:
    """Half the width of the widest word in the rows under a note, sp. `size`: of a usual one."""
    said = [found[note.id] for found in words.values() if note.id in found]
    return max((text_width(t, Cut.SANS, ROW_SIZE * size) / 2 for t in said), default=0.0)


def _instants(
    notes: list[Note], half: float, under: float, words: Mapping[Row, Mapping[str, str]]
) -> tuple[list[Token], float]:
    """Small numbers before the main ones, nearest rank first; and how far left they reach.

    `half`, `under`: half the width of the main numbers, and of the words in the rows under them.
    """
    ranks: dict[int, list[Note]] = {}
    for note in notes:
        if note.instant:
            ranks.setdefault(_rank(note, notes), []).append(note)
    edge, edge_under = half, under
    tokens = []
    for rank in sorted(ranks):
        raked = all(Mark.RAKE in note.marks for note in ranks[rank])
        group = [Token(n, fret_text(n), FRET_SIZE * SMALL) for n in ranks[rank]]
        width = 2 * max(token.half for token in group)
        word = max(_word_half(n, words, SMALL_ROW) for n in ranks[rank])
        if any(isinstance(g, Bend | Release) for n in ranks[rank] for g in n.gestures):
            edge += LABEL_HALF * 2
        apart = RAKE_ROOM if raked else ARC_ROOM
        centre = edge + max(apart, *(_behind(token.note) for token in group)) + width / 2
        if word:
            centre = max(centre, edge_under + WORD_ROOM + word)
            edge_under = centre + word
        tokens += [Token(t.note, t.text, t.size, -centre) for t in group]
        edge = centre + width / 2
    return tokens, max(edge, edge_under)


def _behind(note: Note) -> float:
    """Room for what is drawn behind a small number: a slide away, the other fret of a trill."""
    return max(SLIDE_ROOM + ARC_ROOM if note.off is not None else 0.0, _trill_room(note))


def _trill_room(note: Note) -> float:
    """Room of the other fret of a trill behind the number, sp; 0 without a trill."""
    if note.trill is None:
        return 0.0
    return 0.3 + text_width(f"({note.trill.fret})", Cut.SANS, FRET_SIZE * BRACKETED)


def _rank(note: Note, notes: list[Note]) -> int:
    """How many small numbers, at most, come between a small one and its column.

    Graces come before whatever is struck at the count itself, on whichever string.
    """
    if note.timing is Timing.GRACE:
        counted = [_rank(n, notes) for n in notes if n.instant and n.timing is not Timing.GRACE]
        return max(counted, default=0) - note.order
    return sum(n.string == note.string and n.order > note.order for n in notes)


def _reach_right(token: Token, half: float) -> float:
    """Room from the centre of a column to the right end of what one note draws there."""
    note = token.note
    reach = token.half
    quick = [g for g in note.gestures if isinstance(g, Bend | Release)]
    if quick and isinstance(quick[0], Bend):
        first = quick[0]
        at_once = first.start is None and first.arrive is None
        if first.struck_bent:
            reach = max(reach, LABEL_HALF)
        elif at_once:
            reach = max(reach, half + ARROW_X + LABEL_HALF)
        more = sum(isinstance(g, Bend) and g.start is None is g.arrive for g in quick[1:])
        reach += more * SECOND_X
        if any(isinstance(g, Release) for g in quick) and len(stages(note, note.end)) == 1:
            reach += BRACKET_ROOM
    if note.off is not None:
        reach = max(reach, half) + SLIDE_ROOM
    if note.vibrato is not None:
        reach = reach + VIBRATO_ROOM if quick else max(reach, token.half + 1.9)
    if note.trill is not None and note.bend is None:
        return token.half + _trill_room(note)
    return reach


def moves_room(phrase: Phrase) -> dict[Fraction, tuple[float, float]]:
    """Room left and right of the beats at which a sounding note is bent, released or shaken, sp."""
    room: dict[Fraction, tuple[float, float]] = {}
    for note in phrase.notes:
        beat, right = note.onset, 0.0
        for gesture in note.gestures:
            at, left, reach = _move_room(note, gesture)
            if at is not None and at != beat:
                beat, right = at, 0.0
            right += reach
            if beat != note.onset:
                known = room.get(beat, (0.0, 0.0))
                room[beat] = (max(known[0], left), max(known[1], right))
        if note.off is not None and beat != note.onset:
            room[beat] = (room[beat][0], room[beat][1] + SLIDE_ROOM)
    return room


def _move_room(note: Note, gesture: Gesture) -> tuple[Fraction | None, float, float]:
    """The beat of a movement (None: that of the one before) and its room left and right."""
    match gesture:
        case Bend(arrive=None, start=None):
            return None, 0.0, 0.0
        case Bend(arrive=None):
            return gesture.start, 0.0, ARROW_X + LABEL_HALF
        case Bend():
            return gesture.arrive, LABEL_HALF, LABEL_HALF
        case Release():
            half = text_width(f"({note.fret})", Cut.SANS, FRET_SIZE * BRACKETED) / 2
            moments = [s.start for s in stages(note, note.end) if s.bent == gesture.to]
            at = gesture.arrive or gesture.start or (moments[-1] if moments else None)
            return at, half, half
        case Vibrato():
            return gesture.start, 0.0, VIBRATO_ROOM
        case Trill():
            return gesture.start, 0.0, VIBRATO_ROOM + 1.5
