"""Who may ask the desk for something, and how much may they send?

The desk is for the person at this machine. A web page from elsewhere that is open in the same
browser must neither read nor change anything: every request has to name this very address as its
host (against rebinding of names), and those that a page sends have to come from the desk itself.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

MOST_BYTES = 4 << 20  # of a request; a lesson has at most 1 MiB
MOST_TAKE_BYTES = 64 << 20
SLOWEST_PART = 20.0  # seconds between two parts of a request
SLOWEST = 120.0  # seconds for a whole request
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' "
    "data: blob:; font-src 'self' data:; media-src 'self' data: blob:; connect-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
# A pack's page is shown as it is: it may run its own script, but not as a part of the desk.
PACK_POLICY = "sandbox allow-scripts allow-downloads allow-popups allow-modals"
_SAFE = ("GET", "HEAD")


class Guard:
    """ASGI application around another one."""

    def __init__(self, app: App, port: int) -> None:
        self._app = app
        self._hosts = {f"{name}:{port}" for name in ("127.0.0.1", "localhost", "[::1]")}
        if port == 80:
            self._hosts |= {"127.0.0.1", "localhost", "[::1]"}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or refuse it."""
        if scope["type"] == "websocket":
            await send({"type": "websocket.close", "code": 1008})
            return
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        refused = self._refused(scope)
        if refused is not None:
            await _answer(send, *refused)
            return
        most = MOST_TAKE_BYTES if scope["path"].startswith("/api/takes") else MOST_BYTES
        await self._app(scope, _bounded(receive, most), _secured(scope, send))

    def _refused(self, scope: Scope) -> tuple[int, str] | None:
        headers = _Headers(scope)
        host = headers.one("host")
        if host is None or host.lower() not in self._hosts:
            return 421, "this desk answers only at its own address on this machine"
        origin = headers.one("origin")
        if origin is not None and origin.lower() not in {f"http://{own}" for own in self._hosts}:
            return 403, "a page from elsewhere may not ask the desk"
        site = headers.one("sec-fetch-site")
        opened = scope["method"] in _SAFE and headers.one("sec-fetch-mode") == "navigate"
        if site not in (None, "same-origin", "none") and not opened:
            return 403, "a page from elsewhere may not ask the desk"
        if scope["method"] in ("POST", "PUT", "PATCH") and not self._typed(scope, headers):
            return 415, "send JSON (application/json), or a recording (audio/…)"
        return self._too_long(scope, headers)

    @staticmethod
    def _typed(scope: Scope, headers: _Headers) -> bool:
        """A type that no form of a foreign page can send."""
        kind = (headers.one("content-type") or "").partition(";")[0].strip().lower()
        takes = scope["path"].startswith("/api/takes")
        return kind == "application/json" or (takes and kind.startswith("audio/"))

    @staticmethod
    def _too_long(scope: Scope, headers: _Headers) -> tuple[int, str] | None:
        most = MOST_TAKE_BYTES if scope["path"].startswith("/api/takes") else MOST_BYTES
        length = headers.one("content-length")
        if length is not None and (not length.isdecimal() or int(length) > most):
            return 413, f"that is too much at once; at most {most >> 20} MiB"
        return None


class _Headers:
    """The headers of a request; one that is there twice counts as one that says nonsense."""

    def __init__(self, scope: Scope) -> None:
        self._all: dict[str, str] = {}
        for name, value in scope["headers"]:
            key = name.decode("latin-1").lower()
            self._all[key] = "\0" if key in self._all else value.decode("latin-1")

    def one(self, name: str) -> str | None:
        return self._all.get(name)


class TooMuchError(Exception):
    """A request is longer than it may be, or takes too long. `status`: HTTP status (RFC 9110)."""

    def __init__(self, status: int, what: str) -> None:
        super().__init__(what)
        self.status = status
        self.what = what


def _bounded(receive: Receive, most: int) -> Receive:
    """The body of a request, as far as it is not too long or too slow."""
    state = {"bytes": 0, "until": asyncio.get_running_loop().time() + SLOWEST, "ended": False}

    async def bounded() -> Message:
        if state["ended"]:  # only the end of the connection is waited for
            return await receive()
        left = state["until"] - asyncio.get_running_loop().time()
        try:
            message = await asyncio.wait_for(receive(), max(0.0, min(SLOWEST_PART, left)))
        except TimeoutError:
            raise TooMuchError(408, "the request did not arrive in time") from None
        state["bytes"] += len(message.get("body", b""))
        state["ended"] = not message.get("more_body", False)
        if state["bytes"] > most:
            raise TooMuchError(413, f"that is too much at once; at most {most >> 20} MiB")
        return message

    return bounded


def _secured(scope: Scope, send: Send) -> Send:
    """Adds what tells the browser to be strict."""
    policy = PACK_POLICY if scope["path"].startswith("/packs/") else POLICY
    extra = [
        (b"content-security-policy", policy.encode()),
        (b"x-content-type-options", b"nosniff"),
        (b"referrer-policy", b"no-referrer"),
        (b"cross-origin-resource-policy", b"same-origin"),
        (b"cross-origin-opener-policy", b"same-origin"),
        (b"cache-control", b"no-store"),
    ]

    async def secured(message: Message) -> None:
        if message["type"] == "http.response.start":
            own = {name.lower() for name, _ in message.get("headers", [])}
            added = [(name, value) for name, value in extra if name not in own]
            message["headers"] = [*message.get("headers", []), *added]
        await send(message)

    return secured


async def _answer(send: Send, status: int, what: str) -> None:
    body = json.dumps({"what": what, "mend": ""}).encode()
    headers = [(b"content-type", b"application/json"), (b"content-length", str(len(body)).encode()),
               (b"connection", b"close")]  # fmt: skip
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})
