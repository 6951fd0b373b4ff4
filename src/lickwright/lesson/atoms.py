"""Which signs write a note down, and over which counts do they stand?"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from lickwright.phrase import (
    Bend,
    Entry,
    LinkKind,
    Mark,
    Note,
    Phrase,
    Release,
    Timing,
    Trill,
    Vibrato,
)

Beat = Fraction
Slot = tuple[Beat, int]  # a count and an order: 0 on the count, less before it, more after it
_STEPS = {1: "¼", 2: "½", 3: "¾"}


@dataclass(slots=True)
class TrillAt:
    """Where in an atom's text the other number of a trill stands."""

    at: int
    note: Note
    trill: Trill


@dataclass(slots=True)
class Atom:
    """Signs of one string that stand together. `text[anchor]` stands in the slot's column.

    `joined`: only = may stand between it and what is left of it. `note`: the number in it.
    """

    slot: Slot
    text: str
    anchor: int = 0
    joined: bool = False
    note: Note | None = None
    trills: list[TrillAt] = field(default_factory=list)
    follows: bool = False  # it goes on with the run to its left, and may touch it

    @property
    def is_sign(self) -> bool:
        """True if a sign stands over the count, not a number."""
        return self.text[self.anchor] in "bprt/\\~"

    def pad_trill(self, index: int, by: int) -> None:
        """Put `by` dashes between the sign of a trill and its number."""
        at = self.trills[index].at
        self.text = self.text[:at] + "-" * by + self.text[at:]
        for trill in self.trills[index:]:
            trill.at += by


@dataclass(slots=True)
class _RunWriter:
    phrase: Phrase
    atoms: list[Atom] = field(default_factory=list)

    def add(self, text: str) -> None:
        """Write signs right behind the last ones."""
        self.atoms[-1].text += text

    def at(self, beat: Beat, text: str, anchor: int = 0, joined: bool = False) -> None:
        """Write signs over a count."""
        self.atoms.append(Atom((beat, 0), text, anchor, joined, follows=True))


def slot_of(note: Note) -> Slot:
    """The slot of a note.

    Uncounted notes that share a slot have the same marks; what is raked into a count comes behind
    the graces of the same order.
    """
    if note.order == 0:
        return note.onset, 0
    marks = sum(1 << index for index, mark in enumerate(Mark) if mark in note.marks)
    raked = note.dead and note.timing is Timing.GRACE
    return note.onset, (note.order << (len(Mark) + 1)) + marks + (raked << len(Mark))


def run_atoms(phrase: Phrase, run: tuple[Note, ...]) -> list[Atom]:
    """The signs of one run, left to right."""
    writer = _RunWriter(phrase)
    for note in run:
        _number(writer, note)
        bent, origin = Fraction(0), Fraction(0)
        for gesture in note.gestures:
            match gesture:
                case Bend():
                    _bend(writer, note, gesture)
                    origin, bent = bent, gesture.to
                case Release():
                    _release(writer, note, gesture, origin)
                    origin, bent = Fraction(0), gesture.to
                case Vibrato():
                    _sign(writer, "~~" if gesture.wide else "~", gesture.start)
                case Trill():
                    _trill(writer, note, gesture)
        if note.off is not None:
            _sign(writer, "/" if note.off.up else "\\", note.off.start, joined=True)
    return writer.atoms


def _number(writer: _RunWriter, note: Note) -> None:
    body = "x" if note.dead else str(note.fret)
    text, inset = body, 0
    if note.ghost or note.harmonic:
        text, inset = (f"({body})", 1) if note.ghost else (f"<{body}>", 1)
    slot = slot_of(note)
    if note.link is not None:
        sign = note.link.kind.value
        slides = note.link.kind in (LinkKind.SLIDE_UP, LinkKind.SLIDE_DOWN, LinkKind.TAP)
        if note.link.start is not None:
            writer.at(note.link.start, sign, joined=True)
            writer.atoms.append(Atom(slot, text, inset, True, note, follows=True))
            return
        writer.atoms.append(Atom(slot, sign + text, 1 + inset, slides, note, follows=True))
        return
    entry = note.entry.value if isinstance(note.entry, Entry) else ""
    writer.atoms.append(Atom(slot, entry + text, len(entry) + inset, False, note))


def _sign(writer: _RunWriter, text: str, start: Beat | None, joined: bool = False) -> None:
    if start is None:
        writer.add(text)
    else:
        writer.at(start, text, joined=joined)


def _goal(note: Note, semitones: Fraction) -> str:
    if semitones.denominator == 1:
        return str(note.fret + int(semitones))
    whole, part = divmod(semitones * 2, 4)
    return f"{int(whole) or ''}{_STEPS[int(part)]}"


def _bend(writer: _RunWriter, note: Note, bend: Bend) -> None:
    goal = _goal(note, bend.to)
    if bend.struck_bent:
        writer.add(f"pb{goal}")
    elif bend.arrive is None:
        _sign(writer, f"b{goal}", bend.start)
    elif bend.start is None:
        writer.at(bend.arrive, f"b{goal}", 1)
    else:
        writer.at(bend.start, "b")
        writer.at(bend.arrive, goal)


def _release(writer: _RunWriter, note: Note, release: Release, origin: Fraction) -> None:
    goal = "" if release.to.denominator != 1 else str(note.fret + int(release.to))
    assert goal or release.to == origin
    if release.arrive is None or release.start is None:
        _sign(writer, f"r{goal}", release.start)
    else:
        writer.at(release.start, "r")
        writer.at(release.arrive, goal, joined=True)


def _trill(writer: _RunWriter, note: Note, trill: Trill) -> None:
    if trill.start is None:
        writer.add(f"tr{trill.fret}")
        atom = writer.atoms[-1]
    else:
        writer.at(trill.start, f"tr{trill.fret}")
        atom = writer.atoms[-1]
    atom.trills.append(TrillAt(len(atom.text) - len(str(trill.fret)), note, trill))
