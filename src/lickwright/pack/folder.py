"""How does a new pack take the place of the old one, whole or not at all?"""

from __future__ import annotations

import json
import os
import shutil
import tempfile
from pathlib import Path
from typing import Any

MANIFEST = "pack.json"


class PackFolderError(Exception):
    """The pack's folder cannot be used; the text says why and what to do."""


def recover(target: Path) -> None:
    """Put the old pack back if the power went while the new one took its place."""
    old = _old(target)
    if old.exists() and not target.exists():
        old.rename(target)
    elif old.exists():
        shutil.rmtree(old)


def read_manifest(target: Path) -> dict[str, Any]:
    """What the old pack was built from; empty if there is none.

    Raises PackFolderError if the folder was not made by a build.
    """
    if not target.exists():
        return {}
    try:
        found = json.loads((target / MANIFEST).read_text(encoding="utf-8"))
        if isinstance(found, dict) and isinstance(found.get("files"), dict):
            return found
    except (OSError, ValueError):
        pass
    if target.is_dir() and not any(target.iterdir()):
        return {}
    raise PackFolderError(
        f"{target} is there already and is no pack that a build made; move it away, or give "
        "another folder with --out"
    )


def new_folder(target: Path) -> Path:
    """An empty folder beside the pack, on the same disk."""
    return Path(tempfile.mkdtemp(prefix=f".{target.name}.new-", dir=target.parent))


def keep_own_files(target: Path, fresh: Path, made: set[str]) -> None:
    """Copy what the teacher put into the old pack into the new one."""
    if not target.exists():
        return
    for path in sorted(target.rglob("*")):
        name = path.relative_to(target).as_posix()
        if path.is_file() and name not in made and name != MANIFEST:
            place = fresh / name
            if not place.exists():
                place.parent.mkdir(parents=True, exist_ok=True)
                shutil.copy2(path, place)


def put_in_place(fresh: Path, target: Path) -> None:
    """Swap the finished folder in; `recover` mends what a crash between the two steps leaves."""
    fresh.chmod(0o755)
    old = _old(target)
    if target.exists():
        os.replace(target, old) if not old.exists() else None
    fresh.rename(target)
    shutil.rmtree(old, ignore_errors=True)


def _old(target: Path) -> Path:
    return target.parent / f".{target.name}.old"
