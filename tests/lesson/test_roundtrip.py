"""Does a tidied lesson mean the same, and is it tidy?"""

from __future__ import annotations

from collections import Counter
from random import Random

import lessons
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from lessons import LESSON, WORKED, fenced, lick, read
from made_licks import make_lick

from lickwright.lesson import Lick, lick_lines, read_lesson, tidy_text
from lickwright.lesson.lookalikes import HIDDEN
from lickwright.phrase import Bend, Phrase, Release, Timing, Trill, Vibrato

seeds = st.integers(0, 2**32 - 1)
EASY = settings(
    max_examples=400, deadline=None, suppress_health_check=[HealthCheck.filter_too_much]
)


def _written(found: Lick) -> str:
    """The rows of a lick by the inner writer, which never falls back on what was written."""
    return "".join(line + "\n" for line in lick_lines(found))


def _readable(inside: str) -> Lick:
    reading = read(inside)
    assume(not reading.problems)
    return reading.lesson.licks[0]


@given(seeds)
@EASY
def test_what_is_written_reads_as_the_same_phrase_and_is_written_the_same(seed):
    found = _readable(make_lick(Random(seed)))
    text = _written(found)
    again = lick(text)
    assert found.phrase is not None
    assert len({note.id for note in found.phrase.notes}) == len(found.phrase.notes)
    assert again.phrase == found.phrase
    assert again == found
    assert _written(again) == text


def _kinds(phrase: Phrase) -> Counter[str]:
    kinds: Counter[str] = Counter()
    counts = {count.beat: count for count in phrase.counts}
    kinds["pickup"] += bool(phrase.pickup)
    kinds["compound"] += phrase.meter.compound
    kinds[f"{len(phrase.tuning)} strings"] += 1
    kinds["shuffle"] += not phrase.feel.straight
    kinds["simile"] += any(bar.simile for bar in phrase.bars)
    kinds["silent"] += any(count.silent for count in phrase.counts)
    kinds["chords"] += bool(phrase.chords)
    for span in phrase.spans:
        kinds[f"span {span.mark.value}"] += 1
    for note in phrase.notes:
        kinds[note.timing.value] += 1
        kinds["ghost"] += note.ghost
        kinds["harmonic"] += note.harmonic
        kinds["dead"] += note.dead
        kinds["raked"] += note.dead and note.timing is Timing.GRACE
        kinds["finger"] += note.finger is not None
        kinds["pick"] += note.stroke is not None
        kinds["over the bar line"] += note.end > note.bar * phrase.meter.beats
        kinds["through silence"] += any(
            c.silent and note.onset < beat < note.end for beat, c in counts.items()
        )
        for mark in note.marks:
            kinds[f"mark {mark.value}"] += 1
        if note.entry:
            kinds[f"entry {note.entry.value}"] += 1
        if note.link:
            kinds[f"link {note.link.kind.value} {note.link.start is not None}"] += 1
        if note.off:
            kinds[f"off {note.off.up} {note.off.start is not None}"] += 1
        for gesture in note.gestures:
            match gesture:
                case Bend(struck_bent=True):
                    kinds["pre-bend"] += 1
                case Bend() | Release():
                    timing = (gesture.start is not None, gesture.arrive is not None)
                    kinds[f"{type(gesture).__name__} {timing}"] += 1
                case Vibrato():
                    kinds[f"vibrato {gesture.wide} {gesture.start is not None}"] += 1
                case Trill():
                    kinds[f"trill {gesture.start is not None}"] += 1
    return kinds


WANTED = [
    *("pickup", "compound", "shuffle", "simile", "silent", "chords", "span PM", "span ring"),
    *(f"{n} strings" for n in (4, 5, 6, 7, 8)),
    *("counted", "grace", "quick", "ghost", "harmonic", "dead", "raked", "finger", "pick"),
    *("over the bar line", "through silence", "pre-bend"),
    *(f"mark {m}" for m in ("PM", "ring", "rake", "accent", "stac")),
    *(f"entry {sign}" for sign in "/\\t"),
    *(f"link {sign} False" for sign in "hp/\\t"),
    *(f"link {sign} True" for sign in "/\\"),
    *(f"off {up} {counted}" for up in (True, False) for counted in (True, False)),
    *(f"Bend {timing}" for timing in ((False, False), (True, False), (False, True), (True, True))),
    *(f"Release {timing}" for timing in ((False, False), (True, False), (True, True))),
    *(f"vibrato {wide} {counted}" for wide in (True, False) for counted in (True, False)),
    *(f"trill {counted}" for counted in (True, False)),
]


