"""What has changed in a phrase that was moved, in plain words?"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from lickwright.neck.move_music import letters
from lickwright.neck.move_request import Request, first_chord, new_key
from lickwright.neck.pattern import Pattern
from lickwright.neck.placement import Placement
from lickwright.neck.placement_phrase import Pair
from lickwright.neck.placement_words import listed, number_word, on_counts
from lickwright.phrase import LinkKind, Note, Phrase
from lickwright.theory import Chord

_STEPS = (
    *("", "half step", "whole step", "minor third", "major third", "fourth", "tritone", "fifth"),
    *("minor sixth", "major sixth", "minor seventh", "major seventh"),
)
_USUAL_CAPO = 7  # a capo is seldom put higher; common practice, no source
_JOINS = {
    LinkKind.HAMMER: "hammer-on",
    LinkKind.PULL: "pull-off",
    LinkKind.SLIDE_UP: "slide",
    LinkKind.SLIDE_DOWN: "slide",
    LinkKind.TAP: "tapped note",
}


@dataclass(frozen=True, slots=True)
class Shift:
    """All notes moved alike along the neck. `strings`: toward the bass; `frets`: up."""

    strings: int
    frets: int


def shift_of(pairs: Iterable[Pair]) -> Shift | None:
    """How all fretted and open notes have moved; None if not all alike.

    Unlike `Placed.shape` it takes open strings for frets, and leaves harmonics out.
    """
    moved = {
        (new.string - old.string, new.fret - old.fret)
        for old, new in pairs
        if new is not None and not old.dead and not old.harmonic
    }
    return Shift(*moved.pop()) if len(moved) == 1 else None


def changed_words(
    phrase: Phrase, moved: Phrase, placement: Placement, request: Request, semitones: int
) -> tuple[str, ...]:
    """A sentence for each change, the most important first."""
    pairs = placement.placed.pairs
    return (
        *_music(phrase, moved, request, semitones),
        *_instrument(request),
        *_place(phrase, placement, request),
        *_open_strings(phrase, pairs),
        *_hands(phrase, moved, placement),
    )


# --- what it is ------------------------------------------------------------------------------


def _music(phrase: Phrase, moved: Phrase, request: Request, semitones: int) -> Iterator[str]:
    goal = _goal(phrase, request)
    if goal and semitones == 0 and goal[0] == goal[1]:
        yield f"it is {goal[2]} {goal[1]} already"
    elif goal or semitones:
        yield step_words(semitones) + (f", from {goal[0]} to {goal[1]}" if goal else "")
    if request.key is not None and moved.key.mode is not phrase.key.mode:
        mode = moved.key.mode.value
        yield f"the key is called {mode} now; the line keeps its steps above the root"
    first = first_chord(phrase)
    if request.chord is not None and first is not None and _third(first) != _third(request.chord):
        yield f"the line was made over {first.pretty}, which has another third"
    if moved.chords != phrase.chords:
        names = list(dict.fromkeys(at.chord.pretty for at in moved.chords))
        yield f"the chord is {names[0]}" if len(names) == 1 else f"the chords are {listed(names)}"


def _third(chord: Chord) -> int | None:
    """Semitones from the root to the third; None if the chord has none."""
    return next((semitones for role, semitones in chord.kind.tones if role == 3), None)


def _goal(phrase: Phrase, request: Request) -> tuple[str, str, str] | None:
    """Where the line comes from and goes to, and how one says that it is there."""
    if request.chord is not None:
        first = first_chord(phrase)
        source = phrase.key.tonic.pretty if first is None else first.pretty
        return source, request.chord.pretty, "on"
    if request.key is not None:
        return phrase.key.pretty, new_key(phrase, request).pretty, "in"
    return None


def step_words(semitones: int) -> str:
    """How far the music moves: `a minor third up`, `an octave and a fourth down`."""
    octaves, steps = divmod(abs(semitones), 12)
    parts = []
    if octaves:
        parts.append("an octave" if octaves == 1 else f"{number_word(octaves)} octaves")
    if steps:
        parts.append(f"a {_STEPS[steps]}")
    way = "up" if semitones > 0 else "down"
    return f"{' and '.join(parts)} {way}" if parts else "no higher or lower"


def _instrument(request: Request) -> Iterator[str]:
    if request.tuning is not None:
        yield f"for strings tuned {letters(request.tuning)}"
    if request.capo is not None:
        yield f"for a capo at fret {request.capo}" if request.capo else "without a capo"


# --- where it is -----------------------------------------------------------------------------


def _place(phrase: Phrase, placement: Placement, request: Request) -> Iterator[str]:
    shift = shift_of(placement.placed.pairs)
    if shift is None:
        yield from _anew(phrase, placement)
    elif shift.strings or shift.frets:
        moves = [_counted(shift.strings, "string", "toward the bass", "toward the treble"),
                 _counted(shift.frets, "fret", "up", "down")]  # fmt: skip
        yield f"{' and '.join(move for move in moves if move)}; same shape"
        if request.tuning is None and request.capo is None:
            yield from _with_capo(phrase, placement, shift)
    elif phrase.notes:
        yield "same places"


def _anew(phrase: Phrase, placement: Placement) -> Iterator[str]:
    """Where notes stand that have not moved alike."""
    pitched = [
        (old, new) for old, new in placement.placed.pairs if new is not None and not old.dead
    ]
    stayed = sum((old.string, old.fret) == (new.string, new.fret) for old, new in pitched)
    low, high = placement.frets
    held = [note.fret for note in phrase.notes if note.fret > 0]
    if not pitched:
        yield "there are only muted strings, and they have no pitch"
    elif 2 * stayed >= len(pitched):
        moved, verb = len(pitched) - stayed, "stands" if len(pitched) - stayed == 1 else "stand"
        yield f"{number_word(moved)} of {number_word(len(pitched))} notes {verb} elsewhere"
    elif high and held:
        yield f"placed anew: {_range(low, high)} instead of {_range(min(held), max(held))}"
    else:
        yield "placed anew"


def _with_capo(phrase: Phrase, placement: Placement, shift: Shift) -> Iterator[str]:
    """Open strings that now take a finger could stay open with a capo."""
    opened = any(old.fret == 0 < new.fret for old, new in placement.placed.pairs if new is not None)
    fret = phrase.capo + shift.frets
    if opened and not shift.strings and fret <= _USUAL_CAPO:
        yield f"with a capo at fret {fret} the fingers could stay as they were"


def _range(low: int, high: int) -> str:
    return f"fret {low}" if low == high else f"frets {low} to {high}"


def _counted(many: int, thing: str, above: str, below: str) -> str:
    if not many:
        return ""
    things = thing if abs(many) == 1 else f"{thing}s"
    return f"{number_word(abs(many))} {things} {above if many > 0 else below}"


def pattern_words(pattern: Pattern, moved: Phrase) -> Iterator[str]:
    """Where the pattern lies, and which notes are beside it."""
    held = [place.fret for place in pattern.places]
    low, high = min(held), max(held)
    yield f"pattern {pattern.number}, {_range(low, high)}"
    beside = [n for n in moved.notes if not n.dead and not low <= n.fret <= high]
    if beside:
        yield f"outside the pattern's frets: {on_counts(beside, moved)}"


# --- open strings ----------------------------------------------------------------------------


def _open_strings(phrase: Phrase, pairs: Iterable[Pair]) -> Iterator[str]:
    found: dict[str, list[Note]] = {}
    for old, new in pairs:
        if new is None or old.dead or (old.fret == 0) == (new.fret == 0):
            continue
        what = _JOINS[old.link.kind] if old.link is not None else ""
        found.setdefault(_opened(what, old, new), []).append(old)
    for text, notes in found.items():
        yield text.format(on_counts(notes, phrase))


def _opened(what: str, old: Note, new: Note) -> str:
    if old.fret == 0:
        if what:
            return f"the {what} to the open string on {{}} became a {what} to fret {new.fret}"
        return f"the open string on {{}} became fret {new.fret}"
    if what:
        return f"the {what} to fret {old.fret} on {{}} became a {what} to the open string"
    return f"fret {old.fret} on {{}} became an open string"


# --- hands and repeats -----------------------------------------------------------------------


def _hands(phrase: Phrase, moved: Phrase, placement: Placement) -> Iterator[str]:
    written = any(note.finger is not None for note in phrase.notes)
    if written and placement.placed.shape is None:
        yield "the written fingers are left out: they are to be found anew"
    longer = [old for old, new in placement.placed.pairs if new is not None and new.end > old.end]
    if longer:
        yield f"nothing stops its string now: the note on {on_counts(longer, phrase)} rings on"
    opened = [
        str(old.number)
        for old, new in zip(phrase.bars, moved.bars, strict=True)
        if old.simile and not new.simile
    ]
    if opened:
        yield f"written out, no longer a repeat: bar {listed(opened)}"
