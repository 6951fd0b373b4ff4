"""Which practice audio does one phrase want?"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Protocol

from lickwright.band import phrase_backing
from lickwright.lesson import Stage
from lickwright.pack.plan import ladders, phrase_title, player_tempos, slow_tempo
from lickwright.pack.tracks import TrackKind, TrackOrder, tempo_text
from lickwright.phrase import Note, Phrase
from lickwright.sound import AudioFormat, Guitar, Placed


class MakeOrder(Protocol):
    """Begins an order of the lesson at hand."""

    def __call__(
        self, kind: TrackKind, name: str, title: str, number: int = 0, album: str = ""
    ) -> TrackOrder:
        """An order without what its kind needs; `number` is that of the track in its album."""
        ...


def phrase_tracks(
    phrase: Phrase, guitar: Guitar, stages: Sequence[Stage], begin: MakeOrder
) -> Iterator[TrackOrder]:
    """Slow, at tempo, with the band, echo, ladders, then each different bend with its target.

    Raises BandError for a phrase that no band can play under.
    """
    title = phrase_title(phrase)
    plan = _plan(phrase, slow_tempo(phrase, stages), ladders(phrase, stages))
    for number, (kind, word, said, tempos) in enumerate(plan, start=1):
        name = f"{phrase.name}-{number}-{word}-{_span(tempos, '-to-')}"
        order = begin(kind, name, f"{title}, {said}, {_span(tempos, ' to ')}", number, title)
        yield replace(_played(order, phrase, tempos), guitar=guitar)
    for number, note in enumerate(_bends(phrase), start=len(plan) + 1):
        name = f"{phrase.name}-{number}-bend-string-{note.string}-{_bend_text(note, '-to-')}"
        said = f"{title}, bend on string {note.string}, {_bend_text(note, ' to ')}"
        order = begin(TrackKind.BEND, name, said, number, title)
        yield replace(order, key_of_music=phrase.key, guitar=guitar, phrase=phrase, note=note.id)


def page_lead(
    phrase: Phrase, guitar: Guitar, stages: Sequence[Stage], begin: MakeOrder
) -> TrackOrder:
    """The lead at each tempo of the page's player, and the targets of its bends."""
    bends = tuple(note.id for note in _bends(phrase))
    order = _for_page(phrase, stages, begin, TrackKind.PAGE_LEAD, "lead")
    return replace(order, guitar=guitar, bends=bends)


def page_band(phrase: Phrase, stages: Sequence[Stage], begin: MakeOrder) -> TrackOrder:
    """The band at each tempo of the page's player. Raises BandError if none can play under it."""
    order = _for_page(phrase, stages, begin, TrackKind.PAGE_BAND, "band")
    return replace(order, backing=phrase_backing(phrase))


def _for_page(
    phrase: Phrase, stages: Sequence[Stage], begin: MakeOrder, kind: TrackKind, word: str
) -> TrackOrder:
    name, title = f"{phrase.name}-{word}", phrase_title(phrase)
    order = begin(kind, name, f"{title}, {word}, for the page", 0, title)
    return replace(
        order,
        path=f"page/{name}",
        formats=(AudioFormat.MP3,),
        tempos=player_tempos(phrase, stages),
        key_of_music=phrase.key,
        phrase=phrase,
    )


_Plan = list[tuple[TrackKind, str, str, tuple[Fraction, ...]]]


def _plan(phrase: Phrase, slow: Fraction, steps: Iterable[tuple[Fraction, ...]]) -> _Plan:
    """Kind, word in the file's name, words in its title, tempos."""
    plan: _Plan = [
        (TrackKind.SLOW, "slow", "slow", (slow,)),
        (TrackKind.AT_TEMPO, "at-tempo", "at tempo", (phrase.tempo,)),
        (TrackKind.WITH_BAND, "with-band", "with the band", (phrase.tempo,)),
        (TrackKind.ECHO, "echo", "listen and answer", (slow,)),
        *((TrackKind.LADDER, "ladder", "slow to fast", tempos) for tempos in steps),
    ]
    return plan if slow < phrase.tempo else plan[1:]


def _played(order: TrackOrder, phrase: Phrase, tempos: tuple[Fraction, ...]) -> TrackOrder:
    """With the phrase, and the band under it if it is there."""
    made = replace(order, tempos=tempos, key_of_music=phrase.key, phrase=phrase)
    if order.kind in (TrackKind.SLOW, TrackKind.AT_TEMPO):
        return made
    backing = replace(phrase_backing(phrase), tempo=tempos[0])
    placed = (Placed(phrase),) if order.kind is TrackKind.WITH_BAND else ()
    return replace(made, backing=backing, placed=placed)


def _span(tempos: tuple[Fraction, ...], between: str) -> str:
    ends = dict.fromkeys((tempos[0], tempos[-1]))
    return between.join(tempo_text(tempo) for tempo in ends)


def _bends(phrase: Phrase) -> Iterable[Note]:
    """The first note of every different bend in a phrase."""
    found: dict[tuple[int, int, Fraction], Note] = {}
    for note in phrase.notes:
        if note.bend is not None and not note.dead:
            found.setdefault((note.string, note.fret, note.bend.to), note)
    return found.values()


def _bend_text(note: Note, between: str) -> str:
    """From which fret a bend goes to the pitch of which: `7 to 9`, `11 to 11.5` (a quarter)."""
    assert note.bend is not None
    return f"{note.fret}{between}{float(note.fret + note.bend.to):g}"
