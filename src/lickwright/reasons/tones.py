"""Which tones does each note give, what are they called, and how do they stand to key and chord?"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from math import floor

from lickwright.phrase import Bend, Entry, LinkKind, Meter, Note, Phrase, Release, Timing
from lickwright.theory import (
    NO_CHORD,
    Chord,
    ChordPlace,
    Degree,
    Pitch,
    ScaleKind,
    degree_of,
    memberships,
    place_in_chord,
    spell,
    strength,
)


class How(Enum):
    """How a tone comes about."""

    STRUCK = "struck"
    GRACE = "grace"
    HAMMERED = "hammered on"
    PULLED = "pulled off"
    SLID = "slid to"
    TAPPED = "tapped"
    BENT = "bent up to"
    STRUCK_BENT = "struck already bent"
    RELEASED = "released to"
    TRILLED = "trilled with"


_BY_LINK = {
    LinkKind.HAMMER: How.HAMMERED,
    LinkKind.PULL: How.PULLED,
    LinkKind.SLIDE_UP: How.SLID,
    LinkKind.SLIDE_DOWN: How.SLID,
    LinkKind.TAP: How.TAPPED,
}


@dataclass(frozen=True, slots=True)
class Tone:
    """One pitch that is heard, and its place in key, chord and bar."""

    note: Note
    index: int  # within its note: 0 as entered, then one a movement
    how: How
    midi: Fraction  # sounding, in semitones; a quarter bend ends in a half
    name: Pitch  # sounding; of a quarter-tone the name below it
    sharp: Fraction  # semitones above that name: 0, or 1/2 for a quarter-tone
    start: Fraction  # beats
    end: Fraction
    chord: Chord | None
    degree: Degree
    place: ChordPlace | None  # None without a chord, and for a quarter-tone
    of_key: tuple[ScaleKind, ...]  # scales on the key's tonic that hold it
    of_chord: tuple[ScaleKind, ...]  # scales on the chord's root that hold it
    strength: int  # 1 (weak) to 5 (root of the chord): see theory.strength
    level: int  # metrical level of its start, 0 to 4: see metrical_level

    @property
    def written(self) -> str:
        """Name as written for guitar, an octave above its sound."""
        return Pitch(self.name.name, self.name.octave + 1).pretty

    @property
    def chroma(self) -> int:
        """Semitones above C of its name, 0 to 11."""
        return self.name.midi % 12

    @property
    def degree_text(self) -> str:
        """R, ♭3, and ♭3+ for a ♭3 pushed a quarter step sharp."""
        return f"{self.degree}{'+' if self.sharp else ''}"

    @property
    def lasts(self) -> Fraction:
        """Beats that it sounds; 0 for a quick one."""
        return self.end - self.start


@dataclass(frozen=True, slots=True)
class _Raw:
    """A tone before it has a name."""

    note: Note
    index: int
    how: How
    midi: Fraction
    start: Fraction
    end: Fraction


def tones_of(phrase: Phrase) -> tuple[Tone, ...]:
    """All tones of a phrase in the order in which they are heard; muted strings give none."""
    raw = [tone for note in phrase.notes for tone in _raw_tones(note, phrase)]
    order = {note.id: place for place, note in enumerate(phrase.notes)}
    raw.sort(key=lambda tone: (tone.start, order[tone.note.id], tone.index))
    beats = [at.beat for at in phrase.chords]
    return tuple(
        _named(tone, toward, phrase, _chord_at(tone.start, beats, phrase))
        for tone, toward in zip(raw, _next_midis(raw), strict=True)
    )


def _chord_at(beat: Fraction, beats: list[Fraction], phrase: Phrase) -> Chord | None:
    """As `Phrase.chord_at`, found faster: `beats` are those of its chords."""
    return phrase.chords[max(0, bisect_right(beats, beat) - 1)].chord if beats else None


def metrical_level(beat: Fraction, meter: Meter) -> int:
    """How strong a place in the bar is: 4 on one, 3 half a bar on, 2 on a beat, 1 half, 0 finer.

    In a compound meter thirds of a beat count as halves do. After the metrical grid of
    F. Lerdahl & R. Jackendoff, A Generative Theory of Tonal Music (1983; from memory).
    """
    place = beat % meter.beats
    if place == 0:
        return 4
    if place.denominator == 1:
        return 3 if meter.beats % 2 == 0 and place * 2 == meter.beats else 2
    return 1 if place.denominator == (3 if meter.compound else 2) else 0


def _raw_tones(note: Note, phrase: Phrase) -> Iterator[_Raw]:
    struck = phrase.midi(note)
    if struck is None:
        return
    base = Fraction(round(struck)) if note.harmonic else Fraction(struck)
    steps = _steps(note, base)
    ends = [start for _, _, start in steps[1:]] + [note.end]
    for index, ((how, midi, start), end) in enumerate(zip(steps, ends, strict=True)):
        yield _Raw(note, index, how, midi, start, max(start, end))


def _steps(note: Note, base: Fraction) -> list[tuple[How, Fraction, Fraction]]:
    """How, pitch (MIDI) and beat of each tone of one note."""
    steps = [(_entered(note), base, note.onset)]
    for gesture in note.gestures:
        if isinstance(gesture, Bend) and gesture.struck_bent:
            steps = [(How.STRUCK_BENT, base + gesture.to, note.onset)]
        elif isinstance(gesture, Bend | Release):
            how = How.BENT if isinstance(gesture, Bend) else How.RELEASED
            steps.append((how, base + gesture.to, _moment(gesture, steps[-1][2], note)))
    if note.trill is not None:
        start = note.trill.start if note.trill.start is not None else steps[-1][2]
        steps.append((How.TRILLED, base + note.trill.fret - note.fret, start))
    return steps


def _entered(note: Note) -> How:
    if note.timing is Timing.GRACE:
        return How.GRACE
    if note.link is not None:
        return _BY_LINK[note.link.kind]
    return How.TAPPED if note.entry is Entry.TAPPED else How.STRUCK


def _moment(gesture: Bend | Release, now: Fraction, note: Note) -> Fraction:
    """Beat at which a movement's pitch is reached (for a quick one: begun)."""
    if gesture.arrive is not None:
        return gesture.arrive
    if gesture.start is not None:
        return gesture.start
    return now if isinstance(gesture, Bend) else (now + note.end) / 2


