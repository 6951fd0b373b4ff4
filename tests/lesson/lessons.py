"""Lessons as text for the tests, and a short way to read one lick."""

from __future__ import annotations

from lickwright.lesson import Lick, Reading, read_lesson

PICKUP_TIE_HOLD = """\
B     |---12-15|----------|12---------|8==========-8----|------8=====|===-----|
G     |14------|14b16-----|---14-12---|---7--5--7-------|9--7--------|---9----|
count |4  t  l |1         |2  &  3 (4)|1  &  2  &  3 (4)|1  2  3  4  |1  2|
"""
SLIDES_BENDS = """\
e     |----------------------------|----------------------------|8---------|--------|
B     |5/7--5==/9--5--/9--12\\--5---|8b10--r8--8pb10-r8~--8--b10-|10b12--r10|8b--10~-|
count |  1  2   &  3   a  4    &   |1     &   2     &    3  &   |1      2  |1   2|
"""
RAKE_BARRE = """\
e      |---/8---8---6---------|
B      |--x-8---8---6---8tr10-|
G      |-x-/8---8---6---------|
mark   | rake   >|
finger |    111 111 111 1  3|
count  |    1   t   l   2|
"""
OPEN_RING_SIMILE = """\
tuning: E B E G# B E
chord |E                  |A   E  |      |
mark  |ring-----------    |.      |      |
e     |------0--------<12>|x--(5)-|------|
B     |---0-----0---------|x---5--|------|
G#    |1-----------/3-----|x---5--|------|
count |1  &  2  &   3  4  |1   &  |  %|
"""
SEVEN_FIVE = """\
meter: 7/8
G     |5-7-5---5-7-5-|5--t12--p5---h7---p5----7-|
D     |------7-------|--------------------------|
count |1 2 3 4 5 6 7 |1   +1/5 +2/5 +3/5 +4/5 2|
"""
LEAN_AND_ANSWER = """\
key: C
feel: shuffle

chord  |C7                                              |
e      |------------8-----------------------------------|
B      |------8-----------11b¼--8-----------------------|
G      |10b12-------------------------10----8-----------|
D      |------------------------------------------10~---|
count  |1     &     2     &     3     &     4     &     |
finger |3     1     1     3     1     3     1     3     |
"""
WORKED = {
    "pickup-tie-hold": PICKUP_TIE_HOLD,
    "slides-bends": SLIDES_BENDS,
    "rake-barre": RAKE_BARRE,
    "open-ring-simile": OPEN_RING_SIMILE,
    "seven-five": SEVEN_FIVE,
    "lean-and-answer": LEAN_AND_ANSWER,
}
LESSON = (
    "---\ntitle: Leaning on the third\nkey: C\ntempo: 92\nfeel: shuffle\n---\n\n"
    "# Leaning on the third\n\nThe band waits *here* for you.\n\n"
    f"```lick lean-and-answer\n{LEAN_AND_ANSWER}```\n\n"
    "Now the same idea higher up:\n\n"
    f"```lick back-step\n{PICKUP_TIE_HOLD}```\n\n"
    "```neck\nkey: C · scale: minor pentatonic\npattern: 1\n```\n"
    + "```band\nform: quick-change\ntempo: 92\n```\n\n"
    "```solo first-solo\nform: quick-change\nbar 1: lean-and-answer\n"
    "bar 5: back-step on F7\n```\n\n"
    "```stage warm-up\nphrases: lean-and-answer, back-step\nstart: 60\ngoal: 92\nstep: 4\n"
    "done: three clean times in a row\n```\n\n"
    "```text\nB |not ours|\n```\nSee you on Tuesday.\n"
)


def fenced(inside: str, name: str = "try") -> str:
    """A lick block with these lines inside."""
    return f"```lick {name}\n{inside}```\n"


def read(inside: str) -> Reading:
    """Read one lick."""
    return read_lesson(fenced(inside))


def lick(inside: str) -> Lick:
    """Read one lick that is expected to be right."""
    reading = read(inside)
    assert reading.problems == ()
    (found,) = reading.lesson.licks
    assert found.phrase is not None
    return found


def said(inside: str) -> list[str]:
    """What is said of one lick: line and column inside it, code, message."""
    return [f"{p.line - 1}:{p.column} {p.code}: {p.what}" for p in read(inside).problems]
