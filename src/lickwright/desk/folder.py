"""Which lessons lie in the teacher's folder, and how is one saved without ever losing a line?

Lessons are ordinary Markdown files. What the desk keeps for itself (earlier versions, the bin)
lies in the hidden folder `.lickwright` beside them.
"""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from lickwright.desk.trouble import DeskError

ENDING = ".md"
HIDDEN = ".lickwright"
_SAVING = ".lickwright-saving-"  # how the name of a file that is being written begins
MOST_BYTES = 1 << 20  # of a lesson
MOST_EARLIER = 40  # versions of a lesson
APART = 120.0  # seconds between two earlier versions that are kept
LONGEST_NAME = 100  # characters
_NO_NAME = re.compile(r'[<>:"/\\|?*\x00-\x1f\x7f-\x9f\u200b-\u200f\u202a-\u202e\u2066-\u2069]')
_STAMP = re.compile(r"\d{14}-\d{6}")


@dataclass(frozen=True, slots=True)
class Saved:
    """A lesson's text as it lies on the disk. `version`: a fingerprint of its bytes."""

    name: str
    text: str
    version: str
    changed: float  # seconds since 1970


@dataclass(frozen=True, slots=True)
class Kept:
    """An earlier version, or a lesson in the bin. `id` names it; `when`: seconds since 1970."""

    id: str
    name: str
    when: float
    bytes: int


class ChangedElsewhereError(DeskError):
    """The file is no longer as the writer knew it. `theirs`: what lies there now."""

    def __init__(self, theirs: Saved) -> None:
        super().__init__(
            409,
            f"{theirs.name} was changed elsewhere since you opened it",
            "look at both; each is kept among the earlier versions",
        )
        self.theirs = theirs


