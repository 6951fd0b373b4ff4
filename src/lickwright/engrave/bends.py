"""How are bends, releases and pre-bends drawn on the tab?"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from lickwright.engrave.arrows import ARROW, arrow, arrow_box, fall, past_ink, rise
from lickwright.engrave.canvas import Canvas
from lickwright.engrave.faces import Cut, text_width
from lickwright.engrave.ink import Lettering, Pen, text_box
from lickwright.engrave.style import BEND_RISE, BRACKETED, FRET_SIZE
from lickwright.engrave.tokens import APART, ARROW_X, LABEL_HALF, RELEASE_X, SECOND_X, Token
from lickwright.phrase import Bend, Note, Release
from lickwright.phrase.bent import stages
from lickwright.phrase.note import Gesture

SECOND_RISE = 1.9  # how much higher a bend from a bent note ends
CARRIED = 2.6  # from a system's left end to its first place, for what goes on from before
HOLD = Pen(0.1, "hold", "0.4 0.3")
RELEASED = Lettering(FRET_SIZE * BRACKETED, kind="fret")  # the number back at the fret
RELEASE_AIR = 0.85  # from the line to the point of a release's arrow
_FRACTIONS = {
    Fraction(0): "",
    Fraction(1, 4): "¼",
    Fraction(1, 2): "½",
    Fraction(3, 4): "¾",
}


def amount_text(semitones: Fraction) -> str:
    """How far a bend goes, in whole steps: full, ½, ¼, 1½; other parts as a fraction."""
    steps = semitones / 2
    if steps == 1:
        return "full"
    whole, part = int(steps // 1), steps % 1
    text = _FRACTIONS.get(part)
    return f"{whole or ''}{text}" if text is not None else str(steps)


@dataclass(slots=True)
class _Path:
    """Where the drawing of one note's bends has come to."""

    x: float
    y: float
    level: Fraction  # semitones above the fret
    top: float  # y of the last arrow's point
    up: bool = False
    edge: float = 0.0  # right end of the number


def draw_bends(canvas: Canvas, token: Token, x: float) -> None:
    """Draw all bends and releases of one number whose centre is at x."""
    path = _Path(x + token.half + 0.15, canvas.line(token.note.string), Fraction(0), -BEND_RISE)
    path.edge = x + token.half
    _gestures(canvas, token, x, path)
    if path.up:
        beyond = LABEL_HALF + 0.2
        canvas.exits[token.note.id] = max(canvas.exits.get(token.note.id, x), path.x + beyond)


def draw_carried_bends(canvas: Canvas, token: Token) -> None:
    """Go on with the bends and releases of a note whose number stands on the system before."""
    left = max(canvas.places.xs[0] - CARRIED, 0.0)
    path = _Path(left, canvas.line(token.note.string), Fraction(0), -BEND_RISE)
    _gestures(canvas, token, left - token.half, path)


def _gestures(canvas: Canvas, token: Token, x: float, path: _Path) -> None:
    """Draw what falls on this system; what went before it only moves the string."""
    note, places = token.note, canvas.places
    for gesture in note.gestures:
        if not isinstance(gesture, Bend | Release):
            continue
        at = moment(note, gesture)
        if at < places.start:
            path.level, path.up = gesture.to, gesture.to > 0
        elif at >= places.end:
            if path.up:
                _hold(canvas, path, places.edges[-1][1] - 0.2)
            break
        elif isinstance(gesture, Bend):
            _bend(canvas, token, x, gesture, path)
        elif path.up:
            _release(canvas, note, gesture, path)
    held = canvas.held.get(note.id, 0.0)
    if path.up and held:
        _hold(canvas, path, held)


def moment(note: Note, gesture: Gesture) -> Fraction:
    """Beat from which a movement is drawn; without one of its own, that of the one before it."""
    index = note.gestures.index(gesture)
    before = moment(note, note.gestures[index - 1]) if index else note.onset
    if gesture.start is not None:
        return gesture.start
    if isinstance(gesture, Release):
        return gesture.arrive or _let_down(note, gesture) or before
    return before


def _let_down(note: Note, release: Release) -> Fraction | None:
    """Beat at which a release without a count is written; None if it has no time of its own."""
    later = [s.start for s in stages(note, note.end) if s.bent == release.to]
    return later[-1] if later and later[-1] > note.onset else None


def _hold(canvas: Canvas, path: _Path, right: float) -> None:
    """A dashed line: the string stays bent."""
    y = path.top + 0.07
    if right - path.x > 0.9:
        canvas.above.add(canvas.ink.line((path.x + 0.5, y), (right, y), HOLD))


def _bend(canvas: Canvas, token: Token, x: float, bend: Bend, path: _Path) -> None:
    top = path.top - SECOND_RISE if path.up else -BEND_RISE
    if bend.struck_bent:
        _pre_bend(canvas, token, x, path, top)
    else:
        start = path.x + (0.1 if path.up else 0.0)
        if bend.start is not None and canvas.places.holds(bend.start):
            start = max(start, canvas.places.x(bend.start))
        end = _beside(canvas, _arrow_x(canvas, token, x, bend, (start, path.up)), bend)
        end = past_ink(canvas, end, [arrow_box(0.0, top, up=True)])
        rise(canvas, (start, path.top if path.up else path.y), (end, top))
        path.x = end
    path.level, path.top, path.up = bend.to, top, True
    _amount(canvas, path.x, top, amount_text(bend.to))


