"""What do the tones say about the chords: endings, outlines, targets, blue notes, the sixth?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from lickwright.phrase import Phrase
from lickwright.reasons.facts import (
    AddedSixth,
    BlueFifth,
    BlueThird,
    Ending,
    MinorToMajor,
    OctaveSurprise,
    Outline,
    Passage,
    SlideHome,
    StruckBent,
    Target,
)
from lickwright.reasons.line import before_in_line, next_in_line, note_ids
from lickwright.reasons.tones import How, Tone
from lickwright.theory import Standing

_MAJOR_THIRD = (3, 4)
_JOINED = (How.HAMMERED, How.SLID, How.BENT)
_SHORTEST_OUTLINE = 3
_FALL = 3  # falling tones before an ending that make one expect the low root


def endings(line: Sequence[Tone], phrase: Phrase) -> Iterator[Ending]:
    """The last tone of the line, if there is one at all."""
    if line:
        last = line[-1]
        home = last.chroma == phrase.key.tonic.chroma and not last.sharp
        yield Ending((last.note.id,), last, home)


def octave_surprises(line: Sequence[Tone], phrase: Phrase) -> Iterator[OctaveSurprise]:
    """A fall of three tones to within a fourth above the low root, then the root above."""
    if len(line) <= _FALL:
        return
    *before, last = line[-_FALL - 1 :]
    falls = all(high.midi > low.midi for high, low in pairwise(before))
    low_root = last.midi - 12
    near = 0 < before[-1].midi - low_root <= 5
    if falls and near and last.chroma == phrase.key.tonic.chroma and not last.sharp:
        yield OctaveSurprise(note_ids([*before, last]), last)


def outlines(line: Sequence[Tone]) -> Iterator[Outline]:
    """The longest stretch of chord tones over each chord that spells root, third and one more."""
    for stretch in _chord_stretches(line):
        roles = {tone.place.number for tone in stretch if tone.place is not None}
        if len(roles) >= _SHORTEST_OUTLINE and {1, 3} <= roles:
            chord = stretch[0].chord
            assert chord is not None
            yield Outline(note_ids(stretch), chord, tuple(stretch))


def _chord_stretches(line: Sequence[Tone]) -> Iterator[list[Tone]]:
    stretch: list[Tone] = []
    for tone in line:
        inside = tone.place is not None and tone.place.standing is Standing.TONE
        if stretch and (not inside or tone.chord != stretch[0].chord):
            yield stretch
            stretch = []
        if inside:
            stretch.append(tone)
    if stretch:
        yield stretch


def bend_targets(tones: Sequence[Tone]) -> Iterator[Target]:
    """Every bend of a half step or more to a pitch that has a name."""
    for origin, goal in _movements(tones):
        if goal.how is How.BENT and not goal.sharp and not origin.sharp:
            yield Target((goal.note.id,), origin, goal, struck_bent=False)


def struck_bent(tones: Sequence[Tone]) -> Iterator[StruckBent]:
    """Every pitch with a name that is bent before it is struck."""
    by_note = _by_note(tones)
    for tone in tones:
        if tone.how is How.STRUCK_BENT and not tone.sharp:
            later = [t for t in by_note[tone.note.id] if t.index > tone.index]
            let_down = bool(later) and later[0].how is How.RELEASED and not later[0].sharp
            yield StruckBent((tone.note.id,), tone, later[0] if let_down else None)


def slides_home(line: Sequence[Tone]) -> Iterator[SlideHome]:
    """Slides on one string that end on a stronger tone than they began with."""
    for origin, goal in pairwise(line):
        same_string = origin.note.string == goal.note.string
        if goal.how is How.SLID and same_string and goal.strength > origin.strength:
            yield SlideHome(note_ids([origin, goal]), origin, goal)


def minor_to_major(tones: Sequence[Tone]) -> Iterator[MinorToMajor]:
    """A minor third hammered, slid or bent to the major third of the chord, graces too."""
    last: dict[int, Tone] = {}  # on each string
    for tone in tones:
        before = last.get(tone.note.string)
        last[tone.note.string] = tone
        if before is None or tone.how not in _JOINED or tone.sharp or before.sharp:
            continue
        chord = tone.chord
        if chord is None or not chord.sounds or _MAJOR_THIRD not in chord.kind.tones:
            continue
        above = [(each.chroma - chord.root.chroma) % 12 for each in (before, tone)]
        if above == [3, 4] and tone.midi - before.midi == 1:
            yield MinorToMajor(note_ids([before, tone]), tone)


def _by_note(tones: Sequence[Tone]) -> dict[str, list[Tone]]:
    found: dict[str, list[Tone]] = {}
    for tone in tones:
        found.setdefault(tone.note.id, []).append(tone)
    return found


def _movements(tones: Sequence[Tone]) -> Iterator[tuple[Tone, Tone]]:
    """Each tone of a note with the one before it in the same note."""
    for group in _by_note(tones).values():
        yield from pairwise(sorted(group, key=lambda tone: tone.index))


def blue_thirds(tones: Sequence[Tone], phrase: Phrase) -> Iterator[BlueThird]:
    """A ♭3 of the key, or of the chord's root, pushed a quarter step sharp."""
    for tone in tones:
        if not tone.sharp or tone.how is not How.BENT:
            continue
        above_key = (tone.chroma - phrase.key.tonic.chroma) % 12
        if above_key == 3:
            chord = tone.chord
            major = chord is not None and chord.sounds and _MAJOR_THIRD in chord.kind.tones
            same = chord is not None and chord.root.chroma == phrase.key.tonic.chroma
            yield BlueThird((tone.note.id,), tone, over_major=major and same)


def blue_fifths(line: Sequence[Tone], phrase: Phrase) -> Iterator[BlueFifth]:
    """A tone six semitones above the tonic that is no tone of the chord under it."""
    for tone in line:
        above = (tone.chroma - phrase.key.tonic.chroma) % 12
        foreign = tone.place is None or tone.place.standing is not Standing.TONE
        if above == 6 and foreign and not tone.sharp:
            yield BlueFifth((tone.note.id,), tone, _passage(line, tone))


def _passage(line: Sequence[Tone], tone: Tone) -> Passage:
    before, after = before_in_line(line, tone), next_in_line(line, tone)
    if before is None or after is None:
        return Passage.OTHER
    steps = (before.midi - tone.midi, after.midi - tone.midi)
    half = Fraction(1)
    if steps == (-half, half):
        return Passage.UP
    return Passage.DOWN if steps == (half, -half) else Passage.OTHER


def added_sixths(line: Sequence[Tone]) -> Iterator[AddedSixth]:
    """A major sixth over a chord with no sixth of its own."""
    for tone in line:
        place = tone.place
        if place is None or place.words != "sixth" or place.standing is not Standing.COLOUR:
            continue
        then = next_in_line(line, tone)
        home = then is not None and then.place is not None and then.place.standing is Standing.TONE
        yield AddedSixth((tone.note.id,), tone, then if home else None)
