"""Does every input, however odd, come back as records with a place and a mend?"""

from __future__ import annotations

import pytest
from lessons import LESSON, fenced, read, said

from lickwright.lesson import Problem, mend_text, read_lesson, tidy_text

ROWS = "B     |8--5--|\ncount |1  2  |\n"


def checked(text: str) -> tuple[Problem, ...]:
    """All problems of a text, each with a place in the file, words, and mends that are lines."""
    problems = read_lesson(text).problems
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    assert list(problems) == sorted(problems, key=lambda p: (p.line, p.column, p.code))
    for problem in problems:
        assert 1 <= problem.line <= len(lines)
        assert 1 <= problem.column <= len(lines[problem.line - 1]) + 1
        assert problem.code
        assert problem.what
        assert problem.mend
        assert all(1 <= fix.line <= len(lines) for fix in problem.fixes)
    assert tidy_text(tidy_text(text)) == tidy_text(text)
    return problems


MISTAKES = {
    "past the bar": ("B     |8--5--|\ncount |4  5  |\n", "bar-end"),
    "count missing": ("B     |8--5--|\ncount |1     |\n", "no-count"),
    "bend on an open string": ("B     |0b2---|\ncount |1     |\n", "bend"),
    "bend without target": ("B     |8b----|\ncount |1     |\n", "bend"),
    "release without bend": ("B     |8r5---|\ncount |1     |\n", "release"),
    "release below": ("B     |8b10r5|\ncount |1     |\n", "release"),
    "pull-off up": ("B     |5p8---|\ncount |1     |\n", "pull"),
    "slide up that goes down": ("B     |9/5---|\ncount |1     |\n", "slide"),
    "trill with itself": ("B     |8tr8--|\ncount |1     |\n", "trill"),
    "trill alone": ("B     |8tr---|\ncount |1     |\n", "trill"),
    "hold of nothing": ("B     |=--8--|\ncount |   1  |\n", "nothing-rings"),
    "vibrato of a muted string": ("B     |x~----|\ncount |1     |\n", "muted"),
    "no harmonic there": ("B     |<6>---|\ncount | 1    |\n", "harmonic"),
    "open bracket": ("B     |(8----|\ncount |1     |\n", "cell"),
    "fret 37": ("B     |37----|\ncount |1     |\n", "fret"),
    "a long number": (f"B     |{'9' * 500}|\ncount |1{' ' * 499}|\n", "fret"),
    "a space between notes": ("B     |8 5---|\ncount |1 2   |\n", "cell"),
    "full-width bar line": ("B     |8--5--｜\ncount |1  2  |\n", "cell"),
    "no-break space": ("B\u00a0    |8--5--|\ncount |1  2  |\n", "cell"),
    "zero-width space": ("B     |8--\u200b5--|\ncount |1  2  |\n", "cell"),
    "right-to-left mark": ("B     |8--5--|\ncount |1\u200f  2 |\n", "cell"),
    "en dash": ("B     |8–-5--|\ncount |1  2  |\n", "cell"),
    "em dash": ("B     |8—-5--|\ncount |1  2  |\n", "cell"),
    "minus sign": ("B     |8−-5--|\ncount |1  2  |\n", "cell"),
    "prime": ("B     |8′-5--|\ncount |1  2  |\n", "cell"),
    "multiplication sign": ("B     |×--5--|\ncount |1  2  |\n", "cell"),
    "Arabic digit": ("B     |٨--5--|\ncount |1  2  |\n", "fret"),
    "tab": ("B\t|8--5--|\ncount |1  2  |\n", "tab-key"),
    "unknown setting": ("fret: 3\n" + ROWS, "setting"),
    "setting twice": ("tempo: 90\ntempo: 91\n" + ROWS, "setting"),
    "setting below": (ROWS + "tempo: 90\n", "setting"),
    "no colon": ("tempo 90\n" + ROWS, "setting"),
    "tempo 0": ("tempo: 0\n" + ROWS, "setting"),
    "tempo 1e9": ("tempo: 1e9\n" + ROWS, "setting"),
    "tempo nan": ("tempo: nan\n" + ROWS, "setting"),
    "tempo inf": ("tempo: inf\n" + ROWS, "setting"),
    "tempo below": ("tempo: -90\n" + ROWS, "setting"),
    "hidden sign in a value": ("tempo: 9\u200b0\n" + ROWS, "setting"),
    "meter 0": ("meter: 0/4\n" + ROWS, "setting"),
    "13 strings": ("tuning: " + "E " * 13 + "\n" + ROWS, "setting"),
    "13 rows": ("B     |8--5--|\n" * 13 + "count |1  2  |\n", "strings"),
    "a row of another tuning": ("F     |8--5--|\ncount |1  2  |\n", "label"),
    "rows that do not fit": ("B     |8--5--|\nB     |8--5--|\ncount |1  2  |\n", "strings"),
    "count only": ("count |1  2  |\n", "strings"),
    "no rows": ("tempo: 90\n", "strings"),
    "nothing": ("", "strings"),
    "prose": ("Play it slowly\n" + ROWS, "label"),
    "two chords rows": ("chord |C |\nchord |C |\nB     |8-|\ncount |1 |\n", "chord"),
    "no chord": ("chord |H9|\nB     |8-|\ncount |1 |\n", "chord"),
    "a chord over nothing": ("chord |   C  |\nB     |8-----|\ncount |1     |\n", "chord"),
    "too many chords": ("chords: C | F\n" + ROWS, "setting"),
    "finger 5": (ROWS + "finger|5     |\n", "finger"),
    "a finger under nothing": (ROWS + "finger| 1    |\n", "finger"),
    "a stroke unknown": (ROWS + "pick  |x     |\n", "pick"),
    "a simile first": ("B     |---|\ncount |%  |\n", "simile"),
    "a simile among counts": ("B     |---|---|\ncount |1  |% 2|\n", "simile"),
    "sign over silence": ("B     |8--b10|\ncount |1 (2) |\n", "silent"),
    "grace with a counted sign": ("B     |8~--h10-|\ncount |1(2)3  4|\n", "count"),
    "a count between rake and note": (
        "mark  |rake  |\nB     |x----8|\ncount |  1  2|\n",
        "rake",
    ),
    "257 bars": (f"B     |{'8|' * 257}\ncount |{'1|' * 257}\n", "too-long"),
    "257 lines": ("B     |8|\ncount |1|\n\n" * 257, "too-long"),
    "a row without end": (f"B     |{'-' * 9000}|\ncount |1|\n", "too-long"),
}


