"""Do the blocks of a lesson name licks that it has?"""

from __future__ import annotations

import re

from lickwright.lesson.blocks import Band, Neck, Solo, Stage
from lickwright.lesson.document import Fence, Line
from lickwright.lesson.lick import Lick
from lickwright.lesson.problems import Fix, Problems, near

Block = Lick | Neck | Band | Solo | Stage
MOST_GUESSED = 200  # names of licks that are looked at for a likely one


def check_references(blocks: list[tuple[Block, Fence]], problems: Problems) -> None:
    """Note each name of a lick that no lick of the lesson has."""
    names = dict.fromkeys(fence.name for _, fence in blocks if fence.kind == "lick" and fence.name)
    known = tuple(names)[:MOST_GUESSED]
    for block, fence in blocks:
        lines = {line.number: line for line in fence.inner}
        for name, number in _references(block, fence.opening.number):
            if name not in names:
                _note(name, lines.get(number, fence.opening), known, problems)


def _note(name: str, line: Line, known: tuple[str, ...], problems: Problems) -> None:
    guess = near(name, known)
    found = re.search(rf"(?<![a-z0-9-]){re.escape(name)}(?![a-z0-9-])(?!\s*:)", line.text)
    column, fixes = 1, []
    if found:
        column = found.start() + 1
        if guess:
            mended = line.text[: found.start()] + guess + line.text[found.end() :]
            fixes = [Fix(line.number, mended)]
    what = f"no lick of this lesson is called '{name}'"
    what += f"; did you mean {guess}?" if guess else ""
    mend = guess or ", ".join(known[:8]) or "write the lick first"
    problems.add(line.number, column, "lick", what, mend, fixes)


def _references(block: Block, line: int) -> list[tuple[str, int]]:
    """Names of licks in a block, each with its line; `line`: that of the opening fence."""
    lines = {setting.name: setting.line for setting in block.settings}
    match block:
        case Neck(lick=lick) if lick:
            return [(lick, lines["lick"])]
        case Stage():
            return [(name, lines["phrases"]) for name in block.phrases]
        case Solo():
            return [(p.lick, lines.get(f"bar {p.bar}", line)) for p in block.placements]
        case _:
            return []
