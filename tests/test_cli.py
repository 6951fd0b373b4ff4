"""Does the command say what a teacher needs, with the exit codes that it promises?"""

from __future__ import annotations

import json
from pathlib import Path

from click.testing import CliRunner, Result

from lickwright.cli import main

BROKEN = "```lick a\nG     |7b9-5|\ncount |1     |\n```\n"


def run(*words: str) -> Result:
    return CliRunner().invoke(main, list(words))


def test_a_new_lesson_is_without_problems(tmp_path: Path) -> None:
    file = tmp_path / "mine.md"
    assert run("new", str(file)).exit_code == 0
    assert run("check", str(file)).exit_code == 0
    assert run("tidy", str(file)).exit_code == 0
    assert run("check", str(file)).exit_code == 0
    assert run("new", str(file)).exit_code == 2


def test_problems_have_place_and_mend_and_exit_code_1(tmp_path: Path) -> None:
    file = tmp_path / "broken.md"
    file.write_text(BROKEN)
    found = run("check", str(file))
    assert found.exit_code == 1
    assert f"{file}:" in found.output
    assert "mend:" in found.output
    records = json.loads(run("check", str(file), "--json").output)
    assert all(record["line"] >= 1 and record["mend"] for record in records)


def test_files_that_cannot_be_used_end_with_plain_words(tmp_path: Path) -> None:
    (tmp_path / "binary.md").write_bytes(bytes(range(256)))
    for name in ("", "missing.md", "binary.md"):
        for verb in ("check", "tidy", "explain", "build"):
            result = run(verb, str(tmp_path / name))
            assert result.exit_code == 2, (verb, name, result.output)
            assert "Traceback" not in result.output


def test_explain_gives_reasons_in_words_and_as_json(tmp_path: Path) -> None:
    file = tmp_path / "mine.md"
    run("new", str(file))
    assert "comes home" in run("explain", str(file)).output
    told = json.loads(run("explain", str(file), "--json").output)
    assert told[0]["reasons"][0]["kind"] == "ending"