@pytest.mark.parametrize(("inside", "code"), MISTAKES.values(), ids=MISTAKES.keys())
def test_a_mistake_is_found_and_named(inside, code):
    problems = checked(fenced(inside))
    assert code in [problem.code for problem in problems]
    assert len(problems) <= 3
    assert read(inside).lesson.licks[0].phrase is None


def test_several_mistakes_in_one_row_are_all_found():
    found = said("B     |8h5---37--0b2-|\ncount |1     2   3   |\n")
    assert [line.split(":")[1].split()[1] for line in found] == ["hammer", "fret", "bend"]


MENDS = {
    "full-width bar line": "B     |8--5--|",
    "no-break space": "B     |8--5--|",
    "zero-width space": "B     |8--5--|",
    "en dash": "B     |8--5--|",
    "minus sign": "B     |8--5--|",
    "multiplication sign": "B     |x--5--|",
}


@pytest.mark.parametrize(("name", "row"), MENDS.items())
def test_look_alikes_mend_themselves(name, row):
    mended = mend_text(fenced(MISTAKES[name][0]))
    assert mended.left == ()
    assert row in mended.text.split("\n")
    assert len(mended.done) == 1


GOOD = {
    "trailing spaces": fenced("B     |8--5--|   \ncount |1  2  |  \n"),
    "mixed line endings": fenced(ROWS).replace("\n", "\r\n", 2),
    "CR": fenced(ROWS).replace("\n", "\r"),
    "BOM": "\ufeff" + fenced(ROWS),
    "BOM and settings": "\ufeff" + LESSON,
    "tildes": "~~~lick try\n" + ROWS + "~~~\n",
    "long fence": "`````lick try\n" + ROWS + "`````\n",
    "no last line ending": fenced(ROWS).rstrip("\n"),
}


