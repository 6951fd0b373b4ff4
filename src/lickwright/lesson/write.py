"""How is a whole lesson written back, its blocks tidy and its prose untouched?"""

from __future__ import annotations

from dataclasses import replace

from lickwright.lesson.document import Fence, FrontMatter, Line, Piece, Prose
from lickwright.lesson.lick import Lick, read_lick
from lickwright.lesson.problems import Problems
from lickwright.lesson.read import Block, ProsePart, Reading, read_lesson
from lickwright.lesson.tidy import lick_lines, setting_lines


def tidy_text(text: str) -> str:
    """The same lesson with tidy blocks; prose and what cannot be read stay byte for byte."""
    reading = read_lesson(text)
    parts = iter(reading.lesson.parts)
    out: list[str] = []
    for piece in reading.pieces:
        match piece:
            case FrontMatter():
                out.append(_front(piece, reading))
            case Prose():
                next(parts)
                out.append(piece.raw)
            case Fence():
                block = next(parts)
                assert not isinstance(block, ProsePart)
                out.append(_block(piece, block, reading))
    return "".join(out) if reading.pieces else text


def _touched(piece: Fence | FrontMatter, reading: Reading) -> bool:
    """True if a problem lies in the piece: then it is left as it is."""
    first = piece.opening.number
    last = piece.inner[-1].number if piece.inner else first
    return any(first <= problem.line <= last for problem in reading.problems)


def _front(piece: FrontMatter, reading: Reading) -> str:
    if _touched(piece, reading):
        return _raw(piece)
    lines = setting_lines(reading.lesson.written)
    return _assemble(piece, lines)


def _block(piece: Fence, block: Block, reading: Reading) -> str:
    if piece.closing is None or _touched(piece, reading):
        return _raw(piece)
    if not isinstance(block, Lick):
        return _assemble(piece, setting_lines(block.settings))
    if block.phrase is None:
        return _raw(piece)
    lines = lick_lines(block)
    same = _means_the_same(lines, piece, block, reading)
    return _assemble(piece, lines) if same else _raw(piece)


def _means_the_same(lines: list[str], piece: Fence, block: Lick, reading: Reading) -> bool:
    """A last look: if the tidy block did not read as an equal one, it is better left alone."""
    inner = tuple(Line(number, text) for number, text in enumerate(lines, start=1))
    problems = Problems()
    again = read_lick(replace(piece, inner=inner), reading.lesson.settings, problems)
    return again == block and not len(problems)


def _assemble(piece: Fence | FrontMatter, lines: list[str]) -> str:
    assert piece.closing is not None
    ending = piece.opening.ending or "\n"
    return piece.opening.raw + "".join(line + ending for line in lines) + piece.closing.raw


def _raw(piece: Piece) -> str:
    if isinstance(piece, Prose):
        return piece.raw
    closing: tuple[Line, ...] = (piece.closing,) if piece.closing is not None else ()
    return "".join(line.raw for line in (piece.opening, *piece.inner, *closing))
