"""How is an explanation shown in a terminal?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from typing import Any

from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from lickwright.phrase import Phrase
from lickwright.reasons import (
    Explanation,
    Fit,
    Grade,
    Survey,
    Tone,
    fit,
    mend_words,
    percent,
    scales_with,
    serves,
    usual_chords,
)
from lickwright.theory import Chord

MOST = 4  # scales and chords named in one line


def print_explanation(
    console: Console, why: Explanation, survey: Survey, chords: Sequence[Chord], every: bool,
    simple: bool,
) -> None:  # fmt: skip
    """Print one phrase: why it works, where else, how hard it is, what is new in it."""
    phrase = why.phrase
    reasons = why.reasons if every else why.shown
    title = phrase.title or phrase.name
    parts: list[RenderableType] = [Text(f"{title}, {phrase.key.pretty}", style="bold")]
    parts += [_bullet(reason.simple if simple else reason.text) for reason in reasons]
    if len(why.reasons) > len(reasons):
        more = len(why.reasons) - len(reasons)
        parts.append(_line(f"({more} more with --all)"))
    fits = [found for chord in chords or usual_chords(phrase.key)
            for found in [fit(phrase, why.tones, chord)] if found is not None]  # fmt: skip
    if fits:
        parts += [_line("Where else it works"), _fits(fits, phrase), *_serving(why)]
    parts += [_line(text) for text in _hardness(survey.grades[phrase.name])]
    if survey.new[phrase.name]:
        parts.append(_line(f"New in this phrase: {', '.join(survey.new[phrase.name])}"))
    console.print(Group(*parts), "", highlight=False)


def print_survey(console: Console, survey: Survey, titles: dict[str, str]) -> None:
    """Print what holds of the whole lesson."""
    order = [f"{titles[name]} ({survey.grades[name].total})" for name in survey.order]
    parts: list[RenderableType] = [Text("The lesson", style="bold")]
    parts.append(_line(f"Easiest first: {', '.join(order)}."))
    parts += [_line(gap) for gap in survey.gaps]
    console.print(Group(*parts), highlight=False)


def _bullet(text: str) -> RenderableType:
    grid = Table.grid(padding=(0, 1))
    grid.add_row("  -", text)
    return grid


def _line(text: str) -> RenderableType:
    return Padding(Text(text), (0, 0, 0, 2), expand=False)


def _fits(fits: Sequence[Fit], phrase: Phrase) -> RenderableType:
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for name in ("over", "", "chord / scale / outside", "because"):
        table.add_column(name, header_style="dim", no_wrap=name != "because")
    for found in fits:
        why = found.why
        if found.mend is not None:
            why += f". {mend_words(found.mend, phrase)}"
        shares = [percent(share) for share in (found.on_chord, found.on_scale, found.outside)]
        table.add_row(found.chord.pretty, found.verdict.words, " / ".join(shares), why)
    return Padding(table, (0, 0, 0, 4), expand=False)


def _serving(why: Explanation) -> Iterator[RenderableType]:
    scales = [f"{tonic.pretty} {kind.value}" for kind, tonic in scales_with(why.tones)]
    if scales:
        yield _line(f"All its notes lie in: {_some(scales)}")
    homes = [found.chord.pretty for found in serves(why.phrase, why.tones)]
    if homes:
        yield _line(f"At home over: {_some(homes)}")


def _some(words: Sequence[str]) -> str:
    more = f" and {len(words) - MOST} more" if len(words) > MOST else ""
    return ", ".join(words[:MOST]) + more


def _hardness(grade: Grade) -> Iterator[str]:
    shares = [f"{part.name} {part.points} ({part.measure})" for part in grade.parts if part.points]
    yield f"How hard: {grade.total} = {' + '.join(shares)}"


def explanation_json(why: Explanation, survey: Survey, chords: Sequence[Chord]) -> dict[str, Any]:
    """One phrase as plain values: tones, reasons, fits, grade. Shares and beats as fractions."""
    phrase = why.phrase
    over = [fit(phrase, why.tones, chord) for chord in chords or usual_chords(phrase.key)]
    return {
        "phrase": phrase.name,
        "tones": [_tone_json(tone, why) for tone in why.tones],
        "reasons": [
            {"kind": r.kind, "text": r.text, "simple": r.simple, "notes": r.notes}
            for r in why.reasons
        ],
        "fits": [_fit_json(found, phrase) for found in over if found is not None],
        "scales": [f"{tonic} {kind.value}" for kind, tonic in scales_with(why.tones)],
        "grade": {
            "total": survey.grades[phrase.name].total,
            "parts": [asdict(part) for part in survey.grades[phrase.name].parts],
        },
        "new": survey.new[phrase.name],
        "order": survey.order.index(phrase.name) + 1,
        "gaps_of_the_lesson": survey.gaps,
    }


def _tone_json(tone: Tone, why: Explanation) -> dict[str, Any]:
    return {
        "note": tone.note.id,
        "how": tone.how.value,
        "sounds": str(tone.name),
        "quarter_sharp": bool(tone.sharp),
        "degree": tone.degree_text,
        "chord": str(tone.chord) if tone.chord else None,
        "place": tone.place.words if tone.place else None,
        "standing": tone.place.standing.value if tone.place else None,
        "in_scales_of_key": [kind.value for kind in tone.of_key],
        "in_scales_of_chord": [kind.value for kind in tone.of_chord],
        "strength": tone.strength,
        "metrical_level": tone.level,
        "beat": str(tone.start),
        "lasts": str(tone.lasts),
        "motion": [kind.value for kind in why.motions.get((tone.note.id, tone.index), ())],
    }


def _fit_json(found: Fit, phrase: Phrase) -> dict[str, Any]:
    return {
        "chord": str(found.chord),
        "verdict": found.verdict.words,
        "because": found.why,
        "on_chord": str(found.on_chord),
        "on_scale": str(found.on_scale),
        "outside": str(found.outside),
        "clashes": [tone.note.id for tone in found.clashes],
        "last_note": found.last.words if found.last else None,
        "mend": mend_words(found.mend, phrase) if found.mend else None,
    }
