"""If the power goes in the middle of a save or a build, is every lesson whole?"""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import httpx
import pytest
from served import LESSON, free_port, start

KILLS = 12  # of whole servers; the saves between them are many hundreds


@pytest.mark.xdist_group("kill")
def test_a_server_that_is_killed_in_the_middle_of_saves_and_builds(tmp_path: Path) -> None:
    rng = random.Random(7)
    (tmp_path / "evening.md").write_text(LESSON, encoding="utf-8")
    (tmp_path / "other.md").write_text(LESSON, encoding="utf-8")
    port = free_port()
    told: list[str] = [LESSON]  # what the server said to be saved, or may have been saving
    for _ in range(KILLS):
        desk = start(tmp_path, port)
        httpx.post(f"{desk.address}/api/builds", json={"name": "other", "audio": []})
        stop = threading.Event()
        writer = threading.Thread(target=_write, args=(desk.address, told, stop))
        writer.start()
        time.sleep(rng.uniform(0.05, 0.9))
        desk.kill()
        stop.set()
        writer.join()
        text = (tmp_path / "evening.md").read_text(encoding="utf-8")
        sent, confirmed = _last(told)
        assert text in (sent, confirmed), "what was confirmed is there, or what came right after"
        told[:] = [text]
        assert (tmp_path / "other.md").read_text(encoding="utf-8") == LESSON
        for kept in (tmp_path / ".lickwright").rglob("*.md"):
            assert kept.read_text(encoding="utf-8").startswith("---\ntitle: Evening turns")
        pack = tmp_path / "other-pack"
        if pack.exists():
            assert (pack / "handout.pdf").read_bytes().startswith(b"%PDF")
            assert (pack / "pack.json").exists()
    assert sum(1 for _ in tmp_path.glob("*.md")) == 2


@pytest.mark.xdist_group("kill")
@pytest.mark.parametrize("how", [signal.SIGTERM, signal.SIGINT, signal.SIGKILL])
def test_nothing_is_left_running_when_the_server_ends(tmp_path: Path, how: signal.Signals) -> None:
    (tmp_path / "evening.md").write_text(LESSON, encoding="utf-8")
    desk = start(tmp_path)
    httpx.post(f"{desk.address}/api/read", json={"text": LESSON}, timeout=60)
    begun = _children(desk.process.pid)
    assert begun, "something is done in a process of its own"
    desk.process.send_signal(how)
    desk.process.wait(timeout=20)
    until = time.monotonic() + 20
    while time.monotonic() < until and any(map(_runs, begun)):
        time.sleep(0.05)
    left = [pid for pid in begun if _runs(pid)]
    for pid in left:
        os.kill(pid, signal.SIGKILL)
    assert left == []


def _children(pid: int) -> list[int]:
    command = ["ps", "-o", "pid=", "--ppid", str(pid)]
    listed = subprocess.run(command, capture_output=True, text=True, check=False)
    return [int(each) for each in listed.stdout.split()]


def _runs(pid: int) -> bool:
    """True unless it has ended (one whose parent has not noticed yet has)."""
    try:
        return ") Z " not in Path(f"/proc/{pid}/stat").read_text()
    except (FileNotFoundError, ProcessLookupError):
        return False


CRASHES = 400
SAVING = """
import os, random, signal, sys, time
from pathlib import Path
from lickwright.desk.folder import LessonFolder
root, crashes = Path(sys.argv[1]), int(sys.argv[2])
rng = random.Random(3)
folder = LessonFolder(root)
folder.new("turns", "0" * 60000)
whole = 0
for crash in range(crashes):
    child = os.fork()
    if child == 0:
        version = folder.read("turns").version
        for number in range(10**6):
            text = str(number % 10) * 60000
            version = folder.save("turns", text, version).version
    time.sleep(rng.uniform(0.001, 0.02))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    text = folder.read("turns").text
    assert len(text) == 60000 and len(set(text)) == 1, (crash, len(text))
    for kept in folder.earlier("turns"):
        old = folder.earlier_text("turns", kept.id)
        assert len(old) == 60000 and len(set(old)) == 1, crash
    whole += 1
print(whole)
"""


def test_a_save_that_is_killed_at_any_moment_leaves_a_whole_lesson(tmp_path: Path) -> None:
    words = [sys.executable, "-c", SAVING, str(tmp_path), str(CRASHES)]
    done = subprocess.run(words, capture_output=True, text=True, check=False, timeout=120)
    assert done.stdout.strip() == str(CRASHES), done.stderr
    assert [path.name for path in tmp_path.glob("*.md")] == ["turns.md"]


def _write(address: str, told: list[str], stop: threading.Event) -> None:
    """Save as fast as it goes; each text is noted before it is sent, and again when confirmed."""
    try:
        with httpx.Client(base_url=address, timeout=10) as client:
            version = client.get("/api/lessons/evening").json()["version"]
            number = 0
            while not stop.is_set():
                number += 1
                text = LESSON.replace("Say it slowly.", f"Say it {number} times. " * 400)
                told.append(text)
                body = {"text": text, "version": version}
                version = client.put("/api/lessons/evening", json=body).json()["version"]
                told.append(text)
    except (httpx.TransportError, KeyError, ValueError):
        return


def _last(told: list[str]) -> tuple[str, str]:
    """The text sent last, and the one confirmed last."""
    sent = told[-1]
    return sent, sent if len(told) % 2 else told[-2]
