"""What sounds in a study piece: which phrases, moved where, over which backing?"""

from __future__ import annotations

from dataclasses import replace

from lickwright.band import Backing, Form, Player, chords_backing, form_backing
from lickwright.lesson import Band, Lesson, Solo
from lickwright.sound import Placed
from lickwright.theory import Key


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
    """The phrases on their bars."""
    phrases = {phrase.name: phrase for phrase in lesson.phrases}
    return tuple(
        Placed(phrases[each.lick], each.bar)
        for each in solo.placements
        if each.lick in phrases and each.chord is None
    )
