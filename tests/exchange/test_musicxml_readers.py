"""Do programs that we did not write read the same notes? Sources: music21 10.5.1, verovio 6.4.1.

What must be read is worked out from the phrase itself, not from the printed values: a note sounds
at its fretted pitch from its onset to its end, or, under a let-ring mark, to the next strike.
"""

from __future__ import annotations

import base64
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from io import BytesIO

import mido
import pytest
import verovio
from exchange_phrases import WORKED, n, phrase, phrases
from hypothesis import assume, given, settings
from music21 import chord as m21chord
from music21 import converter, harmony, tempo

from lickwright.exchange import to_musicxml, xml_id
from lickwright.phrase import Mark, Note, Phrase
from lickwright.phrase.score import score_bars
from lickwright.theory import CHORD_KINDS

Sound = tuple[Fraction, int, Fraction]  # quarters from the phrase's start, MIDI number, quarters


def pitch(of: Phrase, note: Note) -> int:
    midi = of.midi(note)
    return of.tuning.midi(note.string, 0, of.capo) if midi is None else round(midi)


def written_end(of: Phrase, note: Note) -> Fraction:
    rings = [s for s in of.spans if s.mark is Mark.LET_RING and s.start <= note.onset < s.end]
    later = [o.onset for o in of.notes if o.onset > note.onset]
    return min([note.end, *later]) if rings else note.end


def expected(of: Phrase) -> list[Sound]:
    quarter = of.meter.beat_in_quarters
    return sorted(
        (
            (note.onset - of.start) * quarter,
            pitch(of, note),
            (written_end(of, note) - note.onset) * quarter,
        )
        for note in of.notes
        if not note.instant
    )


def heads(part) -> Iterator[tuple[Fraction, int, Fraction, str | None]]:
    """Every head of a music21 part: offset, MIDI number, quarters, tie."""
    for element in part.flatten().notes:
        if isinstance(element, harmony.ChordSymbol) or element.duration.isGrace:
            continue
        members = element.notes if isinstance(element, m21chord.Chord) else [element]
        for note in members:
            tie = note.tie.type if note.tie is not None else None
            yield (
                Fraction(element.offset).limit_denominator(10000),
                note.pitch.midi,
                Fraction(element.duration.quarterLength).limit_denominator(10000),
                tie,
            )


def joined(part) -> list[Sound]:
    """What sounds: tied heads joined to the one before at the same pitch that ends there."""
    done: list[Sound] = []
    going: list[tuple[Fraction, int, Fraction]] = []
    for start, midi, length, tie in sorted(heads(part), key=lambda h: h[:3]):
        if tie in ("stop", "continue"):
            before = next(s for s in going if s[1] == midi and s[0] + s[2] == start)
            going.remove(before)
            sound = (before[0], midi, before[2] + length)
        else:
            sound = (start, midi, length)
        (going if tie in ("start", "continue") else done).append(sound)
    assert not going
    return sorted(done)


def read(of: Phrase):
    return converter.parse(to_musicxml(of, title="x"), format="musicxml", forceSource=True)


def check_music21(of: Phrase) -> None:
    score = read(of)
    notation, tab = score.parts
    assert joined(notation) == expected(of)
    assert joined(tab) == expected(of)
    small = [e for e in notation.flatten().notes if e.duration.isGrace]
    assert sorted(p.midi for e in small for p in e.pitches) == sorted(
        pitch(of, note) for note in of.notes if note.instant
    )
    marks = list(notation.flatten().getElementsByClass(tempo.MetronomeMark))
    assert [m.getQuarterBPM() for m in marks] == [float(of.tempo * of.meter.beat_in_quarters)]


def tuplets(of: Phrase) -> list[tuple[int, int]]:
    """Ratio of the tuplet of every written head."""
    events = [e for bar in score_bars(of) for voice in bar.voices for e in voice if e.tuplet]
    return sorted((e.tuplet.actual, e.tuplet.normal) for e in events if e.tuplet for _ in e.notes)


def read_tuplets(part) -> list[tuple[int, int]]:
    found = []
    for element in part.flatten().notes:
        for each in element.duration.tuplets:
            ratio = (each.numberNotesActual, each.numberNotesNormal)
            found += [ratio] * len(element.pitches)
    return sorted(found)


@pytest.mark.parametrize("name", WORKED)
def test_music21_reads_the_worked_examples(name):
    check_music21(WORKED[name])


@settings(max_examples=40, deadline=None)
@given(phrases())
def test_music21_reads_generated_phrases(generated):
    check_music21(generated)
    assert read_tuplets(read(generated).parts[0]) == tuplets(generated)


