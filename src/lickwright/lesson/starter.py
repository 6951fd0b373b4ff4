"""With what does a new lesson begin?"""

from __future__ import annotations


def starter(title: str) -> str:
    """The text with which a new lesson begins: one small phrase, ready to be changed."""
    safe = " ".join(title.split())
    return f"""---
title: {safe}
key: A minor
tempo: 80
---
Write here what you would say to your pupil.

```lick first-answer
chord |Am7                          |
e     |-----------------------------|
B     |5---8---5--------------------|
G     |------------7b9-----7---5----|
D     |----------------------------7|
count |1   &   2   &       3   &   4|
```
"""
