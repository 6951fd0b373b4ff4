"""Does the command carry a phrase, or a whole lesson, to another key, place or chord?"""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from music21 import interval, pitch

from lickwright.cli import main
from lickwright.lesson import read_lesson
from lickwright.pack import AudioFormat, AudioWish, home_key, lesson_in_key
from lickwright.pack.playlist import playlist
from lickwright.pack.solo import solo_placed
from lickwright.phrase import Phrase
from lickwright.theory import parse_key

DEMO = Path(__file__).parents[1] / "examples" / "thursday-class.md"
LESSON = read_lesson(DEMO.read_text(encoding="utf-8")).lesson
ONE = """---
title: One
key: A minor
tempo: 400
meter: 2/4
---
```lick step
chords: Am7
G     |5b7-7|
count |1   2|
```

```solo whole
chords: Am7 | Dm7
bar 1: step
bar 2: step on Dm7
```

```stage one
phrases: step
```
"""


def run(*words: str) -> Result:
    return CliRunner().invoke(main, list(words))


def pitches(phrase: Phrase) -> list[float | None]:
    return [None if (midi := phrase.midi(note)) is None else float(midi) for note in phrase.notes]


@pytest.mark.parametrize("name", [phrase.name for phrase in LESSON.phrases])
@pytest.mark.parametrize("key", ["C", "F#", "Bb", "E"])
def test_a_printed_move_reads_back_as_the_same_music_higher_or_lower(name: str, key: str) -> None:
    moved = run("move", str(DEMO), name, "--key", key)
    assert moved.exit_code == 0, moved.output
    reading = read_lesson(moved.stdout)
    assert reading.problems == ()
    [there] = reading.lesson.phrases
    here = next(phrase for phrase in LESSON.phrases if phrase.name == name)
    pairs = [(a, b) for a, b in zip(pitches(here), pitches(there), strict=True) if a is not None]
    [steps] = {b - a for a, b in pairs if b is not None}
    # Source: music21's interval from the old tonic to the new one.
    up = interval.Interval(
        pitch.Pitch(str(here.key.tonic).replace("b", "-")), pitch.Pitch(key.replace("b", "-"))
    ).semitones
    assert (steps - up) % 12 == 0
    assert there.key.mode is here.key.mode
    assert [note.onset for note in here.notes] == [note.onset for note in there.notes]
    bends = [[note.bend.to if note.bend else None for note in p.notes] for p in (here, there)]
    assert bends[0] == bends[1]


def test_other_moves_and_what_is_impossible() -> None:
    for words in (["--pattern", "2"], ["--octave", "1"], ["--chord", "D7"], ["--capo", "2"],
                  ["--tuning", "D A D G B E"]):  # fmt: skip
        moved = run("move", str(DEMO), "corner-lamp", *words)
        assert moved.exit_code == 0, moved.output
        assert read_lesson(moved.stdout).problems == ()
        assert "changed:" in moved.stderr
    low = run("move", str(DEMO), "corner-lamp", "--octave", "-2")
    assert low.exit_code == 1
    assert low.stdout == ""
    assert "below the lowest string" in low.stderr
    for wrong in (["corner-lamp"], ["nobody", "--key", "C"], ["corner-lamp", "--key", "H"],
                  ["corner-lamp", "--tuning", "X"], ["corner-lamp", "--chord", "H7"]):  # fmt: skip
        assert run("move", str(DEMO), *wrong).exit_code == 2


def test_a_whole_lesson_goes_to_another_key() -> None:
    moved, notes = lesson_in_key(LESSON, parse_key("G"))
    assert home_key(moved) == parse_key("G")
    assert len(moved.phrases) == len(LESSON.phrases)
    assert not [note for note in notes if "left out" in note]
    for before, after in zip(LESSON.phrases, moved.phrases, strict=True):
        assert (after.key.tonic.chroma - before.key.tonic.chroma) % 12 == 10
        roots = [
            (b.chord.root.chroma - a.chord.root.chroma) % 12
            for a, b in zip(before.chords, after.chords, strict=True)
        ]
        assert set(roots) <= {10}
    names = {phrase.name for phrase in moved.phrases}
    assert all(name in names for stage in moved.stages for name in stage.phrases)


def test_a_pack_in_every_key_that_is_asked_for(tmp_path: Path) -> None:
    file = tmp_path / "one.md"
    file.write_text(ONE, encoding="utf-8")
    built = run("build", str(file), "--audio", "none", "--key", "C", "--key", "F#")
    assert built.exit_code == 0, built.output
    folders = sorted(path.name for path in tmp_path.iterdir() if path.is_dir())
    assert folders == ["one-in-C-minor-pack", "one-in-F-sharp-minor-pack", "one-pack"]
    page = (tmp_path / "one-in-C-minor-pack" / "lesson.html").read_text(encoding="utf-8")
    assert "One, in C minor" in page
    assert (tmp_path / "one-in-C-minor-pack" / "files" / "step-in-c-minor.mid").exists()
    assert run("build", str(file), "--key", "H").exit_code == 2


def test_a_study_piece_plays_a_phrase_on_another_chord() -> None:
    lesson = read_lesson(ONE).lesson
    solo = next(part for part in lesson.parts if type(part).__name__ == "Solo")
    first, second = solo_placed(solo, lesson)
    assert (first.bar, second.bar) == (1, 2)
    assert [b - a for a, b in zip(pitches(first.phrase), pitches(second.phrase), strict=True)] in (
        [5.0, 5.0], [-7.0, -7.0]
    )  # fmt: skip
    orders, troubles = playlist(lesson, "One", AudioWish((AudioFormat.MP3,)))
    assert troubles == []
    made = next(order for order in orders if order.kind.value == "study piece").make()
    assert len([start for start in made.tracks[0]["starts"] if start["begins"] == "pass"]) == 2


def test_places_lists_where_else_and_prints_one() -> None:
    listed = run("places", str(DEMO), "corner-lamp")
    assert listed.exit_code == 0
    lines = listed.output.splitlines()
    assert len(lines) >= 3
    costs = [float(line.split(", ")[1].split(" points")[0]) for line in lines]
    assert costs == sorted(costs)
    second = run("places", str(DEMO), "corner-lamp", "--number", "2")
    [there] = read_lesson(second.output).lesson.phrases
    here = next(phrase for phrase in LESSON.phrases if phrase.name == "corner-lamp")
    assert pitches(here) == pitches(there)
    assert run("places", str(DEMO), "corner-lamp", "--frets", "9-5").exit_code == 2
    assert run("places", str(DEMO), "corner-lamp", "--frets", "1-2").exit_code == 1
