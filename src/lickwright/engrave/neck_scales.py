"""Which places does the map of a scale, a chord or a chord form show?"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import product

from lickwright.engrave.neck_fingers import grip_barre, grip_fingers, hand_fingers
from lickwright.engrave.neck_spec import Board, NeckMapError, NeckSpec, Spot, Tone
from lickwright.lesson import Show
from lickwright.neck import Grip, Pattern, Place, patterns, standard_intervals
from lickwright.phrase import Tuning
from lickwright.theory import (
    Chord,
    ChordTone,
    Degree,
    Mode,
    PitchClass,
    ScaleKind,
    parse_chord,
    scale,
    scale_degrees,
    usual_key,
)

NATURAL = {1: 0, 2: 2, 3: 4, 4: 5, 5: 7, 6: 9, 7: 11, 8: 12, 9: 14, 11: 17, 13: 21}
_BLUE = {ScaleKind.BLUES: Degree(5, -1), ScaleKind.MAJOR_BLUES: Degree(3, -1)}
_THIRD, _FLAT_THIRD, _FIFTH = Degree(3, 0), Degree(3, -1), Degree(5, 0)
_PENTATONIC = tuple(each.semitones for each in scale_degrees(ScaleKind.MINOR_PENTATONIC))
Frets = tuple[int, int]


def scale_map(
    kind: ScaleKind,
    tonic: PitchClass,
    board: Board | None = None,
    *,
    pattern: int | None = None,
    frets: Frets | None = None,
    over: Chord | None = None,
    show: Show = Show.DEGREES,
) -> NeckSpec:
    """A scale on the neck: all of it, between two frets, or one of the five patterns.

    `frets`: lowest and highest, from the capo. `over`: the chord whose tones stand out; if none is
    given, the triad that the scale has on its own root. A pattern of another scale than the minor
    pentatonic is that scale within the frets of the pattern (for scales with a major third, of the
    pattern of the relative minor: common practice, no source).

    Raises NeckMapError if the tuning has no such pattern or the neck no such frets.
    """
    board = board or Board()
    found = scale(kind, tonic)
    names = dict(zip((n.chroma for n in found.names), found.names, strict=True))
    degrees = dict(zip(names, found.degrees, strict=True))
    low, high, places = _extent(kind, tonic, board, pattern, frets)
    wanted = [place for place in places if board.midi(place) % 12 in names]
    over = over or home_chord(kind, tonic)
    tones = {chroma: _tone(degrees[chroma], chroma, _BLUE.get(kind), over) for chroma in names}
    labels = {c: (tones[c], str(degrees[c]), names[c].pretty) for c in names}
    title = found.pretty + _where(pattern, frets)
    return NeckSpec(
        f"{title} {show.value}", title, board, low, high, _spots(wanted, board, labels), show,
        _legend(tonic, over),
    )  # fmt: skip


def _where(pattern: int | None, frets: Frets | None) -> str:
    if pattern is not None:
        return f", pattern {pattern}"
    return f", frets {frets[0]} to {frets[1]}" if frets else ""


def _tone(degree: Degree, chroma: int, blue: Degree | None, over: Chord | None) -> Tone:
    if degree.semitones == 0:
        return Tone.ROOT
    if over is not None and chroma in over.chromas:
        return Tone.CHORD
    return Tone.OTHER if degree == blue else Tone.SCALE


def _legend(tonic: PitchClass, over: Chord | None) -> tuple[tuple[Tone, str], ...]:
    return (
        (Tone.ROOT, f"root {tonic.pretty}"),
        (Tone.CHORD, f"tone of {over.pretty}" if over is not None else "chord tone"),
        (Tone.SCALE, "other scale tone"),
        (Tone.OTHER, "blue note"),
    )


def home_chord(kind: ScaleKind, tonic: PitchClass) -> Chord | None:
    """The triad that a scale has on its own root; None if it has no one triad there."""
    degrees = scale_degrees(kind)
    if kind is ScaleKind.CHROMATIC:
        return None
    if _FIFTH not in degrees:
        return parse_chord(f"{tonic}dim")
    return parse_chord(f"{tonic}" if _THIRD in degrees else f"{tonic}m")


def _spots(
    places: Iterable[Place], board: Board, labels: Mapping[int, tuple[Tone, str, str]]
) -> tuple[Spot, ...]:
    """Places with what they are called; `labels`: semitones above C to tone, degree, name."""
    found = sorted(places)
    fingers = hand_fingers(found)
    return tuple(
        Spot(place, *labels[board.midi(place) % 12], fingers.get(place, "")) for place in found
    )


def _extent(
    kind: ScaleKind, tonic: PitchClass, board: Board, pattern: int | None, frets: Frets | None
) -> tuple[int, int, list[Place]]:
    """Lowest and highest fret shown, and every place of the stretch or pattern."""
    if pattern is None:
        low, high = frets or (0, board.highest)
        return low, high, _all(board, low, high)
    found = pattern_at(kind, tonic, board, pattern, frets)
    bottom, top = found.fret, max(place.fret for place in found.places)
    low, high = frets or (bottom, top)
    core = {(found.tonic + step) % 12 for step in _PENTATONIC}
    own = len(board.tuning.strings) > 6
    places = [
        place
        for place in _all(board, max(low, bottom), min(high, top))
        if place in found.places or board.midi(place) % 12 not in core or (own and place.string > 6)
    ]
    return low, high, places


def _all(board: Board, low: int, high: int) -> list[Place]:
    strings = range(1, len(board.tuning) + 1)
    return [Place(string, fret) for string, fret in product(strings, range(low, high + 1))]


def pattern_at(
    kind: ScaleKind, tonic: PitchClass, board: Board, number: int, frets: Frets | None = None
) -> Pattern:
    """The lowest position of a pattern; with `frets`, the one that has most places there.

    Thicker strings below the usual six are left to the frets of the pattern. Raises NeckMapError
    if the tuning has no patterns.
    """
    above = 9 if _THIRD in scale_degrees(kind) else 0
    tuning = board.tuning
    upper = tuning if len(tuning) <= 6 else Tuning(tuning.strings[:6])
    found = [
        each
        for each in patterns(tonic.chroma + above, upper, board.capo)
        if each.number == number and max(p.fret for p in each.places) <= max(board.highest, 12)
    ]
    if not found or not standard_intervals(upper):
        raise NeckMapError(
            "the five patterns belong to strings tuned in the usual steps (E A D G B E or all of "
            "them higher or lower); give the frets instead, such as frets: 5-8"
        )
    if frets is None:
        return found[0]
    low, high = frets
    return max(found, key=lambda each: sum(low <= place.fret <= high for place in each.places))


def chord_map(
    chord: Chord,
    board: Board | None = None,
    *,
    frets: Frets | None = None,
    show: Show = Show.DEGREES,
) -> NeckSpec:
    """All tones of a chord on the neck or between two frets. Degrees count from its root."""
    board = board or Board()
    if not chord.sounds:
        raise NeckMapError("N.C. has no tones to show; name a chord such as A7")
    low, high = frets or (0, board.highest)
    labels = chord_labels(chord)
    places = [p for p in _all(board, low, high) if board.midi(p) % 12 in labels]
    title = f"Tones of {chord.pretty}" + _where(None, frets)
    return NeckSpec(
        f"{title} {show.value}", title, board, low, high, _spots(places, board, labels), show,
        chord_legend(chord),
    )  # fmt: skip


def chord_labels(chord: Chord) -> dict[int, tuple[Tone, str, str]]:
    """Tone, degree and name of each tone of a chord, by semitones above C."""
    return {
        tone.name.chroma: (
            Tone.ROOT if tone.semitones % 12 == 0 else Tone.CHORD,
            _chord_degree(tone),
            tone.name.pretty,
        )
        for tone in reversed(chord.tones)
    }


def _chord_degree(tone: ChordTone) -> str:
    if tone.semitones % 12 == 0:
        return "R"
    alter = tone.semitones - NATURAL.get(tone.role, tone.semitones)
    return "♭" * -alter + "♯" * alter + str(tone.role)


def chord_legend(chord: Chord) -> tuple[tuple[Tone, str], ...]:
    """What the shapes of a chord's map mean."""
    return (
        (Tone.ROOT, f"root {chord.root.pretty}"),
        (Tone.CHORD, f"other tone of {chord.pretty}"),
    )


