from __future__ import annotations

from importlib.resources import files
from itertools import product
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from lickwright.theory import (
    CHORD_KINDS,
    NO_CHORD,
    Chord,
    Interval,
    PitchClass,
    TheoryError,
    parse_chord,
    transpose_chord,
)

from .outside import ROOTS, m21_name

ALTERED = [
    "7b5", "7b9", "7#9", "7b13", "9#5", "9b5", "7#9b13", "7(b9)", "7(#9,b13)", "7b9#9", "maj7#11",
    "13(#11)", "7no5", "m7(add11)", "(b5)", "m(add9)", "7(13)", "m7b5b9", "aug7b9", "+(b5)",
]  # fmt: skip
SUFFIXES = [kind.suffix for kind in CHORD_KINDS] + ALTERED
# Here a thirteenth over a major third leaves the eleventh out; music21 keeps it.
WITHOUT_ELEVENTH = {"13", "maj13"}


def names(chord: Chord) -> str:
    return " ".join(str(tone.name) for tone in chord.tones)


# Source: npm tonal 6.4.3 and music21 10.5.1 for A7 to E7#9; the rest by interval arithmetic.
@pytest.mark.parametrize(
    ("symbol", "tones"),
    [
        ("A7", "A C# E G"), ("D7", "D F# A C"), ("E7", "E G# B D"), ("A9", "A C# E G B"),
        ("A13", "A C# E G B F#"), ("E7#9", "E G# B D F##"), ("Bbm7b5", "Bb Db Fb Ab"),
        ("Gb7", "Gb Bb Db Fb"), ("F#dim7", "F# A C Eb"), ("Cdim7", "C Eb Gb Bbb"),
        ("E5", "E B"), ("Dsus4", "D G A"), ("C6/9", "C E G A D"), ("G7(#9,b13)", "G B D F A# Eb"),
        ("C7b9#9", "C E G Bb Db D#"), ("C7no5", "C E Bb"), ("C/D", "C E G D"), ("C/Bb", "C E G Bb"),
        ("C7/E", "C E G Bb"), ("C7/A#", "C E G Bb"),
    ],
)  # fmt: skip
def test_tones_of_a_symbol(symbol: str, tones: str) -> None:
    assert names(parse_chord(symbol)) == tones


def _harmony(chord: Chord) -> str:
    degrees = "".join(
        f"<degree><degree-value>{change.number}</degree-value>"
        f"<degree-alter>{change.alter}</degree-alter>"
        f"<degree-type>{change.type.value}</degree-type></degree>"
        for change in chord.kind.changes
    )
    return (
        f"<harmony><root><root-step>{chord.root.letter}</root-step>"
        f"<root-alter>{chord.root.alter}</root-alter></root>"
        f"<kind>{chord.kind.musicxml}</kind>{degrees}</harmony>"
    )


def _score(chords: list[Chord]) -> str:
    return (
        '<?xml version="1.0"?><score-partwise version="4.0"><part-list><score-part id="P1">'
        '<part-name>chords</part-name></score-part></part-list><part id="P1"><measure number="1">'
        "<attributes><divisions>1</divisions></attributes>"
        + "".join(map(_harmony, chords))
        + "<note><rest/><duration>4</duration></note></measure></part></score-partwise>"
    )


@pytest.mark.parametrize("suffix", SUFFIXES)
def test_every_kind_on_every_root_agrees_with_music21(suffix: str, m21: SimpleNamespace) -> None:
    # Source: music21 reads kind and degrees of MusicXML 4.0 and spells the chord by itself.
    chords = [parse_chord(f"{root}{suffix}") for root in ROOTS]
    score = m21.converter.parse(_score(chords), format="musicxml")
    theirs: list[Any] = list(score.recurse().getElementsByClass(m21.harmony.ChordSymbol))
    assert len(theirs) == len(chords) == 21
    for chord, symbol in zip(chords, theirs, strict=True):
        wanted = {pitch.name for pitch in symbol.pitches}
        if suffix in WITHOUT_ELEVENTH:
            wanted.discard(symbol.root().transpose("P4").name)
        assert {m21_name(tone.name) for tone in chord.tones} == wanted, chord


@pytest.mark.parametrize(
    ("symbol", "theirs"),
    [
        ("A7", "A7"), ("Bbmaj7", "B-maj7"), ("F#m7", "F#m7"), ("Ebm", "E-m"), ("C+", "C+"),
        ("Bdim7", "Bo7"), ("G9", "G9"), ("Dm9", "Dm9"), ("Asus4", "Asus4"), ("C/D", "C/D"),
        ("D/F#", "D/F#"), ("Em7b5", "Eø7"), ("G6", "G6"), ("Abm6", "A-m6"), ("C5", "Cpower"),
    ],
)  # fmt: skip
def test_symbols_agree_with_music21(symbol: str, theirs: str, m21: SimpleNamespace) -> None:
    # Source: music21 harmony.ChordSymbol on the symbol as music21 writes it.
    chord, other = parse_chord(symbol), m21.harmony.ChordSymbol(theirs)
    assert {m21_name(tone.name) for tone in chord.tones} == {p.name for p in other.pitches}
    assert chord.chromas == {p.pitchClass for p in other.pitches}
    assert m21_name(chord.bass or chord.root) == other.bass().name


