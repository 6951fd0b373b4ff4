"""Which addresses does the desk answer at, and with what?"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Awaitable, Callable
from contextlib import asynccontextmanager
from dataclasses import asdict
from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING, Any

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from lickwright.desk import close, live
from lickwright.desk.asked import Asked
from lickwright.desk.builds import Builds
from lickwright.desk.described import description
from lickwright.desk.folder import ChangedElsewhereError, LessonFolder, Saved
from lickwright.desk.guard import Guard, TooMuchError
from lickwright.desk.helpers import Helpers
from lickwright.desk.pack_answers import KINDS, PackAnswers
from lickwright.desk.take_answers import TakeAnswers
from lickwright.desk.trouble import DeskError
from lickwright.desk.words import words
from lickwright.installed import NotInstalledError
from lickwright.lesson import mend_text, starter, tidy_text
from lickwright.pack.page import page_style

if TYPE_CHECKING:
    from collections.abc import AsyncIterator

    from starlette.requests import Request

Answer = Callable[["Request"], Awaitable[Response]]


def desk_app(folder: LessonFolder, port: int) -> Guard:
    """The whole desk as an ASGI application, for the address with this port."""
    desk = _Desk(folder)

    @asynccontextmanager
    async def lifespan(_: Starlette) -> AsyncIterator[None]:
        yield
        desk.builds.stop_all()
        desk.helpers.close()

    app = Starlette(
        routes=desk.routes(),
        lifespan=lifespan,
        exception_handlers={
            DeskError: _said, TooMuchError: _said, NotInstalledError: _lacking,
            HTTPException: _http, Exception: _wrong,
        },
    )  # fmt: skip
    return Guard(app, port)


class _Desk:
    """What the routes share."""

    def __init__(self, folder: LessonFolder) -> None:
        self.folder = folder
        self.helpers = Helpers()
        self.builds = Builds(folder)
        self.takes = TakeAnswers(folder, self.helpers)
        self.packs = PackAnswers(folder)
        self._summaries: dict[str, tuple[str, dict[str, Any]]] = {}

    def routes(self) -> list[Route]:
        """All addresses."""
        one = "/api/lessons/{name:path}"  # a name may hold what a path must not
        return [
            Route("/", self.start),
            Route("/desk/{file}", self.file),
            Route("/api/description", self.description),
            Route("/api/words", self.words),
            Route("/api/lessons", _by(GET=self.lessons, POST=self.new), methods=["GET", "POST"]),
            Route("/api/bin", _by(GET=self.bin, DELETE=self.empty), methods=["GET", "DELETE"]),
            Route("/api/bin/restore", self.restore, methods=["POST"]),
            Route("/api/rename", self.rename, methods=["POST"]),
            Route("/api/earlier", self.earlier),
            Route("/api/read", self.read, methods=["POST"]),
            Route("/api/mend", self.mend, methods=["POST"]),
            Route("/api/tidy", self.tidy, methods=["POST"]),
            Route("/api/phrase", self.phrase, methods=["POST"]),
            Route("/api/places", self.places, methods=["POST"]),
            Route("/api/move", self.move, methods=["POST"]),
            Route("/api/finger", self.finger, methods=["POST"]),
            Route("/api/strings", self.strings, methods=["POST"]),
            Route("/api/way-out", self.way_out, methods=["POST"]),
            Route("/api/sound", self.sound, methods=["POST"]),
            Route("/api/builds", self.build, methods=["POST"]),
            Route(
                "/api/builds/{id}",
                _by(GET=self.built, DELETE=self.stop),
                methods=["GET", "DELETE"],
            ),
            Route("/api/packs/{pack}", self.packs.zipped),
            Route("/packs/{pack}/{path:path}", self.packs.pack_file),
            Route("/api/takes", self.takes.take, methods=["POST"]),
            Route("/api/pupils", self.takes.pupils),
            Route(
                "/api/pupil",
                _by(GET=self.takes.pupil, DELETE=self.takes.forget),
                methods=["GET", "DELETE"],
            ),
            Route(
                one,
                _by(GET=self.lesson, PUT=self.save, DELETE=self.remove),
                methods=["GET", "PUT", "DELETE"],
            ),
        ]

    async def start(self, _: Request) -> Response:
        """The desk itself."""
        return _web("desk.html")

    async def file(self, request: Request) -> Response:
        """A script or style of the desk."""
        name = request.path_params["file"]
        if name == "page.css":
            return Response(page_style(), media_type="text/css")
        if name not in ("desk.js", "desk.css", "recorder.js"):
            raise HTTPException(404)
        return _web(name)

    async def description(self, _: Request) -> Response:
        """What all this is, for programs (OpenAPI 3.1)."""
        return JSONResponse(description())

    async def words(self, _: Request) -> Response:
        """What can be written where, for the editor's help."""
        return JSONResponse(words())

    async def lessons(self, _: Request) -> Response:
        """All lessons of the folder."""
        names = await run_in_threadpool(self.folder.names)
        return JSONResponse({"lessons": [await self._summary(name) for name in names]})

    async def _summary(self, name: str) -> dict[str, Any]:
        try:
            saved = await run_in_threadpool(self.folder.read, name)
        except DeskError as error:
            return {"name": name, "trouble": error.what}
        known = self._summaries.get(name)
        if known is None or known[0] != saved.version:
            known = (saved.version, await self.helpers.quick(live.summary, saved.text))
            self._summaries[name] = known
        manifest = self.folder.pack(name) / "pack.json"
        built = manifest.stat().st_mtime if manifest.is_file() else None
        return {"name": name, "changed": saved.changed, "built": built, **known[1]}

    async def new(self, request: Request) -> Response:
        """A new lesson: a starter, the text that is sent, or a copy of another."""
        asked = await Asked.of(request)
        name = asked.text("name")
        if asked.has("like"):
            text = self.folder.read(asked.text("like")).text
        else:
            text = asked.text("text", starter(name), most=1 << 21)
        if asked.flag("fresh"):
            name = self.folder.fresh_name(name)
        saved = await run_in_threadpool(self.folder.new, name, text)
        return _lesson(saved, 201)

    async def lesson(self, request: Request) -> Response:
        """The text of a lesson; 304 if it is still the version that is known."""
        saved = await run_in_threadpool(self.folder.read, request.path_params["name"])
        if request.headers.get("if-none-match") == f'"{saved.version}"':
            return Response(status_code=304, headers={"etag": f'"{saved.version}"'})
        return _lesson(saved)

    async def save(self, request: Request) -> Response:
        """Save a lesson; 409 with both sides kept if it was changed elsewhere."""
        asked = await Asked.of(request)
        text, known = asked.text("text", most=1 << 21), asked.text("version", "")
        name = request.path_params["name"]
        try:
            saved = await run_in_threadpool(self.folder.save, name, text, known)
        except ChangedElsewhereError as error:
            theirs = {"text": error.theirs.text, "version": error.theirs.version}
            said = {"what": error.what, "mend": error.mend, "theirs": theirs}
            return JSONResponse(said, 409)
        return JSONResponse(
            {"name": saved.name, "version": saved.version, "changed": saved.changed}
        )

    async def remove(self, request: Request) -> Response:
        """Put a lesson into the bin."""
        kept = await run_in_threadpool(self.folder.bin, request.path_params["name"])
        return JSONResponse(asdict(kept))

    async def rename(self, request: Request) -> Response:
        """Give a lesson another name."""
        asked = await Asked.of(request)
        return _lesson(
            await run_in_threadpool(self.folder.rename, asked.text("name"), asked.text("to"))
        )

    async def bin(self, _: Request) -> Response:
        """What lies in the bin."""
        kept = await run_in_threadpool(self.folder.binned)
        return JSONResponse({"bin": [asdict(each) for each in kept]})

    async def restore(self, request: Request) -> Response:
        """Take a lesson out of the bin."""
        asked = await Asked.of(request)
        return _lesson(await run_in_threadpool(self.folder.restore, asked.text("id")))

    async def empty(self, _: Request) -> Response:
        """Delete for good what lies in the bin."""
        return JSONResponse({"deleted": await run_in_threadpool(self.folder.empty_bin)})

    async def earlier(self, request: Request) -> Response:
        """The earlier versions of a lesson, or the text of one of them."""
        name, kept = request.query_params.get("name", ""), request.query_params.get("id")
        if kept is None:
            found = await run_in_threadpool(self.folder.earlier, name)
            return JSONResponse({"earlier": [asdict(each) for each in found]})
        return JSONResponse({"text": await run_in_threadpool(self.folder.earlier_text, name, kept)})

    async def read(self, request: Request) -> Response:
        """Problems and pictures of a text."""
        asked = await Asked.of(request)
        have = asked.texts("have")
        return JSONResponse(await self.helpers.quick(live.read, asked.lesson(), have))

    async def mend(self, request: Request) -> Response:
        """The text with all mends made that need no guessing."""
        asked = await Asked.of(request)
        found = await self.helpers.quick(mend_text, asked.lesson())
        done = [{"line": problem.line, "what": problem.what} for problem in found.done]
        return JSONResponse({"text": found.text, "done": done, "left": len(found.left)})

    async def tidy(self, request: Request) -> Response:
        """The text with aligned columns."""
        asked = await Asked.of(request)
        return JSONResponse({"text": await self.helpers.quick(tidy_text, asked.lesson())})

    async def phrase(self, request: Request) -> Response:
        """One phrase up close."""
        asked = await Asked.of(request)
        return JSONResponse(
            await self.helpers.quick(close.close, asked.lesson(), asked.text("name"))
        )

    async def places(self, request: Request) -> Response:
        """Where else a phrase can be played."""
        asked = await Asked.of(request)
        found = await self.helpers.slow(close.places, asked.lesson(), asked.text("name"))
        return JSONResponse({"places": found})

    async def move(self, request: Request) -> Response:
        """A phrase moved."""
        asked = await Asked.of(request)
        to = {
            "key": asked.text("key", ""),
            "pattern": asked.number("pattern", 1, 5),
            "octave": asked.number("octave", -4, 4),
            "tuning": asked.text("tuning", ""),
            "capo": asked.number("capo", 0, 12),
            "chord": asked.text("chord", ""),
        }
        name = asked.text("name")
        return JSONResponse(await self.helpers.slow(close.moved, asked.lesson(), name, to))

    async def finger(self, request: Request) -> Response:
        """A phrase with another finger on one note."""
        asked = await Asked.of(request)
        values = (asked.text("name"), asked.text("note"), asked.text("finger"))
        return JSONResponse(await self.helpers.quick(close.with_finger, asked.lesson(), *values))

    async def strings(self, request: Request) -> Response:
        """On which other strings a note could be played."""
        asked = await Asked.of(request)
        values = (asked.text("name"), asked.text("note"))
        found = await self.helpers.slow(close.strings, asked.lesson(), *values)
        return JSONResponse({"strings": found})

    async def way_out(self, request: Request) -> Response:
        """A phrase after one of the ways out of what is too hard."""
        asked = await Asked.of(request)
        numbers = (asked.must_number("trouble", 0, 999), asked.must_number("way", 0, 999))
        return JSONResponse(
            await self.helpers.quick(close.with_mend, asked.lesson(), asked.text("name"), *numbers)
        )

    async def sound(self, request: Request) -> Response:
        """What the player needs to play a phrase."""
        asked = await Asked.of(request)
        made = await self.helpers.slow(close.sound, asked.lesson(), asked.text("name"))
        sounds = {kind: b64encode(data).decode() for kind, data in made["sounds"].items()}
        return JSONResponse({"data": made["data"], "sounds": sounds})

    async def build(self, request: Request) -> Response:
        """Begin to build the pack of a saved lesson."""
        asked = await Asked.of(request)
        name, keys = asked.text("name"), asked.texts("keys", most=12)
        kinds = asked.texts("audio", most=4)
        build = await run_in_threadpool(self.builds.begin, name, keys, kinds)
        return JSONResponse(build.said, 202)

    async def built(self, request: Request) -> Response:
        """How far a build is."""
        return JSONResponse(self.builds.get(request.path_params["id"]).said)

    async def stop(self, request: Request) -> Response:
        """Stop a build."""
        return JSONResponse(self.builds.stop(request.path_params["id"]).said)


