"""What sounds in a study piece: which phrases, moved where, over which backing?"""

from __future__ import annotations

from dataclasses import replace

from lickwright.band import Backing, BandError, Form, Player, chords_backing, form_backing
from lickwright.lesson import Band, Lesson, Solo
from lickwright.neck import Moved, move
from lickwright.phrase import Phrase
from lickwright.sound import Placed
from lickwright.theory import Chord, Key


def solo_backing(solo: Solo, lesson: Lesson, key: Key) -> Backing:
    """One chorus of the solo's form or chords, played as the lesson's band block plays.

    Raises BandError.
    """
    meter = lesson.settings.meter
    if solo.chords:
        usual = chords_backing(solo.chords, meter)
    else:
        usual = form_backing(Form(solo.form), solo.key or key, meter)
    band = next((part for part in lesson.parts if isinstance(part, Band)), None)
    if band is None:
        own = lesson.settings
        return replace(usual, feel=own.feel, tempo=own.tempo, choruses=1)
    players = tuple(Player(player) for player in band.players)
    return replace(usual, feel=band.feel, tempo=band.tempo, choruses=1, players=players)


def solo_placed(solo: Solo, lesson: Lesson) -> tuple[Placed, ...]:
    """The phrases on their bars, moved onto other chords where the solo says so.

    Raises BandError for a phrase that cannot be moved so.
    """
    phrases = {phrase.name: phrase for phrase in lesson.phrases}
    return tuple(
        Placed(_onto(phrases[each.lick], each.chord, lesson), each.bar)
        for each in solo.placements
        if each.lick in phrases
    )


def _onto(phrase: Phrase, chord: Chord | None, lesson: Lesson) -> Phrase:
    if chord is None:
        return phrase
    found = move(phrase, lesson.guitars[phrase.name], chord=chord)
    if isinstance(found, Moved):
        return found.phrase
    raise BandError(f"{phrase.name} on {chord.pretty}: {found.what}", found.instead)