@pytest.fixture(scope="module")
def xml_kinds() -> set[str]:
    """The kind-value words of the W3C schema, as packed in the PyPI package `musicxml`."""
    schema = files("musicxml") / "generate_classes" / "musicxml_4_0.xsd"
    tree = etree.fromstring(schema.read_bytes())
    path = "//xs:simpleType[@name='kind-value']//xs:enumeration/@value"
    found = tree.xpath(path, namespaces={"xs": "http://www.w3.org/2001/XMLSchema"})
    assert isinstance(found, list)
    return {str(word) for word in found}


def test_kind_words_are_those_of_musicxml(xml_kinds: set[str]) -> None:
    assert len(xml_kinds) > 30
    assert {kind.musicxml for kind in CHORD_KINDS} <= xml_kinds
    assert NO_CHORD.kind.musicxml in xml_kinds


def test_the_table_of_kinds_as_data() -> None:
    assert len({kind.suffix for kind in CHORD_KINDS}) == len(CHORD_KINDS)
    assert len({kind.name for kind in CHORD_KINDS}) == len(CHORD_KINDS)
    assert len({kind.tones for kind in CHORD_KINDS}) == len(CHORD_KINDS)
    assert len({(kind.musicxml, kind.changes) for kind in CHORD_KINDS}) == len(CHORD_KINDS)
    for kind in CHORD_KINDS:
        roles = [role for role, _ in kind.tones]
        semitones = [above for _, above in kind.tones]
        assert roles == sorted(set(roles)), kind.suffix
        assert semitones == sorted(set(semitones)), kind.suffix
        assert kind.tones[0] == (1, 0)
        assert all(Interval(*tone).name for tone in kind.tones)


@pytest.mark.parametrize(
    "spellings",
    [
        "C Cmaj CM Cmajor", "Cm Cmin Cmi C- Cminor", "C7 C7 Cdom7", "Cm7 Cmin7 C-7 Cmi7",
        "Cmaj7 CM7 CΔ CΔ7 C△7 CMaj7 Cma7 CMAJ7", "Cmaj9 CM9 CΔ9", "Cdim C° Cº Co",
        "Cdim7 C°7 Co7", "Cm7b5 Cø Cø7 C-7b5 Cm7(b5) Cm7♭5 Cmin7b5", "Caug C+",
        "Caug7 C+7 C7#5 C7(#5) C7♯5 C7+", "CmMaj7 CmM7 Cm(maj7) Cm(M7) C-Δ CminMaj7",
        "C6/9 C69 C6(9) C6add9", "Cm6/9 Cm69", "Csus4 Csus", "C7sus4 C7sus C7(sus4)",
        "C9sus4 C9sus", "C7(9)_C7add9_C7(add9)_C7 9",
        "Cadd9 C(add9) Cadd2", "Cmadd9 Cm(add9) Cmin(add9)", "C7b9 C7(b9) C7(♭9) C7♭9",
        "C7#9b13_C7(#9b13)_C7(#9,b13)_C7(♯9, ♭13)",
    ],
)  # fmt: skip
def test_ways_to_write_one_chord(spellings: str) -> None:
    first, *others = map(parse_chord, spellings.split("_" if "_" in spellings else None))
    for other in others:
        assert other == first, other
        assert hash(other) == hash(first)
    assert parse_chord(f"C{first.kind.suffix}") == first


@pytest.mark.parametrize(
    ("written", "symbol", "pretty"),
    [
        ("B♭m7♭5/E♭", "Bbm7b5/Eb", "B♭m7♭5/E♭"), ("F#m", "F#m", "F♯m"), ("CΔ", "CΔ", "CΔ"),
        ("Bb", "Bb", "B♭"), ("E7#9", "E7#9", "E7♯9"), ("A7(b9)", "A7(b9)", "A7(♭9)"),
        ("Bb9", "Bb9", "B♭9"), (" G7 ", "G7", "G7"), ("C6/9/E", "C6/9/E", "C6/9/E"),
        ("nc", "N.C.", "N.C."), ("N.C.", "N.C.", "N.C."), ("Asus4/G#", "Asus4/G#", "Asus4/G♯"),
    ],
)  # fmt: skip
def test_a_symbol_stays_as_written(written: str, symbol: str, pretty: str) -> None:
    chord = parse_chord(written)
    assert (str(chord), chord.symbol, chord.pretty) == (symbol, symbol, pretty)
    assert parse_chord(chord.symbol) == chord
    assert parse_chord(chord.pretty) == chord


def test_no_chord_has_no_tones() -> None:
    for text in ("N.C.", "NC", "N.C", "n.c."):
        assert parse_chord(text) is NO_CHORD
    assert not NO_CHORD.sounds
    assert NO_CHORD.chromas == frozenset()
    assert NO_CHORD.role_of(0) is None
    assert transpose_chord(NO_CHORD, Interval(3, 4)) is NO_CHORD


