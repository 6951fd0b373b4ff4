"""A desk of its own for a test: a real server in a process, over a folder of its own."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import httpx

WAIT = 60.0  # seconds in which a desk must be open

LESSON = """---
title: Evening turns
key: A minor
tempo: 120
---
Say it slowly.

```lick up
chords: Am7
G     |5b7-7|
count |1   3|
```

```lick down
G     |7-5|
count |1 2|
```

```stage evenings
phrases: up, down
start: 60
goal: 72
step: 6
```
"""


@dataclass
class Desk:
    folder: Path
    port: int
    process: subprocess.Popen[bytes]

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def client(self) -> httpx.Client:
        return httpx.Client(base_url=self.address, timeout=60)

    def kill(self) -> None:
        """As if the power went: the server and all that it began."""
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()


def free_port() -> int:
    with socket.socket() as made:
        made.bind(("127.0.0.1", 0))
        return made.getsockname()[1]


def start(folder: Path, port: int | None = None) -> Desk:
    port = port or free_port()
    words = [sys.executable, "-m", "lickwright", "desk", str(folder), "--port", str(port)]
    process = subprocess.Popen(
        [*words, "--no-browser"], start_new_session=True, stdout=subprocess.DEVNULL
    )
    desk = Desk(folder, port, process)
    until = time.monotonic() + WAIT
    while time.monotonic() < until:
        try:
            httpx.get(f"{desk.address}/api/words", timeout=2)
        except httpx.TransportError:
            assert process.poll() is None, "the desk ended"
            time.sleep(0.05)
        else:
            return desk
    raise AssertionError("the desk does not answer")


@contextmanager
def served(folder: Path) -> Iterator[Desk]:
    desk = start(folder)
    try:
        yield desk
    finally:
        desk.kill()