@pytest.mark.parametrize("text", GOOD.values(), ids=GOOD.keys())
def test_harmless_differences_are_read(text):
    assert checked(text) == ()
    assert read_lesson(text).lesson.phrases


def test_no_lesson_at_all_is_no_problem():
    for text in ("", "\n", "\ufeff", "# Only prose\n", "> " * 500 + "```lick a", "- " * 500):
        assert checked(text) == ()
        assert read_lesson(text).lesson.licks == ()


def test_front_matter_without_end_is_said_once():
    (problem,) = checked("---\ntitle: x\n\n# Prose\n")
    assert (problem.line, problem.code) == (1, "fence")


@pytest.mark.parametrize("text", ["\0\1\2\3", "abc\0\n" * 5, "PK\3\4\0\0" * 100])
def test_binary_is_named_and_no_more(text):
    (problem,) = checked(text)
    assert problem.code == "text"
    assert tidy_text(text) == text


def test_a_surrogate_does_no_harm():
    assert checked("\ud800 " + fenced(ROWS)) == ()


def test_over_a_mebibyte_is_refused_at_once():
    text = "é" * (1 << 19) + "e"
    (problem,) = read_lesson(text).problems
    assert (problem.code, problem.line, problem.column) == ("too-long", 1, 1)
    assert read_lesson("é" * (1 << 19)).problems == ()
    assert tidy_text(text) == text


# Bounded work: sizes that a careless loop over loops would choke on. How much is done is asked of
# the records, not of the clock.


def test_many_bad_words_in_a_row_give_a_bounded_number_of_records():
    many = 2600
    row = "pm " * many
    inside = f"B     |8{'-' * (3 * many - 1)}|\nmark  |{row}|\ncount |1{' ' * (3 * many - 1)}|\n"
    problems = read(inside).problems
    assert 1 < len(problems) <= 40
    assert sum(len(fix.text) for p in problems for fix in p.fixes) < 1_000_000


def test_a_mebibyte_of_dashes():
    dashes = "-" * ((1 << 20) - 100)
    assert read_lesson(dashes).problems == ()
    (problem,) = [p for p in read(f"B     |{dashes}|\ncount |1|\n").problems if p.line == 2]
    assert problem.code == "too-long"
    assert len(problem.mend) < 200


def test_digits_by_the_hundred_thousand():
    digits = "8" * 100_000
    for inside in (
        f"tempo: {digits}\n{ROWS}",
        f"meter: {digits}/{digits}\n{ROWS}",
        f"tuning: E{digits}\n{ROWS}",
        f"capo: {digits}\n{ROWS}",
        f"B     |8-|\ncount |1+1/{digits}|\n",
        f"B     |8-|\ncount |{digits}|\n",
    ):
        problems = read(inside).problems
        assert problems
        assert sum(len(p.what) + len(p.mend) for p in problems) < 2000


def test_thousands_of_licks_are_all_read_and_each_slip_is_found():
    good = "".join(fenced(ROWS, f"lick-{n}") for n in range(1500))
    bad = "".join(fenced("B     |8--5|\ncount |1 2 |\n", f"bad-{n}") for n in range(300))
    reading = read_lesson(good + bad)
    assert len(reading.lesson.phrases) == 1500
    assert len(reading.problems) == 300


def test_thousands_of_fences_and_deep_nesting():
    assert read_lesson("```\n" * 20_000).problems == ()
    assert read_lesson("> " * 3000 + "```lick a\n" + ROWS).lesson.licks == ()
    unclosed = "".join(f"```lick a{n}\n{ROWS}" for n in range(400))
    problems = read_lesson(unclosed).problems
    assert [p.code for p in problems] == ["fence"] * 400
    assert len(read_lesson(unclosed).lesson.phrases) == 400


