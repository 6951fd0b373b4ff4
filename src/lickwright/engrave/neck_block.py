"""Which map does a lesson's neck block ask for?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from lickwright.engrave.neck_phrase import USUAL_FRETS, phrase_map
from lickwright.engrave.neck_scales import chord_map, pattern_at, scale_map
from lickwright.engrave.neck_spec import Board, NeckMapError, NeckSpec
from lickwright.lesson import Neck
from lickwright.phrase import STANDARD, Phrase, Tuning
from lickwright.theory import ScaleKind


def block_map(
    block: Neck,
    phrases: Mapping[str, Phrase],
    *,
    tuning: Tuning = STANDARD,
    capo: int = 0,
    left_handed: bool = False,
) -> NeckSpec:
    """The map of a neck block. `phrases`: those of the lesson, by name.

    Raises NeckMapError with what is missing or impossible, in plain words.
    """
    if block.lick:
        phrase = phrases.get(block.lick)
        if phrase is None:
            raise NeckMapError(f"the lick {block.lick} cannot be read, so its way cannot be shown")
        made = phrase_map(phrase, show=block.show, frets=block.frets, left_handed=left_handed)
    else:
        board = Board(
            tuning, capo, max(USUAL_FRETS, (block.frets or (0, 0))[1] + capo), left_handed
        )
        made = _tones_map(block, board)
    name = f"{block.name} {made.name}" if block.name else made.name
    return replace(made, name=name, worksheet=block.worksheet)


def _tones_map(block: Neck, board: Board) -> NeckSpec:
    if block.chord is not None:
        return chord_map(block.chord, board, frets=_chord_frets(block, board), show=block.show)
    if block.scale is None:
        raise NeckMapError("a neck map shows a scale, a chord or a lick; this one names none")
    if block.key is None:
        raise NeckMapError("a scale needs a key: write key: A, here or at the top of the file")
    return scale_map(
        block.scale, block.key.tonic, board, pattern=block.pattern, frets=block.frets,
        show=block.show,
    )  # fmt: skip


def _chord_frets(block: Neck, board: Board) -> tuple[int, int] | None:
    """Where a chord is shown: its frets, or those of the pattern that it is to be found in."""
    if block.frets is not None or block.pattern is None:
        return block.frets
    if block.key is None:
        raise NeckMapError("a pattern needs a key: write key: A, here or at the top of the file")
    kind = ScaleKind.MINOR_PENTATONIC
    found = pattern_at(kind, block.key.tonic, board, block.pattern)
    return found.fret, min(board.highest, max(place.fret for place in found.places))
