"""How is one piece of practice audio made, and what is said about it?"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import Any, TypeVar

from lickwright.band import Backing, BandError, Player
from lickwright.pack.fingerprint import fingerprint, of_rooms
from lickwright.pack.made import Made
from lickwright.phrase import Phrase, Tuning
from lickwright.sound import (
    CLEAN,
    EXACT,
    HUMAN,
    AudioFormat,
    Begins,
    Guitar,
    Placed,
    Start,
    Tags,
    Track,
    band_alone,
    band_stem,
    bend_reference,
    echo,
    encode_under_ceiling,
    ladder,
    lead_stem,
    normalise,
    open_strings,
    over_band,
    render_phrase,
    round_and_round,
)
from lickwright.theory import Key

T = TypeVar("T")
PASSES = 2  # at each tempo of a ladder
ROUNDS = 2  # of an echo


class TrackKind(Enum):
    """What a track is for. The value is said to pupils and stands in the manifest."""

    SLOW = "slow"
    AT_TEMPO = "at tempo"
    WITH_BAND = "with the band"
    ECHO = "echo"
    LADDER = "ladder"
    BEND = "bend"
    BAND = "band"
    CHORD = "chord"
    SOLO = "study piece"
    TUNING = "tuning"
    PAGE_LEAD = "lead for the page"
    PAGE_BAND = "band for the page"


_PROGRAM = of_rooms("theory", "phrase", "neck", "band", "sound")


@dataclass(frozen=True, slots=True)
class TrackOrder:
    """One piece of audio to be made. Tempos in beats a minute.

    `path`: in the pack, without ending. `title` and `album` are what a player shows. `phrase`:
    name of the phrase that it belongs to, or empty. What else it needs depends on its kind.
    """

    kind: TrackKind
    path: str
    title: str
    album: str
    author: str
    number: int
    formats: tuple[AudioFormat, ...]
    tempos: tuple[Fraction, ...] = ()
    key_of_music: Key | None = None
    guitar: Guitar = CLEAN
    exact: bool = False  # every player exactly on the beat
    phrase: Phrase | None = None
    note: str = ""  # id of the note that is bent
    bends: tuple[str, ...] = ()  # ids of the bent notes whose targets are heard
    placed: tuple[Placed, ...] = ()
    backing: Backing | None = None
    tuning: Tuning | None = None
    capo: int = 0

    @property
    def key(self) -> str:
        """Fingerprint of all that its files depend on."""
        return fingerprint(_PROGRAM, self)

    @property
    def label(self) -> str:
        """What is being made, for a progress bar."""
        return self.path.rpartition("/")[2]

    @property
    def usual_path(self) -> str:
        """Path in the pack of the file that page and handout speak of."""
        return f"{self.path}.{self.formats[0].value}"

    @property
    def players(self) -> tuple[str, ...]:
        """Who is heard."""
        lead = () if self.kind in _WITHOUT_LEAD else ("lead guitar",)
        if self.backing is None:
            return lead
        return lead + tuple(_PLAYERS[player] for player in self.backing.players)

    def make(self) -> Made:
        """The audio files, or why there are none."""
        try:
            track = _render(self)
        except BandError as error:
            return Made(trouble=trouble(self.label, error))
        comment = ", ".join(filter(None, [self._key_words, self._tempo_words]))
        tags = Tags(self.title, self.author, self.album, comment, self.number)
        small = self.kind in (TrackKind.PAGE_LEAD, TrackKind.PAGE_BAND)
        files = {
            f"{self.path}.{kind.value}": encode_under_ceiling(
                track.samples, track.rate, kind, tags, small=small
            )
            for kind in self.formats
        }
        return Made(files, (self._said(track),))

    @property
    def _key_words(self) -> str:
        return "" if self.key_of_music is None else f"key of {self.key_of_music.pretty}"

    @property
    def _tempo_words(self) -> str:
        if not self.tempos:
            return ""
        texts = [tempo_text(tempo) for tempo in dict.fromkeys((self.tempos[0], self.tempos[-1]))]
        return f"{' to '.join(texts)} beats a minute"

    def _said(self, track: Track) -> dict[str, Any]:
        return {
            "files": [f"{self.path}.{kind.value}" for kind in self.formats],
            "kind": self.kind.value,
            "title": self.title,
            "phrase": "" if self.phrase is None else self.phrase.name,
            "key": None if self.key_of_music is None else str(self.key_of_music),
            "tempos": [float(tempo) for tempo in self.tempos],
            "players": list(self.players),
            "seconds": round(len(track.samples) / track.rate, 3),
            "starts": [_start(start) for start in track.starts],
        } | ({"bends": list(self.bends)} if self.bends else {})


_WITHOUT_LEAD = (TrackKind.BAND, TrackKind.CHORD, TrackKind.PAGE_BAND)
_PLAYERS = {
    Player.DRUMS: "drums",
    Player.BASS: "bass",
    Player.KEYS: "keyboard",
    Player.GUITAR: "rhythm guitar",
}


def trouble(name: str, error: BandError) -> str:
    """What cannot be played and what could be, in plain words."""
    mend = f" (possible: {error.mend})" if error.mend else ""
    return f"{name or 'the band'}: {error}{mend}"


def tempo_text(tempo: Fraction) -> str:
    """A tempo in beats a minute as it is said."""
    return f"{float(tempo):g}"


def _start(start: Start) -> dict[str, Any]:
    found: dict[str, Any] = {
        "seconds": round(start.seconds, 4),
        "begins": start.begins.value,
        "number": start.number,
    }
    return found | ({"tempo": float(start.tempo)} if start.tempo else {})


def _render(order: TrackOrder) -> Track:  # noqa: PLR0911 - one for each kind
    human = EXACT if order.exact else HUMAN
    match order.kind:
        case TrackKind.SLOW | TrackKind.AT_TEMPO:
            return _alone(_of(order.phrase), order.tempos[0], order.guitar)
        case TrackKind.WITH_BAND | TrackKind.SOLO:
            return over_band(order.placed, _of(order.backing), order.guitar, human)
        case TrackKind.ECHO:
            phrase = _of(order.phrase)
            return echo(phrase, order.tempos[0], ROUNDS, order.backing, order.guitar, human)
        case TrackKind.LADDER:
            phrase = _of(order.phrase)
            return ladder(phrase, order.tempos, PASSES, order.backing, order.guitar, human)
        case TrackKind.BEND:
            return bend_reference(_of(order.phrase), order.note, guitar=order.guitar)
        case TrackKind.BAND:
            return band_alone(_of(order.backing), human)
        case TrackKind.CHORD:
            return round_and_round(_of(order.backing), human)
        case TrackKind.PAGE_LEAD:
            return lead_stem(_of(order.phrase), order.tempos, order.bends, order.guitar)
        case TrackKind.PAGE_BAND:
            return band_stem(_of(order.backing), order.tempos, human)
        case TrackKind.TUNING:
            return open_strings(_of(order.tuning), order.capo, guitar=order.guitar)


def _alone(phrase: Phrase, tempo: Fraction, guitar: Guitar) -> Track:
    """The phrase alone, exactly on the beat: the model that a pupil is to match."""
    made = render_phrase(phrase, tempo, guitar=guitar)
    clock = phrase.clock.at_tempo(tempo)
    first = made.first_count_seconds
    starts = [Start(at, Begins.COUNT_IN, 1, tempo) for at in made.clicks[:1]]
    starts.append(Start(first, Begins.PASS, 1, tempo))
    starts += [
        Start(first + clock.seconds(bar.start), Begins.BAR, bar.number, tempo)
        for bar in phrase.bars
        if bar.start >= phrase.start
    ]
    return Track(normalise(made.samples, made.rate), made.rate, tuple(starts))


def _of(value: T | None) -> T:
    assert value is not None, "the kind of track asks for it"
    return value