def _by(**answers: Answer) -> Answer:
    """One address, another answer for each method."""

    async def chosen(request: Request) -> Response:
        method = "GET" if request.method == "HEAD" else request.method
        return await answers[method](request)

    return chosen


def _lesson(saved: Saved, status: int = 200) -> Response:
    said = {"name": saved.name, "text": saved.text, "version": saved.version,
            "changed": saved.changed}  # fmt: skip
    return JSONResponse(said, status, headers={"etag": f'"{saved.version}"'})


def _web(name: str) -> Response:
    file = resources.files("lickwright.desk") / "web" / name
    try:
        text = file.read_text(encoding="utf-8")
    except FileNotFoundError:
        raise NotInstalledError(name) from None
    return Response(text, media_type=KINDS[Path(name).suffix])


async def _said(_: Request, error: Exception) -> Response:
    assert isinstance(error, DeskError | TooMuchError)
    mend = getattr(error, "mend", "")
    headers = {"connection": "close"} if isinstance(error, TooMuchError) else None
    return JSONResponse({"what": str(error), "mend": mend}, error.status, headers=headers)


async def _lacking(_: Request, error: Exception) -> Response:
    return JSONResponse({"what": str(error), "mend": "stop the desk first"}, 500)


async def _http(_: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    words = {404: "there is nothing at this address", 405: "this address does not take that"}
    said = {"what": words.get(error.status_code, str(error.detail)), "mend": ""}
    return JSONResponse(said, error.status_code, headers=error.headers)


async def _wrong(_: Request, error: Exception) -> Response:
    what = f"something is wrong in Lickwright itself ({type(error).__name__}); nothing was changed"
    return JSONResponse({"what": what, "mend": "try again; your text is safe"}, 500)
