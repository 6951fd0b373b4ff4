"""What does the desk answer when a built pack is looked at or taken home?"""

from __future__ import annotations

import io
import zipfile
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.responses import FileResponse, Response

from lickwright.desk.folder import LessonFolder
from lickwright.desk.trouble import DeskError

if TYPE_CHECKING:
    from starlette.requests import Request

KINDS = {".html": "text/html; charset=utf-8", ".js": "text/javascript", ".css": "text/css"}


class PackAnswers:
    """The packs of a folder. Nothing outside of a pack is ever given out."""

    def __init__(self, folder: LessonFolder) -> None:
        self.folder = folder

    async def zipped(self, request: Request) -> Response:
        """A pack as one file."""
        folder = self._pack(request.path_params["pack"])
        data = await run_in_threadpool(_zip, folder)
        name = quote(folder.name, safe="")
        headers = {"content-disposition": f"attachment; filename*=UTF-8''{name}.zip"}
        return Response(data, media_type="application/zip", headers=headers)

    async def pack_file(self, request: Request) -> Response:
        """A file of a pack."""
        folder = self._pack(request.path_params["pack"])
        wanted = request.path_params["path"] or "lesson.html"
        none = DeskError(404, "there is no such file in the pack", "build it again")
        if "\0" in wanted or PurePosixPath(wanted).is_absolute():
            raise none
        path = (folder / wanted).resolve()
        if not path.is_relative_to(folder.resolve()) or not path.is_file():
            raise none
        return FileResponse(path, media_type=KINDS.get(path.suffix))

    def _pack(self, name: str) -> Path:
        if name != Path(name).name or not name.endswith("-pack") or "\0" in name:
            raise DeskError(404, "there is no such pack", "build it first")
        folder = self.folder.root / name
        if folder.is_symlink() or not (folder / "pack.json").is_file():
            raise DeskError(404, f"there is no pack {name[:120]}", "build it first")
        return folder


def _zip(folder: Path) -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_STORED) as archive:
        for path in sorted(folder.rglob("*")):
            if path.is_file() and not path.is_symlink():
                archive.write(path, f"{folder.name}/{path.relative_to(folder).as_posix()}")
    return made.getvalue()
