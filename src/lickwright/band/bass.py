"""Which line does the bass walk under the chords?

Common practice, no source: root, third, fifth and sixth of each chord in turn, up to the octave
and back, spell the changes so that one hears them from the bass alone. The root stands where a
chord comes in; the note before it leads there by a semitone or from its fifth.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from lickwright.band.bar import BarView, Stretch
from lickwright.band.dice import choose
from lickwright.band.events import Event, Player
from lickwright.band.patterns import tier
from lickwright.band.pulse import Style
from lickwright.band.voicing import bass_chroma
from lickwright.theory import Chord

LOWEST = 28  # E1, the open low string
_HELD = Fraction(7, 8)  # of the time to the next note
_SOFT, _PLAIN, _STRONG = 0.62, 0.76, 0.9

# Steps of the ladder root, third, fifth, sixth, octave, one a pulse, two bars of 4/4 long.
_FIGURES = {
    0: ((0, 1, 2, 3, 4, 3, 2, 1), (0, 1, 2, 1, 0, 1, 2, 3)),
    1: ((0, 1, 2, 3, 4, 3, 2, 1), (0, 1, 2, 3, 0, 1, 2, 3), (0, 2, 3, 2, 4, 2, 3, 2)),
    2: ((0, 1, 2, 3, 4, 3, 2, 1), (0, 2, 3, 4, 3, 2, 1, 2), (0, 4, 3, 2, 0, 1, 2, 3)),
}


def play_bass(bar: BarView) -> Iterator[Event]:
    """The bass in one bar."""
    for stretch in bar.stretches():
        if not stretch.chord.sounds:
            continue
        if bar.closing:
            root = low_note(stretch.chord)
            yield Event(Player.BASS, stretch.start, stretch.end - stretch.start, root, _STRONG)
        else:
            yield from _walk(bar, stretch)


def low_note(chord: Chord) -> int:
    """MIDI note on which the bass meets a chord: its root, or what stands after the slash."""
    return LOWEST + (bass_chroma(chord) - LOWEST) % 12


def ladder(chord: Chord) -> tuple[int, ...]:
    """Root, third, fifth, sixth and octave of a chord as it has them, MIDI notes upward.

    Suspended chords have their second or fourth for the third; the sixth is the chord's own, or
    its flat or diminished seventh where the third is minor, or a plain sixth over a major chord.
    Over a foreign bass note it is that note with the chord's root, third and fifth above.
    """
    low, roles = low_note(chord), dict(chord.kind.tones)
    third = roles.get(3) or roles.get(4) or roles.get(2) or roles.get(5, 7)
    fifth = roles.get(5, roles.get(7, third))
    if chord.bass is not None and chord.bass.chroma != chord.root.chroma:
        root = low + (chord.root.chroma - low) % 12
        upper = sorted(_over(low, root + step) for step in (0, third, fifth))
        return (low, *upper, low + 12)
    return (low, low + third % 12, low + fifth % 12, low + _sixth(roles, fifth), low + 12)


def _over(low: int, midi: int) -> int:
    return low + (midi - low - 1) % 12 + 1


def _sixth(roles: dict[int, int], fifth: int) -> int:
    """Semitones from the root to what is played after the fifth."""
    for role in (6, 13):
        if role in roles:
            return roles[role] % 12
    major = roles.get(3) == 4 and fifth == 7
    return 9 if major else roles.get(7, fifth) % 12


def _walk(bar: BarView, stretch: Stretch) -> Iterator[Event]:
    """One note a pulse, some of them doubled, the last one leading on."""
    rungs, onsets = ladder(stretch.chord), _onsets(bar, stretch)
    figure = choose(_FIGURES[tier(bar.energy)], bar.backing.seed, "figure", stretch.since)
    for index, (onset, end) in enumerate(zip(onsets, [*onsets[1:], stretch.end], strict=True)):
        step = 0 if onset == stretch.since else figure[_count(bar, stretch, index) % len(figure)]
        note = rungs[step]
        if end == stretch.end and index:
            note = _leading(bar, stretch, note)
        strength = _STRONG if index == 0 else _PLAIN
        yield from _doubled(bar, Event(Player.BASS, onset, (end - onset) * _HELD, note, strength))


def _onsets(bar: BarView, stretch: Stretch) -> list[Fraction]:
    inside = [bar.start + pulse.start for pulse in bar.pulses]
    return [stretch.start, *(beat for beat in inside if stretch.start < beat < stretch.end)]


def _count(bar: BarView, stretch: Stretch, index: int) -> int:
    """Pulses since the chord came in."""
    bars = (bar.start - stretch.since) // bar.backing.meter.beats
    return max(0, int(bars)) * len(bar.pulses) + index


def _leading(bar: BarView, stretch: Stretch, note: int) -> int:
    """The last note of a chord: what leads into the next one, if another follows."""
    change = bar.backing.chord_at(stretch.end) if stretch.end < bar.end else bar.following()
    if change.beat != stretch.end or change.chord == stretch.chord or not change.chord.sounds:
        return note
    goal = low_note(change.chord)
    below, above = goal - 1, goal + 1
    offers = [step for step in (below, above, goal + 7) if LOWEST <= step != note]
    return choose(offers, bar.backing.seed, "leading", bar.number, stretch.end)


def _doubled(bar: BarView, event: Event) -> Iterator[Event]:
    """A note, and where the style and the dice want it, once more on the pulse's last part."""
    pulse = next((p for p in bar.pulses if bar.start + p.start == event.onset), None)
    if pulse is None or not _doubles(bar, pulse.start):
        yield event
        return
    again = bar.start + pulse.last_part
    end = event.onset + event.length / _HELD
    if not event.onset < again < end:
        yield event
        return
    sound = event.sound
    yield Event(Player.BASS, event.onset, (again - event.onset) * _HELD, sound, event.strength)
    yield Event(Player.BASS, again, (end - again) * _HELD, sound, _SOFT)


def _doubles(bar: BarView, place: Fraction) -> bool:
    if bar.style is Style.STRAIGHT:
        part = bar.number // 4
        return choose((True, True, False), bar.backing.seed, "eighths", bar.section, part)
    likely = {Style.SHUFFLE: 0.45, Style.TRIPLETS: 0.5, Style.GROUPS: 0.3}[bar.style]
    return bar.chance("double", place) < likely * bar.energy
