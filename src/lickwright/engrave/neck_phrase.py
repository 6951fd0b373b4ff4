"""Where on the neck does a phrase go, in which order?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from lickwright.engrave.neck_spec import Bent, Board, NeckSpec, Spot, Tone, Visit
from lickwright.lesson import Show
from lickwright.neck import Place
from lickwright.phrase import Finger, Note, Phrase
from lickwright.reasons import Tone as Sounding
from lickwright.reasons import tones_of
from lickwright.theory import degree_of, memberships, spell

USUAL_FRETS = 22
_LEAST_FRETS = 4  # shown, however few the phrase uses
_FINGERS = {
    Finger.FIRST: "1", Finger.SECOND: "2", Finger.THIRD: "3", Finger.FOURTH: "4",
    Finger.THUMB: "T", Finger.OPEN: "0",
}  # fmt: skip


def phrase_map(
    phrase: Phrase,
    *,
    show: Show = Show.DEGREES,
    frets: tuple[int, int] | None = None,
    worksheet: bool = False,
    left_handed: bool = False,
) -> NeckSpec:
    """The places of a phrase with the order of its notes, and the goals of its bends.

    A place is named as it is first heard there. `frets` only ever widens what is shown: the
    phrase stays whole. Muted strings are left out.
    """
    heard = [note for note in phrase.notes if not note.dead]
    tones = {(tone.note.id, tone.midi): tone for tone in reversed(tones_of(phrase))}
    orders = _orders(heard)
    bends = tuple(_bends(heard, phrase, tones))
    low, high = _extent(heard, bends, frets)
    board = Board(phrase.tuning, phrase.capo, max(USUAL_FRETS, high + phrase.capo), left_handed)
    by_place: dict[Place, list[Note]] = {}
    for note in heard:
        by_place.setdefault(Place(note.string, note.fret), []).append(note)
    spots = tuple(
        _spot(place, by_place[place], phrase, tones, orders) for place in sorted(by_place)
    )
    title = f"{phrase.title or phrase.name.replace('-', ' ').capitalize()} on the neck"
    return NeckSpec(
        f"{phrase.name} {show.value}", title, board, low, high, spots, show, _legend(phrase),
        worksheet, bends,
    )  # fmt: skip


_Tones = Mapping[tuple[str, Fraction], Sounding]


def _orders(notes: Sequence[Note]) -> dict[str, int]:
    """From 1; notes struck together have the same."""
    moments = dict.fromkeys((note.onset, note.order) for note in notes)
    numbers = {moment: index for index, moment in enumerate(moments, start=1)}
    return {note.id: numbers[note.onset, note.order] for note in notes}


def _spot(
    place: Place, notes: Sequence[Note], phrase: Phrase, tones: _Tones, orders: Mapping[str, int]
) -> Spot:
    first = notes[0]
    midi = phrase.tuning.midi(place.string, place.fret, phrase.capo)
    if first.harmonic:
        sounding = phrase.midi(first)
        midi = round(sounding) if sounding is not None else midi
    tone, degree, name = _called(first, midi, phrase, tones)
    fingers = [_FINGERS[note.finger] for note in notes if note.finger in _FINGERS]
    visits = tuple(Visit(orders[note.id], note.id) for note in notes)
    return Spot(place, tone, degree, name, fingers[0] if fingers else "", visits, first.harmonic)


def _called(note: Note, midi: int, phrase: Phrase, tones: _Tones) -> tuple[Tone, str, str]:
    """What a pitch of a note is to the key, its degree and its name."""
    found = tones.get((note.id, Fraction(midi)))
    chord = phrase.chord_at(note.onset) if found is None else found.chord
    name = spell(midi, phrase.key, None, chord).name if found is None else found.name.name
    degree = degree_of(name, phrase.key.tonic)
    in_chord = chord is not None and midi % 12 in chord.chromas
    if degree.semitones % 12 == 0:
        tone = Tone.ROOT
    elif in_chord:
        tone = Tone.CHORD
    else:
        tone = Tone.SCALE if memberships(midi % 12, phrase.key.tonic) else Tone.OTHER
    return tone, str(degree), name.pretty


def _bends(notes: Sequence[Note], phrase: Phrase, tones: _Tones) -> list[Bent]:
    found: dict[tuple[Place, Fraction], list[Note]] = {}
    for note in notes:
        if note.bend is not None:
            found.setdefault((Place(note.string, note.fret), note.bend.to), []).append(note)
    bends = []
    for (place, amount), bent in found.items():
        midi = phrase.tuning.midi(place.string, place.fret, phrase.capo) + amount
        _, degree, name = _called(bent[0], int(midi), phrase, tones)
        ids = tuple(note.id for note in bent)
        bends.append(Bent(ids, place, amount, degree, name))
    return bends


def _extent(
    notes: Sequence[Note], bends: Sequence[Bent], frets: tuple[int, int] | None
) -> tuple[int, int]:
    """Lowest and highest fret shown; the nut if an open string sounds."""
    used = [note.fret for note in notes] + [b.target.fret for b in bends if b.target is not None]
    if not used:
        return frets or (0, _LEAST_FRETS)
    low, high = min(used), max(used)
    low = max(0, low - 1) if 0 < low <= 2 else low
    high = max(high, low + _LEAST_FRETS)
    return (min(low, frets[0]), max(high, frets[1])) if frets else (low, high)


def _legend(phrase: Phrase) -> tuple[tuple[Tone, str], ...]:
    return (
        (Tone.ROOT, f"root {phrase.key.tonic.pretty}"),
        (Tone.CHORD, "tone of the chord under it"),
        (Tone.SCALE, "other tone of the key's scales"),
        (Tone.OTHER, "outside"),
    )
