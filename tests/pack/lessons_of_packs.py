"""Lessons for the tests of the pack."""

from __future__ import annotations

from pathlib import Path

from lickwright.lesson import read_lesson
from lickwright.pack import AudioFormat, AudioWish, Built, build_pack

SILENT = AudioWish(())
MP3 = AudioWish((AudioFormat.MP3,))
TWO_TURNS = """---
title: Two turns
---
Play *slowly*. <script>alert(1)</script>

```lick up
key: A
G     |5b7-7|
count |1   3|
```

```lick down
key: A
G     |7-5|
count |1 2|
```

```stage evenings
phrases: up, down
start: 60
goal: 71
step: 6
done: three in a row
```

```solo whole
key: A
form: twelve-bar
bar 1: up
bar 5: up on D7
```

```band backing
key: A
form: quick-change
tempo: 300
choruses: 1
```
"""


# Quick to make and to play: one bar in two, at the fastest tempo there is.
QUICK_TURN = """---
title: Quick turns
author: An invented teacher
tempo: 400
meter: 2/4
---
```lick turn
key: A
G     |5b7-7|
count |1   2|
```

```stage evenings
phrases: turn
start: 300
goal: 400
step: 100
```

```solo whole
key: A
chords: A7 | D7 | A7
bar 1: turn
bar 3: turn
```

```band backing
key: A
chords: A7 | D7
choruses: 1
```
"""


def build(text: str, folder: Path, name: str = "two-turns", wish: AudioWish = SILENT) -> Built:
    return build_pack(read_lesson(text).lesson, folder, name, lambda *_: None, wish)


def contents(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }
