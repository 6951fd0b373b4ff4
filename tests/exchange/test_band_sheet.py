"""Does the chord sheet of a band say its chords? Outside sources: the W3C's MusicXML 4.0 schema

(see musicxml_schema), music21 10.5.1 and verovio 6.4.1 as readers.
"""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

import pytest
import verovio
from band_reading import METERS, SHUFFLE, F, backings, of_chords, twelve
from hypothesis import given, settings
from lxml import etree
from music21 import converter, harmony, meter, stream, tempo
from musicxml_schema import complaints, parsed

from lickwright.band import Backing, chords_backing
from lickwright.exchange import band_musicxml
from lickwright.phrase import ChordAt, Feel, Meter
from lickwright.theory import CHORD_KINDS, Chord, parse_chord, parse_key

ROOTS = ["C", "Bb", "F#", "Ab", "E"]
ALTERED = [
    "B7#9", "B7b9", "B7(#9,b13)", "B7b5", "Am7no5", "C7#11", "C13#11", "C9no3", "Cmaj7#5",
    "Cadd11", "C7sus4b9", "CΔ", "A-7", "Fmin7", "G+", "Aø",
]  # fmt: skip
# music21 10.5.1 calls these kinds otherwise; MusicXML 4.0's `kind-value` is what is written.
OTHERWISE = {
    "dominant": "dominant-seventh",
    "major-minor": "minor-major-seventh",
    "half-diminished": "half-diminished-seventh",
}
# music21 10.5.1 keeps the eleventh in these, which theory leaves out over a major third.
KEEPS_ELEVENTH = {"13", "maj13"}


def sheet(backing: Backing, **more: object) -> etree._Element:
    """The parsed sheet, after the schema has found nothing wrong with it."""
    root = parsed(band_musicxml(backing, title="x", **more))
    assert complaints(root) == []
    return root


def read(backing: Backing) -> stream.Part:
    data = band_musicxml(backing, title="x")
    return converter.parse(data, format="musicxml", forceSource=True).parts[0]


def symbols(part: stream.Part) -> list[harmony.Harmony]:
    return list(part.flatten().getElementsByClass(harmony.Harmony))


def check_symbol(found: harmony.Harmony, chord: Chord) -> None:
    """music21 reads the chord's root, kind, bass and tones, and its text as written."""
    if not chord.sounds:
        assert isinstance(found, harmony.NoChord)
        return
    kind = chord.kind
    assert found.root().name == str(chord.root).replace("b", "-")
    assert found.chordKind == OTHERWISE.get(kind.musicxml, kind.musicxml)
    bass = chord.bass or chord.root
    assert found.bass().name == str(bass).replace("b", "-")
    eleventh = {(chord.root.chroma + 5) % 12} if kind.suffix in KEEPS_ELEVENTH else set()
    assert {pitch.pitchClass for pitch in found.pitches} == chord.chromas | eleventh
    slash = f"/{chord.bass}" if chord.bass else ""
    assert f"{chord.root}{found.chordKindStr}{slash}" == chord.symbol


@pytest.mark.parametrize("root", ROOTS)
def test_every_kind_of_chord(root: str) -> None:
    chords = [parse_chord(f"{root}{kind.suffix}") for kind in CHORD_KINDS]
    over = [parse_chord(f"{root}{kind.suffix}/D") for kind in CHORD_KINDS]
    backing = replace(chords_backing([*chords, *over]), ending=False)
    sheet(backing)
    for found, chord in zip(symbols(read(backing)), [*chords, *over], strict=True):
        check_symbol(found, chord)


def test_every_kind_of_the_table_is_tried() -> None:
    root = sheet(chords_backing([parse_chord(f"C{kind.suffix}") for kind in CHORD_KINDS]))
    kinds = {kind.text for kind in root.iter("kind")}
    assert kinds == {kind.musicxml for kind in CHORD_KINDS}


@pytest.mark.parametrize("symbol", [*ALTERED, "D/F#", "Cm7b5/Gb", "N.C."])
def test_altered_chords_and_none(symbol: str) -> None:
    chord = parse_chord(symbol)
    backing = chords_backing([chord])
    sheet(backing)
    found = symbols(read(backing))
    check_symbol(found[0], chord)


def test_no_chord_does_not_show_a_root() -> None:
    # W3C, MusicXML 4.0, element `kind`: with `none` the root's text is empty so it is not shown.
    root = sheet(of_chords("N.C."))
    assert root.findtext(".//harmony/kind") == "none"
    assert root.find(".//root-step").get("text") == ""


def moved(*places: tuple[str, str], bars: int = 2, meter: Meter = Meter(4, 4)) -> Backing:
    changes = tuple(ChordAt(F(beat), parse_chord(symbol)) for beat, symbol in places)
    return Backing(changes, bars, meter, feel=SHUFFLE, choruses=1, ending=False)


def test_changes_inside_a_bar() -> None:
    backing = moved(("0", "A7"), ("7/3", "Bbdim7"), ("7/2", "E7#9"), ("6", "A7/C#"))
    sheet(backing)
    found = [(Fraction(s.offset).limit_denominator(99), s.root().name) for s in
             symbols(read(backing))]  # fmt: skip
    assert found == [(0, "A"), (F(7, 3), "B-"), (F(7, 2), "E"), (6, "A")]