def grip_map(grip: Grip, board: Board | None = None, show: Show = Show.FINGERS) -> NeckSpec:
    """A chord form at its position, as one holds it."""
    board = board or Board()
    if not standard_intervals(board.tuning):
        raise NeckMapError("the chord forms belong to strings tuned in the usual steps")
    mode = Mode.MINOR if grip.minor else Mode.MAJOR
    root = usual_key(grip.root, mode).tonic
    chord = parse_chord(f"{root}{'m' if grip.minor else ''}")
    labels, fingers = chord_labels(chord), grip_fingers(grip)
    held = [p for s in range(1, 7) if (p := grip.form.place(s, grip.fret)) is not None]
    if any(board.midi(place) % 12 not in labels for place in held):
        raise NeckMapError(f"the {grip.form.name} form at fret {grip.fret} is not {chord.pretty}")
    spots = tuple(
        Spot(place, *labels[board.midi(place) % 12], fingers[place.string]) for place in held
    )
    frets = [place.fret for place in held]
    low = 0 if min(frets) == 0 else min(frets)
    title = f"{chord.pretty}, {grip.form.name} form" + (f" at fret {grip.fret}" if low else "")
    silent = tuple(sorted(set(range(1, 7)) - {place.string for place in held}))
    return NeckSpec(
        f"{title} {show.value}", title, board, low, max(*frets, low + 3), spots, show,
        chord_legend(chord), barre=grip_barre(grip), silent=silent,
    )  # fmt: skip
