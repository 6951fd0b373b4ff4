"""What do the places on the neck say: patterns, grips, open strings, a slid barre?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from lickwright.neck import Grip, Place, best_pattern, grips
from lickwright.phrase import Entry, Note, Phrase
from lickwright.reasons.facts import ChordGrip, InPattern, OpenStrings, SlideImitation
from lickwright.reasons.tones import How, Tone
from lickwright.theory import (
    Chord,
    Key,
    Mode,
    PitchClass,
    name_at,
    parse_chord,
    parse_degree,
    relative,
    roman,
    usual_key,
)

_LEAST_NOTES = 4  # fewer say nothing about a pattern
_LEAST_SHARE = 0.75  # of the notes must lie in the pattern
_BARRE = 3


def in_pattern(tones: Sequence[Tone], phrase: Phrase) -> Iterator[InPattern]:
    """The pentatonic pattern that holds most of the fretted notes, if it holds enough of them."""
    entered = _fretted(tones)
    tonics = _pattern_tonics(phrase.key)
    places = [Place(tone.note.string, tone.note.fret) for tone in entered]
    pattern = best_pattern(places, tonics, phrase.tuning, phrase.capo)
    if pattern is None:
        return
    outside = [
        tone for tone, place in zip(entered, places, strict=True) if place not in pattern.places
    ]
    inside = len(entered) - len(outside)
    if inside < max(_LEAST_NOTES, _LEAST_SHARE * len(entered)):
        return
    home = relative(phrase.key) if phrase.key.mode is Mode.MAJOR else phrase.key
    by_relative = pattern.tonic == home.tonic.chroma and phrase.key.mode is Mode.MAJOR
    tonic = home.tonic if by_relative else phrase.key.tonic
    degrees = tuple(dict.fromkeys(tone.degree_text for tone in outside))
    ids = tuple(tone.note.id for tone in outside)
    major = phrase.key.tonic.pretty if by_relative else ""
    yield InPattern(ids, pattern, tonic.pretty, degrees, inside, major)


def _fretted(tones: Sequence[Tone]) -> list[Tone]:
    """The tone with which each fretted note is entered; harmonics stand in no pattern."""
    firsts: dict[str, Tone] = {}
    for tone in tones:
        if not tone.note.harmonic and tone.index == 0:
            firsts.setdefault(tone.note.id, tone)
    return list(firsts.values())


def _pattern_tonics(key: Key) -> tuple[int, ...]:
    """Roots of the minor pentatonics to look in: the key's own and, in major, the relative's."""
    own = key.tonic.chroma
    return (own,) if key.mode is Mode.MINOR else (own, relative(key).tonic.chroma)


def chord_grips(tones: Sequence[Tone], phrase: Phrase) -> Iterator[ChordGrip]:
    """Notes struck together that lie in a movable form of a chord of the key, each grip once."""
    seen = set()
    struck = [t for t in tones if t.index == 0 and t.how is not How.GRACE and not t.note.harmonic]
    for _, group in groupby(struck, key=lambda tone: tone.start):
        together = tuple(group)
        bent = any(tone.note.gestures and tone.note.bend for tone in together)
        if len({tone.note.string for tone in together}) < 2 or bent:
            continue
        fact = _grip_fact(together, phrase)
        if fact is not None and (key := (fact.grip, fact.chord_name)) not in seen:
            seen.add(key)
            yield fact


def _grip_fact(together: tuple[Tone, ...], phrase: Phrase) -> ChordGrip | None:
    places = [Place(tone.note.string, tone.note.fret) for tone in together]
    sounding = together[0].chord
    named = [
        (grip, chord, _numeral_rank(grip, phrase.key, sounding))
        for grip in grips(places, phrase.tuning, phrase.capo)
        for chord in [_grip_chord(grip, phrase.key)]
    ]
    wanted = [each for each in named if each[2] is not None]
    if not wanted:
        return None
    grip, chord, rank = min(wanted, key=lambda each: (each[2], each[0].fret))
    ids = tuple(tone.note.id for tone in together)
    same = rank == 0
    return ChordGrip(ids, grip, chord.pretty, roman(chord, phrase.key), together, same)


def _grip_chord(grip: Grip, key: Key) -> Chord:
    own = {root.chroma: root for root in _key_roots(key)}
    name = own.get(grip.root, usual_key(grip.root, key.mode).tonic)
    return parse_chord(f"{name}{'m' if grip.minor else ''}")


def _key_roots(key: Key) -> tuple[PitchClass, ...]:
    """Roots of the chords on 1, 4 and 5."""
    return tuple(name_at(parse_degree(degree), key.tonic) for degree in ("R", "4", "5"))


def _numeral_rank(grip: Grip, key: Key, sounding: Chord | None) -> int | None:
    """0 for the sounding chord's root and third, else 1 2 3 for I IV V of the key, else None."""
    if sounding is not None and sounding.sounds and sounding.root.chroma == grip.root:
        minor = (3, 3) in sounding.kind.tones
        return 0 if minor == grip.minor else None
    for rank, root in enumerate(_key_roots(key), start=1):
        if root.chroma == grip.root and grip.minor == (key.mode is Mode.MINOR):
            return rank
    return None


def open_strings(phrase: Phrase) -> Iterator[OpenStrings]:
    """Open strings that sound, without a capo."""
    if phrase.capo:
        return
    ids, names = [], []
    for note in phrase.notes:
        if note.fret == 0 and not note.dead and not note.harmonic:
            ids.append(note.id)
            names.append(phrase.tuning.strings[note.string - 1].name.pretty)
    if ids:
        yield OpenStrings(tuple(ids), tuple(dict.fromkeys(names)))


def slide_imitations(phrase: Phrase) -> Iterator[SlideImitation]:
    """Three or more strings struck together at one fret, two or more of them slid into."""
    struck = [note for note in phrase.notes if note.struck and not note.dead and note.order == 0]
    for _, group in groupby(struck, key=lambda note: note.onset):
        together: list[Note] = list(group)
        slid = [n for n in together if n.entry in (Entry.FROM_BELOW, Entry.FROM_ABOVE)]
        same = {note.fret for note in together}
        if len(together) >= _BARRE and len(same) == 1 and len(slid) >= 2:
            yield SlideImitation(tuple(note.id for note in together), together[0].fret)