def in_force(part: stream.Part) -> list[tuple[Fraction, str]]:
    """Chords of a part as it is played, with its repeats: offset in quarters and root."""
    return [
        (Fraction(symbol.offset).limit_denominator(999), symbol.root().name)
        for symbol in symbols(part.expandRepeats())
        if not isinstance(symbol, harmony.NoChord)
    ]


@settings(max_examples=30, deadline=None)
@given(backings())
def test_with_its_repeats_the_sheet_is_what_the_band_plays(backing: Backing) -> None:
    sheet(backing)
    quarter = backing.meter.beat_in_quarters
    wanted = [
        ((change.beat + chorus * backing.chorus_beats) * quarter, change.chord)
        for chorus in range(backing.choruses)
        for change in backing.changes
    ]
    if backing.ending:
        end = backing.choruses * backing.chorus_beats * quarter
        wanted.append((end, backing.changes[0].chord))
    part = read(backing)
    assert in_force(part) == [
        (at, str(chord.root).replace("b", "-")) for at, chord in wanted if chord.sounds
    ]
    length = part.expandRepeats().duration.quarterLength
    assert length == float(backing.beats * quarter)


@pytest.mark.parametrize("choruses", [1, 2, 24])
@pytest.mark.parametrize("ending", [True, False])
def test_one_chorus_is_written_however_many_there_are(choruses: int, ending: bool) -> None:
    backing = twelve(choruses=choruses, ending=ending)
    root = sheet(backing)
    assert len(root.findall(".//measure")) == 12 + ending
    times = [repeat.get("times") for repeat in root.iter("repeat")]
    assert times == ([None, str(choruses)] if choruses > 1 else [])
    said = [words.text for words in root.iter("words")]
    assert (f"{choruses} times" in said) == (choruses > 1)
    assert (
        len(read(backing).expandRepeats().getElementsByClass("Measure")) == 12 * choruses + ending
    )


@pytest.mark.parametrize("signature", METERS, ids=str)
def test_meter_tempo_and_feel(signature: Meter) -> None:
    backing = twelve(signature, tempo=F(97), feel=Feel(F(3, 5)))
    root = sheet(backing)
    part = read(backing).flatten()
    written = part.getElementsByClass(meter.TimeSignature)[0]
    assert written.ratioString == str(signature)
    mark = part.getElementsByClass(tempo.MetronomeMark)[0]
    assert mark.getQuarterBPM() == pytest.approx(float(97 * signature.beat_in_quarters))
    assert "shuffle 60%" in [words.text for words in root.iter("words")]
    halves = {F(1): "eighth", F(1, 2): "16th"}.get(signature.beat_in_quarters)
    assert root.findtext(".//swing/swing-type") == halves
    if halves:
        assert (root.findtext(".//swing/first"), root.findtext(".//swing/second")) == ("3", "2")


def test_a_straight_band_has_no_swing() -> None:
    assert sheet(twelve(feel=Feel())).find(".//swing") is None


def test_title_author_and_key() -> None:
    data = band_musicxml(twelve(), title="B♭ & evening", author="Tuesday class",
                         key=parse_key("Eb"))  # fmt: skip
    root = parsed(data)
    assert complaints(root) == []
    assert root.findtext(".//work-title") == "B♭ & evening"
    assert root.findtext(".//creator") == "Tuesday class"
    assert root.findtext(".//key/fifths") == "-3"
    assert sheet(twelve()).find(".//key") is None
    assert data == band_musicxml(twelve(), title="B♭ & evening", author="Tuesday class",
                                 key=parse_key("Eb"))  # fmt: skip


def test_nothing_is_played_but_what_is_written() -> None:
    root = sheet(twelve())
    assert list(root.iter("pitch")) == []
    assert all(note.find("rest") is not None for note in root.iter("note"))
    assert root.find(".//staves") is None


_VEROVIO = verovio.toolkit()
verovio.enableLog(verovio.LOG_OFF)


@pytest.mark.parametrize("signature", [Meter(4, 4), Meter(12, 8), Meter(7, 8)], ids=str)
def test_verovio_shows_a_slash_style_and_every_symbol(signature: Meter) -> None:
    backing = replace(of_chords("Am7 D9 G/B C", signature), ending=False, choruses=1)
    assert _VEROVIO.loadData(band_musicxml(backing, title="x").decode())
    mei = _VEROVIO.getMEI()
    assert re.findall(r"<harm [^>]*>([^<]*)<", mei) == ["Am7", "D9", "G/B", "C"]
    # verovio 6.4.1 draws a slash for each lower number of the meter, whatever `slash-type` says.
    assert mei.count("<beatRpt") == 4 * signature.upper
    assert not re.search(r"<m?Rest", mei)


def test_verovio_finds_symbols_inside_a_bar() -> None:
    backing = moved(("0", "A7"), ("2", "D7"), ("7/2", "E7"))
    assert _VEROVIO.loadData(band_musicxml(backing, title="x").decode())
    found = re.findall(r'<harm [^>]*tstamp="([^"]+)"[^>]*>([^<]*)<', _VEROVIO.getMEI())
    assert [(float(at), symbol) for at, symbol in found] == [(1, "A7"), (3, "D7"), (4.5, "E7")]


def test_long_forms() -> None:
    backing = of_chords("Am7 D9 " * 128, Meter(7, 8), choruses=200)
    root = sheet(backing)
    assert len(root.findall(".//measure")) == 257
    assert len(root.findall(".//print")) == 63