def _arrow_x(canvas: Canvas, token: Token, x: float, bend: Bend, path: tuple[float, bool]) -> float:
    start, up = path
    edge = max(x + token.half, x + (canvas.half(token.note.onset) if not token.dx else 0.0))
    least = max(start + (SECOND_X if up else 0.9), edge + ARROW_X)
    if bend.arrive is not None:
        goal = canvas.places.x(bend.arrive)
        if canvas.thinner_at(bend.arrive, token.note.string):
            goal -= canvas.half(bend.arrive) + 0.45
        if not canvas.places.holds(bend.arrive):
            goal = canvas.places.edges[-1][1] - 0.6
        return max(least, goal)
    if bend.start is not None:
        edge = start + canvas.half(bend.start)
        return max(least, edge + ARROW_X - 0.2)
    return least


def _beside(canvas: Canvas, x: float, bend: Bend) -> float:
    """Where the arrow stands: on that of an equal bend, apart from those of others."""
    text = amount_text(bend.to)
    for at, said in sorted(canvas.amounts):
        if said == text and abs(at - x) < APART / 2:
            return at
        if said != text and abs(at - x) < APART:
            x = at + APART
    return x


def _pre_bend(canvas: Canvas, token: Token, x: float, path: _Path, top: float) -> None:
    note = token.note
    if canvas.thinner_at(note.onset, note.string):
        side = x + max(token.half, canvas.half(note.onset)) + 0.55
        canvas.ink.line((path.x, path.y), (side, path.y))
        path.x = side
        start = path.y
    else:
        path.x, start = x, path.y - 0.85
    canvas.ink.line((path.x, start), (path.x, top + ARROW[1] - 0.1), Pen(kind="bend"))
    arrow(canvas, path.x, top, up=True)


def _amount(canvas: Canvas, x: float, top: float, text: str) -> None:
    """The label over an arrow; two bends that arrive together with one amount share it."""
    if any(abs(at - x) < 0.3 and text == said for at, said in canvas.amounts):
        return
    size = 1.5 if text[0].isalpha() else 1.9
    cut = Cut.SANS_ITALIC if text[0].isalpha() else Cut.SANS
    half = text_width(text, cut, size) / 2
    x = min(x, canvas.places.edges[-1][1] - half)
    y = canvas.above.up(x - half, x + half, 0.7 * size, top - 0.3, air=0.15)
    box = canvas.ink.text(x, y, text, Lettering(size, cut, "amount"))
    canvas.above.add(box)
    canvas.amounts.append((x, text))


def _release(canvas: Canvas, note: Note, release: Release, path: _Path) -> None:
    line = canvas.line(note.string)
    goal, start = _release_x(canvas, note, release, path)
    foot = line - RELEASE_AIR if release.to == 0 else (path.top + line) / 2
    fret = f"({note.fret + int(release.to)})" if release.to % 1 == 0 else ""
    shapes = [arrow_box(0.0, foot, up=False)]
    if fret:
        shapes.append(text_box((0.0, line + RELEASED.size * 0.33), fret, RELEASED))
    goal = past_ink(canvas, goal, shapes)
    begin = path.x + 0.1
    if start - path.x > 2.2:
        begin = start - 0.9 if release.arrive is None else start
        _hold(canvas, path, begin - 0.1)
    fall(canvas, (begin, path.top + 0.07), (goal, foot))
    path.x = goal + 0.4
    if fret:
        box = canvas.ink.text(goal, line + RELEASED.size * 0.33, fret, RELEASED)
        canvas.gaps.setdefault(note.string, []).append((box.x0, box.x1))
        canvas.above.add(box)
        canvas.exits[note.id] = box.x1
        path.x = box.x1 + 0.15
    path.y, path.level, path.up = line, release.to, release.to > 0
    if path.up:
        path.top = foot


def _release_x(canvas: Canvas, note: Note, release: Release, path: _Path) -> tuple[float, float]:
    """Where the arrow ends, and where the string begins to be let down."""
    bracket = text_width(f"({note.fret})", RELEASED.cut, RELEASED.size) / 2
    least = max(path.x + RELEASE_X, path.edge + bracket + 0.25)
    places = canvas.places
    if release.arrive is not None and release.start is not None:
        goal = places.x(release.arrive)
        if not places.holds(release.arrive):
            goal = places.edges[-1][1] - 0.9
        return max(least, goal), max(path.x, places.x(release.start))
    beat = release.start or release.arrive or _let_down(note, release)
    if beat is None:
        return least, least
    goal = _past_numbers(canvas, note.string, max(least, places.x(beat)))
    return goal, goal


def _past_numbers(canvas: Canvas, string: int, x: float) -> float:
    """The nearest x from `x` on at which an arrow goes down clear of the thinner strings."""
    numbers = sorted(
        (at - token.half, at + token.half)
        for token, at in canvas.tokens.values()
        if token.note.string < string
    )
    for left, right in numbers:
        if left - ARROW[0] < x < right + ARROW[0]:
            x = right + ARROW[0] + 0.1
    return x