def _next_midis(raw: list[_Raw]) -> list[int | None]:
    """For each tone the MIDI note (rounded down) of what is heard next at another pitch.

    Notes struck together with it are left aside. Worked out from the end, so that the time grows
    with the number of tones only.
    """
    found: list[int | None] = [None] * len(raw)
    for place in range(len(raw) - 1, -1, -1):
        here, after = raw[place], place + 1
        while after < len(raw) and _together(here, raw[after]):
            after += 1
        if after < len(raw):
            same = raw[after].midi == here.midi
            found[place] = found[after] if same else floor(raw[after].midi)
    return found


def _together(one: _Raw, other: _Raw) -> bool:
    return one.start == other.start and one.note.string != other.note.string


def _named(raw: _Raw, toward: int | None, phrase: Phrase, chord: Chord | None) -> Tone:
    below = floor(raw.midi)
    sharp = raw.midi - below
    name = spell(below, phrase.key, toward, chord)
    sounding = chord if chord is not None and chord.sounds else NO_CHORD
    return Tone(
        raw.note, raw.index, raw.how, raw.midi, name, sharp, raw.start, raw.end, chord,
        degree_of(name.name, phrase.key.tonic),
        None if sharp or not sounding.sounds else place_in_chord(below, sounding),
        () if sharp else memberships(below % 12, phrase.key.tonic),
        () if sharp or not sounding.sounds else memberships(below % 12, sounding.root),
        1 if sharp else strength(below % 12, sounding, phrase.key),
        metrical_level(raw.start, phrase.meter),
    )  # fmt: skip
