"""What does a sign say that joins two numbers: hammer-on, pull-off, slide, tap, trill?"""

from __future__ import annotations

import re

from lickwright.lesson.raw import RawGesture, RawNote
from lickwright.lesson.scanner import Scanner


class JoinScanner(Scanner):
    r"""Reads the signs `h p / \\ t tr`."""

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

    def _slide_between(self, sign: str, column: int, end: int) -> None:
        held = self.notes[-1]
        held.holds += [c for c in range(column + 1, end) if self._text[c] == "="]
        self._at = end
        self._pitched(held, end, "tap" if sign == "t" else "slide")
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
