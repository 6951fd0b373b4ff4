"""Which practice audio does a lesson want?"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from lickwright.band import (
    Backing,
    BandError,
    Form,
    Keyboard,
    Player,
    chords_backing,
    form_backing,
)
from lickwright.lesson import Band, Lesson, Lick, Solo
from lickwright.pack.phrase_tracks import page_band, page_lead, phrase_tracks
from lickwright.pack.products import BandOrder
from lickwright.pack.solo import solo_backing, solo_placed
from lickwright.pack.tracks import TrackKind, TrackOrder, tempo_text, trouble
from lickwright.reasons import usual_chords
from lickwright.sound import GUITARS, AudioFormat, Guitar
from lickwright.theory import Chord, Key, Mode

LOOP_CHORDS = 3  # of a key: its 1, 4 and 5
LOOP_BARS = 4
_SIGNS = {
    "#": "-sharp-", "+": "-aug-", "/": "-over-", "°": "-dim-", "ø": "-half-dim-", "Δ": "-maj-",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class AudioWish:
    """How the audio is wanted; no formats: none. `exact`: every player exactly on the beat."""

    formats: tuple[AudioFormat, ...] = (AudioFormat.MP3,)
    exact: bool = False


def playlist(
    lesson: Lesson, title: str, wish: AudioWish
) -> tuple[tuple[TrackOrder, ...], list[str]]:
    """Every track of a lesson, in its order, and what cannot be made, in plain words."""
    orders: dict[str, TrackOrder] = {}
    troubles: list[str] = []
    if not wish.formats:
        return (), troubles
    maker = _Maker(lesson, title, wish)
    for part in lesson.parts:
        try:
            for order in maker.of(part):
                orders.setdefault(order.path, order)
        except BandError as error:
            troubles.append(trouble(getattr(part, "name", ""), error))
    for order in (*maker.chords(), *maker.tunings()):
        orders.setdefault(order.path, order)
    return tuple(orders.values()), troubles


class _Maker:
    """Makes the orders of one lesson."""

    def __init__(self, lesson: Lesson, title: str, wish: AudioWish) -> None:
        self.lesson, self.title, self.wish = lesson, title, wish
        self.phrases = {phrase.name: phrase for phrase in lesson.phrases}

    def of(self, part: object) -> Iterator[TrackOrder]:
        """The tracks of one part of the lesson. Raises BandError."""
        if isinstance(part, Lick) and part.phrase is not None:
            stages, guitar = self.lesson.stages, self._guitar(part)
            yield page_lead(part.phrase, guitar, stages, self._order)
            yield from phrase_tracks(part.phrase, guitar, stages, self._order)
            yield page_band(part.phrase, stages, self._order)
        elif isinstance(part, Band):
            yield self._band(part)
        elif isinstance(part, Solo) and part.placements:
            yield self._solo(part)

    def _order(
        self, kind: TrackKind, name: str, title: str, number: int = 0, album: str = ""
    ) -> TrackOrder:
        whole = f"{self.title}: {album}" if album else self.title
        author, formats = self.lesson.settings.author, self.wish.formats
        return TrackOrder(
            kind, f"audio/{name}", title, whole, author, number, formats, exact=self.wish.exact
        )

    def _guitar(self, lick: Lick) -> Guitar:
        own = {setting.name: setting.value.lower() for setting in lick.settings}
        wanted = own.get("guitar", self.lesson.settings.guitar)
        return next(guitar for guitar in GUITARS if guitar.name == wanted)

    def _band(self, band: Band) -> TrackOrder:
        backing = band_backing(band, self.lesson)
        key = band_key(band, self.lesson)
        said = band.name.replace("-", " ") or "band"
        where = f"{(band.name or 'band')}-in-{file_word(str(key))}-{tempo_text(band.tempo)}"
        made = self._order(
            TrackKind.BAND,
            f"band/{where}",
            f"{said.capitalize()} in {key.pretty}, {tempo_text(band.tempo)}",
            album="band",
        )
        return replace(made, tempos=(band.tempo,), key_of_music=key, backing=backing)

    def _solo(self, solo: Solo) -> TrackOrder:
        backing = solo_backing(solo, self.lesson, self._key())
        key = solo.key or self._key()
        name = f"{solo.name or 'study-piece'}-{tempo_text(backing.tempo)}"
        said = f"{(solo.name or 'study piece').replace('-', ' ').capitalize()}, study piece"
        made = self._order(TrackKind.SOLO, f"band/{name}", said, album="band")
        placed = solo_placed(solo, self.lesson)
        guitar = next(g for g in GUITARS if g.name == self.lesson.settings.guitar)
        return replace(
            made, tempos=(backing.tempo,), key_of_music=key, backing=backing, placed=placed,
            guitar=guitar,
        )  # fmt: skip

    def chords(self) -> Iterator[TrackOrder]:
        """The loops of the 1, 4 and 5 of every key in the lesson, each chord once."""
        settings = self.lesson.settings
        keys = dict.fromkeys(phrase.key for phrase in self.lesson.phrases)
        loops: dict[Chord, Key] = {}
        for key in keys:
            for chord in usual_chords(key)[:LOOP_CHORDS]:
                loops.setdefault(chord, key)
        formats = tuple(f for f in self.wish.formats if f is not AudioFormat.MP3)
        for chord, key in loops.items():
            once = chords_backing((chord,) * LOOP_BARS, settings.meter)
            backing = replace(
                once, feel=settings.feel, tempo=settings.tempo, choruses=1, count_in=0, ending=False
            )
            name = f"chord-{file_word(chord.symbol)}-{tempo_text(settings.tempo)}"
            made = self._order(
                TrackKind.CHORD, f"band/{name}", f"{chord.pretty}, round and round", album="band"
            )
            yield replace(
                made, tempos=(settings.tempo,), key_of_music=key, backing=backing,
                formats=formats or (AudioFormat.FLAC,),
            )  # fmt: skip

    def tunings(self) -> Iterator[TrackOrder]:
        """The open strings of every tuning in the lesson."""
        for tuning, capo in dict.fromkeys((p.tuning, p.capo) for p in self.phrases.values()):
            strings = [tuning.strings[s - 1].name for s in range(len(tuning), 0, -1)]
            name = "tuning-" + "-".join(file_word(str(each)) for each in strings)
            said = "Tuning: " + " ".join(each.pretty for each in strings)
            if capo:
                name, said = f"{name}-capo-{capo}", f"{said}, capo {capo}"
            made = self._order(TrackKind.TUNING, name, said, album="tuning")
            yield replace(made, tuning=tuning, capo=capo)

    def _key(self) -> Key:
        keys = [self.lesson.settings.key, *(phrase.key for phrase in self.phrases.values())]
        return next(key for key in keys if key is not None)


def band_files(lesson: Lesson) -> tuple[list[BandOrder], list[str]]:
    """The bands of a lesson for other programs, and what no band can play, in plain words."""
    orders, troubles = [], []
    for band in lesson.parts:
        if isinstance(band, Band):
            try:
                backing = band_backing(band, lesson)
            except BandError as error:
                troubles.append(trouble(band.name, error))
                continue
            key = band_key(band, lesson)
            name = f"band-{band.name or 'backing'}-in-{file_word(str(key))}"
            title = (band.name or "band").replace("-", " ").capitalize()
            orders.append(BandOrder(name, title, backing, key, lesson.settings.author))
    return orders, troubles


def band_key(band: Band, lesson: Lesson) -> Key:
    """The key of a band block, of the lesson, of its first phrase; else of the first chord."""
    keys = [band.key, lesson.settings.key, *(phrase.key for phrase in lesson.phrases)]
    known = next((key for key in keys if key is not None), None)
    return known or Key(band.chords[0].root, Mode.MAJOR)


def band_backing(band: Band, lesson: Lesson) -> Backing:
    """What the players of a band block are asked for. Raises BandError."""
    meter = lesson.settings.meter
    keys = [band.key, lesson.settings.key, *(phrase.key for phrase in lesson.phrases)]
    key = next((each for each in keys if each is not None), None)
    if band.chords:
        usual = chords_backing(band.chords, meter)
    elif key is None:
        raise BandError("a form needs a key to be played in", "key: A")
    else:
        usual = form_backing(Form(band.form), key, meter)
    return replace(
        usual,
        feel=band.feel,
        tempo=band.tempo,
        choruses=band.choruses,
        players=tuple(Player(player) for player in band.players),
        count_in=band.count_in,
        keyboard=keyboard_for(usual),
    )


def keyboard_for(backing: Backing) -> Keyboard:
    """An electric piano where the first chord is minor, else an organ; common practice."""
    minor = any(t.role == 3 and t.semitones == 3 for t in backing.changes[0].chord.tones)
    return Keyboard.ELECTRIC_PIANO if minor else Keyboard.ORGAN


def file_word(text: str) -> str:
    """A chord, key or note name as a part of a file's name."""
    spelled = "".join(_SIGNS.get(char, char) for char in text)
    return re.sub(r"-+", "-", re.sub(r"[^A-Za-z0-9-]", "-", spelled)).strip("-")
