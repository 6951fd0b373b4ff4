"""Bars in printed values: sums, ties, tuplets and beams hold for any phrase."""

from __future__ import annotations

import sys
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings

from lickwright.phrase import Bend, Link, LinkKind, Mark, Meter, Release, Span
from lickwright.phrase.score import ScoreBar, ScoreEvent, score_bars
from lickwright.phrase.values import Value, beam_groups, split_plain, value_of

sys.path.insert(0, str(Path(__file__).parents[1] / "engrave"))
import itertools

from phrase_builder import grace, n, phrase, quick
from phrase_strategies import phrases


def written(bar: ScoreBar) -> list[str]:
    """One voice a string: `8.` a dotted eighth, `r4` a rest, `~` tied on, `(3:2)` in a triplet."""

    def one(event: ScoreEvent) -> str:
        text = ("r" if event.rest else "") + str(event.value.base) + "." * event.value.dots
        if any(head.tie_out for head in event.notes):
            text += "~"
        return f"{text}({event.tuplet.actual}:{event.tuplet.normal})" if event.tuplet else text

    return [" ".join(one(event) for event in voice if not event.hidden) for voice in bar.voices]


def line(*places: str, meter: Meter = Meter(4, 4)) -> list[str]:
    """Bars of one voice whose notes begin at the places but the last."""
    notes = [n(1, 5, start, end) for start, end in itertools.pairwise(places)]
    return [written(bar)[0] for bar in score_bars(phrase(notes, meter=meter))]


# Engraving handbooks: the beats of a bar, and its middle, stay visible (from memory: Gould,
# Behind Bars, 2011, "Dividing notes across the beat").
@pytest.mark.parametrize(
    ("places", "bars"),
    [
        (("0", "1", "2", "3", "4"), ["4 4 4 4"]),
        (("0", "4"), ["1"]),
        (("0", "1/2", "3/2", "2", "4"), ["8 4 8 2"]),
        (("0", "3/2", "5/2", "4"), ["4. 8~ 8 4."]),
        (("0", "5/2", "4"), ["2~ 8 4."]),
        (("0", "1/4", "3/4", "1", "3"), ["16 8 16 2 r4"]),
        (("0", "3/4", "5/4", "4"), ["8. 16~ 16 8.~ 2"]),
        (("0", "3", "6", "8"), ["2. 4~", "2 2"]),
        (("0", "1/3", "2/3", "1", "2"), ["8(3:2) 8(3:2) 8(3:2) 4 r2"]),
        (("0", "2/3", "1", "4"), ["4(3:2) 8(3:2) 2."]),
        (("0", "2/3", "4/3", "2", "4"), ["4(3:2) 4(3:2) 4(3:2) 2"]),
        (("0", "1/6", "1/3", "1/2", "1"), ["16(3:2) 16(3:2) 16(3:2) 8 r4 r2"]),
        (("0", "1/5", "2/5", "3/5", "4/5", "1"), [" ".join(["16(5:4)"] * 5) + " r4 r2"]),
    ],
)
def test_four_four(places: tuple[str, ...], bars: list[str]) -> None:
    assert line(*places) == bars


@pytest.mark.parametrize(
    ("meter", "places", "bars"),
    [
        (Meter(12, 8), ("0", "1/3", "2/3", "1", "2", "4"), ["8 8 8 4. 2."]),
        (Meter(12, 8), ("0", "2/3", "1", "4"), ["4 8 4.~ 2."]),
        (Meter(6, 8), ("0", "1/2", "1", "2"), ["8. 8. 4."]),
        (Meter(6, 8), ("0", "1/4", "1/2", "3/4", "1", "2"), ["8(4:3) 8(4:3) 8(4:3) 8(4:3) 4."]),
        (Meter(7, 8), ("0", "7"), ["2~ 4."]),
        (Meter(7, 8), ("0", "1", "3", "4", "7"), ["8 8~ 8 8 4."]),
        (Meter(3, 4), ("0", "3"), ["2."]),
        (Meter(5, 4), ("0", "5"), ["1~ 4"]),
    ],
)
def test_other_meters(meter: Meter, places: tuple[str, ...], bars: list[str]) -> None:
    assert line(*places, meter=meter) == bars


def test_silent_bar_is_one_rest() -> None:
    bar = score_bars(phrase([n(1, 5, 0, 7)], meter=Meter(7, 8), bars=2))[1]
    assert [e.whole_bar for e in bar.voices[0]] == [True]
    assert bar.voices[0][0].duration == 7


def test_held_note_over_moving_ones_gets_its_own_voice() -> None:
    notes = [n(2, 8, 0, 2), n(3, 7, 0, 1), n(3, 5, 1, "3/2"), n(3, 7, "3/2", 2), n(2, 8, 2, 4)]
    assert written(score_bars(phrase(notes))[0]) == ["2 2", "4 8 8"]


def test_three_overlapping_notes_are_tied_in_one_voice() -> None:
    notes = [n(3, 7, 0, 3), n(2, 8, 1, 3), n(1, 8, 2, 4), n(4, 5, 0, 4)]
    (voice,) = score_bars(phrase(notes))[0].voices
    assert [len(event.notes) for event in voice] == [2, 3, 4, 2]


def test_let_ring_is_written_up_to_the_next_strike() -> None:
    notes = [n(3, 7, 0, 3), n(2, 8, 1, 3), n(1, 8, 2, 4)]
    ringing = phrase(notes, spans=(Span(Mark.LET_RING, Fraction(0), Fraction(3)),))
    assert written(score_bars(ringing)[0]) == ["4 4 2"]


