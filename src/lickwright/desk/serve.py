"""How is the desk opened on the teacher's own machine?"""

from __future__ import annotations

import socket
import threading
import webbrowser
from collections.abc import Callable
from pathlib import Path

from lickwright.desk.folder import LessonFolder
from lickwright.desk.trouble import DeskError

USUAL_PORT = 8423
_MORE_PORTS = 20


def serve(folder: Path, port: int | None, browser: bool, say: Callable[[str], None]) -> None:
    """Serve the lessons of a folder at an address of this machine until it is stopped.

    `port`: None for the usual one, or the next that is free. Raises DeskError.
    """
    import uvicorn  # noqa: PLC0415 - slow

    from lickwright.desk.app import desk_app  # noqa: PLC0415 - slow

    lessons = LessonFolder(folder)
    lessons.sweep()
    listening = _listening(port)
    own = listening.getsockname()[1]
    address = f"http://127.0.0.1:{own}/"
    config = uvicorn.Config(
        desk_app(lessons, own),
        log_level="warning",
        server_header=False,
        proxy_headers=False,
        limit_concurrency=200,
        timeout_keep_alive=20,
        timeout_graceful_shutdown=3,
        h11_max_incomplete_event_size=64 << 10,
        ws="none",
    )
    say(f"The desk for {lessons.root} is open at {address}")
    say("It answers only on this machine. Stop it with Ctrl-C.")
    if browser:
        threading.Timer(0.6, webbrowser.open, (address,)).start()
    try:
        uvicorn.Server(config).run(sockets=[listening])
    finally:
        listening.close()


def _listening(port: int | None) -> socket.socket:
    """A socket of this machine only."""
    wanted = [port] if port is not None else range(USUAL_PORT, USUAL_PORT + _MORE_PORTS)
    for number in wanted:
        made = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            made.bind(("127.0.0.1", number))
        except OSError:
            made.close()
            continue
        made.listen(128)
        return made
    raise DeskError(
        503,
        f"port {port} is in use" if port is not None else "no port is free",
        "stop what uses it, or choose another with --port",
    )