class LessonFolder:
    """The lessons of one folder."""

    def __init__(self, root: Path, clock: Callable[[], float] = time.time) -> None:
        self.root = root.resolve()
        self._clock = clock
        if not self.root.is_dir():
            raise DeskError(404, f"{root} is no folder", "name the folder that holds your lessons")

    def names(self) -> list[str]:
        """The names of all lessons, in the order of the alphabet."""
        found = [
            path.name.removesuffix(ENDING)
            for path in self.root.iterdir()
            if path.name.endswith(ENDING) and not path.name.startswith(".") and _plain(path)
        ]
        return sorted((name for name in found if _good(name)), key=str.casefold)

    def read(self, name: str) -> Saved:
        """A lesson. Raises DeskError if it is not there or cannot be read as text."""
        path = self.path(name)
        try:
            data = path.read_bytes()
            changed = path.stat().st_mtime
        except FileNotFoundError:
            raise DeskError(404, f"there is no lesson {name}", "choose one from the list") from None
        except OSError as error:
            raise DeskError(403, f"{name} cannot be read: {error.strerror}") from None
        if len(data) > MOST_BYTES:
            raise DeskError(413, f"{name} is longer than 1 MiB", "cut it into several lessons")
        try:
            text = data.decode("utf-8")
        except UnicodeDecodeError:
            raise DeskError(
                415, f"{name} is no text in UTF-8", "save it from your editor as UTF-8"
            ) from None
        return Saved(name, text, version_of(data), changed)

    def save(self, name: str, text: str, known: str) -> Saved:
        """Put a lesson on the disk, whole or not at all.

        `known`: the version that the writer began from, empty for a new lesson. Raises
        ChangedElsewhereError if another lies there; both are then kept among the earlier ones.
        """
        path = self.path(name)
        data = _encoded(text)
        theirs = self.read(name) if path.exists() else None
        if theirs is not None and theirs.version == version_of(data):
            return theirs
        if (theirs.version if theirs else "") != known:
            self._keep(name, data, must=True)
            if theirs is None:
                raise DeskError(
                    410, f"{name} was moved or taken away elsewhere", "save it under a new name"
                )
            self._keep(name, _encoded(theirs.text), must=True)
            raise ChangedElsewhereError(theirs)
        if theirs is not None:
            self._keep(name, _encoded(theirs.text))
        _write(path, data)
        return Saved(name, text, version_of(data), path.stat().st_mtime)

    def new(self, name: str, text: str) -> Saved:
        """Make a lesson that is not there yet; never overwrites."""
        path = self.path(name)
        data = _encoded(text)
        try:
            _write_new(path, data)
        except FileExistsError:
            raise DeskError(409, f"there is a lesson {name} already", "give another name") from None
        return Saved(name, text, version_of(data), path.stat().st_mtime)

    def rename(self, name: str, to: str) -> Saved:
        """Give a lesson another name, with its earlier versions; never overwrites."""
        was = self.read(name)
        target = self.path(to)
        if to == name:
            return was
        same_file = target.exists() and target.samefile(self.path(name))
        if target.exists() and not same_file:
            raise DeskError(409, f"there is a lesson {to} already", "give another name")
        os.replace(self.path(name), target)
        old, fresh = self._earlier_folder(name), self._earlier_folder(to)
        if old.is_dir() and not fresh.exists():
            old.rename(fresh)
        return self.read(to)

    def bin(self, name: str) -> Kept:
        """Put a lesson into the bin."""
        path = self.path(name)
        if not path.exists():
            raise DeskError(404, f"there is no lesson {name}", "choose one from the list")
        folder = self.root / HIDDEN / "bin"
        folder.mkdir(parents=True, exist_ok=True)
        target = folder / f"{self._stamp()} {name}{ENDING}"
        os.replace(path, target)
        return _kept(target)

    def binned(self) -> list[Kept]:
        """What lies in the bin, the latest first."""
        return _listed(self.root / HIDDEN / "bin")

    def restore(self, kept_id: str) -> Saved:
        """Take a lesson out of the bin; under a fresh name if its own is taken."""
        kept = self._find(self.binned(), kept_id)
        source = self.root / HIDDEN / "bin" / kept.id
        name = self.fresh_name(kept.name)
        try:
            os.link(source, self.path(name))
        except OSError:  # a disk that knows no links
            _write_new(self.path(name), source.read_bytes())
        source.unlink()
        return self.read(name)

    def empty_bin(self) -> int:
        """Delete for good what lies in the bin; how many lessons."""
        kept = self.binned()
        for each in kept:
            (self.root / HIDDEN / "bin" / each.id).unlink(missing_ok=True)
        return len(kept)

    def earlier(self, name: str) -> list[Kept]:
        """The earlier versions of a lesson, the latest first."""
        self.path(name)
        return _listed(self._earlier_folder(name))

    def earlier_text(self, name: str, kept_id: str) -> str:
        """The text of an earlier version."""
        kept = self._find(self.earlier(name), kept_id)
        return (self._earlier_folder(name) / kept.id).read_text(encoding="utf-8")

    def fresh_name(self, name: str) -> str:
        """The name, with a number if it is taken."""
        number, made = 2, name
        while self.path(made).exists():
            made = f"{name[: LONGEST_NAME - 5]}-{number}"
            number += 1
        return made

    def path(self, name: str) -> Path:
        """Where a lesson lies. Raises DeskError for a name that is none, or leads elsewhere."""
        if not _good(name):
            raise DeskError(
                400,
                f"'{name[:60]}' cannot be the name of a lesson",
                "use letters, digits, spaces and hyphens; at most 100 characters",
            )
        path = self.root / f"{name}{ENDING}"
        if os.path.lexists(path) and not _plain(path):
            raise DeskError(403, f"{name} leads out of the folder", "use the file itself")
        return path

    def pack(self, name: str) -> Path:
        """Where the pack of a lesson lies."""
        self.path(name)
        return self.root / f"{name}-pack"

    def sweep(self) -> None:
        """Take away what saves and builds left half done when they were killed, if it is old."""
        for pattern, seconds in ((f"{_SAVING}*", 3600.0), (".*-pack.new-*", 86400.0)):
            for path in (*self.root.glob(pattern), *self.root.glob(f"{HIDDEN}/**/{pattern}")):
                if path.is_symlink() or self._clock() - path.stat().st_mtime < seconds:
                    continue
                if path.is_dir():
                    shutil.rmtree(path, ignore_errors=True)
                else:
                    path.unlink(missing_ok=True)

    def _keep(self, name: str, data: bytes, *, must: bool = False) -> None:
        """Keep a version, unless one was kept a moment ago."""
        folder = self._earlier_folder(name)
        kept = _listed(folder)
        if kept and not must and self._clock() - kept[0].when < APART:
            return
        if kept and (folder / kept[0].id).read_bytes() == data:
            return
        folder.mkdir(parents=True, exist_ok=True)
        _write(folder / f"{self._stamp()} {name}{ENDING}", data)
        for old in kept[MOST_EARLIER - 1 :]:
            (folder / old.id).unlink(missing_ok=True)

    def _earlier_folder(self, name: str) -> Path:
        return self.root / HIDDEN / "earlier" / name

    def _stamp(self) -> str:
        now = self._clock()
        return time.strftime("%Y%m%d%H%M%S", time.gmtime(now)) + f"-{int(now * 1e6) % 1000000:06d}"

    @staticmethod
    def _find(kept: list[Kept], kept_id: str) -> Kept:
        for each in kept:
            if each.id == kept_id:
                return each
        raise DeskError(404, "this is no longer kept", "look at the list again")


