"""Under which beams and tuplets does each event of a layer stand in MEI?"""

from __future__ import annotations

from itertools import groupby

from lickwright.phrase.score import ScoreEvent

Item = tuple[ScoreEvent, str, str]  # MEI of the small notes before an event, and of itself


def nest(items: list[Item], around: list[str]) -> str:
    """Put events under their beams and tuplets; small notes stand before an opening beam."""
    parts = []
    for (kind, _), members in groupby(items, lambda item: _outer(item[0], items, around)):
        group = list(members)
        if kind == "":
            parts += [before + body for _, before, body in group]
            continue
        first = group[0]
        inner = [(first[0], "", first[2]), *group[1:]]
        if kind == "beam":
            parts.append(f"{first[1]}<beam>{nest(inner, [*around, kind])}</beam>")
        else:
            tuplet = first[0].tuplet
            assert tuplet is not None
            beamed = "beam" in around or (
                first[0].beam is not None and len({e.beam for e, _, _ in group}) == 1
            )
            bracket = "false" if beamed else "true"
            parts.append(
                f'{first[1]}<tuplet num="{tuplet.actual}" numbase="{tuplet.normal}" '
                f'bracket.visible="{bracket}">{nest(inner, [*around, kind])}</tuplet>'
            )
    return "".join(parts)


def _outer(event: ScoreEvent, items: list[Item], around: list[str]) -> tuple[str, object]:
    """The widest beam or tuplet, not yet open, that an event stands under."""
    beam = event.beam if "beam" not in around else None
    tuplet = event.tuplet if "tuplet" not in around else None
    if beam is None and tuplet is None:
        return "", None
    under_beam = sum(e.beam == beam for e, _, _ in items) if beam is not None else 0
    in_tuplet = sum(e.tuplet == tuplet for e, _, _ in items) if tuplet is not None else 0
    if tuplet is not None and in_tuplet >= under_beam:
        return "tuplet", tuplet
    return "beam", beam
