"""Why can a phrase not be moved as it was asked for, in plain words?"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from lickwright.neck.guitar import Guitar
from lickwright.neck.placement import NoPlace
from lickwright.neck.placement_moments import Run
from lickwright.neck.placement_seats import Refusal
from lickwright.neck.placement_words import on_counts
from lickwright.phrase import Note, Phrase, count_name
from lickwright.theory import Key, spell

_ORDER = (
    Refusal.OPEN_BEND,
    Refusal.HARD_BEND,
    Refusal.OPEN_SLIDE,
    Refusal.JOIN,
    Refusal.ELSEWHERE,
)
_WHY = {
    Refusal.OPEN_BEND: "the bend on {} would fall on an open string, which cannot be bent",
    Refusal.HARD_BEND: "the bend on {} would ask more of finger and string than they give",
    Refusal.OPEN_SLIDE: "the slide into the note on {} would come from below an open string",
    Refusal.JOIN: "the harmonic on {} would lie on the wrong side of the note it is joined to",
    Refusal.ELSEWHERE: "what is played on {} lies too far from that pattern",
}
_OUT = {Refusal.LOW, Refusal.HIGH}

Refused = Sequence[tuple[Run, frozenset[Refusal]]]


def why_impossible(none: NoPlace, phrase: Phrase, up: int, guitar: Guitar, key: Key) -> str:
    """What cannot be if all sounds `up` semitones higher on `guitar`; `key`: for note names."""
    if none.jam is not None:
        return f"the notes on {_beat(none.jam, phrase)} would need one string at the same time"
    out = [(run, why) for run, why in none.refused if why <= _OUT]
    if out:
        return _out_of_range(out, up, guitar, key)
    for reason in _ORDER:
        runs = [run for run, why in none.refused if reason in why]
        if runs:
            return _WHY[reason].format(on_counts([_note(run, reason) for run in runs], phrase))
    return "there is no room for it on this neck"


def too_low(none: NoPlace) -> bool:
    """Whether something would lie below the lowest string."""
    return any(why == {Refusal.LOW} for _, why in none.refused)


def _out_of_range(out: Refused, up: int, guitar: Guitar, key: Key) -> str:
    lows = [min(run.pitches) + up for run, why in out if why == {Refusal.LOW}]
    highs = [max(run.pitches) + up for run, why in out if why == {Refusal.HIGH}]
    opens = [guitar.tuning.midi(s + 1, 0, guitar.capo) for s in range(len(guitar.tuning))]
    if lows and min(lows) < min(opens):
        lowest = _open_name(guitar, opens.index(min(opens)), key)
        return (
            f"the lowest note would be {_named(min(lows), key)}, below the lowest string, {lowest}"
        )
    if highs and max(highs) > max(opens) + guitar.neck.highest:
        end = f"fret {guitar.neck.highest} of the highest string"
        return f"the highest note would be {_named(max(highs), key)}, above {end}"
    run = out[0][0]
    ends = [_named(pitch + up, key) for pitch in (min(run.pitches), max(run.pitches))]
    if len(run.notes) == 1:
        return f"{ends[0]} lies on no string of this tuning"
    return f"joined notes need one string, and none goes from {ends[0]} to {ends[1]}"


def _open_name(guitar: Guitar, index: int, key: Key) -> str:
    """What an open string, by index, sounds."""
    own = guitar.tuning.strings[index]
    return own.pretty if guitar.capo == 0 else _named(own.midi + guitar.capo, key)


def _named(midi: float, key: Key) -> str:
    return spell(round(midi), key).pretty


def _note(run: Run, reason: Refusal) -> Note:
    """The note of a run that a reason is about."""
    match reason:
        case Refusal.OPEN_BEND | Refusal.HARD_BEND:
            found = [note for note in run.notes if note.bend is not None]
        case Refusal.OPEN_SLIDE:
            found = [note for note in run.notes if note.entry is not None]
        case Refusal.JOIN:
            found = [note for note in run.notes if note.harmonic]
        case Refusal.LOW | Refusal.HIGH | Refusal.ELSEWHERE:
            found = []
    return (found or list(run.notes))[0]


def _beat(beat: Fraction, phrase: Phrase) -> str:
    bar, inside = divmod(beat, phrase.meter.beats)
    said = count_name(inside, phrase.meter)
    return said if len(phrase.bars) == 1 else f"{said} of bar {bar + 1}"
