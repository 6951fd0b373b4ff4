"""Can a lesson with mistakes be mended by following the messages alone?"""

from __future__ import annotations

from pathlib import Path

from click.testing import CliRunner

from lickwright.cli import main

MISTAKES = """---
titel: My Monday group
key: G
tempo: 900
chords: G7
---
Hello all.

```lick monday-one
B     |---3--6--3----|
G     |5b7--------5~-|
count |1  &  2  & 3  |
```

```lick monday-two
feel: shufle
G     |5h3-5p3-0-|
D     |--------5-|
count |1   2   3 |
```

```lick monday-two
G     |5b4---|
count |1  5  |
```
"""


def run(*words: str) -> tuple[int, str]:
    result = CliRunner().invoke(main, list(words))
    return result.exit_code, result.output


def mends(output: str) -> list[str]:
    return [line.split("mend: ")[1] for line in output.splitlines() if "mend: " in line]


def test_following_the_messages_mends_the_lesson(tmp_path: Path) -> None:
    file = tmp_path / "monday.md"
    file.write_text(MISTAKES)
    code, said = run("check", str(file))
    assert code == 1
    assert "7 problems" in said
    assert run("check", str(file), "--mend")[0] == 1
    code, said = run("check", str(file))
    assert mends(said) == [
        "tempo: 120",
        "5p3",
        "5b7 to sound like fret 7; 5pb7r5 if it starts bent",
        "start a new bar before it, or set meter: 5/4",
    ]
    text = file.read_text()
    for wrong, right in (
        ("tempo: 900", "tempo: 120"),
        ("|5h3-", "|5p3-"),
        ("|5b4---|", "|5b7|---|"),
        ("|1  5  |", "|1  |1  |"),
    ):
        assert wrong in text
        text = text.replace(wrong, right)
    file.write_text(text)
    assert run("check", str(file)) == (0, f"{file}: all is well, 3 phrases.\n")
