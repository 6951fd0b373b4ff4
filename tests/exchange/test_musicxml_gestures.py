"""How are bends, joins, marks and heads said?

Sources: MusicXML 4.0 (W3C): `bend` with its examples (pitch B flat 3 on string 3 fret 3, bend-alter
-2 with pre-bend), `release` offset in divisions from its note, `trill-beat` in percent of a note.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from exchange_phrases import grace, n, phrase, quick
from lxml import etree
from musicxml_schema import complaints, parsed

from lickwright.exchange import to_musicxml
from lickwright.phrase import (
    Bend,
    Entry,
    Finger,
    Mark,
    Meter,
    Note,
    Release,
    SlideOff,
    Span,
    Stroke,
    Trill,
    Vibrato,
)
from lickwright.theory import parse_pitch

F = Fraction


def written(*notes: Note, **more: object) -> etree._Element:
    root = parsed(to_musicxml(phrase(notes, **more), title="x"))
    assert complaints(root) == []
    return root


def of_staff(root: etree._Element, staff: int) -> list[etree._Element]:
    return [m for m in root.iter("note") if m.findtext("staff") == str(staff) and m.get("id")]


def bend_words(root: etree._Element) -> list[tuple[str | None, ...]]:
    """Alteration, what it is, where the release starts, first and last beat in percent."""
    found = []
    for bend in root.iter("bend"):
        kind = next((c for c in bend if c.tag in ("pre-bend", "release")), None)
        offset = kind.get("offset") if kind is not None else None
        name = kind.tag if kind is not None else None
        found.append(
            (
                bend.findtext("bend-alter"),
                name,
                offset,
                bend.get("first-beat"),
                bend.get("last-beat"),
            )
        )
    return found


def test_prebend_as_in_the_standards_example():
    root = written(n(3, 3, 0, 4, gestures=[Bend(F(2), struck_bent=True)]), key="Bb")
    note = of_staff(root, 2)[0]
    assert note.findtext("pitch/step") + note.findtext("pitch/alter") == "B-1"
    assert note.findtext("pitch/octave") == "3"
    assert (note.findtext(".//string"), note.findtext(".//fret")) == ("3", "3")
    assert bend_words(root) == [("-2", "pre-bend", None, None, None)]


def test_slow_bend_and_release_from_count_to_count():
    bent = n(3, 10, 0, 4, gestures=[Bend(F(2), F(1), F(2)), Release(F(0), F(3), F(4))])
    # Divisions: the bar holds only whole notes, so a quarter is 1 division.
    assert bend_words(written(bent)) == [
        ("2", None, None, "25", "50"),
        ("-2", "release", "3", "75", "100"),
    ]


def test_quarter_tone_bend_is_quick():
    # A quick bend takes 0.1 s: at 60 beats a minute 2.5 % of four beats.
    root = written(n(3, 10, 0, 4, gestures=[Bend(F(1, 2))]), tempo=F(60))
    assert bend_words(root) == [("0.5", None, None, "0", "2.5")]


def test_partial_release_and_further_bend_change_by_what_is_left():
    moves = [Bend(F(3), F(0), F(1)), Release(F(1), F(1), F(2)), Bend(F(2), F(2), F(3))]
    alters = [words[0] for words in bend_words(written(n(3, 10, 0, 4, gestures=moves)))]
    assert alters == ["3", "-2", "1"]


def test_a_gesture_over_a_tie_is_in_the_head_where_it_begins():
    held = n(3, 10, 2, 6, gestures=[Bend(F(2), F(2), F(3)), Release(F(0), F(5), F(6))])
    heads = of_staff(written(held), 2)
    assert [len(h.findall(".//bend")) for h in heads] == [1, 1]
    assert [h.get("id")[:2] for h in heads] == ["t.", "t2"]
    assert heads[1].find(".//release").get("offset") == "1"  # beat 5 is one on from beat 4


def test_hammer_pull_and_slide_are_paired():
    root = written(
        n(3, 5, 0, 1), n(3, 7, 1, 2, link="h"), n(3, 5, 2, 3, link="p"), n(3, 9, 3, 4, link="/@5/2")
    )
    tab = of_staff(root, 2)
    said = [
        [(c.tag, c.get("type"), c.text) for c in h.iter("hammer-on", "pull-off", "slide")]
        for h in tab
    ]
    assert said == [
        [("hammer-on", "start", "H")],
        [("hammer-on", "stop", None), ("pull-off", "start", "P")],
        [("slide", "start", None), ("pull-off", "stop", None)],
        [("slide", "stop", None)],
    ]
    slide = tab[2].find(".//slide")
    assert (slide.get("first-beat"), slide.get("last-beat")) == ("50", "100")
    numbers = [(s.get("type"), s.get("number")) for s in root.iter("slur")]
    starts = [number for kind, number in numbers if kind == "start"]
    assert starts == [number for kind, number in numbers if kind == "stop"]
    assert all(a != b for a, b in pairwise(starts))


@pytest.mark.parametrize(
    ("more", "path"),
    [
        ({"entry": Entry.TAPPED}, ".//tap"),
        ({"harmonic": True}, ".//harmonic/natural"),
        ({"stroke": Stroke.DOWN}, ".//down-bow"),
        ({"stroke": Stroke.UP}, ".//up-bow"),
        ({"entry": Entry.FROM_BELOW}, ".//scoop"),
        ({"entry": Entry.FROM_ABOVE}, ".//plop"),
        ({"off": SlideOff(True)}, ".//doit"),
        ({"off": SlideOff(False)}, ".//falloff"),
        ({"marks": [Mark.ACCENT]}, ".//accent"),
        ({"marks": [Mark.STACCATO]}, ".//staccato"),
        ({"gestures": [Trill(14)]}, ".//trill-mark[@trill-step='whole']"),
        ({"gestures": [Vibrato()]}, ".//wavy-line[@type='stop']"),
        ({"gestures": [Vibrato(wide=True)]}, ".//other-ornament"),
    ],
)
def test_said_once(more, path):
    assert len(written(n(3, 12, 0, 4, **more)).findall(path)) == 1


def test_fingers_of_both_hands():
    root = written(n(3, 12, 0, 4, finger=Finger.THIRD, stroke=Stroke.MIDDLE))
    assert [e.text for e in root.iter("fingering")] == ["3"]
    assert [e.text for e in root.iter("pluck")] == ["m"]


def test_dead_ghost_and_harmonic_heads():
    root = written(
        n(3, 0, 0, 1, dead=True), n(3, 5, 1, 2, ghost=True), n(3, 12, 2, 4, harmonic=True)
    )
    heads = [h.find("notehead") for h in of_staff(root, 1)]
    assert [(h.text, h.get("parentheses")) for h in heads] == [
        ("x", None), ("normal", "yes"), ("diamond", None),
    ]  # fmt: skip
    # The harmonic over fret 12 of the G string sounds an octave above the open string: G4.
    assert of_staff(root, 1)[2].findtext("pitch/octave") == "4"


def test_palm_mute_and_let_ring():
    spans = (Span(Mark.PALM_MUTE, F(0), F(2)), Span(Mark.LET_RING, F(2), F(4)))
    root = written(*(n(3 + i % 2, 5, i, 4 if i > 1 else i + 1) for i in range(4)), spans=spans)
    assert [w.text for w in root.iter("words")] == ["P.M.", "let ring"]
    assert [(d.get("type"), d.get("number")) for d in root.iter("dashes")] == [
        ("start", "1"), ("stop", "1"), ("start", "2"), ("stop", "2"),
    ]  # fmt: skip
    assert len(root.findall(".//play/mute")) == 4  # two notes on two staves
    rings = [h.find(".//tied[@type='let-ring']") is not None for h in of_staff(root, 1)]
    assert rings == [False, False, True, False]  # the last one ends where it is written to end


def test_graces_come_before_their_note_in_order():
    root = written(
        grace(3, 5, 1, -2), grace(3, 7, 1, -1, link="h"), n(3, 9, 1, 2, link="h"),
        n(2, 5, 2, 2), quick(2, 7, 2, 4, link="/"),
    )  # fmt: skip
    found = [(h.find("grace") is not None, h.findtext(".//fret")) for h in of_staff(root, 2)]
    assert found == [(True, "5"), (True, "7"), (False, "9"), (True, "5"), (False, "7")]


def test_simile_is_written_out_and_shown_as_a_repeat():
    notes = [n(3, 5, 0, 4), n(3, 5, 4, 8), n(3, 7, 8, 12)]
    root = written(*notes, simile=[2])
    assert len(of_staff(root, 1)) == 3
    repeats = [(m.getparent().getparent().getparent().get("number"), m.get("type"))
               for m in root.iter("measure-repeat")]  # fmt: skip
    assert repeats == [("2", "start"), ("3", "stop")]


def test_accidentals_last_for_the_bar():
    # D sharp as the third of B7: a sharp sign the first time, none the second, again in bar 2.
    notes = [n(2, 4, 0, 1), n(2, 4, 1, 2), n(2, 3, 2, 4), n(2, 4, 4, 8)]
    root = written(*notes, key="A minor", chords=[(0, "B7")])
    signs = [h.findtext("accidental") for h in of_staff(root, 1)]
    assert signs == ["sharp", None, "natural", "sharp"]


# Source: MusicXML 4.0: `metronome` says the printed beat, `sound tempo` is in quarters a minute.
@pytest.mark.parametrize(
    ("meter", "printed", "sounding"),
    [
        (Meter(4, 4), ("quarter", 0, "90"), "90"),
        (Meter(12, 8), ("quarter", 1, "90"), "135"),
        (Meter(7, 8), ("eighth", 0, "90"), "45"),
        (Meter(2, 2), ("half", 0, "90"), "180"),
    ],
)
def test_tempo(meter, printed, sounding):
    mark = written(n(3, 5, 0, 1), meter=meter).find(".//metronome")
    said = (mark.findtext("beat-unit"), len(mark.findall("beat-unit-dot")))
    assert (*said, mark.findtext("per-minute")) == printed
    assert mark.getparent().getparent().find("sound").get("tempo") == sounding


def beams(*notes: Note) -> list[list[str]]:
    return [[b.text for b in h.iter("beam")] for h in of_staff(written(*notes), 1)]


def test_beams():
    # Common practice, no source: a beam a beat, a short second beam where one note alone has it.
    eighth_and_two = [n(3, 5, 0, "1/2"), n(3, 5, "1/2", "3/4"), n(3, 5, "3/4", 1)]
    assert beams(*eighth_and_two) == [["begin"], ["continue", "begin"], ["end", "end"]]
    dotted = [n(3, 5, 0, "3/4"), n(3, 5, "3/4", 1), n(3, 5, 1, "5/4"), n(3, 5, "5/4", 2)]
    assert beams(*dotted) == [
        ["begin"], ["end", "backward hook"], ["begin", "forward hook"], ["end"],
    ]  # fmt: skip


def test_directions_and_chords_between_notes_say_how_far_on():
    root = written(n(3, 5, 0, 4), chords=[(0, "C7"), (2, "F7")])
    assert [h.findtext("offset") for h in root.iter("harmony")] == [None, "2"]


def test_names_given_for_notes_are_written():
    root = parsed(
        to_musicxml(
            phrase([n(3, 3, 0, 4)], key="C"), title="x", spelled={"p/1/1/3": parse_pitch("A#3")}
        )
    )
    assert complaints(root) == []
    for note in of_staff(root, 1) + of_staff(root, 2):
        assert (note.findtext("pitch/step"), note.findtext("pitch/alter")) == ("A", "1")
