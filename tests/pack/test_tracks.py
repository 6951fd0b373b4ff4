"""Is the practice audio whole, said right in the manifest, and made only when needed?"""

from __future__ import annotations

import io
import json
import re
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pyloudnorm
import pytest
import soundfile
from lessons_of_packs import MP3, QUICK_TURN, TWO_TURNS, build, contents

from lickwright.lesson import read_lesson
from lickwright.pack import AudioFormat, AudioWish
from lickwright.pack.plan import ladders, slow_tempo
from lickwright.pack.playlist import file_word, playlist

pytestmark = pytest.mark.xdist_group("tracks")
LOUDNESS = -16.0  # LUFS
STEMS = {"lead for the page": -18.0, "band for the page": -20.0}  # are heard together


@pytest.fixture(scope="module")
def pack(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("quick") / "pack"
    build(QUICK_TURN, folder, wish=MP3)
    return folder


def listed(pack: Path) -> list[dict]:
    return json.loads((pack / "pack.json").read_text(encoding="utf-8"))["tracks"]


def test_every_kind_of_track_is_there_and_every_audio_file_is_listed(pack: Path) -> None:
    tracks = listed(pack)
    assert [track["kind"] for track in tracks] == [
        "lead for the page", "slow", "at tempo", "with the band", "echo", "ladder", "bend",
        "band for the page", "study piece", "band", "chord", "chord", "chord", "tuning",
    ]  # fmt: skip
    files = [file for track in tracks for file in track["files"]]
    sounds = [path for path in contents(pack) if path.startswith(("audio/", "page/"))]
    assert sorted(files) == sorted(sounds)


def test_length_loudness_and_tags_are_what_the_manifest_says(pack: Path) -> None:
    for track in listed(pack):
        with soundfile.SoundFile(pack / track["files"][0]) as sound:
            samples = sound.read(always_2d=True)
            assert sound.samplerate == 48_000
            assert sound.title == track["title"]
            assert sound.album.startswith("Quick turns")
            assert sound.artist == "An invented teacher"
            heard = track["kind"] not in STEMS
            assert (sound.tracknumber != "") == bool(track["phrase"] and heard)
            if track["key"]:
                assert "key of A" in sound.comment
        seconds = len(samples) / 48_000
        assert abs(seconds - track["seconds"]) < 0.06, "an MP3 may be a frame or two longer"
        if seconds > 3.0:  # source of the measure: ITU-R BS.1770 as in pyloudnorm
            measured = pyloudnorm.Meter(48_000).integrated_loudness(samples)
            wanted = STEMS.get(track["kind"], LOUDNESS)
            assert measured == pytest.approx(wanted, abs=0.3), track["title"]


def test_starts_are_in_order_and_bars_as_far_apart_as_the_tempo_says(pack: Path) -> None:
    for track in listed(pack):
        seconds = [start["seconds"] for start in track["starts"]]
        assert seconds == sorted(seconds)
        assert seconds[-1] < track["seconds"]
        bars = [s for s in track["starts"] if s["begins"] == "bar"]
        for one, other in pairwise(bars):
            if one["tempo"] == other["tempo"] and other["number"] == one["number"] + 1:
                wanted = 2 * 60 / one["tempo"]  # two beats a bar
                assert other["seconds"] - one["seconds"] == pytest.approx(wanted, abs=2e-4)


def test_a_changed_band_makes_no_phrase_again_and_nothing_else(tmp_path: Path) -> None:
    folder = tmp_path / "pack"
    build(QUICK_TURN, folder, wish=MP3)
    first = contents(folder)
    assert build(QUICK_TURN, folder, wish=MP3).made == ()
    assert contents(folder) == first
    again = build(QUICK_TURN.replace("choruses: 1", "choruses: 2"), folder, wish=MP3)
    assert again.made == ("band-backing-in-A", "backing-in-A-400")
    changed = {path for path, data in contents(folder).items() if first.get(path) != data}
    wanted = {"files/band-backing-in-A.mid", "audio/band/backing-in-A-400.mp3", "pack.json"}
    assert wanted <= changed
    assert changed - wanted <= {"files/band-backing-in-A.musicxml", "lesson.html", "handout.pdf"}


def test_every_format_that_is_asked_for_can_be_read_back(tmp_path: Path) -> None:
    wish = AudioWish(tuple(AudioFormat))
    build(QUICK_TURN, tmp_path / "pack", wish=wish)
    files = contents(tmp_path / "pack")
    for ending in ("mp3", "flac", "wav", "ogg"):
        data = files[f"audio/turn-2-at-tempo-400.{ending}"]
        assert soundfile.info(io.BytesIO(data)).samplerate == 48_000
    loop = [path for path in files if "chord-A7" in path]
    assert sorted(path.rpartition(".")[2] for path in loop) == ["flac", "ogg", "wav"]


def test_chord_loops_are_whole_bars_long_to_the_sample(pack: Path) -> None:
    samples, rate = soundfile.read(pack / "audio/band/chord-A7-400.flac")
    assert len(samples) == round(4 * 2 * 60 / 400 * rate)


def test_what_cannot_be_played_is_said() -> None:
    long_form = " | ".join(["A7"] * 40)
    text = QUICK_TURN.replace("A7 | D7\n", long_form + "\n").replace("ses: 1", "ses: 200")
    orders, troubles = playlist(read_lesson(text).lesson, "x", MP3)
    assert troubles == []
    made = [order.make() for order in orders if order.kind.value in ("band", "at tempo")]
    played, backing = sorted(made, key=lambda each: each.trouble)
    assert played.files
    assert backing.files == {}
    assert "20 minutes" in backing.trouble
    assert "choruses" in backing.trouble


def test_the_page_plays_what_it_says_and_links_only_to_what_is_there(pack: Path) -> None:
    page = (pack / "lesson.html").read_text(encoding="utf-8")
    links = re.findall(r'<a href="(audio/[^"]+)"', page)
    assert len(links) == 10
    assert all((pack / link).is_file() for link in links)
    assert page.count("data:audio/mpeg") == 2, "the study piece and the backing"
    assert re.findall(r'data-sound="([a-z]+)"', page) == ["lead", "band"]


def test_slow_tempos_and_ladders() -> None:
    lesson = read_lesson(TWO_TURNS).lesson
    up = lesson.phrases[0]
    assert slow_tempo(up, lesson.stages) == 60
    assert ladders(up, lesson.stages) == [(60, 66, 71)]
    assert slow_tempo(up, ()) == 55  # three fifths of 90, in fives
    assert ladders(up, ()) == [(55, 64, 73, 82, 90)]


def test_names_of_files_hold_plain_letters_only() -> None:
    assert file_word("F#m7b5") == "F-sharp-m7b5"
    assert file_word("C/E") == "C-over-E"
    lesson = read_lesson(TWO_TURNS.replace("key: A\nform: quick", "key: F#\nform: quick")).lesson
    orders, troubles = playlist(lesson, "x", MP3)
    assert troubles == []
    assert all(
        set(order.path) <= set("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-./")
        for order in orders
    )
    assert len({order.path for order in orders}) == len(orders)
    assert {order.tempos[0] for order in orders if order.tempos} >= {Fraction(60), Fraction(90)}


ODD = """---
title: Odd turns
tempo: 300
---
```lick seven
key: A
meter: 7/8
chords: A7
G     |5-7-5---|
count |1 2 3   |
```

```lick spoiled
key: A
G     |9h5-|
count |1   |
```

```lick slow
key: A
tempo: 20
meter: 2/4
G     |5-7-|
count |1 2 |
```

```solo short
key: A
chords: A7 | A7
bar 1: spoiled
bar 2: slow
```
"""


def test_odd_meters_and_tempos_are_played_and_a_spoiled_phrase_harms_no_other() -> None:
    reading = read_lesson(ODD)
    assert {problem.code for problem in reading.problems} == {"hammer"}
    orders, troubles = playlist(reading.lesson, "Odd turns", MP3)
    assert not any(order.path.startswith("audio/spoiled") for order in orders)
    assert {order.tempos[0] for order in orders if order.phrase and order.tempos} == {20, 180, 300}
    short = [order for order in orders if "seven" in order.path and order.tempos == (300,)]
    assert [order.kind.value for order in short] == ["at tempo", "with the band"]
    for order in short:
        made = order.make()
        assert made.trouble == ""
        bars = [s for s in made.tracks[0]["starts"] if s["begins"] == "bar"]
        assert len(bars) == 1
    solo = next(order for order in orders if order.kind.value == "study piece")
    assert "4/4" in solo.make().trouble, "a phrase in 2/4 does not fit the lesson's meter"
    assert troubles == []
