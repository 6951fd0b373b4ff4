"""How stable is a pitch in this chord and key, by published tables?

Two measures. Basic space: F. Lerdahl, "Tonal Pitch Space", Music Perception 5 (1988) 315-349, and
the book of that name (Oxford 2001): five levels, octave, fifths, triadic, diatonic, chromatic,
each holding the one before; a pitch class is the stronger the more levels hold it. Probe tones:
C. L. Krumhansl & E. J. Kessler, Psychological Review 89 (1982) 334-368: how well listeners
found each pitch class to fit a key, from 1 to 7. (Titles, years and pages from memory.)
"""

from __future__ import annotations

from lickwright.theory.chord import Chord
from lickwright.theory.key import Key, Mode
from lickwright.theory.scale import ScaleKind, scale

KRUMHANSL_KESSLER: dict[Mode, tuple[float, ...]] = {
    Mode.MAJOR: (6.35, 2.23, 3.48, 2.33, 4.38, 4.09, 2.52, 5.19, 2.39, 3.66, 2.29, 2.88),
    Mode.MINOR: (6.33, 2.68, 3.52, 5.38, 2.60, 3.53, 2.54, 4.75, 3.98, 2.69, 3.34, 3.17),
}
_SCALES = {Mode.MAJOR: ScaleKind.MAJOR, Mode.MINOR: ScaleKind.NATURAL_MINOR}
_TRIADS = {Mode.MAJOR: (0, 4, 7), Mode.MINOR: (0, 3, 7)}


def probe_tone_rating(chroma: int, key: Key) -> float:
    """Listeners' rating (1 to 7) of the pitch `chroma` semitones above C in a key."""
    return KRUMHANSL_KESSLER[key.mode][(chroma - key.tonic.chroma) % 12]


def basic_space(chord: Chord, key: Key) -> tuple[int, ...]:
    """Return how many levels hold each pitch class, C to B: 12 numbers from 1 to 5.

    I in C gives 5 1 2 1 3 2 1 4 1 2 1 2. The rule for other chords is Lerdahl's too: root on all
    five levels, fifth on four, chord on three, scale on two. Ours is how a chord tone foreign to
    the scale is fitted in: it takes the place of the scale tone of its letter, so E7 in A minor
    has G# for G, C7 in C has Bb for B. Sevenths and further tones stand on the chord's level.
    With no chord, the key's own triad is meant.
    """
    octave, fifths, triadic = _chord_levels(chord, key)
    levels = (octave, fifths, triadic, _diatonic(chord, key) | triadic, frozenset(range(12)))
    return tuple(sum(chroma in level for level in levels) for chroma in range(12))


def strength(chroma: int, chord: Chord, key: Key) -> int:
    """Levels of basic space (1 to 5) that hold the pitch `chroma` semitones above C."""
    return basic_space(chord, key)[chroma % 12]


def _chord_levels(chord: Chord, key: Key) -> tuple[frozenset[int], frozenset[int], frozenset[int]]:
    if not chord.sounds:
        root, third, fifth = ((key.tonic.chroma + step) % 12 for step in _TRIADS[key.mode])
        return frozenset({root}), frozenset({root, fifth}), frozenset({root, third, fifth})
    root = chord.root.chroma
    fifths = {(root + semitones) % 12 for role, semitones in chord.kind.tones if role == 5}
    return frozenset({root}), frozenset({root, *fifths}), chord.chromas


def _diatonic(chord: Chord, key: Key) -> frozenset[int]:
    """Return the key's scale, the chord's own tones standing in for those of their letters."""
    by_letter = {name.letter: name.chroma for name in scale(_SCALES[key.mode], key.tonic).names}
    by_letter |= {tone.name.letter: tone.name.chroma for tone in chord.tones}
    return frozenset(by_letter.values())