def test_the_role_of_a_tone() -> None:
    chord = parse_chord("E7#9")
    assert [(t.role, t.semitones, t.interval.name) for t in chord.tones] == [
        (1, 0, "unison"),
        (3, 4, "major third"),
        (5, 7, "perfect fifth"),
        (7, 10, "minor seventh"),
        (9, 15, "augmented ninth"),
    ]
    ninth = chord.role_of(67)
    assert ninth is not None
    assert ninth.name == PitchClass("F", 2)
    assert chord.role_of(66) is None
    assert all(chord.role_of(t.name.chroma) == t for t in chord.tones)


# Source: arithmetic; a blues in G played in A and in F.
@pytest.mark.parametrize(
    ("symbol", "up", "down"),
    [
        ("G7", "A7", "F7"), ("C7", "D7", "Bb7"), ("D7", "E7", "C7"),
        ("Bm7b5/F", "C#m7b5/G", "Am7b5/Eb"),
        ("GΔ", "AΔ", "FΔ"), ("C6/9", "D6/9", "Bb6/9"), ("C6/9/E", "D6/9/F#", "Bb6/9/D"),
        ("C/D", "D/E", "Bb/C"), ("E7(♯9)", "F#7(#9)", "D7(#9)"),
    ],
)  # fmt: skip
def test_a_chord_in_another_key(symbol: str, up: str, down: str) -> None:
    tone = Interval(2, 2)
    chord = parse_chord(symbol)
    for moved, wanted in (
        (transpose_chord(chord, tone), up),
        (transpose_chord(chord, tone, down=True), down),
    ):
        assert moved.symbol == wanted
        assert moved == parse_chord(wanted)
    assert transpose_chord(transpose_chord(chord, tone), tone, down=True) == chord


@pytest.mark.parametrize(
    ("text", "message", "mend"),
    [
        ("Hm", "'Hm': the note H is written B here", "Bm"),
        ("am7", "'am7' is no chord symbol; one begins with a capital, A to G", "Am7"),
        ("m7", "'m7' is no chord symbol; one begins with a capital, A to G", ""),
        ("foo", "'foo' is no chord symbol; one begins with a capital, A to G", ""),
        ("", "'' is no chord symbol; one begins with a capital, A to G", ""),
        ("Cmjr7", "'Cmjr7' is no chord symbol: 'mjr7' after C cannot be read", "Cmaj7"),
        ("A7maj", "'A7maj' is no chord symbol: '7maj' after A cannot be read", "Amaj7"),
        ("F#7alt", "'F#7alt' is no chord symbol: '7alt' after F# cannot be read", ""),
        ("C79", "'C79' is no chord symbol: '79' after C cannot be read", "C9"),
        ("C7no3no3", "'C7no3no3' is no chord symbol: '7no3no3' after C cannot be read", ""),
        ("C7b7", "'C7b7' is no chord symbol: '7b7' after C cannot be read", ""),
        ("Csus4add3", "'Csus4add3' is no chord symbol: 'sus4add3' after C cannot be read", "Csus4"),
        ("C/H", "'C/H': after the slash stands the bass, a note, not 'H'", "C/B"),
        ("C7/e", "'C7/e': after the slash stands the bass, a note, not 'e'", "C7/E"),
        ("C/", "'C/': after the slash stands the bass, a note, not ''", ""),
    ],
)
def test_what_is_said_about_a_wrong_symbol(text: str, message: str, mend: str) -> None:
    with pytest.raises(TheoryError) as caught:
        parse_chord(text)
    assert (str(caught.value), caught.value.mend) == (message, mend)
    if mend:
        parse_chord(mend)


def test_a_letter_after_a_note_letter_is_its_flat() -> None:
    # Cb5 is the power chord on C flat; C with a flat fifth needs its brackets.
    assert names(parse_chord("Cb5")) == "Cb Gb"
    assert names(parse_chord("C(b5)")) == "C E Gb"


@given(
    st.one_of(
        st.text(max_size=12),
        st.text(alphabet="ABCDEFGHabm#♭♯Δ°ø+-/()79135,. susdimajno", max_size=12),
    )
)
def test_noise_is_a_chord_or_a_plain_error(text: str) -> None:
    try:
        chord = parse_chord(text)
    except TheoryError:
        return
    assert parse_chord(chord.symbol) == chord
    assert parse_chord(chord.pretty) == chord


def test_every_kind_can_be_built_on_double_accidentals() -> None:
    roots = [f"{letter}{signs}" for letter, signs in product("CDEFGAB", ("bb", "##"))]
    for root, suffix in product(roots, SUFFIXES):
        chord = parse_chord(f"{root}{suffix}")
        plain = parse_chord(f"{root[0]}{suffix if suffix[:1] not in 'b#' else f'({suffix})'}")
        assert len(chord.tones) == len(plain.tones)
