"""How is a pack built while the teacher watches, and how is it stopped?"""

from __future__ import annotations

import itertools
import threading
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from lickwright.desk.folder import LessonFolder
from lickwright.desk.trouble import DeskError
from lickwright.installed import NotInstalledError
from lickwright.lesson import Lesson, read_lesson
from lickwright.pack import (
    AudioFormat,
    AudioWish,
    HandoutError,
    PackFolderError,
    build_pack,
    home_key,
    in_mode_of,
    lesson_in_key,
)
from lickwright.theory import TheoryError, parse_key

MOST_KEPT = 50  # builds that are remembered
_Todo = tuple[Lesson, Path, str, list[str]]  # what, where to, its name, what is said of it


class _Stopped(BaseException):
    """The teacher has stopped the build."""


@dataclass
class Build:
    """One build. `state`: waiting, building, done, stopped or failed; `done` of `steps`."""

    id: str
    name: str
    state: str = "waiting"
    label: str = ""
    done: int = 0
    steps: int = 0
    packs: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    wanted: bool = True

    @property
    def said(self) -> dict[str, Any]:
        """What the browser is told."""
        return {
            "id": self.id, "lesson": self.name, "state": self.state, "label": self.label,
            "done": self.done, "steps": self.steps, "packs": self.packs, "notes": self.notes,
        }  # fmt: skip


class Builds:
    """The builds of one desk; one is made at a time."""

    def __init__(self, folder: LessonFolder) -> None:
        self._folder = folder
        self._numbers = itertools.count(1)
        self._all: dict[str, Build] = {}
        self._turn = threading.Lock()

    def begin(self, name: str, keys: Sequence[str], kinds: Sequence[str]) -> Build:
        """Begin to build a saved lesson in its own key and others. Raises DeskError."""
        text = self._folder.read(name).text
        lesson = read_lesson(text).lesson
        wish = AudioWish(_formats(kinds))
        todo: list[_Todo] = [(lesson, self._folder.pack(name), name, [])]
        todo += [self._in_key(lesson, name, key) for key in keys]
        build = Build(str(next(self._numbers)), name)
        self._all[build.id] = build
        for old in list(self._all)[:-MOST_KEPT]:
            del self._all[old]
        threading.Thread(target=self._run, args=(build, todo, wish), daemon=True).start()
        return build

    def get(self, build_id: str) -> Build:
        """A build. Raises DeskError if it is not known any more."""
        if build_id not in self._all:
            raise DeskError(404, "that build is not known any more", "build it again")
        return self._all[build_id]

    def stop(self, build_id: str) -> Build:
        """Stop a build as soon as the piece at hand is done; the old pack stays."""
        build = self.get(build_id)
        build.wanted = False
        return build

    def stop_all(self) -> None:
        """Stop all that are on."""
        for build in self._all.values():
            build.wanted = False

    @property
    def busy(self) -> bool:
        """True while something is being built."""
        return any(build.state in ("waiting", "building") for build in self._all.values())

    def _in_key(self, lesson: Lesson, name: str, words: str) -> _Todo:
        home = home_key(lesson)
        if home is None:
            raise DeskError(422, "no key is written in this lesson", "write key: at its top")
        try:
            key = in_mode_of(parse_key(words), words, home)
        except TheoryError as error:
            raise DeskError(400, str(error), "write a key such as G or C minor") from None
        moved, notes = lesson_in_key(lesson, key)
        title = f"{lesson.settings.title or name}, in {key.pretty}"
        word = f"in-{str(key).replace('#', '-sharp').replace(' ', '-')}"
        moved = replace(moved, settings=replace(moved.settings, title=title))
        return moved, self._folder.root / f"{name}-{word}-pack", f"{name} {word}", notes

    def _run(self, build: Build, todo: list[_Todo], wish: AudioWish) -> None:
        with self._turn:
            try:
                for lesson, target, name, notes in todo:
                    self._one(build, lesson, target, name, wish)
                    build.notes += notes
                build.state = "done"
            except _Stopped:
                build.state = "stopped"
            except (PackFolderError, NotInstalledError, HandoutError) as error:
                build.state, build.notes = "failed", [*build.notes, str(error)]
            except OSError as error:
                words = f"the pack cannot be written: {error.strerror or error}"
                build.state, build.notes = "failed", [*build.notes, words]
            except Exception as error:  # the teacher must be told, whatever it is
                words = f"something is wrong in Lickwright itself ({type(error).__name__})"
                build.state, build.notes = "failed", [*build.notes, words]

    @staticmethod
    def _one(build: Build, lesson: Lesson, target: Path, name: str, wish: AudioWish) -> None:
        def progress(label: str, done: int, steps: int) -> None:
            if not build.wanted:
                raise _Stopped
            build.label, build.done, build.steps = label, done, steps

        if not build.wanted:
            raise _Stopped
        build.state = "building"
        built = build_pack(lesson, target, name, progress, wish)
        build.packs.append(target.name)
        build.notes += [f"Left out: {trouble}" for trouble in built.troubles]
        build.notes += built.remarks


def _formats(kinds: Sequence[str]) -> tuple[AudioFormat, ...]:
    try:
        return tuple(AudioFormat(kind) for kind in dict.fromkeys(kinds))
    except ValueError:
        raise DeskError(400, "that is no kind of audio", "mp3, flac, wav or ogg") from None