def version_of(data: bytes) -> str:
    """A fingerprint of a file's bytes."""
    return hashlib.sha256(data).hexdigest()[:32]


def _encoded(text: str) -> bytes:
    try:
        data = text.encode("utf-8")
    except UnicodeEncodeError:
        raise DeskError(400, "the text holds half a character", "type it again") from None
    if len(data) > MOST_BYTES:
        raise DeskError(413, "a lesson has at most 1 MiB", "cut it into several lessons")
    return data


def _good(name: str) -> bool:
    """True if a name can be that of a file on any system, and of no hidden one."""
    return (
        0 < len(name) <= LONGEST_NAME
        and len(name.encode("utf-8", "surrogatepass")) <= 200
        and name == name.strip()
        and not name.startswith(".")
        and not name.endswith(".")
        and not _NO_NAME.search(name)
        and not any("\ud800" <= char <= "\udfff" for char in name)
    )


def _plain(path: Path) -> bool:
    """True for a file itself, not a link to one."""
    return path.is_file() and not path.is_symlink()


def _listed(folder: Path) -> list[Kept]:
    if not folder.is_dir():
        return []
    return sorted(_all_kept(folder), key=lambda kept: kept.id, reverse=True)


def _all_kept(folder: Path) -> Iterator[Kept]:
    for path in folder.iterdir():
        if _plain(path) and _STAMP.match(path.name) and path.name.endswith(ENDING):
            yield _kept(path)


def _kept(path: Path) -> Kept:
    stamp, _, rest = path.name.partition(" ")
    seconds, _, micro = stamp.partition("-")
    when = _seconds(seconds) + int(micro) / 1e6
    return Kept(path.name, rest.removesuffix(ENDING), when, path.stat().st_size)


def _seconds(stamp: str) -> float:
    import calendar  # noqa: PLC0415

    return float(calendar.timegm(time.strptime(stamp, "%Y%m%d%H%M%S")))


def _write(path: Path, data: bytes) -> None:
    """Write a file whole or not at all, on the disk itself before it takes the old one's place."""
    mode = path.stat().st_mode & 0o777 if path.exists() else 0o644
    temporary = _temporary(path, data, mode)
    try:
        os.replace(temporary, path)
    except OSError as error:
        temporary.unlink(missing_ok=True)
        raise _no_room(path, error) from None
    _settle(path.parent)


def _write_new(path: Path, data: bytes) -> None:
    """Write a file that must not be there yet; FileExistsError if it is."""
    temporary = _temporary(path, data, 0o644)
    try:
        os.link(temporary, path)
    except FileExistsError:
        raise
    except OSError:  # a disk that knows no links
        with path.open("xb") as file:
            file.write(data)
    finally:
        temporary.unlink(missing_ok=True)
    _settle(path.parent)


def _temporary(path: Path, data: bytes, mode: int) -> Path:
    try:
        handle, made = tempfile.mkstemp(dir=path.parent, prefix=_SAVING)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(made).chmod(mode)
    except OSError as error:
        if "made" in locals():
            Path(made).unlink(missing_ok=True)
        raise _no_room(path, error) from None
    return Path(made)


def _no_room(path: Path, error: OSError) -> DeskError:
    return DeskError(
        507,
        f"{path.name} cannot be saved: {error.strerror}; what was there before is whole",
        "make room on the disk, or ask for the right to write there",
    )


def _settle(folder: Path) -> None:
    """Make the folder's entry outlive a power cut, where the system can do it."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    except OSError:
        pass
    finally:
        os.close(handle)
