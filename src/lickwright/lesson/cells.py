"""What does a string row say: which numbers, joined and moved how, in which columns?"""

from __future__ import annotations

import re

from lickwright.lesson.bends import BendScanner
from lickwright.lesson.joins import JoinScanner
from lickwright.lesson.raw import RawNote
from lickwright.lesson.scanner import RowStopError

_STRUCK = re.compile(r"(?<=[-|])[/\\t]?[(<]?[0-9x]")


class RowScanner(JoinScanner, BendScanner):
    """Reads one string row from left to right."""

    def read(self) -> tuple[list[RawNote], bool]:
        """All numbers of the row that can be read, and whether all of it could."""
        self._blank_cells()
        whole = True
        while self._at < len(self._text):
            try:
                self._step()
            except RowStopError:
                whole = False
                self._recover()
        return self.notes, whole

    def _recover(self) -> None:
        """Go on at the next number that is struck by itself: it depends on nothing before it."""
        following = _STRUCK.search(self._text, self._at + 1)
        self._at = following.start() if following else len(self._text)

    def _step(self) -> None:
        char = self._text[self._at]
        if char in "-|":
            self._broken = self._broken or char == "-" or not self._bar_held(self._at)
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

    def _hold(self) -> None:
        if not self.notes:
            self._fail(self._at, "nothing-rings", "= holds a note, and none rings on its left", "-")
        self.notes[-1].holds.append(self._at)
        self._at += 1
