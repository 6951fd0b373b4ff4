"""What a file of the band ought to hold, worked out from the band's events and clock alone."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from fractions import Fraction

from hypothesis import strategies as st
from midi_reading import Played, Track

from lickwright.band import (
    PLAYERS,
    Backing,
    Drum,
    Form,
    Keyboard,
    Player,
    chords_backing,
    form_backing,
    play,
)
from lickwright.phrase import Feel, Meter
from lickwright.theory import CHORD_KINDS, parse_chord, parse_key

F = Fraction
SHUFFLE = Feel(F(2, 3))
ONSET_SECONDS = 0.001
METERS = [
    Meter(*signature)
    for signature in (
        *((4, 4), (3, 4), (2, 4), (5, 4), (7, 8), (5, 8), (6, 8), (9, 8), (12, 8)),
        *((3, 8), (1, 4), (2, 2), (11, 8), (24, 16), (1, 8), (3, 1)),
    )
]
NAMES = {
    "Drums": Player.DRUMS,
    "Bass": Player.BASS,
    "Keyboard": Player.KEYS,
    "Rhythm guitar": Player.GUITAR,
    "Count-in": Player.COUNT,
}
# Source: General MIDI 1's percussion key map, as pretty_midi 0.2.11 holds it (from memory of the
# names); sticks have no key there, a side stick is nearest.
GM_DRUMS = {
    Drum.STICKS: "Side Stick",
    Drum.KICK: "Bass Drum 1",
    Drum.CROSS_STICK: "Side Stick",
    Drum.SNARE: "Acoustic Snare",
    Drum.CLOSED_HAT: "Closed Hi Hat",
    Drum.PEDAL_HAT: "Pedal Hi Hat",
    Drum.LOW_TOM: "Low Tom",
    Drum.OPEN_HAT: "Open Hi Hat",
    Drum.MIDDLE_TOM: "Hi-Mid Tom",
    Drum.CRASH: "Crash Cymbal 1",
    Drum.HIGH_TOM: "High Tom",
    Drum.RIDE: "Ride Cymbal 1",
    Drum.RIDE_BELL: "Ride Bell",
}


def twelve(meter: Meter = Meter(4, 4), **changes: object) -> Backing:
    backing = form_backing(Form.TWELVE_BAR, parse_key("A"), meter)
    return replace(backing, **({"feel": SHUFFLE} | changes))


def of_chords(text: str, meter: Meter = Meter(4, 4), **changes: object) -> Backing:
    return replace(chords_backing(map(parse_chord, text.split()), meter), **changes)


def first_one(backing: Backing) -> float:
    """Seconds from the first stroke of the count-in to the 1 of the first bar."""
    return backing.count_in * backing.meter.beats * backing.clock.beat_seconds


def expected(backing: Backing, first: float) -> dict[Player, dict[int | Drum, list[float]]]:
    """When each player strikes what, in seconds, the first bar's 1 being at `first`.

    Two strings struck at one pitch and time are one MIDI note. The count is the drummer's.
    """
    found: dict[Player, dict[int | Drum, set[Fraction]]] = defaultdict(lambda: defaultdict(set))
    drummer = Player.DRUMS if backing.plays(Player.DRUMS) else Player.COUNT
    for event in play(backing):
        player = drummer if event.player is Player.COUNT else event.player
        found[player][event.sound].add(event.onset)
    return {
        player: {
            sound: [first + backing.clock.seconds(beat) for beat in sorted(beats)]
            for sound, beats in sounds.items()
        }
        for player, sounds in found.items()
    }


def by_key(notes: list[Played]) -> dict[int, list[float]]:
    found: dict[int, list[float]] = defaultdict(list)
    for note in sorted(notes, key=lambda each: each.begin):
        found[note.number].append(note.begin)
    return found


def worst(found: dict[int, list[float]], wanted: dict[int, list[float]]) -> float:
    """The greatest difference of two lists of onsets, which must be of the same keys and length."""
    assert found.keys() == wanted.keys()
    pairs = [pair for key, times in wanted.items() for pair in zip(found[key], times, strict=True)]
    return max(abs(a - b) for a, b in pairs)


def keyed(sounds: dict[int | Drum, list[float]]) -> dict[int, list[float]]:
    """The same by MIDI key: of sticks and cross-stick, General MIDI 1 has one."""
    found: dict[int, list[float]] = defaultdict(list)
    for sound, times in sounds.items():
        key = sound.value if isinstance(sound, Drum) else sound
        found[37 if sound is Drum.STICKS else key] += times
    return {key: sorted(times) for key, times in found.items()}


def players(tracks: list[Track]) -> dict[Player, Track]:
    return {NAMES[track.name]: track for track in tracks if track.name in NAMES}


def check_band(backing: Backing, tracks: list[Track], first: float) -> float:
    """Every player's track holds that player's strokes; seconds of the worst onset."""
    wanted = expected(backing, first)
    found = players(tracks)
    assert found.keys() == wanted.keys()
    late = [worst(by_key(found[player].notes), keyed(sounds)) for player, sounds in wanted.items()]
    assert max(late, default=0.0) <= ONSET_SECONDS
    return max(late, default=0.0)


def check_channels(tracks: list[Track]) -> None:
    """No two tracks on one channel, and channel 10 (9 from 0) for drums and count-in alone."""
    used = [channel for track in tracks for channel in track.channels]
    assert len(used) == len(set(used))
    for track in tracks:
        assert (track.channels == {9}) == (track.name in ("Drums", "Count-in"))


@st.composite
def backings(draw: st.DrawFn) -> Backing:
    """Bands of any meter, feel, tempo, chords, players, and changes anywhere in a bar."""
    meter = draw(st.sampled_from(METERS))
    suffixes = st.sampled_from([kind.suffix for kind in CHORD_KINDS])
    symbols = st.builds("".join, st.tuples(st.sampled_from(["A", "Bb", "F#"]), suffixes))
    rows = st.lists(symbols | st.just("N.C.") | st.just("D7/F#"), min_size=1, max_size=6)
    made = chords_backing(map(parse_chord, draw(rows)), meter)
    place = draw(st.sampled_from([F(1, 2), F(3, 4), F(1, 3), F(1)]))
    if place < made.chorus_beats and place not in [change.beat for change in made.changes]:
        extra = replace(made.changes[0], beat=place, chord=parse_chord(draw(symbols)))
        together = sorted((*made.changes, extra), key=lambda change: change.beat)
        made = replace(made, changes=tuple(together))
    return replace(
        made,
        feel=draw(st.sampled_from([Feel(), SHUFFLE, Feel(F(57, 100))])),
        tempo=F(draw(st.integers(200, 4000)), 10),
        choruses=draw(st.integers(1, 4)),
        players=tuple(p for p in PLAYERS if draw(st.booleans())),
        count_in=draw(st.integers(0, 4)),
        keyboard=draw(st.sampled_from(Keyboard)),
        ending=draw(st.booleans()),
        seed=draw(st.integers(0, 99)),
    )
