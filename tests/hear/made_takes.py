"""Made takes of a phrase: played with known mistakes, and the truth about each.

A take is planned first (which notes are wrong, missed, late, flat …), then sounded by one of the
voices in `take_voices`. All numbers come from the seed, so the same seed gives the same take.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import pairwise
from random import Random

from lickwright.phrase import Bend, Link, LinkKind, Note, NoteTime, Performance, Phrase, perform

JITTER = 0.005  # seconds
BENDS_OFF = (*range(-80, -9, 10), 10, 20, 30, 40)  # cents


@dataclass(frozen=True)
class DriftingClock:
    """Beats to seconds at a tempo that changes by `drift` (a share) over `length` seconds."""

    plain: object
    drift: float = 0.0
    length: float = 1.0

    def seconds(self, beat: Fraction) -> float:
        at = self.plain.seconds(beat)
        return at + self.drift * (at * at / (2 * self.length) - at / 2)

    @property
    def beat_seconds(self) -> float:
        return self.plain.beat_seconds

    @property
    def feel(self):
        return self.plain.feel


@dataclass(frozen=True)
class Plan:
    """What is done to a phrase. Ids of notes; cents, seconds and shares."""

    ratio: float = 1.0  # of the written tempo
    drift: float = 0.0
    jitter: float = JITTER
    detune: float = 0.0  # cents
    lead: float = 0.6  # seconds before the first count
    tail: float = 1.2
    wrong: dict[str, int] = field(default_factory=dict)  # semitones
    missed: tuple[str, ...] = ()
    added: tuple[str, ...] = ()  # a stroke in the middle of this note
    bends: dict[str, float] = field(default_factory=dict)  # cents
    shifts: dict[str, float] = field(default_factory=dict)  # seconds
    false_start: int = 0  # onsets
    gap: float = 1.0  # seconds behind a false start
    seed: int = 0


@dataclass(frozen=True)
class TrueNote:
    id: str
    verdict: str  # played, wrong, missed
    begin: float = 0.0
    start: float = 0.0
    end: float = 0.0
    midi: float = 0.0  # as struck, without the detuning
    bend_off: float = 0.0
    off_beat: float = 0.0  # seconds from the player's own beat: jitter and shift


@dataclass(frozen=True)
class Planned:
    """A take ready to be sounded: performances with the seconds at which they begin."""

    phrase: Phrase
    plan: Plan
    parts: tuple[tuple[float, Performance], ...]
    seconds: float
    notes: tuple[TrueNote, ...]
    added: tuple[tuple[float, float], ...]  # seconds, MIDI number
    tempo: float


def plan_take(phrase: Phrase, seed: int, mistakes: int | None = None) -> Planned:
    """A take after the recipe: up to three mistakes unless said how many."""
    rng = Random(f"{phrase.name}/{seed}")
    plan = Plan(
        ratio=rng.uniform(0.92, 1.08),
        drift=rng.uniform(-0.08, 0.08) * (rng.random() < 0.5),
        detune=rng.uniform(-30, 30) * (rng.random() < 0.5),
        lead=rng.uniform(0.3, 2.0),
        tail=rng.choice((0.6, 1.2, 1.2, 6.0)),
        false_start=rng.randint(2, 4) if rng.random() < 0.25 else 0,
        gap=rng.uniform(0.7, 1.6),
        seed=seed,
    )
    wanted = rng.choice((0, 1, 2, 3)) if mistakes is None else mistakes
    for _ in range(wanted):
        plan = _with_mistake(phrase, plan, rng)
    return carried_out(phrase, plan)


def _with_mistake(phrase: Phrase, plan: Plan, rng: Random) -> Plan:
    used = {*plan.wrong, *plan.missed, *plan.added, *plan.bends, *plan.shifts}
    used |= {n.id for n in phrase.notes for u in used if n.onset == _note(phrase, u).onset}
    free = [n for n in phrase.notes if n.id not in used and not n.dead]
    kind = rng.choice(("bend", "shift", "missed", "wrong", "added"))
    bent = [n for n in free if n.bend is not None]
    if kind == "bend" and bent:
        return replace(plan, bends=plan.bends | {rng.choice(bent).id: rng.choice(BENDS_OFF)})
    if kind == "shift":
        return _with_shift(phrase, plan, rng, free)
    plain = [n for n in free if not n.gestures and n.timing.value == "counted" and n.order == 0]
    if kind == "missed" and plain:
        return replace(plan, missed=(*plan.missed, rng.choice(plain).id))
    ends = {run[-1].id for run in phrase.runs}
    struck = [n for n in plain if n.link is None and n.entry is None and n.id in ends]
    if kind == "wrong" and struck:
        note = rng.choice(struck)
        steps = [s for s in (-2, -1, 1, 2) if note.fret + s >= 0]
        return replace(plan, wrong=plan.wrong | {note.id: rng.choice(steps)})
    if kind == "added":
        seconds = phrase.clock.beat_seconds
        long = [
            n for n in plain
            if float(n.end - n.onset) * seconds > 0.3 and _alone(phrase, n)
        ]  # fmt: skip
        if long:
            return replace(plan, added=(*plan.added, rng.choice(long).id))
    return plan


def _note(phrase: Phrase, note_id: str) -> Note:
    return next(n for n in phrase.notes if n.id == note_id)


def _alone(phrase: Phrase, note: Note) -> bool:
    return all(
        other is note or other.end <= note.onset or other.onset >= note.end
        for other in phrase.notes
    )  # fmt: skip


def _with_shift(phrase: Phrase, plan: Plan, rng: Random, free: list[Note]) -> Plan:
    onsets = sorted({n.onset for n in phrase.notes})
    able = [n for n in free if n.link is None and n.order == 0 and n.onset not in onsets[:1]]
    if not able:
        return plan
    note = rng.choice(able)
    clock = phrase.clock.at_tempo(phrase.tempo * Fraction(plan.ratio))
    seconds = [clock.seconds(o) for o in (*onsets, phrase.end)]
    index = onsets.index(note.onset)
    late = rng.random() < 0.6
    gap = seconds[index + 1] - seconds[index] if late else seconds[index] - seconds[index - 1]
    size = min(rng.uniform(0.02, 0.12), 0.6 * gap)
    together = {n.id: size if late else -size for n in phrase.notes if n.onset == note.onset}
    return replace(plan, shifts=plan.shifts | together)


def carried_out(phrase: Phrase, plan: Plan) -> Planned:
    """The performance that a plan leads to, and the truth about it."""
    rng = Random(f"jitter/{phrase.name}/{plan.seed}")
    changed, added = _changed(phrase, plan)
    clock = phrase.clock.at_tempo(phrase.tempo * Fraction(plan.ratio))
    drifting = DriftingClock(clock, plan.drift, clock.seconds(phrase.end))
    exact = perform(changed, drifting)
    jitter = {onset: rng.gauss(0, plan.jitter) for onset in sorted({n.onset for n in phrase.notes})}
    performance, moved = _moved(exact, plan, jitter)
    parts: list[tuple[float, Performance]] = []
    lead = plan.lead
    if plan.false_start:
        first = _first_onsets(performance, plan.false_start)
        parts.append((lead, first))
        lead += max(t.end for t in first.times) + plan.gap
    parts.append((lead, performance))
    notes = tuple(_truth(phrase, n, plan, performance, moved, lead) for n in phrase.notes)
    by_id = {t.note.id: t for t in performance.times}
    extra = tuple(
        (lead + by_id[name].begin, float(phrase.tuning.midi(by_id[name].note.string,
         by_id[name].note.fret, phrase.capo))) for name in added
    )  # fmt: skip
    seconds = lead + performance.length + plan.tail
    tempo = float(phrase.tempo) * plan.ratio
    return Planned(phrase, plan, tuple(parts), seconds, notes, extra, tempo)


def _changed(phrase: Phrase, plan: Plan) -> tuple[Phrase, list[str]]:
    """The phrase as it is played: wrong frets, bends off, notes left out and put in."""
    rng = Random(f"added/{phrase.name}/{plan.seed}")
    notes: list[Note] = []
    added: list[str] = []
    for note in phrase.notes:
        if note.id in plan.missed:
            continue
        made = replace(note, fret=note.fret + plan.wrong.get(note.id, 0))
        if note.id in plan.bends:
            made = replace(made, gestures=_bent_off(note, plan.bends[note.id]))
        if note.id in plan.added:
            middle = note.onset + (note.end - note.onset) * Fraction(rng.choice((2, 3)), 5)
            fret = max(0, note.fret + rng.choice((-3, -2, 2, 3, 4)))
            fret = fret if fret != note.fret else note.fret + 2
            name = f"added/{note.id}"
            notes.append(replace(made, end=middle))
            notes.append(Note(name, note.string, fret, middle, note.end, bar=note.bar))
            added.append(name)
            continue
        notes.append(made)
    return replace(phrase, notes=tuple(_joined_up(phrase, notes, plan.missed))), added


def _bent_off(note: Note, cents: float) -> tuple:
    return tuple(
        replace(g, to=g.to + Fraction(round(cents), 100)) if isinstance(g, Bend) else g
        for g in note.gestures
    )


def _joined_up(phrase: Phrase, notes: Iterable[Note], missed: tuple[str, ...]) -> list[Note]:
    """Where a note of a run is left out, what is before it rings on to what is after it."""
    made = list(notes)
    gone = [n for n in phrase.notes if n.id in missed]
    for note in gone:
        run = next(r for r in phrase.runs if note in r)
        place = run.index(note)
        before = run[place - 1].id if place else None
        after = run[place + 1].id if place + 1 < len(run) else None
        for index, other in enumerate(made):
            if other.id == before:
                made[index] = replace(other, end=note.end)
            if other.id == after:
                link = None
                if before is not None:
                    previous = next(n for n in made if n.id == before)
                    up = other.fret > previous.fret
                    link = Link(LinkKind.HAMMER if up else LinkKind.PULL)
                    if other.fret == previous.fret:
                        link = None
                made[index] = replace(other, link=link)
    return made


def _moved(exact: Performance, plan: Plan, jitter: dict) -> tuple[Performance, dict[str, float]]:
    moved: dict[str, float] = {}
    for run in exact.phrase.runs:
        first = run[0]
        late = jitter.get(first.onset, 0.0)
        late += plan.shifts.get(first.id, 0.0)
        moved |= {note.id: late for note in run}
    times = [
        NoteTime(t.note, *(s + moved[t.note.id] for s in (t.begin, t.start, t.end)))
        for t in exact.times
    ]
    ends: dict[str, float] = {}
    for string in {t.note.string for t in times}:
        own = sorted((t for t in times if t.note.string == string), key=lambda t: t.begin)
        for time, after in pairwise(own):
            touching = after.note.onset <= time.note.end
            ends[time.note.id] = after.begin if touching else min(time.end, after.begin)
    fixed = tuple(replace(t, end=max(t.start, ends.get(t.note.id, t.end))) for t in times)
    return Performance(exact.phrase, exact.clock, fixed), moved


def _first_onsets(performance: Performance, count: int) -> Performance:
    onsets = sorted({t.note.onset for t in performance.times})
    last = onsets[min(count, len(onsets) - 1)]
    kept = tuple(t for t in performance.times if t.note.onset < last)
    stop = min(t.begin for t in performance.times if t.note.onset >= last)
    cut = tuple(replace(t, end=min(t.end, stop)) for t in kept)
    phrase = replace(performance.phrase, notes=tuple(t.note for t in cut))
    return Performance(phrase, performance.clock, cut)


def _truth(
    phrase: Phrase, note: Note, plan: Plan, performance: Performance, moved: dict, lead: float
) -> TrueNote:
    if note.id in plan.missed:
        return TrueNote(note.id, "missed")
    time = next(t for t in performance.times if t.note.id == note.id)
    verdict = "wrong" if note.id in plan.wrong else "played"
    midi = performance.phrase.midi(time.note) or 0.0
    places = [lead + s for s in (time.begin, time.start, time.end)]
    off = plan.bends.get(note.id, 0.0)
    return TrueNote(note.id, verdict, *places, midi, off, moved[note.id])
