"""What does the desk answer about takes, and about what is kept of the pupils?"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar

from starlette.concurrency import run_in_threadpool
from starlette.responses import JSONResponse, Response

from lickwright.desk import takes
from lickwright.desk.folder import LessonFolder
from lickwright.desk.helpers import Helpers
from lickwright.desk.trouble import DeskError
from lickwright.hear.table import Summary
from lickwright.shelf import Shelf, ShelfError, open_shelf, progress_plot
from lickwright.shelf.shelf import FILE as SHELF_FILE

if TYPE_CHECKING:
    from starlette.requests import Request

T = TypeVar("T")


class TakeAnswers:
    """Recordings are listened to and not kept; what was heard is, if a pupil is named."""

    def __init__(self, folder: LessonFolder, helpers: Helpers) -> None:
        self.folder = folder
        self.helpers = helpers

    async def take(self, request: Request) -> Response:
        """Listen to a recording of a phrase; keep what was heard if a pupil is named."""
        asked = request.query_params
        lesson, name = asked.get("lesson", ""), asked.get("phrase", "")
        recording, pupil = asked.get("recording", "take")[:120], asked.get("pupil", "")
        text = (await run_in_threadpool(self.folder.read, lesson)).text
        audio = await request.body()
        if not audio:
            raise DeskError(400, "the recording is empty", "record it again")
        found = await self.helpers.slow(takes.heard, text, name, audio, recording)
        if pupil.strip():
            values = Summary(**found["summary"])
            said = tuple(found["sentences"])
            await self._shelved(lambda shelf: shelf.keep(pupil, lesson, recording, said, values))
        return JSONResponse(found)

    async def pupils(self, _: Request) -> Response:
        """Of whom something is kept."""
        found = await self._shelved(lambda shelf: shelf.pupils()) if self._shelf_there() else []
        return JSONResponse(
            {"pupils": [{"name": name, "takes": n, "last": last} for name, n, last in found]}
        )

    async def pupil(self, request: Request) -> Response:
        """All that is kept of a pupil, and a plot over the weeks."""
        name = request.query_params.get("name", "")
        kept = await self._shelved(lambda shelf: shelf.takes(name))
        data = await self._shelved(lambda shelf: shelf.export(name))
        return JSONResponse(data | {"plot": progress_plot(data["pupil"], kept)})

    async def forget(self, request: Request) -> Response:
        """Delete all that is kept of a pupil, for good."""
        name = request.query_params.get("name", "")
        return JSONResponse({"deleted": await self._shelved(lambda shelf: shelf.forget(name))})

    def _shelf_there(self) -> bool:
        return (self.folder.root / SHELF_FILE).exists()

    async def _shelved(self, work: Callable[[Shelf], T]) -> T:
        """Do something with what is kept of the pupils."""
        try:
            return await run_in_threadpool(lambda: work(open_shelf(self.folder.root)))
        except ShelfError as error:
            raise DeskError(422, str(error)) from None
