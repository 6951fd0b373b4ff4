"""On which lines does a phrase stand, and is there room on them for all that the tab asks?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from lickwright.engrave.above import margin
from lickwright.engrave.breaks import line_starts
from lickwright.engrave.mei import MeiWriter
from lickwright.engrave.notation import NotationSystem, read_systems
from lickwright.engrave.places import known_places
from lickwright.engrave.sent import Sent
from lickwright.engrave.spacing import Room, wanted_room
from lickwright.engrave.style import Style
from lickwright.engrave.tokens import Column
from lickwright.engrave.typeset import typeset
from lickwright.phrase import Phrase
from lickwright.phrase.score import ScoreBar
from lickwright.theory import Pitch

MOST_TRIES = 4
SQUEEZED = 0.975  # a line set closer than this share of what was asked is too full
MOST_STRETCHED = 1.25  # a line wider than this share of its natural width looks empty
LEAST_SHARE = 0.6
RIGHT_EDGE = 0.1
END_AIR = 0.4  # what may be missing before a bar line, sp


def set_lines(
    phrase: Phrase,
    style: Style,
    bars: tuple[ScoreBar, ...],
    columns: Mapping[Fraction, Column],
    spelled: Mapping[str, Pitch],
) -> tuple[list[NotationSystem], Sent]:
    """Set the notation on lines that are about equally full.

    verovio squeezes a line that is too full for the page. So the page is made as wide as the
    widest bar, and where the estimate of a bar was too small, it is corrected and set anew.
    """
    room = wanted_room(phrase, style, columns)
    wanted = style.width - margin(phrase) - RIGHT_EDGE
    for _ in range(MOST_TRIES):
        widest = max(wanted, max(room.widths) + room.signs[0])
        starts = line_starts(room.widths, room.signs, widest)
        width = min(widest, _fullest(room, starts) * MOST_STRETCHED)
        writer = MeiWriter(phrase, bars, room, spelled, signs=style.notation)
        sent = writer.write(phrase.bars[i].number for i in starts)
        systems = read_systems(typeset(sent.mei, style, width=width), sent)
        shares = _shares(systems, sent, room)
        if all(share >= SQUEEZED for share in shares.values()):
            break
        wider = [
            old / min(1.0, shares.get(f"m{bar.number}", 1.0))
            for bar, old in zip(phrase.bars, room.widths, strict=True)
        ]
        room = replace(room, widths=tuple(wider))
    return systems, sent


def _fullest(room: Room, starts: list[int]) -> float:
    """Natural width of the widest line, signs included, if lines begin at these bars."""
    edges = [0, *starts, len(room.widths)]
    return max(room.signs[a > 0] + sum(room.widths[a:b]) for a, b in pairwise(edges))


def _shares(systems: list[NotationSystem], sent: Sent, room: Room) -> dict[str, float]:
    """For each bar (by measure id) how much of the room asked for its line gives, at worst."""
    shares: dict[str, float] = {}
    for system in systems:
        places = sorted(known_places(system, sent).items())
        gaps = [
            (b[1] - a[1]) / room.after[a[0]]
            for a, b in pairwise(places)
            if a[0] in room.after and a[0] not in room.last
        ]
        edges = dict(zip(system.bars, system.bar_lines, strict=False))
        for beat, x in places:
            edge = edges.get(room.last.get(beat, ""))
            if edge is not None:
                gaps.append((edge - x + END_AIR) / room.after[beat])
        worst = max(min([1.0, *gaps]), LEAST_SHARE)
        shares |= dict.fromkeys(system.bars, worst)
    return shares
