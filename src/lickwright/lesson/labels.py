"""Which notes do the finger, pick, mark and chord rows speak of?"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from lickwright.lesson.counts import CountCell
from lickwright.lesson.drafts import Draft
from lickwright.lesson.match import Matcher
from lickwright.lesson.music import MusicLine, Row, moved_word, short
from lickwright.lesson.problems import Fix, Problems
from lickwright.lesson.raw import RawGesture, RawNote
from lickwright.lesson.runs import Drafted
from lickwright.lesson.words import (
    SPANNING,
    RawMark,
    Word,
    finger_signs,
    stroke_signs,
    words_of,
)
from lickwright.phrase import ChordAt, Finger, Mark, Span, Trill
from lickwright.theory import TheoryError, parse_chord

Notes = dict[int, list[RawNote]]
_COUNTED = (
    *("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"),
    *("eleven", "twelve"),
)


def _by_column(notes: Notes) -> dict[int, list[RawNote]]:
    """Numbers of each column, thickest string first."""
    columns: dict[int, list[RawNote]] = {}
    for string in sorted(notes, reverse=True):
        for note in notes[string]:
            columns.setdefault(note.column, []).append(note)
    return columns


def _trills(notes: Notes) -> dict[int, list[tuple[RawNote, RawGesture]]]:
    """Second numbers of trills by column, thickest string first."""
    found: dict[int, list[tuple[RawNote, RawGesture]]] = {}
    for string in sorted(notes, reverse=True):
        for note in notes[string]:
            for g in note.gestures:
                if g.sign == "tr" and g.number_column is not None:
                    found.setdefault(g.number_column, []).append((note, g))
    return found


def apply_fingers(music: MusicLine, notes: Notes, drafted: Drafted, problems: Problems) -> None:
    """Give the drafts the fingers of the finger row."""
    columns, trills = _by_column(notes), _trills(notes)
    for row in music.finger:
        for word in words_of(row):
            here = columns.get(word.column, [])
            signs = finger_signs(word.text)
            if signs is None:
                _note(
                    row,
                    word,
                    "finger",
                    f"'{word.text}' is no finger",
                    "1 to 4, T for the thumb, 0 for an open string",
                    problems,
                )
            elif len(signs) == len(here) + len(trills.get(word.column, [])) > len(here):
                _with_trills(here, trills[word.column], signs, drafted)
            elif _fits(row, word, columns, "finger", problems):
                for raw, sign in zip(here, signs, strict=True):
                    if id(raw) in drafted:
                        drafted[id(raw)].finger = sign


def _with_trills(
    here: list[RawNote],
    trills: list[tuple[RawNote, RawGesture]],
    signs: tuple[Finger | None, ...],
    drafted: Drafted,
) -> None:
    """Give signs to the notes and to the second numbers of trills that share a column."""
    numbers: list[tuple[RawNote, RawGesture | None]] = [(raw, None) for raw in here]
    numbers = sorted([*numbers, *trills], key=lambda number: -number[0].string)
    for (raw, gesture), sign in zip(numbers, signs, strict=True):
        draft = drafted.get(id(raw))
        if draft is None or sign is None:
            continue
        if gesture is None:
            draft.finger = sign
        else:
            _trill_finger(draft, raw.gestures.index(gesture), sign)


def _trill_finger(draft: Draft, index: int, finger: Finger) -> None:
    made = draft.gestures[index]
    assert isinstance(made, Trill)
    draft.gestures[index] = replace(made, finger=finger)


def apply_picks(music: MusicLine, notes: Notes, drafted: Drafted, problems: Problems) -> None:
    """Give the drafts the strokes of the pick row."""
    columns = _by_column(notes)
    for row in music.pick:
        for word in words_of(row):
            here = columns.get(word.column, [])
            signs = stroke_signs(word.text)
            if signs is None:
                _note(
                    row,
                    word,
                    "pick",
                    f"'{word.text}' is no stroke",
                    "d or u for the pick, p i m a for the fingers",
                    problems,
                )
                continue
            if len(signs) == 1 and len(here) > 1:
                plain = [raw for raw in here if raw.link is None] or here
                signs = tuple(signs[0] if raw in plain else None for raw in here)
            elif not _fits(row, word, columns, "pick", problems):
                continue
            for raw, sign in zip(here, signs, strict=True):
                if id(raw) in drafted:
                    drafted[id(raw)].stroke = sign


def _fits(
    row: Row, word: Word, columns: dict[int, list[RawNote]], code: str, problems: Problems
) -> bool:
    """Does the word have a sign for each note in its column?"""
    here = columns.get(word.column, [])
    if len(word.text) == len(here):
        return True
    if not here:
        _under_no_note(row, word, columns, code, problems)
        return False
    many = _COUNTED[len(here)] if len(here) < len(_COUNTED) else str(len(here))
    named = _COUNTED[len(word.text)] if len(word.text) < len(_COUNTED) else str(len(word.text))
    are = "note is" if len(here) == 1 else "notes are"
    shown = (word.text + "234"[: len(here)])[: len(here)] if code == "finger" else "dm"[: len(here)]
    spare = f", or {word.text[0]}{'-' * (len(here) - 1)} to leave one open" if len(here) > 1 else ""
    mend = f"one sign a string, thickest first: {shown}{spare}"
    if len(here) == 1:
        mend = f"{word.text[0]}, and a space before what belongs to the next column"
    _note(row, word, code, f"{many} {are} struck here, {code} names {named}", mend, problems)
    return False


def _under_no_note(
    row: Row, word: Word, columns: dict[int, list[RawNote]], code: str, problems: Problems
) -> None:
    what, mend = f"{code} {word.text} stands under no note", "in the column of a note's number"
    for by in (-1, 1, -2, 2):
        beside = columns.get(word.column + by, [])
        if not beside:
            continue
        number = "x" if beside[0].dead else str(beside[0].fret)
        what += f"; the {number} stands {'one column' if abs(by) == 1 else 'two columns'} to its "
        what += "left" if by < 0 else "right"
        moved = moved_word(row.text, word.column, len(word.text), by)
        mend = (
            short(moved)
            if moved
            else f"{code} {word.text} under the {number}, with more room there"
        )
        fixes = [Fix(row.line.number, moved)] if moved else []
        problems.add(row.line.number, word.column + 1, code, what, mend, fixes)
        return
    _note(row, word, code, what, mend, problems)


def _note(row: Row, word: Word, code: str, what: str, mend: str, problems: Problems) -> None:
    problems.add(row.line.number, word.column + 1, code, what, mend)


def apply_marks(
    marks: list[RawMark],
    notes: Notes,
    drafted: Drafted,
    matcher: Matcher,
    *,
    whole: bool,
) -> list[Span]:
    """Give the drafts their marks; returns spans whose `end` is the last count covered."""
    spans: list[Span] = []
    columns = _by_column(notes)
    for mark in marks:
        covered = [
            drafted[id(raw)]
            for column in range(mark.first, mark.last + 1)
            for raw in columns.get(column, [])
            if id(raw) in drafted
        ]
        counted = _counted_columns(mark, matcher)
        if whole and not covered and mark.mark not in (Mark.PALM_MUTE, Mark.LET_RING):
            matcher.problems.add(
                mark.row.line.number,
                mark.first + 1,
                "mark",
                f"{mark.mark.value} stands over no note",
                "in the column of a note's number",
            )
        for draft in covered:
            draft.marks.add(mark.mark)
            if mark.mark is Mark.LET_RING:
                draft.ring_to = matcher.last_beat_by(mark.last)
        if mark.mark in SPANNING and mark.mark is not Mark.RAKE and counted:
            spans.append(Span(mark.mark, counted[0], counted[-1]))
    return spans


def _counted_columns(mark: RawMark, matcher: Matcher) -> list[Fraction]:
    beats = []
    for column in range(mark.first, mark.last + 1):
        count = matcher.count_at(column)
        if count is not None:
            beats.append(matcher.bar_start(matcher.bar_number(column)) + count.position)
    return beats


def read_chord_row(
    music: MusicLine, matcher: Matcher, cells: tuple[CountCell, ...], problems: Problems
) -> list[ChordAt]:
    """Chords of a line of music with the beats where they start."""
    chords: list[ChordAt] = []
    for row in music.chord:
        for word in words_of(row):
            beat = _chord_beat(word, matcher, cells)
            if beat is None:
                if matcher.readable(word.column):
                    _lost_chord(row, word, matcher, cells, problems)
                continue
            try:
                chords.append(ChordAt(beat, parse_chord(word.text)))
            except TheoryError as error:
                mend = getattr(error, "mend", "") or "a chord such as A7, Dm7, N.C."
                _note(row, word, "chord", str(error), mend, problems)
    return chords


def _chord_beat(word: Word, matcher: Matcher, cells: tuple[CountCell, ...]) -> Fraction | None:
    bar = matcher.bar_number(word.column)
    cell = cells[bar - matcher.first_bar]
    start = matcher.bar_start(bar)
    if cell.simile:
        return start if word.column <= cell.simile_column else None
    count = matcher.count_at(word.column)
    if count is not None:
        return start + count.position
    if cell.counts and word.column < cell.counts[0].column:
        return start + (cell.counts[0].position if bar == 1 else 0)
    return None


def _lost_chord(
    row: Row, word: Word, matcher: Matcher, cells: tuple[CountCell, ...], problems: Problems
) -> None:
    bar = matcher.bar_number(word.column)
    counts = cells[bar - matcher.first_bar].counts
    best = min(counts, key=lambda c: abs(c.column - word.column), default=None)
    where = (
        f"column {best.column + 1}, over count {best.text}" if best else "the bar's first column"
    )
    _note(row, word, "chord", f"{word.text} stands over no count of bar {bar}", where, problems)
