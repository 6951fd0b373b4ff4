"""Are the sentences about a take few, rounded as said, and true to what was measured?"""

from __future__ import annotations

import csv
import io
import re
from dataclasses import replace
from fractions import Fraction

import pytest
from heard_phrases import named
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from lickwright.hear import (
    AddedNote,
    BendHeard,
    BendVerdict,
    Doubt,
    DoubtReason,
    Hearing,
    NoteHeard,
    Punctuality,
    Unsure,
    Verdict,
    VibratoHeard,
)
from lickwright.hear.picture import picture
from lickwright.hear.table import HEAD, cells, csv_text, no_cells, summary
from lickwright.hear.words import MOST, report
from lickwright.phrase import Phrase

TRAM = named("late-tram")


def punctuality(error: float) -> Punctuality:
    """The limits of `hearing`: 20 and 50 ms (common practice, no source)."""
    late, size = error > 0, abs(error)
    if size <= 0.02:
        return Punctuality.TOGETHER
    if size <= 0.05:
        return Punctuality.LITTLE_LATE if late else Punctuality.LITTLE_EARLY
    return Punctuality.LATE if late else Punctuality.EARLY


def bend(phrase: Phrase, note, cents: float) -> BendHeard:
    target = phrase.midi(note) + float(note.bend.to)
    verdict = BendVerdict.IN_TUNE
    if abs(cents) > 25:
        verdict = BendVerdict.FLAT if cents < 0 else BendVerdict.SHARP
    elif abs(cents) > 10:
        verdict = BendVerdict.NEARLY
    return BendHeard(verdict, target, cents, 1.0, 0.1, 0.5, 0.1, 0.5)


def heard(phrase: Phrase = TRAM, **more) -> Hearing:
    """A flawless take, with what is given changed."""
    notes = tuple(
        NoteHeard(
            note.id, Verdict.PLAYED, 1.0, phrase.midi(note), note.end - note.onset,
            onset=0.5 + phrase.clock.seconds(note.onset), end=1.0, error=0.004,
            punctuality=Punctuality.TOGETHER, pitch=phrase.midi(note), beats=0.5,
            bend=bend(phrase, note, 2.0) if note.bend else None,
        )
        for note in phrase.notes
    )  # fmt: skip
    usual = {
        "phrase": phrase.name, "doubt": Doubt.NONE, "reasons": (), "start": 0.5,
        "tempo": float(phrase.tempo), "drift": 0.0, "tuning": 0.0, "steadiness": 5.0, "cost": 0.2,
        "notes": notes, "added": (), "pitch_seconds": (0.5, 0.516), "pitch_midi": (60.0, 60.0),
        "onsets": (), "clicks": (), "length": 9.0,
    }  # fmt: skip
    return Hearing(**usual | more)


def changed(hearing: Hearing, index: int, **what) -> Hearing:
    notes = list(hearing.notes)
    notes[index] = replace(notes[index], **what)
    return replace(hearing, notes=tuple(notes))


def said(hearing: Hearing, phrase: Phrase = TRAM) -> str:
    return " ".join(report(phrase, hearing).sentences)


def test_a_flawless_take_is_told_so_in_one_sentence() -> None:
    found = report(TRAM, heard())
    assert found.sentences == (
        "Every note that could be heard is there, the bends reach their pitch, and in time within "
        "20 ms.",
    )
    assert all(row.fine for row in found.rows)


def test_short_bends_are_named_with_their_cents() -> None:
    hearing = changed(heard(), 0, bend=bend(TRAM, TRAM.notes[0], -41.4))
    hearing = changed(hearing, 11, bend=bend(TRAM, TRAM.notes[11], -52.6))
    assert said(hearing) == (
        "The whole-step bends at bar 1, count 1 and bar 2, count 3 stop 41 and 53 cents, about a "
        "quarter step, short of the pitch. All is in time within 20 ms."
    ).replace("count 1 and bar", "count 1 and bar")


def test_a_late_note_is_told_to_five_milliseconds() -> None:
    hearing = changed(heard(), 2, error=0.0634, punctuality=Punctuality.LATE)
    assert said(hearing).startswith("The note at bar 1, count 2 comes 65 ms late.")
    row = report(TRAM, hearing).rows[2]
    assert (row.time, row.fine) == ("65 ms late", False)


def test_wrong_missed_and_added_notes_come_first() -> None:
    hearing = changed(heard(), 1, verdict=Verdict.WRONG, pitch=heard().notes[1].written + 1)
    hearing = changed(hearing, 3, verdict=Verdict.MISSED, onset=None, error=None)
    hearing = replace(hearing, added=(AddedNote(2.345, 60.0, 0.9, TRAM.notes[4].id),))
    first, second, third = report(TRAM, hearing).sentences
    assert first == "At bar 1, count 1& fret 8 is heard instead of fret 7 (string B)."
    assert second == "One note is not heard: bar 1, count 2&."
    assert third == "All is in time within 20 ms."
    assert "2.3 s" in said(replace(heard(), added=hearing.added))


