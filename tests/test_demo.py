"""Is the demo lesson whole: every gesture of the format, without a problem, tidy, and buildable?"""

from __future__ import annotations

import io
import os
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
from lickwright.pack import AudioFormat, AudioWish
from lickwright.pack.playlist import playlist
from lickwright.pack.tracks import TrackKind, TrackOrder
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


def test_it_builds(tmp_path: Path) -> None:
    words = ["build", str(DEMO), "--audio", "none", "--out", str(tmp_path / "pack")]
    result = CliRunner().invoke(main, words)
    assert result.exit_code == 0, result.output
    assert (tmp_path / "pack" / "handout.pdf").stat().st_size > 100_000
    for phrase in read_lesson(TEXT).lesson.phrases:
        for folder, ending in (("files", "mid"), ("files", "musicxml"), ("pictures", "svg")):
            assert (tmp_path / "pack" / folder / f"{phrase.name}.{ending}").exists()


LUFS = {TrackKind.PAGE_LEAD: -18.0, TrackKind.PAGE_BAND: -20.0}  # are heard together


def some_tracks() -> list[TrackOrder]:
    """Two tracks of each kind; all of them if LICKWRIGHT_EXAMPLES is all."""
    wish = AudioWish((AudioFormat.MP3,))
    orders, troubles = playlist(read_lesson(TEXT).lesson, "demo", wish)
    assert troubles == []
    assert len(orders) > 60
    if os.environ.get("LICKWRIGHT_EXAMPLES") == "all":
        return list(orders)
    return [
        order for kind in TrackKind for order in [each for each in orders if each.kind is kind][:2]
    ]


@pytest.mark.parametrize("order", some_tracks(), ids=lambda order: order.label)
def test_its_audio_is_loud_enough_whole_and_nowhere_too_loud(order: TrackOrder) -> None:
    # Sources of the measures: ITU-R BS.1770-4 loudness as in pyloudnorm, and its annex 2 (true
    # peak by oversampling four times) with SciPy's filter. What is measured is the encoded file.
    made = order.make()
    assert made.trouble == ""
    samples, rate = soundfile.read(io.BytesIO(next(iter(made.files.values()))))
    assert 20 * np.log10(np.abs(resample_poly(samples, 4, 1)).max()) <= -1.0
    measured = pyloudnorm.Meter(rate).integrated_loudness(samples)
    assert measured == pytest.approx(LUFS.get(order.kind, -16.0), abs=0.3)
    assert longest_silence(samples, rate) < 2.0
    assert np.abs(np.diff(samples, axis=0)).max() < 0.6, "no crack"


def longest_silence(samples: np.ndarray, rate: int) -> float:
    """Seconds without sound between the first and the last sound (below -60 dB)."""
    block = rate // 10
    count = len(samples) // block
    power = (samples[: count * block].reshape(count, -1) ** 2).mean(axis=1)
    heard = np.flatnonzero(10 * np.log10(power + 1e-12) > -60)
    return float(np.diff(heard).max(initial=1) - 1) / 10
