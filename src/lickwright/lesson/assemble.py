"""How long does each note of a lick last, what is it called, and what phrase do they make?"""

from __future__ import annotations

import itertools
from bisect import bisect_right
from dataclasses import dataclass, field
from fractions import Fraction

from lickwright.lesson.drafts import Beat, Draft, Rest, Run
from lickwright.lesson.ends import natural_end, next_count
from lickwright.lesson.settings import Settings
from lickwright.phrase import (
    Bar,
    ChordAt,
    Link,
    Note,
    Phrase,
    Span,
    Timing,
    count_name,
)
from lickwright.theory import Key, Mode, parse_key


@dataclass(slots=True)
class Score:
    """All that was read of a lick, in beats."""

    bars: list[Bar] = field(default_factory=list)
    runs: list[Run] = field(default_factory=list)
    rests: list[Rest] = field(default_factory=list)
    chords: list[ChordAt] = field(default_factory=list)
    spans: list[Span] = field(default_factory=list)  # ends are last covered counts until assembled


def assemble(name: str, settings: Settings, score: Score) -> Phrase:
    """Make the phrase: ends, names and order of all notes."""
    end = score.bars[-1].end
    counts = [count.beat for bar in score.bars for count in bar.counts]
    _set_ends(score, counts, end)
    notes = [_note(name, draft, settings) for run in score.runs for draft in run]
    notes.sort(key=lambda n: (n.onset, n.order, -n.string))
    key = settings.key or _key_of(score.chords)
    spans = tuple(
        sorted(
            (Span(s.mark, s.start, next_count(counts, s.end, end)) for s in score.spans),
            key=lambda s: (s.start, s.end, s.mark.value),
        )
    )
    return Phrase(
        name,
        key,
        tuple(score.bars),
        tuple(notes),
        tuple(score.chords),
        spans,
        settings.meter,
        settings.tempo,
        settings.feel,
        settings.tuning,
        settings.capo,
        settings.title,
    )


def _key_of(chords: list[ChordAt]) -> Key:
    """The key of a lick that names none: that of its first chord, else C."""
    for at in chords:
        if at.chord.tones:
            third = next((tone for tone in at.chord.tones if tone.role == 3), None)
            minor = third is not None and third.semitones == 3
            return Key(at.chord.root, Mode.MINOR if minor else Mode.MAJOR)
    return parse_key("C")


def _set_ends(score: Score, counts: list[Beat], end: Beat) -> None:
    strikes = sorted(
        {d.onset for run in score.runs for d in run if d.timing is not Timing.QUICK and d.struck}
    )
    by_string: dict[int, list[Beat]] = {}
    for run in score.runs:
        by_string.setdefault(run[0].string, []).append(run[0].onset)
    for onsets in by_string.values():
        onsets.sort()
    for run in score.runs:
        for draft, following in itertools.pairwise(run):
            draft.end = following.onset
        last = run[-1]
        if last.timing is Timing.GRACE:
            last.end = last.onset
            continue
        stop = natural_end(last.last_beat(), last.string, strikes, score.rests, end)
        held = (beat for beat in (last.held_to, last.ring_to) if beat is not None)
        stop = max([stop, *(next_count(counts, beat, end) for beat in held)])
        starts = by_string[last.string]
        last.end = min([stop, *starts[bisect_right(starts, last.onset) :][:1]])


def _note(name: str, draft: Draft, settings: Settings) -> Note:
    start = Fraction((draft.bar - 1) * settings.meter.beats)
    count = count_name(draft.onset - start, settings.meter)
    if draft.timing is Timing.GRACE:
        count += f"-g{-draft.order}"
    elif draft.timing is Timing.QUICK:
        count += f"-q{draft.order}"
    return Note(
        id=f"{name}/{draft.bar}/{count}/{draft.string}",
        string=draft.string,
        fret=draft.fret,
        onset=draft.onset,
        end=draft.end,
        timing=draft.timing,
        order=draft.order,
        bar=draft.bar,
        entry=draft.entry,
        link=Link(draft.link, draft.link_start) if draft.link else None,
        gestures=tuple(draft.gestures),
        off=draft.off,
        ghost=draft.ghost,
        harmonic=draft.harmonic,
        dead=draft.dead,
        finger=draft.finger,
        stroke=draft.stroke,
        marks=frozenset(draft.marks),
    )
