"""Which stretches, jumps and trills of a fingered phrase are too much for a hand?"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from lickwright.neck.fingering import Fingering, HandFault
from lickwright.neck.hand import NUMBER, FaultKind, reach
from lickwright.neck.hold import fretted
from lickwright.neck.trouble import (
    FOURTH_TRILL_SHARE,
    JUMP_MS,
    JUMP_MS_A_MM,
    LEAST_JUMP_FRETS,
    TRILL_SECONDS,
    Measure,
    Trouble,
    TroubleKind,
    on_string,
)
from lickwright.phrase import Finger, Note, perform


def hand_troubles(fingering: Fingering) -> Iterator[Trouble]:
    """Stretches, fingers in each other's way, jumps, trills, and two notes on one string."""
    yield from _same_string(fingering.phrase.notes)
    for fault in fingering.faults:
        yield _fault_trouble(fingering, fault)
    yield from _jumps(fingering)
    yield from _trills(fingering)


def _same_string(notes: tuple[Note, ...]) -> Iterator[Trouble]:
    for _, group in groupby(notes, key=lambda note: (note.onset, note.order)):
        together = list(group)
        for string in {note.string for note in together}:
            twins = [note for note in together if note.string == string]
            if len(twins) > 1:
                words = f"{len(twins)} notes on one string at once: only one of them can sound"
                measure = Measure("notes on the string", len(twins), "notes", 1)
                yield Trouble(
                    TroubleKind.SAME_STRING, tuple(n.id for n in twins), (measure,), words
                )


def _fault_trouble(fingering: Fingering, found: HandFault) -> Trouble:
    fault = found.fault
    notes = [note for note in fingering.phrase.notes if note.id in found.note_ids]
    frets = sorted({note.fret for note in notes})
    where = f"fret {frets[0]}" if len(frets) == 1 else f"frets {frets[0]} and {frets[-1]}"
    told = Measure("lowest fret", frets[0], "fret")
    if fault.kind is FaultKind.STRETCH:
        low, high = (f"{NUMBER[finger]}" for finger in fault.fingers)
        words = (
            f"fingers {low} and {high} would be {fault.measured:.0f} mm apart at {where}; "
            f"this hand reaches {fault.limit:.0f} mm"
        )
        apart = Measure("fingers apart", fault.measured, "mm", fault.limit)
        return Trouble(TroubleKind.STRETCH, found.note_ids, (apart, told), words)
    words = f"no hand can hold this at {where}: {fault.kind.value}"
    measures: tuple[Measure, ...] = (told,)
    if fault.kind is FaultKind.BARRE_WIDE:
        measures = (Measure("barre", fault.measured, "strings", fault.limit), told)
    return Trouble(TroubleKind.FINGERS, found.note_ids, measures, words)


def _jumps(fingering: Fingering) -> Iterator[Trouble]:
    neck, stages = fingering.lattice.who.neck, fingering.lattice.stages
    start, seconds = 0, 0.0
    before: tuple[str, ...] = ()
    for stage, state, rest in zip(stages, fingering.way, fingering.rests, strict=True):
        seconds += stage.seconds
        if not fretted(state.holds):
            continue
        frets = state.position - start - stage.pace.slide
        if start and abs(frets) >= LEAST_JUMP_FRETS:
            mm = neck.distance(start + stage.pace.slide, state.position)
            yield from _jump(before + rest.note_ids, abs(frets), mm, seconds * 1000)
        start, seconds, before = state.position, 0.0, rest.note_ids


def jump_ms(mm: float) -> float:
    """Milliseconds that a hand needs to move `mm` along the neck."""
    return JUMP_MS + JUMP_MS_A_MM * mm


def _jump(ids: tuple[str, ...], frets: int, mm: float, ms: float) -> Iterator[Trouble]:
    needed = jump_ms(mm)
    if ms >= needed:
        return
    words = (
        f"the hand has {ms:.0f} ms to move {frets} frets ({mm:.0f} mm); "
        f"it needs about {needed:.0f} ms"
    )
    measures = (
        Measure("time it needs", needed, "ms", ms),
        Measure("way", mm, "mm"),
        Measure("way in frets", frets, "frets"),
    )
    yield Trouble(TroubleKind.JUMP, tuple(dict.fromkeys(ids)), measures, words)


def _trills(fingering: Fingering) -> Iterator[Trouble]:
    phrase, guitar = fingering.phrase, fingering.lattice.who.guitar
    if not fingering.trills:
        return
    ends = {time.note.id: time.end for time in perform(phrase).times}
    for note in phrase.notes:
        trill, other = note.trill, fingering.trills.get(note.id)
        if trill is None or other is None:
            continue
        wound = guitar.string(note.string).wound
        start = note.onset if trill.start is None else trill.start
        seconds = ends[note.id] - phrase.clock.seconds(start)
        own = fingering.fingers.get(note.id)
        most = TRILL_SECONDS[wound]
        if Finger.FOURTH in (own, other):
            most *= FOURTH_TRILL_SHARE
        reached = _trill_reach(fingering, note, trill.fret, own, other)
        over = [m for m in reached if m.limit is not None and m.value > m.limit]
        if seconds > most or over:
            yield _trill_trouble(fingering, note, seconds, most, reached)


def _trill_reach(
    fingering: Fingering, note: Note, fret: int, own: Finger | None, other: Finger
) -> list[Measure]:
    """How far the two fingers of a trill are apart; nothing if one note is an open string."""
    if own is None or NUMBER.get(own, 0) < 1 or NUMBER.get(other, 0) < 1 or own is other:
        return []
    who = fingering.lattice.who
    low, high = sorted((own, other), key=NUMBER.__getitem__)
    ease = reach(low, high, who.size).comfortable
    return [Measure("fingers apart", who.neck.distance(note.fret, fret), "mm", ease)]


def _trill_trouble(
    fingering: Fingering, note: Note, seconds: float, most: float, reached: list[Measure]
) -> Trouble:
    wound = fingering.lattice.who.guitar.string(note.string).wound
    kind = "wound" if wound else "plain"
    where = f"on {on_string(fingering.phrase.tuning, note.string)}, which is {kind}"
    words = f"the trill lasts {seconds:.1f} s {where}: a hand tires after about {most:.1f} s"
    for measure in reached:
        if measure.limit is not None and measure.value > measure.limit:
            words = (
                f"the trill {where}, needs fingers {measure.value:.0f} mm apart; "
                f"a trill is easy up to {measure.limit:.0f} mm"
            )
    measures = (Measure("trill", seconds, "s", most), *reached)
    return Trouble(TroubleKind.TRILL, (note.id,), measures, words)