@pytest.mark.parametrize(
    ("reasons", "words"),
    [((DoubtReason.NOTHING_HEARD,), "No playing was heard"), ((), "Is this “late tram”?")],
)
def test_doubt_is_asked_and_nothing_is_claimed(reasons, words: str) -> None:
    hearing = replace(heard(), doubt=Doubt.NOT_THIS_PHRASE, reasons=reasons)
    assert said(hearing).startswith(words)
    assert "cents" not in said(hearing)


def test_a_detuned_guitar_is_said_beside() -> None:
    assert report(TRAM, heard(tuning=-14.2)).asides[0].startswith("The guitar is 14 cents flat")
    assert not any("cents" in aside for aside in report(TRAM, heard(tuning=5)).asides)


def test_what_cannot_be_told_says_why() -> None:
    hearing = changed(heard(), 4, verdict=Verdict.CANNOT_TELL, unsure=Unsure.TOO_QUIET)
    row = report(TRAM, hearing).rows[4]
    assert row.verdict == "cannot tell: it is hardly louder than the noise"


@st.composite
def hearings(draw: st.DrawFn) -> Hearing:
    hearing = heard(
        doubt=draw(st.sampled_from(Doubt)), tuning=draw(st.floats(-50, 50)),
        drift=draw(st.none() | st.floats(-30, 30)), tempo=draw(st.none() | st.floats(20, 400)),
        reasons=tuple(draw(st.sets(st.sampled_from(DoubtReason)))),
        clicks=tuple(draw(st.lists(st.floats(0, 9), max_size=3))),
        added=tuple(AddedNote(draw(st.floats(0, 9)), 60.0, 0.5, None)
                    for _ in range(draw(st.integers(0, 6)))),
    )  # fmt: skip
    for index, note in enumerate(TRAM.notes):
        verdict = draw(st.sampled_from(Verdict))
        sounds = verdict is not Verdict.MISSED
        error = draw(st.none() | st.floats(-0.3, 0.3)) if sounds else None
        what = {
            "verdict": verdict,
            "unsure": draw(st.none() | st.sampled_from(Unsure)),
            "onset": draw(st.floats(0, 9)) if sounds else None,
            "error": error,
            "punctuality": Punctuality.CANNOT_TELL if error is None else punctuality(error),
            "pitch": draw(st.none() | st.floats(40, 90)) if sounds else None,
            "bend": bend(TRAM, note, draw(st.floats(-120, 120))) if note.bend and sounds else None,
            "vibrato": draw(st.none() | st.just(VibratoHeard(False, 0.0, 0.0))),
        }
        hearing = changed(hearing, index, **what)
    return hearing


@given(hearing=hearings())
def test_never_more_than_three_sentences_and_every_number_is_rounded(hearing: Hearing) -> None:
    found = report(TRAM, hearing)
    assert 1 <= len(found.sentences) <= MOST
    text = " ".join((*found.sentences, *found.asides))
    assert not re.search(r"\d\.\d+ (cents|ms)", text), "no tenths of a cent"
    for numbers in re.findall(r"((?:\d+(?:, | and )?)+) ms", text):
        assert all(int(number) % 5 == 0 for number in re.findall(r"\d+", numbers))
    assert "nan" not in text
    assert "None" not in text
    assert "out of 100" not in text
    assert len(found.rows) == len(TRAM.notes)


@given(hearing=hearings(), width=st.sampled_from([360.0, 900.0]))
def test_the_picture_is_well_formed_and_stays_inside(hearing: Hearing, width: float) -> None:
    drawn = etree.fromstring(picture(TRAM, hearing, width).encode())
    assert drawn.find("{*}title").text == "A take of late-tram"
    assert drawn.find("{*}desc").text
    _, _, wide, high = map(float, drawn.get("viewBox").split())
    for circle in drawn.iter("{*}circle"):
        assert 0 <= float(circle.get("cx")) <= wide + 60
        assert float(circle.get("cy")) <= high
    for text in drawn.iter("{*}text"):
        assert float(text.get("y")) <= high


def test_a_table_can_be_read_back_and_holds_no_formula() -> None:
    # Source of the form: RFC 4180, read by Python's own csv module.
    found = summary(changed(heard(), 0, bend=bend(TRAM, TRAM.notes[0], -41.4)))
    lines = [
        cells('=cmd()"x', "-Robin\n", "a,b", found, "@first, second"),
        no_cells("+broken.mp3", "", "class", "is broken"),
    ]
    rows = list(csv.reader(io.StringIO(csv_text(lines))))
    assert rows[0] == list(HEAD)
    assert all(len(row) == len(HEAD) for row in rows)
    assert not any(cell.startswith(("=", "+", "-", "@")) for row in rows[1:] for cell in row)
    assert rows[1][12] == "41 flat, 2 sharp"
    assert rows[1][7:10] == ["0", "0", "0"]


def test_a_summary_counts_what_is_there() -> None:
    hearing = changed(heard(), 3, verdict=Verdict.MISSED, onset=None, error=None)
    hearing = changed(hearing, 4, error=0.09, punctuality=Punctuality.LATE)
    found = summary(hearing)
    assert (found.right, found.missed, found.notes) == (11, 1, 12)
    assert (found.together, found.timed) == (10, 11)
    assert (found.bends, found.bends_in_tune, found.bend_cents) == (2, 2, (2, 2))
    assert isinstance(Fraction(found.tempo), Fraction)