def test_music21_reads_tuplets():
    # By the count lines: three notes on the pickup's 4; five in the first beat of bar 2.
    assert read_tuplets(read(WORKED["pickup-tie-hold"]).parts[0]) == [(3, 2)] * 3
    assert read_tuplets(read(WORKED["seven-five"]).parts[0]) == [(5, 4)] * 5


def test_music21_reads_strings_frets_and_fingers():
    tab = read(WORKED["lean-and-answer"]).parts[1].flatten().notes
    said = [{type(a).__name__: a for a in note.articulations} for note in tab]
    assert [a["StringIndication"].number for a in said] == [3, 2, 1, 2, 2, 3, 3, 4]
    assert [a["FretIndication"].number for a in said] == [10, 8, 8, 11, 8, 10, 8, 10]
    assert [a["Fingering"].fingerNumber for a in said] == [3, 1, 1, 3, 1, 3, 1, 3]


# music21 10.5.1 keeps the eleventh in these, which theory leaves out over a major third.
_KEEPS_ELEVENTH = {"13", "maj13"}


@pytest.mark.parametrize("kind", CHORD_KINDS, ids=lambda kind: kind.suffix or "major")
def test_music21_reads_chord_symbols(kind):
    of = phrase([n(3, 5, 0, 4)], chords=[(0, f"A{kind.suffix}"), (1, f"Bb{kind.suffix}/F")])
    found = list(read(of).parts[0].flatten().getElementsByClass(harmony.ChordSymbol))
    assert [symbol.offset for symbol in found] == [0, 1]
    for symbol, at in zip(found, of.chords, strict=True):
        eleventh = {(at.chord.root.chroma + 5) % 12} if kind.suffix in _KEEPS_ELEVENTH else set()
        assert {p.pitchClass for p in symbol.pitches} == at.chord.chromas | eleventh
        assert symbol.root().pitchClass == at.chord.root.chroma
    assert found[1].bass().pitchClass == 5


_VEROVIO = verovio.toolkit()
verovio.enableLog(verovio.LOG_OFF)


def verovio_notes(of: Phrase) -> list[list[tuple[float, int]]]:
    """Onset in quarters and MIDI number of what verovio plays, a list a staff."""
    assert _VEROVIO.loadData(to_musicxml(of, title="x").decode())
    file = mido.MidiFile(file=BytesIO(base64.b64decode(_VEROVIO.renderToMIDI())))
    staves = []
    for track in file.tracks[1:]:
        now, found = 0, []
        for message in track:
            now += message.time
            if message.type == "note_on" and message.velocity:
                found.append((now / file.ticks_per_beat, message.note))
        staves.append(sorted(found))
    return staves


def check_verovio(of: Phrase) -> None:
    for staff in verovio_notes(of):
        sounds = expected(of)
        assert len(staff) == len(sounds)
        for (onset, midi), sound in zip(staff, sounds, strict=True):
            assert midi == sound[1]
            assert onset == pytest.approx(float(sound[0]), abs=2 / 120)  # two ticks


def without_small_notes(of: Phrase) -> Phrase:
    kept = [replace(note, link=None) for note in of.notes if not note.instant]
    return replace(of, notes=tuple(kept))


def ties_a_unison(of: Phrase) -> bool:
    """True if two strings are tied at one pitch: verovio 6.4.1 strikes one of them again."""
    events = [e for bar in score_bars(of) for voice in bar.voices for e in voice]
    tied = [[pitch(of, h.note) for h in e.notes if h.tie_out] for e in events]
    return any(len(set(found)) < len(found) for found in tied)


# verovio 6.4.1 gives graces on a tab staff time of their own and plays nothing in a bar that is
# drawn as a repeat, so what has neither is compared.
_PLAIN = [k for k, p in WORKED.items() if not any(x.instant for x in p.notes) and not any(
    b.simile for b in p.bars)]  # fmt: skip


@pytest.mark.parametrize("name", _PLAIN)
def test_verovio_plays_the_worked_examples(name):
    check_verovio(WORKED[name])


@pytest.mark.parametrize("name", WORKED)
def test_verovio_finds_every_note_by_its_id(name):
    assert _VEROVIO.loadData(to_musicxml(WORKED[name], title="x").decode())
    svg = _VEROVIO.renderToSVG(1)
    simile = {bar.number for bar in WORKED[name].bars if bar.simile}
    root = to_musicxml(WORKED[name], title="x")
    assert root.count(b'id="n.') == len(WORKED[name].notes)
    for note in WORKED[name].notes:
        if note.bar not in simile:
            assert f'id="{xml_id(note.id)}"' in svg


@settings(max_examples=30, deadline=None)
@given(phrases(most_bars=2))
def test_verovio_plays_generated_phrases(generated):
    plain = without_small_notes(generated)
    assume(not ties_a_unison(plain))
    check_verovio(plain)
