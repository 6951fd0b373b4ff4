"""What does a phrase look like: one picture, its lines, and where every note stands?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType

from lickwright.engrave.join import picture, safe_id
from lickwright.engrave.lines import set_lines
from lickwright.engrave.rows import row_words
from lickwright.engrave.style import SYSTEM_GAP, Style
from lickwright.engrave.system import Drawn, Plan, draw_system
from lickwright.engrave.tokens import tab_columns
from lickwright.engrave.words import describe
from lickwright.phrase import Phrase
from lickwright.phrase.score import one_line, score_bars
from lickwright.theory import Pitch


@dataclass(frozen=True, slots=True)
class System:
    """One line as a picture of its own. Sizes in sp; bars counted from 1."""

    svg: str
    width_sp: float
    height_sp: float
    first_bar: int
    last_bar: int


@dataclass(frozen=True, slots=True)
class NotePlace:
    """Where a note's number stands (its head in pictures without tab).

    `x`, `y`: its centre, sp from the top left of its system; `width`: sp; `onset`: beats.
    """

    id: str
    system: int  # index from 0
    x: float
    y: float
    width: float
    onset: Fraction


@dataclass(frozen=True, slots=True)
class Engraving:
    """A phrase as pictures. `svg` holds all systems; its viewBox counts staff spaces."""

    svg: str
    width_sp: float
    height_sp: float
    systems: tuple[System, ...]
    layout: tuple[NotePlace, ...]
    description: str


_NO_TEXT: Mapping[str, str] = MappingProxyType({})
_NO_PITCH: Mapping[str, Pitch] = MappingProxyType({})


def engrave(
    phrase: Phrase,
    style: Style,
    degrees: Mapping[str, str] = _NO_TEXT,
    spelled: Mapping[str, Pitch] = _NO_PITCH,
    suggested: frozenset[str] = frozenset(),
) -> Engraving:
    """Draw a phrase.

    `degrees`: note id to the text of the degree row. `spelled`: note id to its sounding pitch, by
    name; notes without one are named in the phrase's key. `suggested`: ids of notes whose finger
    or stroke the teacher did not write.

    Raises NotInstalledError if the package was not fully built.
    """
    drawn = draw_all(phrase, style, degrees, spelled, suggested)
    prefix = f"{safe_id(style.id_prefix)}-{safe_id(phrase.name)}"
    words = describe(phrase)
    said = (phrase.title or phrase.name, words)
    systems = tuple(
        System(
            picture(d.body, d.glyphs, (d.width, d.height), f"{prefix}-s{i + 1}", said),
            d.width, d.height, d.first_bar, d.last_bar,
        )
        for i, d in enumerate(drawn)
    )  # fmt: skip
    layout = tuple(
        NotePlace(p.note_id, i, round(p.x, 3), round(p.y, 3), round(p.width, 3), p.onset)
        for i, d in enumerate(drawn)
        for p in d.places
    )
    body, width, height = _stacked(drawn)
    glyphs = frozenset().union(*(d.glyphs for d in drawn))
    svg = picture(body, glyphs, (width, height), prefix, said)
    return Engraving(svg, width, height, systems, layout, words)


def _stacked(drawn: list[Drawn]) -> tuple[str, float, float]:
    """All systems below each other; and their width and height together, sp."""
    parts, y = [], 0.0
    for system in drawn:
        parts.append(f'<g class="system" transform="translate(0 {y:.2f})">{system.body}</g>')
        y += system.height + SYSTEM_GAP
    return "".join(parts), max(d.width for d in drawn), y - SYSTEM_GAP


def draw_all(
    phrase: Phrase,
    style: Style,
    degrees: Mapping[str, str] = _NO_TEXT,
    spelled: Mapping[str, Pitch] = _NO_PITCH,
    suggested: frozenset[str] = frozenset(),
) -> list[Drawn]:
    """Draw the lines of a phrase with the ink of each mark (see `engrave`)."""
    bars = score_bars(phrase if style.notation else one_line(phrase), written_bends=True)
    words = row_words(phrase, style.rows, degrees)
    shown = [e for b in bars if not b.bar.simile for v in b.voices for e in v]
    beats = [event.start for event in shown if not event.hidden]
    columns = tab_columns(phrase, style, beats, words)
    systems, sent = set_lines(phrase, style, bars, columns, spelled)
    plan = Plan(phrase, style, bars, columns, words, suggested, sent)
    return [draw_system(plan, line, first=i == 0) for i, line in enumerate(systems)]
