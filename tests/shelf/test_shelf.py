"""Is what is kept of a pupil kept whole, given out whole, and forgotten without a trace?"""

from __future__ import annotations

import signal
import sqlite3
import subprocess
import sys
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from lickwright.hear.table import Summary
from lickwright.shelf import Shelf, ShelfError, open_shelf, progress_plot
from lickwright.shelf.shelf import FILE

DAY = datetime(2026, 3, 2, 19, 0, tzinfo=UTC)


def summary(**more) -> Summary:
    usual = {
        "phrase": "late-tram", "doubt": "none", "tempo": 72, "tuning": -4, "notes": 12,
        "right": 11, "wrong": 1, "missed": 0, "unknown": 0, "added": 0, "bends": 2,
        "bends_in_tune": 1, "bend_cents": (-41, 3), "timed": 12, "together": 9,
    }  # fmt: skip
    return Summary(**usual | more)


def keep(shelf: Shelf, pupil: str, week: int = 0, **more) -> None:
    at = DAY + timedelta(weeks=week)
    shelf.keep(pupil, "thursday", f"take {week}.wav", ("Say it.",), summary(**more), at)


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    return open_shelf(tmp_path)


def test_takes_come_back_as_they_were_kept(shelf: Shelf, tmp_path: Path) -> None:
    for week in range(3):
        keep(shelf, "Robin Ö.", week, tempo=70 + week)
    keep(shelf, "Kim")
    takes = open_shelf(tmp_path).takes("  Robin   Ö. ")
    assert [take.summary.tempo for take in takes] == [70, 71, 72]
    assert takes[0].summary == summary(tempo=70)
    assert takes[0].at == "2026-03-02T19:00:00+00:00"
    assert [(name, count) for name, count, _ in shelf.pupils()] == [("Kim", 1), ("Robin Ö.", 3)]


def test_all_of_one_pupil_is_given_out_and_nothing_of_another(shelf: Shelf) -> None:
    keep(shelf, "Robin")
    keep(shelf, "Kim")
    given_out = shelf.export("Robin")
    assert given_out["pupil"] == "Robin"
    assert len(given_out["takes"]) == 1
    assert given_out["takes"][0]["summary"]["bend_cents"] == (-41, 3)
    assert "Kim" not in str(given_out)


def test_what_is_forgotten_is_gone_from_the_files_themselves(shelf: Shelf, tmp_path: Path) -> None:
    name = "Quentin-Unmistakable"
    for week in range(40):
        keep(shelf, name, week)
        keep(shelf, "Kim", week)
    everything = b"".join(path.read_bytes() for path in tmp_path.iterdir())
    assert name.encode() in everything
    assert shelf.forget(name) == 40
    everything = b"".join(path.read_bytes() for path in tmp_path.iterdir())
    assert name.encode() not in everything
    assert len(shelf.takes("Kim")) == 40
    with pytest.raises(ShelfError, match="nothing is kept"):
        shelf.forget(name)
    with pytest.raises(ShelfError, match="Kim"):
        shelf.export(name)


@given(name=st.text(max_size=120))
def test_any_name_is_kept_or_refused_in_plain_words(
    tmp_path_factory: pytest.TempPathFactory, name: str
) -> None:
    shelf = open_shelf(tmp_path_factory.getbasetemp())
    plain = " ".join(name.split())
    if 0 < len(plain) <= 100 and plain.isprintable():
        keep(shelf, name)
        assert shelf.takes(name)
    else:
        with pytest.raises(ShelfError, match="1 to 100 letters"):
            keep(shelf, name)


def test_a_name_is_never_taken_for_a_command(shelf: Shelf) -> None:
    keep(shelf, "Kim")
    keep(shelf, "x'; DROP TABLE take; --")
    assert len(shelf.pupils()) == 2


BROKEN = [b"not a database at all" * 100, b"SQLite format 3\0" + b"x" * 500]


@pytest.mark.parametrize("content", BROKEN)
def test_a_broken_file_is_said_and_left_alone(tmp_path: Path, content: bytes) -> None:
    (tmp_path / FILE).write_bytes(content)
    with pytest.raises(ShelfError, match="nothing was changed"):
        open_shelf(tmp_path)
    assert (tmp_path / FILE).read_bytes() == content


def test_a_foreign_or_newer_database_is_left_alone(tmp_path: Path) -> None:
    base = sqlite3.connect(tmp_path / FILE)
    base.execute("CREATE TABLE recipes (x)")
    base.commit()
    base.close()
    with pytest.raises(ShelfError, match="another program"):
        open_shelf(tmp_path)
    (tmp_path / FILE).unlink()
    open_shelf(tmp_path)
    base = sqlite3.connect(tmp_path / FILE)
    base.execute("PRAGMA user_version = 99")
    base.close()
    with pytest.raises(ShelfError, match="newer"):
        open_shelf(tmp_path)


KEEPING = """
import sys
from pathlib import Path
sys.path.insert(0, sys.argv[2])
from test_shelf import keep
from lickwright.shelf import open_shelf
shelf = open_shelf(Path(sys.argv[1]))
number = 0
while True:
    number += 1
    keep(shelf, "Robin", number)
    print(number, flush=True)
"""


def test_a_kill_in_the_middle_of_keeping_leaves_a_whole_file(tmp_path: Path) -> None:
    # Source of the check: SQLite's own PRAGMA integrity_check.
    open_shelf(tmp_path)
    confirmed = 0
    for crash in range(6):
        words = [sys.executable, "-c", KEEPING, str(tmp_path), str(Path(__file__).parent)]
        with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as process:
            assert process.stdout is not None
            process.stdout.readline()
            time.sleep(0.05 + 0.03 * crash)
            process.send_signal(signal.SIGKILL)
            confirmed += 1 + len(process.stdout.readlines())
        base = sqlite3.connect(tmp_path / FILE)
        assert base.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        base.close()
    kept = len(open_shelf(tmp_path).takes("Robin"))
    assert confirmed <= kept <= confirmed + 6


def test_progress_is_drawn_for_each_phrase(shelf: Shelf) -> None:
    for week in range(5):
        keep(shelf, "Robin <b>", week, tempo=60 + 6 * week, bend_cents=(-50 + 10 * week,))
    keep(shelf, "Robin <b>", 6, phrase="lantern", bend_cents=())
    keep(shelf, "Robin <b>", 7, doubt="not this phrase", phrase="other")
    drawn = etree.fromstring(progress_plot("Robin <b>", shelf.takes("Robin <b>")).encode())
    assert len(list(drawn.iter("{*}circle"))) == 6
    assert len(list(drawn.iter("{*}rect"))) == 5
    words = drawn.find("{*}desc").text
    assert "thursday: late-tram: 5 takes, from 60 to 84 beats a minute" in words
    assert "other" not in words
    heights = [float(dot.get("cy")) for dot in list(drawn.iter("{*}circle"))[:5]]
    assert heights == sorted(heights, reverse=True), "faster is higher"
    assert etree.fromstring(progress_plot("Nobody", []).encode()) is not None
