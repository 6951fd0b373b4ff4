"""How is a string row read from left to right, and what is said where it cannot be read?"""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import pairwise
from typing import NoReturn

from lickwright.lesson.lookalikes import LONG_DASH, MEANT
from lickwright.lesson.music import MusicLine, Row, tight
from lickwright.lesson.problems import Fix, Problems
from lickwright.lesson.raw import RawNote
from lickwright.phrase import harmonic_number

HIGHEST_FRET = 36
_NOTE = re.compile(r"\((\d+|x)\)|<(\d+)>|(\d+|x)")


class RowStopError(Exception):
    """The row cannot be read on from here; the problem is already noted."""


class Scanner:
    """The reading place in one string row, what rings there, and how to note a problem."""

    def __init__(self, row: Row, string: int, music: MusicLine, problems: Problems) -> None:
        self._text = row.text
        self._row = row
        self._string = string
        self._music = music
        self._problems = problems
        self._at = row.bar_lines[0] + 1
        self.notes: list[RawNote] = []
        self._joinable = False  # the last note still rings on for a sign to its right
        self._bent = Fraction(0)  # semitones that the string is bent now
        self._bent_from = Fraction(0)
        self._said: set[str] = set()  # look-alikes that were noted
        self._broken = False  # a dash or bar line has come since the last sign or number

    def _blank_cells(self) -> None:
        """A cell of only spaces is an empty one."""
        bars = self._row.bar_lines
        chars = list(self._text)
        for start, end in pairwise(bars):
            if not self._text[start + 1 : end].strip():
                chars[start + 1 : end] = "-" * (end - start - 1)
        self._text = "".join(chars)

    def _after_gap(self, gap: str) -> int:
        at = self._at
        while at < len(self._text) and self._text[at] in gap:
            at += 1
        return at

    def _hold_end(self, at: int) -> int:
        while at < len(self._text) and (self._text[at] == "=" or self._bar_held(at)):
            at += 1
        return at

    def _bar_held(self, at: int) -> bool:
        return self._text[at] == "|" and self._text[at - 1] == "=" == self._text[at + 1 : at + 2]

    def _joins_on(self, gap: str, length: int) -> bool:
        self._at += length
        end = self._after_gap(gap)
        found = end < len(self._text) and (self._text[end].isdecimal() or self._text[end] in "(<x")
        self._at -= 0 if found else length
        return found

    def _starts_note(self) -> bool:
        return self._at < len(self._text) and (
            self._text[self._at].isdecimal() or self._text[self._at] in "(<x"
        )

    def _new_note(self, link: str | None, entry: str | None, sign_column: int) -> RawNote:
        note = self._scan_note()
        note.link, note.entry, note.link_column = link, entry, sign_column
        self.notes.append(note)
        self._joinable, self._broken = True, False
        self._bent = self._bent_from = Fraction(0)
        return note

    def _scan_note(self) -> RawNote:
        start, text = self._at, self._text
        match = _NOTE.match(text, start)
        if match is None:
            self._fail(
                start,
                "cell",
                f"'{text[start]}' begins no note",
                "(8) is a ghost, <12> a harmonic",
            )
        ghost, harmonic, plain = match.groups()
        body = ghost or harmonic or plain
        column = start if plain else start + 1
        self._at = match.end()
        if body == "x":
            return RawNote(self._string, column, 0, ghost=bool(ghost), dead=True)
        fret = self._fret(body, column)
        if harmonic and harmonic_number(fret) is None:
            nearest = min(
                (f for f in range(3, 32) if harmonic_number(f)), key=lambda f: abs(f - fret)
            )
            self._fail(
                column,
                "harmonic",
                f"no natural harmonic sounds over fret {fret}",
                f"<{nearest}>",
            )
        return RawNote(self._string, column, fret, ghost=bool(ghost), harmonic=bool(harmonic))

    def _fret(self, digits: str, column: int) -> int:
        if digits.isascii() and int(digits[:6]) <= HIGHEST_FRET and len(digits) <= 2:
            return int(digits)
        self._too_high(digits, column)
        raise RowStopError

    def _too_high(self, digits: str, column: int) -> None:
        cut = next(
            (
                c
                for c in ((2, 1) if len(digits) == 4 else (1, 2))
                if 0 < c < len(digits)
                and int(digits[:c]) <= HIGHEST_FRET
                and len(digits) - c <= 2
                and int(digits[c:]) <= HIGHEST_FRET
            ),
            None,
        )
        what = f"{digits} is one number, past fret {HIGHEST_FRET}"
        if cut is None or not digits.isascii():
            self._note(column, "fret", what, "a fret from 0 to 36")
            return
        fixes = self._music.with_column(column + cut)
        count = self._music.count
        rows = {fix.line: fix.text for fix in fixes}
        shown = f"{digits[:cut]}-{digits[cut:]}"
        if count is not None and count.line.number in rows:
            shown += f", and {tight(rows[count.line.number])}"
        self._note(column, "fret", what, shown, fixes)

    def _held(self, sign: str, verb: str) -> RawNote:
        """The note that a sign in this place belongs to."""
        if self.notes and self._joinable:
            return self.notes[-1]
        after = re.compile(r"[-=]*(\d+)").match(self._text, self._at + len(sign))
        mend = "a note before it"
        if sign in "hp" and after:
            fret = int(after[1][:2])
            grace = fret - 1 if sign == "h" else fret + 1
            mend = f"{after[1]}, or a grace: {max(grace, 0)}{sign}{after[1]}"
        self._fail(self._at, "nothing-rings", f"{sign} {verb}, and nothing rings on its left", mend)
        return None

    def _pitched(self, note: RawNote, column: int, verb: str) -> None:
        if note.dead:
            after = re.compile(r"\d+").match(self._text, column)
            number = after[0] if after else "8"
            way = {"slide": f"x-/{number} to slide into the {number}"}.get(verb, f"x-{number}")
            self._fail(column, "muted", f"a muted string has no pitch to {verb} from", way)

    def _same_kind(self, held: RawNote, note: RawNote, verb: str) -> None:
        if note.dead:
            self._fail(
                note.column,
                "muted",
                f"a muted string has no pitch to {verb} to",
                f"{held.fret}-x",
            )

    def _unbent(self, held: RawNote, sign: str, done: str) -> None:
        if self._bent == 0:
            return
        after = re.compile(r"\d*").match(self._text, self._at)
        number = after[0] if after else ""
        goal = sounds_like(held.fret + self._bent)
        self._fail(
            self._at,
            "bent",
            f"the string is still bent to {goal} where it is {done}",
            f"{held.fret}b{goal}r{held.fret}{sign}{number}",
        )

    def _unknown(self, char: str) -> None:
        if char == " ":
            self._fail(
                self._at,
                "cell",
                "a space inside a string row",
                "a dash, or = if the note is held",
            )
        if char in MEANT:
            self._lookalike(char)
        if char == ":":
            self._repeat_sign()
            raise RowStopError
        before = self.notes[-1].fret if self.notes else 8
        self._fail(
            self._at,
            "cell",
            f"'{char}' has no meaning on a string",
            f"b bends ({before}b{before + 2}), h hammers on ({before}h{before + 2})",
        )

    def _lookalike(self, char: str) -> None:
        if char in self._said:
            raise RowStopError
        self._said.add(char)
        meant = MEANT[char]
        text = self._row.text
        if char == LONG_DASH:
            mended = text[: self._at] + meant + text[self._at + 1 :]
            what = "a long dash, perhaps made of two hyphens by a word processor"
            mend = f"{mended}, then check the columns"
        else:
            mended = "".join(
                MEANT.get(c, c) if i >= self._at and c == char else c for i, c in enumerate(text)
            )
            what, mend = f"'{char}' looks like '{meant}' but is another character", mended
        self._fail(self._at, "cell", what, mend, [Fix(self._row.line.number, mended)])

    def _repeat_sign(self) -> None:
        count = self._music.count
        if count is not None and count.text[self._at : self._at + 1] == ":":
            return  # said once, of the count row
        self._note(
            self._at,
            "cell",
            "':' has no meaning on a string; there are no repeat signs",
            "% in the count row repeats a bar, solo places a phrase again",
        )

    def _note(
        self, column: int, code: str, what: str, mend: str, fixes: list[Fix] | None = None
    ) -> None:
        self._problems.add(self._row.line.number, column + 1, code, what, mend, fixes or [])

    def _fail(
        self, column: int, code: str, what: str, mend: str, fixes: list[Fix] | None = None
    ) -> NoReturn:
        self._note(column, code, what, mend, fixes)
        raise RowStopError


def sounds_like(fret: Fraction) -> str:
    """A fret that a bent string sounds like, for a message; `fret` in semitones."""
    return str(int(fret)) if fret.denominator == 1 else f"{int(fret)}½"
