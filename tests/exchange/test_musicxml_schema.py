"""Is what is written MusicXML 4.0? Source: the W3C's schema (see musicxml_schema)."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from exchange_phrases import WORKED, n, phrase, phrases
from hypothesis import given, settings
from musicxml_schema import complaints, parsed

from lickwright.exchange import note_id, to_musicxml
from lickwright.phrase import STANDARD, Feel, Meter, Tuning
from lickwright.theory import CHORD_KINDS, parse_pitch


@pytest.mark.parametrize("name", WORKED)
def test_worked_examples_are_valid(name):
    assert complaints(parsed(to_musicxml(WORKED[name], title=name, author="Evening class"))) == []


@settings(max_examples=40, deadline=None)
@given(phrases())
def test_generated_phrases_are_valid(generated):
    assert complaints(parsed(to_musicxml(generated, title="generated"))) == []


_MUTATIONS = {
    "a fret below the open string": (".//fret", "-7"),
    "a string that no guitar has": (".//string", "0"),
    "a bend in words": (".//bend-alter", "full"),
    "no divisions": (".//divisions", "0"),
    "a chord kind of our own": (".//kind", "bluesy"),
    "a value of our own": (".//note/type", "crotchet"),
}


@pytest.mark.parametrize(("path", "value"), _MUTATIONS.values(), ids=_MUTATIONS)
def test_the_schema_refuses_what_is_wrong(path, value):
    root = parsed(to_musicxml(WORKED["lean-and-answer"], title="x"))
    found = root.find(path)
    assert found is not None
    found.text = value
    assert complaints(root)


def test_the_schema_refuses_a_wrong_hammer_on():
    root = parsed(to_musicxml(WORKED["seven-five"], title="x"))
    root.find(".//hammer-on").set("type", "begin")
    assert complaints(root)


def test_the_schema_refuses_a_wrong_order():
    root = parsed(to_musicxml(WORKED["seven-five"], title="x"))
    note = root.find(".//note")
    note.insert(0, note.find("voice"))
    assert complaints(root)


def test_every_kind_of_chord_is_valid():
    symbols = [(index, f"C{kind.suffix}") for index, kind in enumerate(CHORD_KINDS)]
    chorded = phrase([n(3, 5, 0, 4)], bars=len(symbols) // 4 + 1, chords=[*symbols, (40, "D/F#")])
    assert complaints(parsed(to_musicxml(chorded, title="x"))) == []


def test_no_chord():
    root = parsed(to_musicxml(phrase([n(3, 5, 0, 4)], chords=[(0, "N.C.")]), title="x"))
    assert complaints(root) == []
    assert root.findtext(".//harmony/kind") == "none"


@pytest.mark.parametrize("title", ["", "A & B < C", 'say "ah"', "tab\x00bell\x07", "B♭ lick 🎸"])
def test_titles_of_any_kind(title):
    root = parsed(to_musicxml(WORKED["seven-five"], title=title, author=title))
    assert complaints(root) == []
    assert (root.findtext(".//work-title") or "") == title.replace("\x00", "").replace("\x07", "")


def test_no_date_and_same_bytes():
    first = to_musicxml(WORKED["slides-bends"], title="x")
    assert first == to_musicxml(WORKED["slides-bends"], title="x")
    assert b"encoding-date" not in first
    assert parsed(first).findtext(".//software").startswith("Lickwright ")


@pytest.mark.parametrize("name", WORKED)
def test_every_note_has_its_id_on_both_staves(name):
    root = parsed(to_musicxml(WORKED[name], title=name))
    for staff in "12":
        found = [note.get("id") for note in root.iter("note") if note.findtext("staff") == staff]
        ids = {note_id(identifier) for identifier in found if identifier is not None}
        assert ids == {note.id for note in WORKED[name].notes}


def test_pickup_is_measure_0_and_the_rest_count_from_1():
    root = parsed(to_musicxml(WORKED["pickup-tie-hold"], title="x"))
    measures = list(root.iter("measure"))
    assert [m.get("number") for m in measures] == ["0", "1", "2", "3", "4", "5"]
    assert [m.get("implicit") for m in measures] == ["yes", None, None, None, None, None]


def test_strings_and_capo():
    seven = Tuning((*STANDARD.strings, parse_pitch("B1")))
    root = parsed(to_musicxml(phrase([n(7, 2, 0, 4)], tuning=seven, capo=3), title="x"))
    assert complaints(root) == []
    lines = [
        (t.get("line"), t.findtext("tuning-step") + t.findtext("tuning-octave"))
        for t in root.iter("staff-tuning")
    ]
    # Source: MusicXML 4.0 numbers tab lines from the bottom, the lowest string being 1.
    assert lines == [("1", "B1"), ("2", "E2"), ("3", "A2"), ("4", "D3"), ("5", "G3"), ("6", "B3"),
                     ("7", "E4")]  # fmt: skip
    assert root.findtext(".//capo") == "3"
    assert root.findtext(".//pitch/step") + root.findtext(".//pitch/octave") == "E2"


# Source: MusicXML 4.0, element `swing`: ratio of the two notes in the smallest whole numbers.
@pytest.mark.parametrize(
    ("offbeat", "meter", "said"),
    [
        ("2/3", Meter(4, 4), ("2", "1", "eighth")),
        ("3/5", Meter(4, 4), ("3", "2", "eighth")),
        ("2/3", Meter(7, 8), ("2", "1", "16th")),
        ("2/3", Meter(2, 2), (None, None, None)),
    ],
)
def test_swing(offbeat, meter, said):
    swung = replace(phrase([n(3, 5, 0, 1)], meter=meter), feel=Feel(Fraction(offbeat)))
    root = parsed(to_musicxml(swung, title="x"))
    assert complaints(root) == []
    words = (".//swing/first", ".//swing/second", ".//swing/swing-type")
    assert tuple(map(root.findtext, words)) == said
    assert str(swung.feel) in [w.text for w in root.iter("words")]
