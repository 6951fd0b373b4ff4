"""What does a whole pack cost, beside what the engines in it need by themselves?

Run: python benchmarks/pack_cost.py. Builds the demo lesson in one process, cold, then again after
one phrase has changed. The engines' share is measured inside the same build: verovio (layout and
drawing of the notation), soundfile (MP3 and FLAC) and typst (the PDF). Wall seconds.
"""

from __future__ import annotations

import functools
import tempfile
from collections.abc import Callable
from pathlib import Path
from time import perf_counter
from typing import Any

import soundfile
import typst
import verovio

from lickwright.lesson import read_lesson
from lickwright.pack import build_pack, workers

LESSON = Path(__file__).parent.parent / "examples" / "thursday-class.md"
ENGINES: dict[str, tuple[Any, tuple[str, ...]]] = {
    "verovio": (verovio.toolkit, ("loadData", "renderToSVG", "redoLayout")),
    "soundfile": (soundfile.SoundFile, ("write",)),
    "typst": (typst, ("compile",)),
}
spent: dict[str, float] = {}


def counted(engine: str, call: Callable[..., Any]) -> Callable[..., Any]:
    @functools.wraps(call)
    def timed(*words: Any, **more: Any) -> Any:
        start = perf_counter()
        try:
            return call(*words, **more)
        finally:
            spent[engine] = spent.get(engine, 0.0) + perf_counter() - start

    return timed


def build(text: str, folder: Path, name: str) -> None:
    spent.clear()
    start = perf_counter()
    built = build_pack(read_lesson(text).lesson, folder, "demo", lambda *_: None)
    seconds = perf_counter() - start
    engines = sum(spent.values())
    shares = ", ".join(f"{engine} {each:.2f}" for engine, each in sorted(spent.items()))
    print(f"{name}: {seconds:.2f} s, {len(built.made)} phrases made")
    print(f"  engines {engines:.2f} s ({shares})")
    print(f"  the whole takes {seconds / engines:.1f} times what its engines take")


def main() -> None:
    workers.WORTH_IT = 10_000  # one process, so that the engines can be timed
    for engine, (owner, names) in ENGINES.items():
        for name in names:
            setattr(owner, name, counted(engine, getattr(owner, name)))
    text = LESSON.read_text(encoding="utf-8")
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch) / "pack"
        build(text, folder, "cold")
        build(text.replace("|7b9---", "|7b8---", 1), folder, "after one change")


if __name__ == "__main__":
    main()
