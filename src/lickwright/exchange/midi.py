"""How does an instrument or sequencer read a phrase, a band, or both: as one Standard MIDI File?

Format 1: a conductor track, then one track and one channel a string, thinnest first, then one
track and one channel a player. Tempo, time and key signatures follow the Standard MIDI File
format, the rest General MIDI 1.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from io import BytesIO

import mido

from lickwright.band import Backing, BandError, pickup_beats
from lickwright.exchange.midi_band import band_tracks
from lickwright.exchange.midi_conductor import Heading, band_markers, conductor, phrase_markers
from lickwright.exchange.midi_events import DRUMS, OFF, ON, TrackEvent, meta, track_of
from lickwright.exchange.midi_strings import string_tracks
from lickwright.exchange.midi_time import TickGrid, band_grid, tick_grid
from lickwright.phrase import STANDARD, Clock, Performance, Phrase, perform
from lickwright.sound.click import count_in_beats, is_accented
from lickwright.theory import Key

_HIGH_BLOCK, _LOW_BLOCK = 76, 77  # General MIDI percussion: high and low wood block
_CLICK_VELOCITIES = {True: 110, False: 80}  # our choice


def to_midi(
    phrase: Phrase,
    clock: Clock | None = None,
    *,
    title: str = "",
    author: str = "",
    count_in: bool = False,
    backing: Backing | None = None,
) -> bytes:
    """A phrase as it is performed by `clock` (its own by default), as a Standard MIDI File.

    The file begins on a bar line: on the first bar's, or as many whole bars earlier as the count-in
    and what leads into the first count need, so nothing is lost; `midi_lead` says how far that is.
    The bend range is 12 semitones (RPN 0) on every string's channel. Same phrase, same bytes.

    With a `backing` the band plays too: see `phrase_with_band_midi`, which is the same, but that
    here a clock may be given for both.
    """
    _check(phrase, backing)
    performance = perform(phrase, _clock(phrase, clock, backing))
    grid = _grid(performance, backing, count_in)
    end = _end(phrase, backing)
    name = title or phrase.title or phrase.name
    markers = phrase_markers(phrase, backing)
    heading = Heading(name, author, phrase.meter, phrase.key, markers)
    parts = [list(conductor(heading, grid, end)), *string_tracks(performance, grid)]
    if backing is not None:
        offset = Fraction(pickup_beats(phrase))
        parts += band_tracks(backing, grid, offset, len(phrase.tuning))
    elif count_in:
        parts.append(list(_clicks(phrase, grid)))
    return _saved(parts, grid, end)


def phrase_with_band_midi(
    phrase: Phrase, backing: Backing, *, title: str, author: str = ""
) -> bytes:
    """A phrase over a band, in the band's tempo and feel, as a Standard MIDI File.

    The phrase's first full bar is the band's first one; its pickup sounds in the bar before, which
    may be the count-in. The lead is that of `to_midi`: one channel a string, thinnest first, bend
    range 12 semitones. The band takes what the strings leave of the fifteen channels besides the
    drums' channel 10: bass, keyboard and rhythm guitar need three, so a neck may have up to twelve
    strings, each with bends of its own. Chords stand as markers where the band changes to them.

    Raises BandError for another meter than the band's, or more than twelve strings.
    """
    return to_midi(phrase, title=title, author=author, backing=backing)


def band_midi(backing: Backing, *, title: str, author: str = "", key: Key | None = None) -> bytes:
    """The band alone, from its count-in to its end, as a Standard MIDI File.

    The first stroke of the count-in is at 0 s, so the 1 of the first bar is heard `count_in` bars
    later. Chords stand as markers where they change. Without a `key` none is signed.
    """
    grid, end = band_grid(backing), Fraction(backing.beats)
    heading = Heading(title, author, backing.meter, key, band_markers(backing))
    parts = [list(conductor(heading, grid, end))]
    parts += band_tracks(backing, grid, Fraction(0), len(STANDARD))
    return _saved(parts, grid, end)


def midi_lead(
    phrase: Phrase,
    clock: Clock | None = None,
    *,
    count_in: bool = False,
    backing: Backing | None = None,
) -> float:
    """Seconds from the beginning of the file of `to_midi` to the phrase's first count."""
    performance = perform(phrase, _clock(phrase, clock, backing))
    grid = _grid(performance, backing, count_in)
    return grid.origin_seconds + performance.clock.seconds(phrase.start)


def _check(phrase: Phrase, backing: Backing | None) -> None:
    if backing is not None and phrase.meter != backing.meter:
        raise BandError(
            f"the phrase {phrase.name} is in {phrase.meter}, the band plays {backing.meter}",
            f"meter: {phrase.meter}",
        )


def _clock(phrase: Phrase, clock: Clock | None, backing: Backing | None) -> Clock | None:
    if backing is None or clock is not None:
        return clock
    return Clock(backing.tempo, backing.feel, phrase.start)


def _grid(performance: Performance, backing: Backing | None, count_in: bool) -> TickGrid:
    if backing is None:
        return tick_grid(performance, count_in=count_in)
    counted = backing.count_in * backing.meter.beats
    first = Fraction(pickup_beats(performance.phrase) - counted)
    return tick_grid(performance, count_in=False, first=first)


def _end(phrase: Phrase, backing: Backing | None) -> Fraction:
    """Beat at which the last of phrase and band is over."""
    if backing is None:
        return phrase.end
    return max(phrase.end, Fraction(pickup_beats(phrase) + backing.beats))


def _saved(parts: list[list[TrackEvent]], grid: TickGrid, end: Fraction) -> bytes:
    file = mido.MidiFile(type=1, ticks_per_beat=grid.division, charset="utf-8")
    file.tracks.extend(track_of(events, grid.beat_tick(end)) for events in parts)
    stream = BytesIO()
    file.save(file=stream)
    return stream.getvalue()


def _clicks(phrase: Phrase, grid: TickGrid) -> Iterator[TrackEvent]:
    yield meta(0, "track_name", name="Count-in")
    for beat in count_in_beats(phrase):
        accented = is_accented(beat, phrase)
        block = _HIGH_BLOCK if accented else _LOW_BLOCK
        start = grid.beat_tick(beat)
        strength = _CLICK_VELOCITIES[accented]
        yield TrackEvent(
            start, ON, mido.Message("note_on", channel=DRUMS, note=block, velocity=strength)
        )
        yield TrackEvent(
            start + grid.division // 8,
            OFF,
            mido.Message("note_off", channel=DRUMS, note=block),
        )
