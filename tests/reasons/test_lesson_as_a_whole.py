"""Grades, order, what is new and what is missing."""

from __future__ import annotations

import pytest
from licks import lick

from lickwright.phrase import Phrase
from lickwright.reasons import explain, grade, survey, techniques

PLAIN = "G     |5---7---|\ncount |1   3   |"
BUSY = "G     |5-7-5-7-5-7-5-7b9-|\ncount |1 & 2 & 3 & 4 &   |"


def named(name: str, made: Phrase) -> Phrase:
    from dataclasses import replace  # noqa: PLC0415

    return replace(made, name=name)


def test_a_grade_is_the_sum_of_its_parts() -> None:
    made = grade(lick(BUSY, "key: A"))
    assert made.total == pytest.approx(sum(part.points for part in made.parts))
    assert [part.name for part in made.parts] == [
        "speed", "stretch", "shifts", "bends", "string skips", "techniques", "beyond the hand",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("easier", "harder", "part"),
    [
        (lick(PLAIN, "key: A", "tempo: 60"), lick(PLAIN, "key: A", "tempo: 120"), "speed"),
        (lick("G     |5-7-|\ncount |1 & |", "key: A"),
         lick("G     |1-5-|\ncount |1 & |", "key: A"), "stretch"),
        (lick("G     |5-7--|\ncount |1 3  |", "key: A"),
         lick("G     |5-12-|\ncount |1 3  |", "key: A"), "shifts"),
        (lick("G     |7b8-|\ncount |1   |", "key: A"),
         lick("G     |7b9-|\ncount |1   |", "key: A"), "bends"),
        (lick("B     |--5-|\nG     |5---|\ncount |1 2 |", "key: A"),
         lick("e     |--5-|\nG     |5---|\ncount |1 2 |", "key: A"), "string skips"),
        (lick("B     |4b5-|\ncount |1   |", "key: A"),
         lick("B     |1b5-|\ncount |1   |", "key: A"), "beyond the hand"),
        (lick("G     |5-|\ncount |1 |", "key: A"),
         lick("G     |5~|\ncount |1 |", "key: A"), "techniques"),
    ],
)  # fmt: skip
def test_each_part_grows_with_what_it_measures(easier: Phrase, harder: Phrase, part: str) -> None:
    points = [{p.name: p.points for p in grade(each).parts}[part] for each in (easier, harder)]
    assert points[0] < points[1]


def test_tapped_notes_stretch_no_hand() -> None:
    made = lick("e     |t17-p5|\ncount | 1   &|", "key: A")
    assert {part.name: part.measure for part in grade(made).parts}["stretch"].startswith("0 mm")


def test_a_lesson_is_ordered_and_each_phrase_says_what_is_new() -> None:
    easy = named("easy", lick(PLAIN, "key: A", "chords: A7"))
    hard = named("hard", lick(BUSY, "key: A", "chords: D7"))
    seen = survey([explain(hard), explain(easy)])
    assert seen.order == ("easy", "hard")
    assert "bend" in seen.new["hard"]
    assert seen.new["easy"] == ()
    assert seen.gaps == ()  # two phrases are no lesson to find gaps in


def test_gaps_name_what_no_phrase_does() -> None:
    rows = "e     |--5-8-|\nB     |5-----|\ncount |1 2 3 |"
    lesson = [named(name, lick(rows, "key: A", "chords: A7")) for name in ("a", "b", "c")]
    gaps = survey([explain(each) for each in lesson]).gaps
    assert "No phrase is played over the IV chord of its key." in gaps
    assert "No phrase is played over the V chord of its key." in gaps
    assert "No phrase is played over the I chord of its key." not in gaps
    assert "No phrase bends a string." in gaps
    over_four = named("d", lick(rows, "key: A", "chords: D7"))
    more = survey([explain(each) for each in [*lesson, over_four]]).gaps
    assert "No phrase is played over the IV chord of its key." not in more


def test_techniques_are_named_once_in_the_order_of_playing() -> None:
    made = lick("G     |5h7p5-7b9-7~|\ncount |1     2   3 |", "key: A")
    assert techniques(made) == ("hammer-on", "pull-off", "bend", "vibrato")
