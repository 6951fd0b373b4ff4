"""What does a sign say that moves the string under one number: bend, release, vibrato?"""

from __future__ import annotations

import re
from fractions import Fraction

from lickwright.lesson.problems import Fix
from lickwright.lesson.raw import RawGesture, RawNote
from lickwright.lesson.scanner import Scanner, sounds_like

_FRACTIONS = {"¼": Fraction(1, 4), "½": Fraction(1, 2), "¾": Fraction(3, 4)}
_QUARTERS = ("1/4", "1/2", "3/4")
_STEPS = re.compile(r"(?:([12])(?:([¼½¾])|\+(1/4|1/2|3/4))|([¼½¾])|(1/4|1/2|3/4))")


class BendScanner(Scanner):
    """Reads the signs `b pb r ~ ~~`."""

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
                f"a bend goes up: the string is bent to {sounds_like(held.fret + self._bent)} "
                "already",
                f"b{sounds_like(held.fret + self._bent + 2)}",
            )
        if sign == "pb" and held.gestures:
            self._fail(
                column,
                "bend",
                "pb bends before the note is struck; other signs come after it",
                f"{held.fret}pb{sounds_like(held.fret + goal)}",
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
                digits.end(),
                "bend",
                "a space inside a string row",
                f"{head}{sign} or {head}+{plus}",
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
        return None

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
                bent = sounds_like(held.fret + self._bent)
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


def _steps(match: re.Match[str]) -> Fraction:
    """Whole steps that a match of _STEPS says."""
    whole, sign, plus, alone, slashed = match.groups()
    part = sign or alone
    share = _FRACTIONS[part] if part else Fraction(plus or slashed)
    return Fraction(int(whole or 0)) + share