BLOCKS = {
    "neck of nothing": ("neck", "key: C\n", "neck"),
    "neck of too much": ("neck", "scale: major\nchord: C7\n", "neck"),
    "neck pattern 6": ("neck", "scale: major\npattern: 6\n", "setting"),
    "neck frets back": ("neck", "scale: major\nfrets: 12-5\n", "setting"),
    "neck show": ("neck", "scale: major\nshow: degree\n", "setting"),
    "neck lick": ("neck", "lick: nobody\n", "lick"),
    "band of nothing": ("band", "tempo: 90\n", "form"),
    "band form": ("band", "form: twelvebar\n", "setting"),
    "band players": ("band", "form: twelve-bar\nplayers: drums bas\n", "setting"),
    "band count-in": ("band", "form: twelve-bar\ncount-in: 9\n", "setting"),
    "solo of nothing": ("solo", "form: twelve-bar\n", "solo"),
    "solo lick": ("solo", "bar 1: nobody\n", "lick"),
    "solo chord": ("solo", "bar 1: nobody on H\n", "chord"),
    "solo bar 0": ("solo", "bar 0: nobody\n", "solo"),
    "stage of nothing": ("stage", "start: 60\n", "stage"),
    "stage too fast": ("stage", "phrases: nobody\nstart: 90\ngoal: 60\n", "stage"),
    "stage lick": ("stage", "phrases: nobody\n", "lick"),
    "a row in a stage": ("stage", "phrases: nobody\nB |8-|\n", "setting"),
}


@pytest.mark.parametrize(("kind", "inside", "code"), BLOCKS.values(), ids=BLOCKS.keys())
def test_other_blocks_name_their_mistakes(kind, inside, code):
    problems = checked(f"```{kind}\n{inside}```\n")
    assert code in [problem.code for problem in problems]
    assert len(problems) <= 2


SLIPS = {
    "finger beside": (
        fenced(ROWS + "finger|1 3   |\n"),
        "finger 3 stands under no note; the 5 stands one column to its right",
        "finger |1  3  |",
        "finger|1  3  |",
    ),
    "stroke beside": (
        fenced(ROWS + "pick  |d   u |\n"),
        "pick u stands under no note; the 5 stands one column to its left",
        "pick |d  u  |",
        "pick  |d  u  |",
    ),
    "p.m.": (
        fenced(ROWS + "mark  |p.m.  |\n"),
        "'p.m.' is no mark",
        "PM-----",
        "mark  |PM--  |",
    ),
    "a lick misspelt": (
        fenced(ROWS, "back-step") + "```stage\nphrases: bak-step\n```\n",
        "no lick of this lesson is called 'bak-step'; did you mean back-step?",
        "back-step",
        "phrases: back-step",
    ),
    "a form misspelt": (
        "```band\nform: quickchange\n```\n",
        "'quickchange' is no form; did you mean quick-change?",
        "form: quick-change",
        "form: quick-change",
    ),
}


@pytest.mark.parametrize(("text", "what", "mend", "row"), SLIPS.values(), ids=SLIPS.keys())
def test_slips_of_the_pen_mend_themselves(text, what, mend, row):
    (problem,) = checked(text)
    assert (problem.what, problem.mend) == (what, mend)
    assert [fix.text for fix in problem.fixes] == [row]
    mended = mend_text(text)
    assert mended.left == ()
    assert row in mended.text.split("\n")


def test_a_line_that_cannot_be_read_leaves_the_numbers_of_later_bars_right():
    found = said(
        "B     |8--|5--\ncount |1  |1  |\n\nB     |8--5--8--|---|\ncount |1  & 2   |%  |\n"
    )
    assert [line.split(":")[0] for line in found] == ["1", "4"]
    found = said("B     |8\t-|5--|\ncount |1  |1  |\n\nB     |8-|---|\ncount |1 |   |\n")
    assert found[1].endswith("bar 4 has no count")


def test_the_goal_of_a_stage_is_named_as_such():
    (problem,) = checked(fenced(ROWS) + "```stage\nphrases: try\ngoal: 5000\n```\n")
    assert problem.what == "goal is a number of beats a minute, 20 to 400; got '5000'"
    assert problem.mend == "goal: 120"


def test_a_great_many_mends_are_made_in_few_rounds():
    text = "".join(f"```lick a{n}\nB     |8--5--8--|\ncount |1  & 2   |\n" for n in range(150))
    mended = mend_text(text)
    assert mended.left == ()
    assert len(mended.done) == 300
    assert len(read_lesson(mended.text).lesson.phrases) == 150
