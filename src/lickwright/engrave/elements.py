"""How are the parts of a score said in MEI, each by itself?"""

from __future__ import annotations

from math import ceil

from lickwright.phrase import Bend, Mark, Note, Phrase
from lickwright.phrase.score import ScoreEvent, ScoreNote

_KEYS = {0: "0"} | {n: f"{n}s" for n in range(1, 8)} | {-n: f"{n}f" for n in range(1, 8)}
DOT = 0.25  # sp


def spacer(where: str, width: float) -> str:
    """Words below the staff, at least `width` sp wide, that nobody will see.

    Measured with verovio 6.4.1 at a lyric size of 2: each dot is .25 sp wide; words begin at the
    centre of their head (at time stamp 0: .08 behind the bar line), and .44 sp are kept between
    the end of one and the beginning of the next. At a line's end they reach to the bar line.
    """
    dots = "." * ceil(width / DOT)
    return f'<harm place="below" staff="1" {where}><rend halign="left">{dots}</rend></harm>'


def small_notes(event: ScoreEvent) -> list[tuple[Note, str]]:
    """Notes with a small head before an event, each with the key of that head."""
    found = [(note, note.id) for chord in event.graces for note in chord]
    return found + [(h.note, f"{h.note.id}+bend") for h in event.notes if needs_small(h)]


def needs_small(head: ScoreNote) -> bool:
    """True for the first head of a note that is written bent from its beginning."""
    return head.bent > 0 and head.stage == 0 and not head.tie_in


def raked(chord: tuple[Note, ...]) -> bool:
    """True if the pick is dragged across all of them."""
    return all(Mark.RAKE in note.marks or note.dead for note in chord)


def struck_bent(note: Note) -> bool:
    """True if the string is bent before it is struck."""
    first = note.gestures[0] if note.gestures else None
    return isinstance(first, Bend) and first.struck_bent


def shape(note: Note, *, tied: bool = False) -> str:
    """Attributes of a head that is not plain; begins with a space."""
    if note.dead:
        return ' head.shape="x"'
    if note.harmonic:
        return ' head.shape="diamond"'
    return ' head.mod="paren"' if note.ghost and not tied else ""


def rest(event: ScoreEvent, element: str) -> str:
    """A rest, shown or hidden."""
    if event.whole_bar:
        return f'<{"mSpace" if event.hidden else "mRest"} xml:id="{element}"/>'
    dots = ' dots="1"' if event.value.dots else ""
    name = "space" if event.hidden else "rest"
    return f'<{name} xml:id="{element}" dur="{event.value.base}"{dots}/>'


def articulation(event: ScoreEvent) -> str:
    """Dots and accents of what is struck."""
    struck = [head.note for head in event.notes if not head.tie_in and not head.stage]
    marks = {mark for note in struck for mark in note.marks}
    names = [(Mark.STACCATO, "stacc"), (Mark.ACCENT, "acc")]
    return "".join(f'<artic artic="{name}"/>' for mark, name in names if mark in marks)


def frame(phrase: Phrase, measures: str, fifths: int) -> str:
    """The whole document; `fifths`: sharps (or, below 0, flats) of the key signature."""
    meter = phrase.meter
    return (
        '<mei xmlns="http://www.music-encoding.org/ns/mei"><meiHead/><music><body><mdiv><score>'
        '<scoreDef><staffGrp><staffDef n="1" lines="5" clef.shape="G" clef.line="2" clef.dis="8" '
        f'clef.dis.place="below" keysig="{_KEYS[fifths]}" meter.count="{meter.upper}" '
        f'meter.unit="{meter.lower}"/></staffGrp></scoreDef><section>{measures}</section></score>'
        "</mdiv></body></music></mei>"
    )


def heads(found: list[tuple[str, str]], look: str, own: str = "", inside: str = "") -> str:
    """One note, or a chord of them.

    `found`: id and attributes of each head; `look`: attributes of all; `own`: id of a chord.
    """
    if len(found) == 1:
        element, body = found[0]
        return f'<note xml:id="{element}" {look} {body}>{inside}</note>'
    inner = "".join(f'<note xml:id="{element}" {body}/>' for element, body in found)
    named = f'xml:id="{own}" ' if own else ""
    return f"<chord {named}{look}>{inner}{inside}</chord>"