def test_the_made_licks_hold_everything_that_can_be_written():
    kinds: Counter[str] = Counter()
    for seed in range(1200):
        (found,) = read(make_lick(Random(seed))).lesson.licks
        if found.phrase is not None:
            kinds += _kinds(found.phrase)
    assert {kind: n for kind in WANTED if (n := kinds[kind]) < 3} == {}


# --- texts that a teacher's hand has disturbed --------------------------------------------------


def _disturbed(inside: str, rng: Random) -> str:
    """Put room in, take empty string rows out, and change the order of rows that are no strings."""
    blocks = []
    for block in inside.split("\n\n"):
        lines = block.split("\n")
        rows = [line for line in lines if "|" in line]
        head = [line for line in lines if "|" not in line]
        for _ in range(rng.randint(0, 5)):
            rows = _with_column(rows, rng)
        words = [r for r in rows if r.split()[0].strip("|") in ("chord", "count", "finger", "mark")]
        strings = [r for r in rows if r not in words]
        if rng.random() < 0.3 and len(strings) > 1:
            strings = [r for r in strings if set(r.partition("|")[2]) - set("-| ")]
        rng.shuffle(words)
        blocks.append("\n".join([*head, *strings, *words]))
    return "\n\n".join(blocks) + "\n"


def _with_column(rows: list[str], rng: Random) -> list[str]:
    """One column of room in every row, where no word of any row is cut."""
    width = max((len(row) for row in rows), default=0)
    if width < 10:
        return rows
    at = rng.randrange(rows[0].index("|") + 1, width)
    around = [row[at - 1 : at + 1].ljust(2) for row in rows]
    if any(pair[0] not in "-=| " and pair[1] not in "-=| " for pair in around):
        return rows
    made = []
    for row in rows:
        is_string = row.split("|")[0].strip() not in ("chord", "count", "finger", "mark")
        held = "=" in row[at - 1 : at + 1]
        filler = "=" if is_string and held else "-" if is_string or "-" in row[at - 1 : at] else " "
        made.append(row[:at] + filler + row[at:] if at < len(row) else row)
    return made


@given(st.sampled_from(list(WORKED.values())), seeds)
@EASY
def test_tidying_a_disturbed_example_changes_no_meaning(inside, seed):
    found = _readable(_disturbed(inside, Random(seed)))
    assert lick(_written(found)) == found


@given(st.sampled_from(list(WORKED.values())), seeds)
@EASY
def test_tidying_twice_changes_nothing(inside, seed):
    text = lessons.fenced(_disturbed(inside, Random(seed)))
    once = tidy_text(text)
    assert tidy_text(once) == once
    assert read_lesson(once).lesson == read_lesson(text).lesson


def test_most_disturbed_examples_still_read():
    made = [_disturbed(inside, Random(k)) for inside in WORKED.values() for k in range(40)]
    assert sum(not read(inside).problems for inside in made) > len(made) // 3
    assert len(set(made)) > len(made) // 2


# --- what is not ours ---------------------------------------------------------------------------


PROSE = st.text(
    st.sampled_from("ab# \t>*_-`\\<&|1.\u00a0é♯" + "".join(HIDDEN)), max_size=30
).filter(lambda line: "```" not in line and "~~~" not in line)


@given(st.lists(PROSE, max_size=6), st.sampled_from(["\n", "\r\n", "\r"]), st.booleans())
@settings(max_examples=150, deadline=None)
def test_prose_and_unknown_fences_survive_byte_for_byte(prose, ending, bom):
    before = "".join(f"{line}\n" for line in prose)
    other = "```python\n\tB |8-|\n```\n~~~\n```lick no\n~~~\n"
    text = ("\ufeff" if bom else "") + f"# Title\n\n{before}\n{other}"
    text = text.replace("\n", ending)
    tidy = tidy_text(text)
    assert tidy == text
    block = fenced("B     |8---5---|\ncount |1   2   |\n").replace("\n", ending)
    tidy = tidy_text(text + block + text[bom:])
    assert tidy.startswith(text)
    assert tidy.endswith(text[bom:])
    assert "\n" not in tidy.replace("\r\n", "") or ending == "\n"
    assert tidy_text(tidy) == tidy


def test_a_whole_lesson_is_tidied_and_its_prose_kept():
    tidy = tidy_text(LESSON)
    for prose in ("The band waits *here* for you.", "```text\nB |not ours|\n```\nSee you"):
        assert prose in tidy
    assert "key: C\nscale: minor pentatonic\npattern: 1\n" in tidy
    assert read_lesson(tidy).lesson == read_lesson(LESSON).lesson
    assert tidy_text(tidy) == tidy


@pytest.mark.parametrize("ending", ["\r\n", "\r"])
def test_line_endings_are_kept(ending):
    tidy = tidy_text(LESSON.replace("\n", ending))
    assert tidy == tidy_text(LESSON).replace("\n", ending)
