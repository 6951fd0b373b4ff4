"""What does a request ask for? Values of the kind that is wanted, or plain words why not."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from lickwright.desk.trouble import DeskError

if TYPE_CHECKING:
    from starlette.requests import Request

MOST_TEXT = 2000  # characters of a short value


class Asked:
    """The JSON object of a request."""

    def __init__(self, values: dict[str, Any]) -> None:
        self._values = values

    @classmethod
    async def of(cls, request: Request) -> Asked:
        """Read it. Raises DeskError if it is no JSON object."""
        try:
            found = json.loads(await request.body())
        except (ValueError, RecursionError):
            raise _none("this is no JSON") from None
        if not isinstance(found, dict):
            raise _none("this is no JSON object")
        return cls(found)

    def has(self, name: str) -> bool:
        """True if a value is given."""
        return self._values.get(name) is not None

    def text(self, name: str, default: str | None = None, most: int = MOST_TEXT) -> str:
        """A text; without `default` it must be there."""
        value = self._values.get(name, default)
        if not isinstance(value, str):
            raise _none(f"{name} has to be a text")
        if len(value) > most:
            raise DeskError(413, f"{name} is too long", f"at most {most} characters")
        if any("\ud800" <= char <= "\udfff" for char in value):
            raise _none(f"{name} holds half a character")
        return value

    def lesson(self) -> str:
        """The text of a lesson."""
        return self.text("text", most=1 << 20)

    def texts(self, name: str, most: int = 5000) -> list[str]:
        """A list of texts; empty if it is not given."""
        value = self._values.get(name, [])
        if not isinstance(value, list) or not all(isinstance(each, str) for each in value):
            raise _none(f"{name} has to be a list of texts")
        if len(value) > most or any(len(each) > MOST_TEXT for each in value):
            raise DeskError(413, f"{name} is too long", f"at most {most} of them")
        return value

    def flag(self, name: str) -> bool:
        """Yes or no; no if it is not given."""
        value = self._values.get(name, False)
        if not isinstance(value, bool):
            raise _none(f"{name} has to be true or false")
        return value

    def number(self, name: str, low: int, high: int) -> int | None:
        """A whole number, or None if it is not given."""
        value = self._values.get(name)
        if value is None:
            return None
        if not isinstance(value, int) or isinstance(value, bool) or not low <= value <= high:
            raise _none(f"{name} has to be a whole number from {low} to {high}")
        return value

    def must_number(self, name: str, low: int, high: int) -> int:
        """A whole number that must be given."""
        value = self.number(name, low, high)
        if value is None:
            raise _none(f"{name} is missing")
        return value


def _none(what: str) -> DeskError:
    return DeskError(400, what, "send an object of names and values as described")
