"""Is the take this phrase at all?"""

from __future__ import annotations

from lickwright.hear.take import Take
from lickwright.hear.verdicts import Doubt, DoubtReason, NoteHeard, Verdict

POOR, VERY_POOR = 0.9, 1.3  # cost of the alignment for each event
FEW, VERY_FEW = 0.6, 0.4  # share of the written notes that are heard


def doubt_of(take: Take, notes: tuple[NoteHeard, ...]) -> tuple[Doubt, tuple[DoubtReason, ...]]:
    """Doubt about a whole take, and what it rests on."""
    asked = [n for n in notes if n.written is not None]
    heard = sum(n.verdict is Verdict.PLAYED for n in asked) / max(1, len(asked))
    cost = take.alignment.cost_per_event
    if not (take.found.strength > 0.3).any():
        return Doubt.NOT_THIS_PHRASE, (DoubtReason.NOTHING_HEARD,)
    reasons = []
    if heard < FEW:
        reasons.append(DoubtReason.FEW_NOTES_FOUND)
    if cost > POOR:
        reasons.append(DoubtReason.POOR_FIT)
    if heard < VERY_FEW or cost > VERY_POOR:
        return Doubt.NOT_THIS_PHRASE, tuple(reasons)
    return (Doubt.DOUBTFUL if reasons else Doubt.NONE), tuple(reasons)
