"""How well and how quickly is a take heard?

Takes are MIDI played by FluidSynth with FluidR3 (independent of the package's own strings), with
mistakes that are known. Run: `python benchmarks/hearing.py [aside|tuned] [takes of each phrase]`.
Prints one line a condition: F1 over notes, planted mistakes found, false alarms a take, error of
bends in cents (median, 95th percentile), of the time against the player's own beat in ms (95th
percentile), and the share of notes about which nothing is claimed. Then the same for takes put
together of recorded notes (Debian package freepats), one line a guitar; then what it costs.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # waiting threads would count as work
sys.path.insert(0, str(Path(__file__).parent.parent / "tests" / "hear"))

import numpy as np
from heard_phrases import aside, tuned
from made_takes import plan_take
from measure import CONDITIONS, HEAD, Counts, harmed, row, total
from recorded_notes import GUITARS, of_recordings
from take_voices import CLEAN_FONT, OVERDRIVEN_FONT, STEEL, font, font_cents

from lickwright.hear import hear

PROGRAMS = {STEEL: "steel", CLEAN_FONT: "clean", OVERDRIVEN_FONT: "overdriven"}


def takes(which: str, many: int, folder: Path):
    """Takes with their sounds and the guitar that plays them."""
    phrases = aside() if which == "aside" else tuned()
    first = 1000 if which == "aside" else 0
    for program, guitar in PROGRAMS.items():
        correct = font_cents(program, range(36, 90), folder)
        planned = [plan_take(p, first + n) for p in phrases for n in range(many)]
        for plan, (sound, rate) in zip(
            planned, font(planned, program, folder, correct), strict=True
        ):
            yield guitar, plan, sound, rate


def main() -> None:
    which = sys.argv[1] if len(sys.argv) > 1 else "aside"
    many = int(sys.argv[2]) if len(sys.argv) > 2 else 4
    conditions = sys.argv[3].split(",") if len(sys.argv) > 3 else CONDITIONS
    with tempfile.TemporaryDirectory() as folder:
        made = list(takes(which, many, Path(folder)))
    counts = {(c, g): Counts() for c in conditions for g in PROGRAMS.values()}
    spent = seconds = 0.0
    for guitar, plan, sound, rate in made:
        for condition in conditions:
            harm = harmed(plan, sound, rate, condition)
            began = time.process_time()
            heard = hear(plan.phrase, harm, rate)
            spent += time.process_time() - began
            seconds += len(sound) / rate
            counts[condition, guitar].add(plan, heard)
    sys.stdout.write(f"{which}, {len(made)} takes a condition\n{HEAD}\n")
    for condition in conditions:
        together = total(counts[condition, g] for g in PROGRAMS.values())
        sys.stdout.write(f"{row(condition, together)}\n")
    for guitar in PROGRAMS.values():
        own = total(counts[c, guitar] for c in conditions)
        sys.stdout.write(f"{row(guitar, own)}\n")
    sys.stdout.write(f"{60 * spent / seconds:.2f} s of CPU a minute of take\n")
    for guitar in GUITARS:
        sys.stdout.write(f"{row(f'recorded {guitar}', _recorded(guitar, which, many))}\n")
    _growth()


def _recorded(guitar: str, which: str, many: int) -> Counts:
    counts = Counts()
    for phrase in aside() if which == "aside" else tuned():
        for number in range(many):
            planned = plan_take(phrase, 1000 + number)
            sound, rate = of_recordings(planned, guitar)
            for condition in ("clean", "room + 15 dB"):
                counts.add(planned, hear(phrase, harmed(planned, sound, rate, condition), rate))
    return counts


def _growth() -> None:
    """Takes of growing length, and the share of the pitch tracker."""
    from lickwright.hear.listen import pitch_frames  # noqa: PLC0415

    phrase = aside()[0]
    for minutes in (0.5, 1, 2, 4):
        noise = np.random.default_rng(1).normal(size=round(minutes * 60 * 16000)) * 0.01
        began = time.process_time()
        hear(phrase, noise, 16000)
        whole = time.process_time() - began
        began = time.process_time()
        pitch_frames(noise.astype(np.float32))
        share = (time.process_time() - began) / whole
        sys.stdout.write(f"{minutes} min of noise: {whole:.2f} s, tracker {share:.0%}\n")


if __name__ == "__main__":
    main()
