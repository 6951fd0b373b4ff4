"""What does the pack's list of its own contents say, and what of an old pack can be kept?"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from lickwright import __version__
from lickwright.pack.fingerprint import checksum
from lickwright.pack.folder import MANIFEST
from lickwright.pack.made import Made


def taken_over(target: Path, old: dict[str, Any], key: str) -> Made | None:
    """What the old pack holds of an unchanged job; None if a file is missing or was altered."""
    listed = {path: each for path, each in old.get("files", {}).items() if each.get("from") == key}
    files: dict[str, bytes] = {}
    for path, entry in listed.items():
        try:
            files[path] = (target / path).read_bytes()
        except OSError:
            return None
        if checksum(files[path]) != entry["sha256"]:
            return None
    tracks = tuple(track for track in old.get("tracks", []) if track.get("from") == key)
    return Made(files, tracks) if files else None


def write_pack(
    folder: Path, files: dict[str, bytes], keys: dict[str, str], tracks: list[dict[str, Any]]
) -> None:
    """Write all files and the list of them. `keys`: of the job that a file comes from."""
    for path, data in files.items():
        place = folder / path
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_bytes(data)
    entries = {
        path: {"sha256": checksum(data)} | ({"from": keys[path]} if path in keys else {})
        for path, data in sorted(files.items())
    }
    manifest = {"made_by": f"Lickwright {__version__}", "tracks": tracks, "files": entries}
    text = json.dumps(manifest, indent=1, ensure_ascii=False)
    (folder / MANIFEST).write_text(text + "\n", encoding="utf-8")
