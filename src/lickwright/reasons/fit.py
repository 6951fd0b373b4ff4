"""Where else does this phrase work: over which chords, in which scales?

The phrase is heard as it stands over one chord that lasts. Shares are of its sounding time; a tone
that only passes through (a grace, the start of a quick bend) has no length and does not count.
The limits below are our own choice, stated so that a teacher can disagree with them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import IntEnum
from fractions import Fraction

from lickwright.phrase import Phrase
from lickwright.reasons.line import melody
from lickwright.reasons.tones import Tone
from lickwright.reasons.words import fret_word
from lickwright.theory import (
    Chord,
    ChordPlace,
    Key,
    Mode,
    Pitch,
    PitchClass,
    ScaleKind,
    Standing,
    name_at,
    parse_chord,
    parse_degree,
    place_in_chord,
    relative,
    scale_degrees,
    spell,
    usual_key,
)

FAR_OUT = Fraction(1, 3)  # of the time outside: keep away
OUT = Fraction(1, 8)  # of the time outside: in passing
CLASHING = Fraction(1, 4)  # of the time in clashes: keep away
AT_HOME = Fraction(1, 2)  # of the time on chord tones
HELD = Fraction(1)  # beats; a shorter tone does not clash
STRONG = 2  # metrical level of a beat
REACH = 5  # semitones that a changed last note may lie away


class Verdict(IntEnum):
    """How well a phrase goes over a chord, the best last."""

    KEEP_AWAY = 0
    IN_PASSING = 1
    WORKS = 2
    AT_HOME = 3

    @property
    def words(self) -> str:
        """The verdict as it is said."""
        return ("keep away", "in passing", "works", "at home")[self]


@dataclass(frozen=True, slots=True)
class Mend:
    """Another last note that lifts the verdict. `fret`: on the same string, None if not there."""

    note: str  # id of the last note
    name: Pitch
    string: int
    fret: int | None
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class Fit:
    """How a phrase goes over one chord. Shares of the sounding time, together 1."""

    chord: Chord
    on_chord: Fraction
    on_scale: Fraction
    outside: Fraction
    clashes: tuple[Tone, ...]
    last: ChordPlace | None  # what the last note becomes; None between two frets
    verdict: Verdict
    why: str  # the one reason that decided
    mend: Mend | None


def fit(phrase: Phrase, tones: Sequence[Tone], chord: Chord) -> Fit | None:
    """Hear a phrase over `chord`; None if nothing of it has a pitch and a length.

    `tones`: from `tones_of(phrase)`.
    """
    lasting = [tone for tone in tones if tone.lasts > 0]
    line = melody(tones)
    if not lasting or not line or not chord.sounds:
        return None
    found = _judge(lasting, line[-1], chord)
    return replace(found, mend=_mend(lasting, line[-1], found, phrase))


def mend_words(mend: Mend, phrase: Phrase) -> str:
    """Say a mend: End on C♯ (2nd fret of the B string) and it is at home."""
    string = phrase.tuning.label(mend.string)
    where = f"{fret_word(mend.fret)}, {string} string" if mend.fret else f"open {string} string"
    place = "" if mend.fret is None else f" ({where.removeprefix('the ')})"
    verb = "it is" if mend.verdict is not Verdict.WORKS else "it"
    return f"End on {mend.name.name.pretty}{place} and {verb} {mend.verdict.words}."


def usual_chords(key: Key) -> tuple[Chord, ...]:
    """The chords that a phrase is tried over unless others are asked for.

    The sevenths on 1, 4 and 5 (minor on 1 and 4 of a minor key), then the relative key's chord.
    """
    minor = key.mode is Mode.MINOR
    kinds = ("m7", "m7", "7") if minor else ("7", "7", "7")
    roots = [name_at(parse_degree(degree), key.tonic) for degree in ("R", "4", "5")]
    own = [parse_chord(f"{root}{kind}") for root, kind in zip(roots, kinds, strict=True)]
    other = relative(key).tonic
    return (*own, parse_chord(str(other) if minor else f"{other}m"))


def serves(phrase: Phrase, tones: Sequence[Tone]) -> tuple[Fit, ...]:
    """All sevenths, major and minor chords over which it is at home, the fullest on them first."""
    fits = [
        found
        for chroma in range(12)
        for kind in ("7", "", "m")
        for mode in [Mode.MINOR if kind == "m" else Mode.MAJOR]
        for chord in [parse_chord(f"{_root(chroma, mode, tones)}{kind}")]
        for found in [fit(phrase, tones, chord)]
        if found is not None and found.verdict is Verdict.AT_HOME
    ]
    return tuple(sorted(fits, key=lambda each: -each.on_chord))


_SERVING = (
    ScaleKind.MINOR_PENTATONIC,
    ScaleKind.MAJOR_PENTATONIC,
    ScaleKind.BLUES,
    ScaleKind.MIXOLYDIAN,
    ScaleKind.DORIAN,
    ScaleKind.MAJOR,
    ScaleKind.NATURAL_MINOR,
)


def _root(chroma: int, mode: Mode, tones: Sequence[Tone]) -> PitchClass:
    """A root by the name that the phrase gives it; by its usual name if the phrase lacks it."""
    names = (tone.name.name for tone in tones if not tone.sharp)
    own = (name for name in names if name.chroma == chroma and abs(name.alter) <= 1)
    return next(own, usual_key(chroma, mode).tonic)


def scales_with(tones: Sequence[Tone]) -> tuple[tuple[ScaleKind, PitchClass], ...]:
    """Every usual scale, on any root, that holds all tones; the scales with fewest notes first."""
    chromas = {tone.chroma for tone in tones if not tone.sharp}
    if not chromas:
        return ()
    found = []
    for kind in _SERVING:
        steps = {degree.semitones for degree in scale_degrees(kind)}
        for root in range(12):
            if {(chroma - root) % 12 for chroma in chromas} <= steps:
                minor = 3 in steps and 4 not in steps
                mode = Mode.MINOR if minor else Mode.MAJOR
                found.append((kind, _root(root, mode, tones)))
    return tuple(sorted(found, key=lambda each: len(scale_degrees(each[0]))))


def chord_scale(chord: Chord) -> frozenset[int]:
    """Pitch classes (semitones above C) that go with a chord: its tones and its usual scales.

    Common practice, no source: mixolydian and the minor pentatonic over a dominant chord, major
    over a major one, dorian, natural minor and the blues scale over a minor one; over any other
    chord its own tones only.
    """
    steps: set[int] = set()
    for kind in _scales_of(chord):
        steps |= {degree.semitones for degree in scale_degrees(kind)}
    return frozenset((chord.root.chroma + step) % 12 for step in steps) | chord.chromas


def _scales_of(chord: Chord) -> tuple[ScaleKind, ...]:
    semitones = {step % 12 for _, step in chord.kind.tones}
    if 7 not in semitones:
        return ()
    if 4 in semitones:
        dominant = 10 in semitones
        return (
            (ScaleKind.MIXOLYDIAN, ScaleKind.MINOR_PENTATONIC) if dominant else (ScaleKind.MAJOR,)
        )
    if 3 in semitones:
        return (ScaleKind.DORIAN, ScaleKind.NATURAL_MINOR)
    return (ScaleKind.MIXOLYDIAN,)


def _judge(lasting: Sequence[Tone], last: Tone, chord: Chord) -> Fit:
    total = sum((tone.lasts for tone in lasting), Fraction(0))
    scale = chord_scale(chord)
    on_chord = _share(lasting, chord.chromas, total)
    on_scale = _share(lasting, scale - chord.chromas, total)
    clashes = tuple(tone for tone in lasting if _clashes(tone, chord))
    clash_time = sum((tone.lasts for tone in clashes), Fraction(0)) / total
    place = None if last.sharp else place_in_chord(last.name.midi, chord)
    fits = Fit(chord, on_chord, on_scale, 1 - on_chord - on_scale, clashes, place, *_UNJUDGED)
    verdict, why = _verdict(fits, clash_time, last, scale)
    return replace(fits, verdict=verdict, why=why)


_UNJUDGED = (Verdict.WORKS, "", None)


def _share(tones: Sequence[Tone], chromas: frozenset[int], total: Fraction) -> Fraction:
    inside = (tone.lasts for tone in tones if not tone.sharp and tone.chroma in chromas)
    return sum(inside, Fraction(0)) / total


def _clashes(tone: Tone, chord: Chord) -> bool:
    """Whether a tone is held on a strong beat a half step above a chord tone."""
    held = tone.lasts >= HELD and tone.level >= STRONG and not tone.sharp
    foreign = tone.chroma not in chord.chromas
    return held and foreign and (tone.chroma - 1) % 12 in chord.chromas


def _verdict(
    found: Fit, clash_time: Fraction, last: Tone, scale: frozenset[int]
) -> tuple[Verdict, str]:
    """The verdict and the first reason, in this order, that decides it."""
    ends = f"it ends on {last.name.name.pretty}"
    lies_out = f"{percent(found.outside)} of the time lies outside"
    clash = _clash_words(found.clashes, found.chord)
    place = "" if found.last is None else found.last.words
    inside = found.last is not None and found.last.standing is Standing.TONE
    on_chord = f"{percent(found.on_chord)} of the time lies on chord tones"
    rules = (
        (found.outside >= FAR_OUT, Verdict.KEEP_AWAY, lies_out),
        (clash_time >= CLASHING, Verdict.KEEP_AWAY, clash),
        (
            not last.sharp and last.chroma not in scale,
            Verdict.IN_PASSING,
            f"{ends}, outside the chord and its scales",
        ),
        (bool(found.clashes), Verdict.IN_PASSING, clash),
        (found.outside >= OUT, Verdict.IN_PASSING, lies_out),
        (last.sharp != 0, Verdict.WORKS, "it ends between two frets"),
        (not inside, Verdict.WORKS, f"{ends}, the {place}, which is not in the chord"),
        (found.on_chord < AT_HOME, Verdict.WORKS, on_chord),
        (True, Verdict.AT_HOME, f"{ends}, the {place}"),
    )
    return next((verdict, why) for holds, verdict, why in rules if holds)


def _clash_words(clashes: Sequence[Tone], chord: Chord) -> str:
    if not clashes:
        return ""
    tone = clashes[0]
    under = next(t for t in chord.tones if t.name.chroma == (tone.chroma - 1) % 12)
    return f"{tone.name.name.pretty} is held a half step above {under.name.pretty}"


def percent(share: Fraction) -> str:
    """A share in words that a teacher says: 38 %, none, all."""
    if share in (0, 1):
        return "all" if share else "none"
    return f"{max(1, min(99, round(share * 100)))} %"


def _mend(lasting: Sequence[Tone], last: Tone, found: Fit, phrase: Phrase) -> Mend | None:
    """The nearest chord tone as last note that lifts the verdict by one step or more."""
    if found.verdict is Verdict.AT_HOME or last.lasts == 0:
        return None
    others = [tone for tone in lasting if tone is not last]
    for distance in sorted(range(-REACH, REACH + 1), key=lambda step: (abs(step), step)):
        midi = int(last.midi // 1) + distance
        if midi % 12 not in found.chord.chromas or not 0 <= midi <= 127 or distance == 0:
            continue
        name = spell(midi, phrase.key, None, found.chord)
        changed = replace(last, midi=Fraction(midi), name=name, sharp=Fraction(0))
        verdict = _judge([*others, changed], changed, found.chord).verdict
        if verdict > found.verdict:
            return Mend(last.note.id, name, last.note.string, _fret(last, midi, phrase), verdict)
    return None


def _fret(last: Tone, midi: int, phrase: Phrase) -> int | None:
    """Fret for `midi` on the last note's string; None if it is not there or the note moves."""
    fret = midi - phrase.tuning.midi(last.note.string, 0, phrase.capo)
    plain = last.index == 0 and not last.note.harmonic
    return int(fret) if plain and 0 <= fret <= 24 else None