def test_graces_and_instant_starts_lead_into_their_event() -> None:
    notes = [
        grace(3, 5, 1, -2), grace(3, 6, 1, -1, link="h"), n(3, 7, 1, 2, link="h"),
        n(2, 5, 2, 2), quick(2, 8, 2, 3, link="h"),
    ]  # fmt: skip
    (voice,) = score_bars(phrase(notes))[0].voices
    graces = {e.start: [[g.fret for g in chord] for chord in e.graces] for e in voice if e.graces}
    assert graces == {Fraction(1): [[5], [6]], Fraction(2): [[5]]}


def test_counted_release_is_a_head_of_its_own() -> None:
    note = n(2, 8, 0, 2, gestures=[Bend(Fraction(2)), Release(start=Fraction(1))])
    (plain,) = score_bars(phrase([note]))[0].voices[0][:1]
    bent = score_bars(phrase([note]), written_bends=True)[0].voices[0][:2]
    assert (plain.value, [h.bent for e in bent for h in e.notes]) == (Value(2), [2, 0])
    assert not any(head.tie_out for event in bent for head in event.notes)


def test_pickup_keeps_its_place_in_the_bar() -> None:
    bar = score_bars(phrase([n(1, 5, "3", "11/3"), n(1, 7, "11/3", 4)], pickup=1))[0]
    assert (written(bar), bar.bar.length) == (["4(3:2) 8(3:2)"], 1)


@settings(deadline=None, max_examples=150)
@given(phrases())
def test_every_voice_fills_its_bar_with_printable_values(made: object) -> None:
    from music21.duration import Duration, Tuplet  # noqa: PLC0415

    for written_bends in (False, True):
        for bar in score_bars(made, written_bends=written_bends):  # type: ignore[arg-type]
            for voice in bar.voices:
                assert voice[0].start == bar.bar.start
                assert voice[-1].end == bar.bar.end
                for event, after in itertools.pairwise(voice):
                    assert event.end == after.start
                for event in voice:
                    if event.whole_bar:
                        continue
                    # Source: music21's own arithmetic of values, dots and tuplets.
                    length = Duration(4 / event.value.base)
                    length.dots = event.value.dots
                    if event.tuplet:
                        length.appendTuplet(Tuplet(event.tuplet.actual, event.tuplet.normal))
                    quarters = event.duration * made.meter.beat_in_quarters  # type: ignore[attr-defined]
                    assert Fraction(length.quarterLength).limit_denominator(9999) == quarters


@settings(deadline=None, max_examples=150)
@given(phrases())
def test_every_note_is_written_once_for_its_whole_length(made: object) -> None:
    from lickwright.phrase import Phrase  # noqa: PLC0415

    assert isinstance(made, Phrase)
    heads: dict[str, list[tuple[Fraction, Fraction, bool, bool, int]]] = {}
    graces: list[str] = []
    for bar in score_bars(made, written_bends=True):
        for voice in bar.voices:
            for event in voice:
                graces += [note.id for chord in event.graces for note in chord]
                for h in event.notes:
                    heads.setdefault(h.note.id, []).append(
                        (event.start, event.end, h.tie_in, h.tie_out, h.stage)
                    )
    assert sorted(graces) == sorted(note.id for note in made.notes if note.instant)
    assert set(heads) | set(graces) == {note.id for note in made.notes}
    ringing = any(span.mark is Mark.LET_RING for span in made.spans)
    for note in made.notes:
        pieces = sorted(heads.get(note.id, []))  # the stages of a bend may lie in two voices
        for before, after in itertools.pairwise(pieces):
            assert before[1] == after[0]
            assert before[3] == after[2] == (before[4] == after[4])
        if pieces:
            assert (pieces[0][0], pieces[0][2], pieces[-1][3]) == (note.onset, False, False)
            assert pieces[-1][1] == note.end or ringing


@settings(deadline=None, max_examples=100)
@given(phrases())
def test_beams_join_neighbours_with_flags_and_whole_tuplets(made: object) -> None:
    for bar in score_bars(made):  # type: ignore[arg-type]
        for voice in bar.voices:
            for beam in {e.beam for e in voice} - {None}:
                places = [i for i, e in enumerate(voice) if e.beam == beam]
                assert len(places) > 1
                assert places == list(range(places[0], places[-1] + 1))
                assert all(voice[i].value.base >= 8 and not voice[i].rest for i in places)
                _not_crossing([voice[i] for i in places], voice)


def _not_crossing(beamed: list[ScoreEvent], voice: tuple[ScoreEvent, ...]) -> None:
    """A beam lies inside one tuplet or holds whole ones."""
    tuplets = {event.tuplet for event in beamed}
    if len(tuplets) > 1:
        for tuplet in tuplets - {None}:
            assert all(event in beamed for event in voice if event.tuplet == tuplet)


def test_groups() -> None:
    assert beam_groups(Meter(7, 8)) == (0, 2, 4, 7)
    assert beam_groups(Meter(12, 8)) == (0, 1, 2, 3, 4)
    assert beam_groups(Meter(5, 8)) == (0, 2, 5)
    assert beam_groups(Meter(3, 8)) == (0, 3)


def test_a_length_of_five_eighths_needs_a_tie() -> None:
    assert value_of(Fraction(5, 8)) is None
    assert split_plain((Fraction(0), Fraction(5, 2)), Meter(4, 4)) == ((0, 2), (2, Fraction(5, 2)))


def test_too_fine_a_place_is_refused() -> None:
    with pytest.raises(ValueError, match="finer than 1/1024"):
        split_plain((Fraction(0), Fraction(1, 4096)), Meter(4, 4))


def test_link_of_a_run_is_kept_on_its_note() -> None:
    notes = [n(1, 5, 0, 1), n(1, 8, 1, 2, link="/")]
    voice = score_bars(phrase(notes))[0].voices[0]
    assert voice[1].notes[0].note.link == Link(LinkKind.SLIDE_UP)
