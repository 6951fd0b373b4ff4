"""Does it find what a teacher would say, and nothing false?

Twelve phrases made up for this. What a teacher would say (common practice, no source) was written
down before the program was run on them: `expected` must be found, with these words in it; of the
kinds not listed only those in `also` may be said: true, but not what one would say first.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import pytest
from licks import lick, sentences

from lickwright.reasons import explain


@dataclass(frozen=True)
class Heard:
    """A phrase and what a teacher says about it."""

    name: str
    settings: tuple[str, ...]
    rows: str
    expected: dict[str, tuple[str, ...]]
    also: set[str] = field(default_factory=set)


PHRASES = [
    Heard(
        "blues bend and home", ("key: A", "chords: A7"),
        """
e      |-----5--------|
B      |---5---8-5----|
G      |7b9---------7-|
D      |--------------|
count  |1  & 2 & 3  4 |
""",
        {
            "target": ("starts on the 4", "aims at the 5", "weaker note leans"),
            "pattern": ("All notes lie in pattern 1", "A minor pentatonic", "5th fret"),
            "climax": ("A on beat 2",),
            "ending": ("D, the eleventh of A7", "beat 4"),
        },
    ),
    Heard(
        "quarter bend and a major third", ("key: E", "chords: E7"),
        """
G      |---------0h1------|
D      |------2-----------|
A      |---2--------------|
E      |3b¼-----------0~--|
count  |1  &  2  &    4   |
""",
        {
            "blue third": ("between the minor and the major third",),
            "minor to major": ("hammered on to G♯",),
            "ending": ("E, the root of the key", "comes home"),
            "open strings": ("open", "E"),
            "pattern": ("All but one", "open position"),
        },
        {"chord outline", "climax"},
    ),
    Heard(
        "the same shape over three chords", ("key: G",),
        """
chord  |G7       |C7       |D7       |
D      |---------|--2------|--4------|
A      |--2--5---|3----5---|5----7---|
E      |3------3-|-------0-|---------|
count  |1 2  3 4 |1 2  3 4 |1 2  3   |
""",
        {
            "chord outline": ("root", "third"),
            "ending": ("E, the ninth of D7",),
        },
        {"climax", "open strings", "pattern", "repetition", "guide tones", "space", "added sixth",
         "anticipation"},
    ),
    Heard(
        "blue fifth down", ("key: A minor", "chords: Am"),
        """
G      |9-8-7-5---|
D      |--------7-|
count  |1 & 2 3 4 |
""",
        {
            "blue fifth": ("♭5", "on the way down"),
            "ending": ("A, the root of the key",),
        },
        {"pattern"},
    ),
    Heard(
        "blue fifth up", ("key: D", "chords: D7"),
        """
G      |------5-7-|
D      |5-6-7-----|
count  |1 & 2 & 3 |
""",
        {
            "blue fifth": ("♯4", "on the way up"),
            "ending": ("D, the root of the key",),
        },
        {"pattern", "space"},
    ),
    Heard(
        "pickup of triplets in a straight band", ("key: C", "chords: C7", "feel: straight"),
        """
G      |---------|10b12---8----|
D      |10--8--10|----------10-|
count  |4   t  l |1       2 3  |
""",
        {
            "pickup": ("Three notes lead into beat 1",),
            "rhythm": ("Triplets", "last note lands on the beat"),
            "target": ("starts on the 4", "aims at the 5"),
            "ending": ("C, the root of the key", "beat 3"),
            "pattern": ("All notes lie in pattern 1", "8th fret"),
        },
        {"climax"},
    ),
    Heard(
        "call and answer", ("key: E minor", "chords: Em"),
        """
B      |12-15-12-------|12-15-12----------|
G      |---------14----|---------14-------|
D      |---------------|------------14----|
count  |1  &  2  3     |1  &  2  &  3     |
""",
        {
            "call and answer": ("Bar 1 stops", "bar 2 ends on the root"),
            "ending": ("E, the root of the key",),
            "pattern": ("pattern 1 of the E minor pentatonic",),
        },
        {"climax", "displacement", "repetition", "chord outline"},
    ),
    Heard(
        "double stops from the chord", ("key: D", "chords: D7"),
        """
B      |7--10--7-|
G      |7--11--7-|
count  |1  2   3 |
""",
        {"grip": ("a piece of D", "open A chord", "5th fret")},
        {"ending", "climax", "chord outline", "pattern"},
    ),
    Heard(
        "a slid barre", ("tuning: E B E G# B E", "key: E", "chords: E"),
        """
e      |/12---12--12-|
B      |/12---12--12-|
G#     |/12---12--12-|
count  | 1    2   3  |
""",
        {"slide imitation": ("barre at the 12th fret", "three strings", "bottleneck")},
        {"ending", "chord outline"},
    ),
    Heard(
        "from the third of one chord to the seventh of the next", ("key: C",),
        """
chord  |C7          |F7          |
B      |5---8-------|------------|
G      |-------9----|8--5--------|
D      |------------|------7-----|
count  |1   2  4    |1  2  3     |
""",
        {
            "guide tones": ("Where C7 goes to F7", "E, the third of C7", "E♭, the seventh of F7"),
            "ending": ("A, the third of F7",),
        },
        {"chord outline", "climax", "pattern", "space"},
    ),
    Heard(
        "around the root from both sides", ("key: A minor", "chords: Am"),
        """
B      |10---------|
G      |---10-8-9--|
count  |2  3  & 4  |
""",
        {
            "enclosure": ("F and D♯", "close in on E, the fifth of Am", "both sides"),
            "ending": ("E, the fifth of Am", "beat 4"),
        },
        {"pattern", "approach", "blue fifth"},
    ),
    Heard(
        "bent before it is struck, then space", ("key: B minor", "chords: Bm"),
        """
B      |10pb12-r10--7---------|
G      |---------------9------|
count  |1       2   &  3   (4)|
""",
        {
            "struck bent": ("the root is heard at once", "let down to the ♭7"),
            "space": ("silent",),
        },
        {"pattern", "ending", "chord outline"},
    ),
]  # fmt: skip


@pytest.mark.parametrize("heard", PHRASES, ids=[heard.name for heard in PHRASES])
def test_what_a_teacher_would_say_is_said(heard: Heard) -> None:
    said = sentences(explain(lick(heard.rows, *heard.settings)))
    for kind, words in heard.expected.items():
        assert kind in said, (kind, said)
        assert any(all(word in text for word in words) for text in said[kind]), (words, said[kind])
    assert set(said) <= set(heard.expected) | heard.also, "something that nobody would say"
