"""What is the band asked to play: changes, meter, feel, tempo, choruses, players?"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from lickwright.band.errors import BandError
from lickwright.band.events import PLAYERS, Player
from lickwright.band.forms import Form, form_chords
from lickwright.phrase import STRAIGHT, ChordAt, Clock, Feel, Meter, Phrase
from lickwright.theory import Chord, Key, Mode, parse_chord

FOUR_FOUR = Meter(4, 4)
MOST_CHORUSES = 200
MOST_BARS = 256  # in one chorus
SLOWEST, FASTEST = Fraction(20), Fraction(400)  # beats a minute
MOST_COUNTED_IN = 4  # bars
_SECTION = 8  # bars; shorter choruses are grouped until there are as many


class Keyboard(Enum):
    """What the keys player sits at."""

    ORGAN = "organ"
    ELECTRIC_PIANO = "electric piano"


@dataclass(frozen=True, slots=True)
class Backing:
    """Everything that the band has to know. The same backing is played the same every time.

    `changes`: over one chorus, the first at beat 0. `bars`: of one chorus. `tempo`: beats a
    minute. `count_in`: bars. `ending`: after the last chorus one more bar, on the first chord,
    where all come to rest. `seed`: another number gives another way of playing.

    Raises BandError for what cannot be played.
    """

    changes: tuple[ChordAt, ...]
    bars: int
    meter: Meter = FOUR_FOUR
    feel: Feel = STRAIGHT
    tempo: Fraction = Fraction(90)
    choruses: int = 3
    players: tuple[Player, ...] = PLAYERS
    count_in: int = 1
    keyboard: Keyboard = Keyboard.ORGAN
    ending: bool = True
    seed: int = 0

    def __post_init__(self) -> None:
        _between("bars in a chorus", self.bars, 1, MOST_BARS)
        _between("choruses", self.choruses, 1, MOST_CHORUSES)
        _between("bars of count-in", self.count_in, 0, MOST_COUNTED_IN)
        _between("beats a minute", self.tempo, SLOWEST, FASTEST)
        if not self.changes or self.changes[0].beat != 0:
            raise BandError("a band needs a chord to begin with", "C7")
        beats = [change.beat for change in self.changes]
        if beats != sorted(set(beats)) or beats[-1] >= self.chorus_beats:
            raise BandError("chords follow one another inside the bars of the chorus")

    @property
    def chorus_beats(self) -> int:
        """Beats in one chorus."""
        return self.bars * self.meter.beats

    @property
    def bar_count(self) -> int:
        """Bars from the first to the last, the one of the ending included."""
        return self.bars * self.choruses + self.ending

    @property
    def beats(self) -> int:
        """Beats from the first bar's 1 to the end of the last bar."""
        return self.bar_count * self.meter.beats

    @property
    def clock(self) -> Clock:
        """Beats to seconds; the first bar's 1 is heard at 0 s."""
        return Clock(self.tempo, self.feel)

    @property
    def section_bars(self) -> int:
        """Bars after which the players come to a new part: a chorus, or several short ones."""
        return self.bars if self.bars >= 4 else self.bars * -(-_SECTION // self.bars)

    def chord_at(self, beat: Fraction) -> ChordAt:
        """The change in force at a beat, where it stands, counted from the form's first 1."""
        chorus = beat // self.chorus_beats * self.chorus_beats
        index = bisect_right(self.changes, beat - chorus, key=lambda change: change.beat)
        change = self.changes[index - 1]
        return ChordAt(change.beat + chorus, change.chord)

    def plays(self, player: Player) -> bool:
        """Whether a player is there."""
        return player in self.players


def _between(what: str, number: Fraction | int, low: Fraction | int, high: Fraction | int) -> None:
    if not low <= number <= high:
        mend = low if number < low else high
        raise BandError(f"wanted {low} to {high} {what}, got {number}", str(mend))


def changes_of(chords: Iterable[Chord], meter: Meter = FOUR_FOUR) -> tuple[ChordAt, ...]:
    """Changes of one chord a bar; a chord that goes on is no change."""
    changes: list[ChordAt] = []
    for bar, chord in enumerate(chords):
        if not changes or changes[-1].chord != chord:
            changes.append(ChordAt(Fraction(bar * meter.beats), chord))
    return tuple(changes)


def form_backing(form: Form, key: Key, meter: Meter = FOUR_FOUR) -> Backing:
    """A form in a key; everything else as usual, to be changed with `dataclasses.replace`."""
    return chords_backing(form_chords(form, key), meter)


def chords_backing(chords: Iterable[Chord], meter: Meter = FOUR_FOUR) -> Backing:
    """Chords of one's own, one a bar; everything else as usual."""
    row = tuple(chords)
    return Backing(changes_of(row, meter), len(row), meter)


def phrase_backing(phrase: Phrase) -> Backing:
    """What is played under a phrase: its own chords in its meter, feel and tempo, once.

    A pickup lies before the band's first bar. A phrase without chords stands on the chord of its
    key.
    """
    beats, before = phrase.meter.beats, pickup_beats(phrase)
    bars = max(1, -(-(phrase.end - before) // beats))
    changes = {Fraction(0): phrase.chord_at(Fraction(before)) or home_chord(phrase.key)}
    changes |= {c.beat - before: c.chord for c in phrase.chords if c.beat > before}
    kept: list[ChordAt] = []
    for beat, chord in sorted(changes.items(), key=lambda change: change[0]):
        if beat < bars * beats and (not kept or kept[-1].chord != chord):
            kept.append(ChordAt(beat, chord))
    return Backing(
        tuple(kept), bars, phrase.meter, phrase.feel, phrase.tempo, choruses=1, ending=False
    )


def pickup_beats(phrase: Phrase) -> int:
    """Beats of the phrase's bar that lies before the band's first one: 0 without a pickup."""
    return phrase.meter.beats if phrase.pickup else 0


def home_chord(key: Key) -> Chord:
    """The plain chord on the tonic of a key."""
    return parse_chord(f"{key.tonic}{'m' if key.mode is Mode.MINOR else ''}")
