"""What does a string row say: which numbers, joined and moved how, in which columns?"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NoReturn

from lickwright.lesson.problems import Fix, Problems
from lickwright.lesson.rows import MusicLine, Row
from lickwright.phrase import harmonic_number

HIGHEST_FRET = 36
FILLERS = "-="
_FRACTIONS = {"¼": Fraction(1, 4), "½": Fraction(1, 2), "¾": Fraction(3, 4)}
_QUARTERS = ("1/4", "1/2", "3/4")
# Signs that word processors and other keyboards put in place of ours.
LOOKALIKES = {
    "—": "--",
    "–": "-",
    "−": "-",
    "‐": "-",
    "‑": "-",
    "∕": "/",
    "⁄": "/",
    "∼": "~",
    "˜": "~",
    "×": "x",
    "X": "x",
    "H": "h",
    "P": "p",
    "B": "b",
    "R": "r",
    "O": "0",
    "o": "0",
    "＝": "=",
    "│": "|",
    "‹": "<",
    "›": ">",
}
_STEPS = re.compile(r"(?:([12])(?:([¼½¾])|\+(1/4|1/2|3/4))|([¼½¾])|(1/4|1/2|3/4))")


@dataclass(slots=True)
class RawGesture:
    """A sign after a number. Columns from 0; `value` as the sign needs it."""

    sign: str  # b pb r ~ ~~ tr
    column: int
    number_column: int | None = None
    semitones: Fraction | None = None  # of a bend or release, above the fret
    fret: int | None = None  # of a trill


@dataclass(slots=True)
class RawNote:
    """A number on a string with all that hangs on it, before it has a time."""

    string: int
    column: int
    fret: int
    ghost: bool = False
    harmonic: bool = False
    dead: bool = False
    entry: str | None = None  # / \ t
    link: str | None = None  # h p / \ t
    link_column: int = -1
    gestures: list[RawGesture] = field(default_factory=list)
    off: str | None = None
    off_column: int = -1
    holds: list[int] = field(default_factory=list)  # columns of its = signs


class RowStop(Exception):
    """The row cannot be read on; the problem is already noted."""


class RowScanner:
    """Reads one string row from left to right."""

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
        self._broken = False  # a dash or bar line has come since the last sign or number

    def read(self) -> list[RawNote]:
        """All numbers of the row; raises RowStop after noting what stops the reading."""
        self._blank_cells()
        while self._at < len(self._text):
            self._step()
        return self.notes

    # --- single steps ---------------------------------------------------------------------

    def _step(self) -> None:
        char = self._text[self._at]
        if char in "-|":
            self._broken = True
            self._at += 1
        elif char == "=":
            self._hold()
        elif char.isdecimal() or char in "(<x":
            self._new_note(None, None, -1)
        elif self._text.startswith("tr", self._at):
            self._trill()
        elif self._text.startswith("pb", self._at):
            self._bend("pb")
        elif char == "b":
            self._bend("b")
        elif char in "hp":
            self._legato(char)
        elif char in "/\\t":
            self._slide(char)
        elif char == "r":
            self._release()
        elif char == "~":
            self._vibrato()
        else:
            self._unknown(char)

    def _blank_cells(self) -> None:
        """A cell of only spaces is an empty one."""
        bars = self._row.bar_lines
        chars = list(self._text)
        for start, end in zip(bars, bars[1:], strict=False):
            if not self._text[start + 1 : end].strip():
                chars[start + 1 : end] = "-" * (end - start - 1)
        self._text = "".join(chars)

    def _hold(self) -> None:
        if not self.notes:
            self._fail(self._at, "nothing-rings", "= holds a note, and none rings on its left", "-")
        self.notes[-1].holds.append(self._at)
        self._at += 1

    def _new_note(self, link: str | None, entry: str | None, sign_column: int) -> RawNote:
        note = self._scan_note()
        note.link, note.entry, note.link_column = link, entry, sign_column
        self.notes.append(note)
        self._joinable, self._broken = True, False
        self._bent = self._bent_from = Fraction(0)
        return note

    def _scan_note(self) -> RawNote:
        start, text = self._at, self._text
        match = re.compile(r"\((\d+|x)\)|<(\d+)>|(\d+|x)").match(text, start)
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
        return RawNote(
            self._string, column, fret, ghost=bool(ghost), harmonic=bool(harmonic)
        )

    def _fret(self, digits: str, column: int) -> int:
        if digits.isascii() and int(digits[:6]) <= HIGHEST_FRET and len(digits) <= 2:
            return int(digits)
        self._too_high(digits, column)
        raise RowStop

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
            shown += f", and {_tight(rows[count.line.number])}"
        self._note(column, "fret", what, shown, fixes)

    # --- signs ----------------------------------------------------------------------------

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
        self._fail(
            self._at, "nothing-rings", f"{sign} {verb}, and nothing rings on its left", mend
        )

    def _pitched(self, note: RawNote, column: int, verb: str) -> None:
        if note.dead:
            after = re.compile(r"\d+").match(self._text, column)
            number = after[0] if after else "8"
            way = {"slide": f"x-/{number} to slide into the {number}"}.get(verb, f"x-{number}")
            self._fail(column, "muted", f"a muted string has no pitch to {verb} from", way)

    def _after_gap(self, gap: str) -> int:
        at = self._at
        while at < len(self._text) and self._text[at] in gap:
            at += 1
        return at

    def _legato(self, sign: str) -> None:
        verb = "hammer" if sign == "h" else "pull"
        held = self._held(sign, "joins two notes")
        column = self._at
        self._at = self._after_gap("-=|") if self._joins_on("-=|", 1) else self._at + 1
        if not self._starts_note():
            self._fail(
                column,
                "hammer" if sign == "h" else "pull",
                f"no number follows the {sign}",
                f"{held.fret}{sign}{held.fret + 2 if sign == 'h' else max(held.fret - 2, 0)}",
            )
        self._pitched(held, self._at, verb)
        self._unbent(held, sign, "hammered" if sign == "h" else "pulled off")
        note = self._new_note(sign, None, column)
        self._same_kind(held, note, verb)
        wrong = note.fret <= held.fret if sign == "h" else note.fret >= held.fret
        if wrong:
            self._wrong_way(held, note, sign)

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

    def _same_kind(self, held: RawNote, note: RawNote, verb: str) -> None:
        if note.dead:
            self._fail(
                note.column,
                "muted",
                f"a muted string has no pitch to {verb} to",
                f"{held.fret}-x",
            )

    def _wrong_way(self, held: RawNote, note: RawNote, sign: str) -> None:
        other = {"h": "p", "p": "h"}[sign]
        name, way = ("hammer-on", "up") if sign == "h" else ("pull-off", "down")
        place = "below" if sign == "h" else "above"
        if note.fret == held.fret:
            self._fail(
                note.column,
                "hammer" if sign == "h" else "pull",
                f"a {name} goes {way}: both frets are {note.fret}",
                f"{held.fret}{sign}{held.fret + (2 if sign == 'h' else -2)}",
            )
        self._fail(
            note.column,
            "hammer" if sign == "h" else "pull",
            f"a {name} goes {way}: {note.fret} is {place} {held.fret}",
            f"{held.fret}{other}{note.fret}",
        )

    def _unbent(self, held: RawNote, sign: str, done: str) -> None:
        if self._bent == 0:
            return
        after = re.compile(r"\d*").match(self._text, self._at)
        number = after[0] if after else ""
        goal = _sounds_like(held.fret + self._bent)
        self._fail(
            self._at,
            "bent",
            f"the string is still bent to {goal} where it is {done}",
            f"{held.fret}b{goal}r{held.fret}{sign}{number}",
        )

    def _slide(self, sign: str) -> None:
        column = self._at
        left = bool(self.notes) and self._joinable and not self._broken
        end = self._hold_end(column + 1)
        right = end < len(self._text) and (self._text[end].isdecimal() or self._text[end] in "(<x")
        if left and right:
            self._slide_between(sign, column, end)
        elif left and sign != "t":
            note = self.notes[-1]
            self._pitched(note, column, "slide")
            self._unbent(note, sign, "slid")
            note.off, note.off_column = sign, column
            self._at = column + 1
            self._joinable = False
        elif right and end == column + 1:
            self._slide_in(sign, column)
        else:
            self._slide_touches_nothing(sign, column)

    def _hold_end(self, at: int) -> int:
        while at < len(self._text) and (self._text[at] == "=" or self._bar_held(at)):
            at += 1
        return at

    def _bar_held(self, at: int) -> bool:
        return self._text[at] == "|" and self._text[at - 1] == "=" == self._text[at + 1 : at + 2]

    def _slide_between(self, sign: str, column: int, end: int) -> None:
        held = self.notes[-1]
        held.holds += [c for c in range(column + 1, end) if self._text[c] == "="]
        self._at = end
        self._pitched(held, end, "tap" if sign == "t" else "slide")
        if sign != "t" or not self._tap_over_bend():
            self._unbent(held, sign, "tapped" if sign == "t" else "slid")
        note = self._new_note(sign, None, column)
        self._same_kind(held, note, "tap" if sign == "t" else "slide")
        wrong = {"/": note.fret <= held.fret, "\\": note.fret >= held.fret, "t": False}[sign]
        if wrong:
            up = sign == "/"
            what = f"{note.fret} is {'not above' if up else 'not below'} {held.fret}"
            other = "\\" if up else "/"
            mend = f"{held.fret}{other}{note.fret}" if note.fret != held.fret else "another fret"
            self._fail(
                note.column, "slide", f"a slide {sign} goes {'up' if up else 'down'}: {what}", mend
            )

    def _tap_over_bend(self) -> bool:
        return False

    def _slide_in(self, sign: str, column: int) -> None:
        self._at = column + 1
        note = self._new_note(None, sign, column)
        if note.dead:
            self._fail(note.column, "muted", "a muted string has no pitch to slide into", "x")
        if sign == "/" and note.fret == 0:
            self._fail(note.column, "slide", "no fret is below the open string", "0")

    def _slide_touches_nothing(self, sign: str, column: int) -> None:
        after = re.compile(r"[-=]+(\d+)").match(self._text, column + 1)
        before = self.notes[-1].fret if self.notes and self._joinable else None
        name = "tap" if sign == "t" else "slide"
        if before is not None and after:
            number = after[1]
            text = self._text[self.notes[-1].column : after.end()]
            gaps = text[len(str(before)) : -len(number)].split(sign)
            left, right = len(gaps[0]), len(gaps[-1])
            joined = f"{before}{'=' * left}{sign}{'=' * right}{number}"
            away = f"{before}{sign}{'-' * (left + right)}{number}"
            into = f"{before}{'-' * (left + right)}{sign}{number}"
            if sign == "t":
                what = f"this tap touches no note: it may follow {before} or begin {number}"
                self._fail(column, "slide", what, f"{joined} follows, {into} begins anew")
            self._fail(
                column,
                "slide",
                f"this slide touches no note: it may join {before} and {number}, "
                f"leave the {before} or lead into the {number}",
                f"{joined} joins, {away} slides off, {into} slides in",
            )
        if after:
            self._fail(
                column, "slide", f"this {name} touches no note", f"{sign}{after[1]} without a gap"
            )
        self._fail(column, "slide", f"this {name} touches no note", f"a number right after {sign}")

    def _trill(self) -> None:
        held = self._held("tr", "trills a note")
        column = self._at
        if not self._joins_on("-=|", 2):
            self._fail(
                column, "trill", "a trill needs its other fret", f"{held.fret}tr{held.fret + 2}"
            )
        self._at = self._after_gap("-=|")
        self._pitched(held, self._at, "trill")
        self._unbent(held, "tr", "trilled")
        start = self._at
        other = self._scan_note()
        if other.dead or other.fret == held.fret:
            self._fail(
                start,
                "trill",
                f"a trill needs another fret than {held.fret}",
                f"{held.fret}tr{held.fret + 2}",
            )
        held.gestures.append(RawGesture("tr", column, other.column, fret=other.fret))
        self._broken = False

    def _bend(self, sign: str) -> None:
        held = self._held(sign, "bends a note")
        column = self._at
        self._can_bend(held, column, sign)
        self._at += len(sign)
        at = self._after_gap("-=|")
        steps = _STEPS.match(self._text, at)
        digits = re.compile(r"\d+").match(self._text, at)
        if steps and not (digits and len(digits[0]) > 1):
            self._at = steps.end()
            goal = _steps(steps) * 2
        elif digits:
            self._at = digits.end()
            self._space_inside(digits, at)
            goal = Fraction(self._bend_goal(held, digits[0], at))
        else:
            self._fail(
                column,
                "bend",
                f"the bend of {held.fret} has no target",
                f"{held.fret}{sign}{held.fret + 2} (one whole step), "
                f"{held.fret}{sign}{held.fret + 1} (half a step)",
            )
        if goal <= self._bent:
            self._fail(
                at,
                "bend",
                f"a bend goes up: the string is bent to {_sounds_like(held.fret + self._bent)} "
                "already",
                f"b{_sounds_like(held.fret + self._bent + 2)}",
            )
        if sign == "pb" and held.gestures:
            self._fail(
                column,
                "bend",
                "pb bends before the note is struck; other signs come after it",
                f"{held.fret}pb{_sounds_like(held.fret + goal)}",
            )
        self._bent_from, self._bent = self._bent, goal
        held.gestures.append(RawGesture(sign, column, at, goal))
        self._broken = False

    def _can_bend(self, held: RawNote, column: int, sign: str) -> None:
        if held.dead:
            self._fail(column, "muted", "a muted string has no pitch to bend", "x")
        if held.harmonic:
            self._fail(
                column,
                "bend",
                "a natural harmonic is not fretted, so it cannot be bent",
                f"{held.fret}{sign}{held.fret + 2}",
            )
        if held.fret == 0:
            self._fail(
                column,
                "bend",
                "an open string cannot be bent: no finger holds it",
                "the same note fretted on a thicker string",
            )

    def _space_inside(self, digits: re.Match[str], at: int) -> None:
        after = re.compile(r" +(1/4|1/2|3/4|[¼½¾])").match(self._text, digits.end())
        if after:
            sign = after[1] if after[1] in _FRACTIONS else "¼½¾"[_QUARTERS.index(after[1])]
            plus = after[1] if after[1] in _QUARTERS else _QUARTERS["¼½¾".index(after[1])]
            head = f"{self.notes[-1].fret}b{digits[0]}"
            self._fail(
                digits.end(), "bend", "a space inside a string row", f"{head}{sign} or {head}+{plus}"
            )

    def _bend_goal(self, held: RawNote, digits: str, column: int) -> int:
        fret = self._fret(digits, column) if len(digits) > 2 else int(digits)
        if fret > held.fret:
            return fret - held.fret
        if fret <= 3 < held.fret:
            self._fail(
                column,
                "bend",
                f"the number after b is the fret it shall sound like: {fret} is not above "
                f"{held.fret}",
                f"{held.fret}b{held.fret + 2} (one whole step), "
                f"{held.fret}b{held.fret + 1} (half a step)",
            )
        place = "below" if fret < held.fret else "not above"
        goal = held.fret + 2
        self._fail(
            column,
            "bend",
            f"a bend goes up: {fret} is {place} {held.fret}",
            f"{held.fret}b{goal} to sound like fret {goal}; {held.fret}pb{goal}r{held.fret} "
            "if it starts bent",
        )

    def _release(self) -> None:
        held = self._held("r", "releases a bend")
        column = self._at
        if self._bent == 0:
            self._fail(
                column,
                "release",
                f"r releases a bend, and {'x' if held.dead else held.fret} is not bent",
                f"{held.fret}b{held.fret + 2}r{held.fret}",
            )
        end = self._hold_end(column + 1)
        digits = re.compile(r"\d+").match(self._text, end)
        goal, number = self._bent_from, None
        if digits:
            held.holds += [c for c in range(column + 1, end) if self._text[c] == "="]
            goal, number = Fraction(self._fret(digits[0], end) - held.fret), end
            self._at = digits.end()
            if not 0 <= goal < self._bent:
                bent = _sounds_like(held.fret + self._bent)
                self._fail(
                    end,
                    "release",
                    f"a release goes down, from {bent} to {held.fret} at the lowest; got "
                    f"{digits[0]}",
                    f"r{held.fret}",
                )
        else:
            self._at = column + 1
        self._bent, self._bent_from = goal, Fraction(0)
        held.gestures.append(RawGesture("r", column, number, goal))
        self._broken = False

    def _vibrato(self) -> None:
        held = self._held("~", "shakes a note")
        column = self._at
        match = re.compile(r"~+").match(self._text, column)
        assert match is not None
        if len(match[0]) > 2:
            dashes = "-" * (len(match[0]) - 1)
            mended = f"{self._row.text[:column]}~{dashes}{self._row.text[match.end() :]}"
            self._fail(
                column,
                "vibrato",
                f"{match[0]} is neither vibrato (~) nor wide vibrato (~~)",
                mended,
                [Fix(self._row.line.number, mended)],
            )
        if held.dead:
            self._fail(column, "muted", "a muted string has no pitch to shake", "x")
        self._at = match.end()
        held.gestures.append(RawGesture(match[0], column))
        self._broken = False

    # --- problems -------------------------------------------------------------------------

    def _unknown(self, char: str) -> None:
        if char == " ":
            self._fail(
                self._at,
                "cell",
                "a space inside a string row",
                "a dash, or = if the note is held",
            )
        if char in LOOKALIKES:
            self._lookalike(char)
        if char == ":":
            self._repeat_sign()
            raise RowStop
        before = self.notes[-1].fret if self.notes else 8
        self._fail(
            self._at,
            "cell",
            f"'{char}' has no meaning on a string",
            f"b bends ({before}b{before + 2}), h hammers on ({before}h{before + 2})",
        )

    def _lookalike(self, char: str) -> None:
        meant = LOOKALIKES[char]
        text = self._row.text
        if char == "—":
            mended = text[: self._at] + meant + text[self._at + 1 :]
            what = "a long dash, perhaps made of two hyphens by a word processor"
            mend = f"{mended}, then check the columns"
        else:
            mended = "".join(
                LOOKALIKES.get(c, c) if i >= self._at and c == char else c
                for i, c in enumerate(text)
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
        raise RowStop


def _steps(match: re.Match[str]) -> Fraction:
    """Whole steps that a match of _STEPS says."""
    whole, sign, plus, alone, slashed = match.groups()
    part = sign or alone
    share = _FRACTIONS[part] if part else Fraction(plus or slashed)
    return Fraction(int(whole or 0)) + share


def _sounds_like(fret: Fraction) -> str:
    return str(int(fret)) if fret.denominator == 1 else f"{int(fret)}½"


def _tight(row: str) -> str:
    """A count row for a message: its label and cells, with the room before the first | taken out."""
    label, _, cells = row.partition("|")
    return f"{label.strip()} |{cells.rstrip('|').rstrip()} |"
