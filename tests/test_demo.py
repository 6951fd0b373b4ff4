"""Is the demo lesson whole: every gesture of the format, without a problem, tidy, and buildable?"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import fields
from fractions import Fraction
from pathlib import Path

import numpy as np
import pyloudnorm
import pytest
import soundfile
from click.testing import CliRunner
from scipy.signal import resample_poly

from lickwright.cli import main
from lickwright.lesson import Band, Lesson, Lick, Neck, Solo, Stage, read_lesson, tidy_text
from lickwright.phrase import (
    STANDARD,
    Bend,
    Entry,
    Finger,
    LinkKind,
    Mark,
    Note,
    Phrase,
    Release,
    Stroke,
    Timing,
    Trill,
    Vibrato,
)

DEMO = Path(__file__).parent.parent / "examples" / "thursday-class.md"
TEXT = DEMO.read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def lesson() -> Lesson:
    reading = read_lesson(TEXT)
    assert reading.problems == ()
    return reading.lesson


def used(phrase: Phrase) -> Iterator[object]:
    """Everything of the format that a phrase uses."""
    for note in phrase.notes:
        yield from _of_note(note)
    for span in phrase.spans:
        yield span.mark
    yield "simile" if any(bar.simile for bar in phrase.bars) else None
    yield "pickup" if phrase.pickup else None
    yield "capo" if phrase.capo else None
    yield "other tuning" if phrase.tuning != STANDARD else None
    yield "silent count" if any(c.silent for bar in phrase.bars for c in bar.counts) else None
    onsets = [note.onset for note in phrase.notes if note.timing is Timing.COUNTED]
    yield "double stop" if len(set(onsets)) < len(onsets) else None
    yield from ((phrase.feel.straight, "feel"), str(phrase.meter))
    inside = {(onset % 1).denominator for onset in onsets}
    yield from (f"1/{part} of a beat" for part in inside)
    for note in phrase.notes:
        later = [n.onset for n in phrase.notes if n.onset > note.onset]
        if not note.instant and later and note.end > min(later):
            yield "held while others move"
            bars = {bar.number for bar in phrase.bars if note.onset < bar.end < note.end}
            yield "held over a bar line" if bars else None


def _of_note(note: Note) -> Iterator[object]:
    yield from (note.timing, note.entry, note.finger, note.stroke)
    yield from note.marks
    yield note.link.kind if note.link else None
    yield "slide off up" if note.off and note.off.up else None
    yield "slide off down" if note.off and not note.off.up else None
    yield from (name for name in ("ghost", "harmonic", "dead") if getattr(note, name))
    for gesture in note.gestures:
        yield type(gesture)
        if isinstance(gesture, Bend):
            yield "pre-bend" if gesture.struck_bent else "bend"
            yield "quarter bend" if gesture.to.denominator == 2 else None
            yield "step and a half" if gesture.to == 3 else None
        elif isinstance(gesture, Release):
            yield "counted release" if gesture.start is not None else None
        elif isinstance(gesture, Vibrato):
            yield "wide vibrato" if gesture.wide else "vibrato"


def test_every_gesture_of_the_format_is_used(lesson: Lesson) -> None:
    found = {thing for phrase in lesson.phrases for thing in used(phrase)}
    wanted: set[object] = {Bend, Release, Trill, Vibrato, "4/4", "12/8", "3/4"}
    for kinds in (Entry, LinkKind, Mark, Finger, Stroke):
        wanted |= set(kinds)
    wanted |= {*Timing, "pre-bend", "bend", "quarter bend", "step and a half"}
    wanted |= {"counted release", "vibrato", "wide vibrato", "slide off up", "slide off down"}
    wanted |= {"ghost", "harmonic", "dead", "simile", "pickup", "capo", "other tuning"}
    wanted |= {"silent count", "double stop", "held while others move", "held over a bar line"}
    wanted |= {(True, "feel"), (False, "feel")}
    wanted |= {"1/2 of a beat", "1/3 of a beat", "1/4 of a beat", "1/5 of a beat"}
    assert wanted - found == set()


def test_every_block_and_setting_is_used(lesson: Lesson) -> None:
    assert {type(part) for part in lesson.parts} >= {Lick, Neck, Band, Solo, Stage}
    settings = lesson.settings
    unset = [each.name for each in fields(settings) if getattr(settings, each.name) in ("", None)]
    assert set(unset) <= {"meter", "tuning", "capo"}  # these are set in blocks


def test_it_is_what_was_promised(lesson: Lesson) -> None:
    phrases = lesson.phrases
    assert len(phrases) >= 8
    assert len({phrase.key for phrase in phrases}) >= 3
    degrees = [
        {(at.chord.root.chroma - phrase.key.tonic.chroma) % 12 for at in phrase.chords}
        for phrase in phrases
    ]
    assert any(roots >= {0, 5, 7} for roots in degrees), "one over I, IV and V"
    assert tidy_text(TEXT) == TEXT


def test_every_bar_is_full(lesson: Lesson) -> None:
    for phrase in lesson.phrases:
        first, last = phrase.bars[0], phrase.bars[-1]
        for bar in phrase.bars:
            assert bar.length == phrase.meter.beats or (bar is first and phrase.pickup)
        assert all(first.start <= note.onset < last.end for note in phrase.notes)
        assert all(note.end - note.onset < Fraction(9) for note in phrase.notes)


@pytest.fixture(scope="module")
def pack(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("demo") / "pack"
    result = CliRunner().invoke(main, ["build", str(DEMO), "--out", str(folder)])
    assert result.exit_code == 0, result.output
    return folder


@pytest.mark.xdist_group("demo")
def test_it_builds(pack: Path) -> None:
    assert (pack / "handout.pdf").stat().st_size > 100_000
    for phrase in read_lesson(TEXT).lesson.phrases:
        for folder, ending in (("files", "mid"), ("files", "musicxml"), ("pictures", "svg")):
            assert (pack / folder / f"{phrase.name}.{ending}").exists()
        assert len(list((pack / "audio").glob(f"{phrase.name}-*.mp3"))) >= 5


@pytest.mark.xdist_group("demo")
def test_all_its_audio_is_loud_enough_whole_and_nowhere_too_loud(pack: Path) -> None:
    # Sources of the measures: ITU-R BS.1770-4 loudness as in pyloudnorm, and its annex 2 (true
    # peak by oversampling four times) with SciPy's filter. What is measured is the encoded file.
    tracks = json.loads((pack / "pack.json").read_text(encoding="utf-8"))["tracks"]
    assert len(tracks) > 60
    for track in tracks:
        samples, rate = soundfile.read(pack / track["files"][0])
        peak = np.abs(resample_poly(samples, 4, 1)).max()
        assert 20 * np.log10(peak) <= -1.0, track["title"]
        measured = pyloudnorm.Meter(rate).integrated_loudness(samples)
        assert measured == pytest.approx(-16.0, abs=0.3), track["title"]
        assert longest_silence(samples, rate) < 2.0, track["title"]
        assert np.abs(np.diff(samples, axis=0)).max() < 0.6, track["title"]  # no crack


def longest_silence(samples: np.ndarray, rate: int) -> float:
    """Seconds without sound between the first and the last sound (below -60 dB)."""
    block = rate // 10
    count = len(samples) // block
    power = (samples[: count * block].reshape(count, -1) ** 2).mean(axis=1)
    heard = np.flatnonzero(10 * np.log10(power + 1e-12) > -60)
    return float(np.diff(heard).max(initial=1) - 1) / 10
