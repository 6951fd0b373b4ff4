"""What is there to hear of a lesson, and where does it stand?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from lickwright.pack.page import data_address
from lickwright.pack.player import player
from lickwright.pack.tracks import TrackKind
from lickwright.phrase import Phrase
from lickwright.sound import AudioFormat

Track = Mapping[str, Any]  # as the manifest says it
_FOR_PAGE = (TrackKind.PAGE_LEAD.value, TrackKind.PAGE_BAND.value)


def to_hear(phrase: Phrase, tracks: Sequence[Track], files: Mapping[str, bytes]) -> dict[str, Any]:
    """What the page plays of a phrase (`player`), all its files by name (`tracks`).

    `audio` says on paper which they are.
    """
    own = [
        track
        for track in tracks
        if track["phrase"] == phrase.name and track["kind"] not in _FOR_PAGE
    ]
    return {
        "player": player(phrase, tracks, files),
        "tracks": [_file(track, own_label(track)) for track in own],
        "audio": numbered(phrase.name, own),
    }


def to_play_over(
    kind: TrackKind, name: str, tracks: Sequence[Track], files: Mapping[str, bytes]
) -> list[dict[str, Any]]:
    """The tracks of one kind whose file begins with a block's name, ready to play."""
    own = [t for t in tracks if t["kind"] == kind.value and _stem(t).startswith(name)]
    return [_sound(track, files) | _file(track, track["title"]) for track in own]


def lesson_files(tracks: Sequence[Track]) -> list[dict[str, Any]]:
    """The tracks that belong to the whole lesson and stand in no block: chords and tunings."""
    kinds = (TrackKind.CHORD.value, TrackKind.TUNING.value)
    return [_file(track, track["title"]) for track in tracks if track["kind"] in kinds]


def numbered(name: str, own: Sequence[Track]) -> str:
    """The audio of a phrase for paper, with the numbers that its files have."""
    heard = [own_label(track).replace(", ", " ") for track in own]
    rows = " · ".join(f"{n} {label[:1].lower()}{label[1:]}" for n, label in enumerate(heard, 1))
    return f"Audio {name}: {rows}" if rows else ""


def own_label(track: Track) -> str:
    """What a track of a phrase is called beside the phrase: `Slow, 50`."""
    tempos = " to ".join(f"{tempo:g}" for tempo in dict.fromkeys(_ends(track["tempos"])))
    if track["kind"] == TrackKind.BEND.value:
        return str(track["title"]).rpartition(", bend")[2].join(("Bend", "")).replace(",", ":")
    words = {TrackKind.ECHO.value: "Listen and answer", TrackKind.LADDER.value: "Slow to fast"}
    word = words.get(track["kind"], track["kind"].capitalize())
    return f"{word}, {tempos}" if tempos else word


def _ends(tempos: Sequence[float]) -> Sequence[float]:
    return (tempos[0], tempos[-1]) if tempos else ()


def _stem(track: Track) -> str:
    return str(track["files"][0]).rpartition("/")[2]


def _file(track: Track, label: str) -> dict[str, Any]:
    return {"label": label, "file": _usual(track)}


def _usual(track: Track) -> str:
    """The file that is played: the MP3 if there is one."""
    found: list[str] = track["files"]
    return next((path for path in found if path.endswith(f".{AudioFormat.MP3.value}")), found[0])


def _sound(track: Track, files: Mapping[str, bytes]) -> dict[str, Any]:
    path = _usual(track)
    kind = AudioFormat(path.rpartition(".")[2])
    return {"label": own_label(track), "data": data_address(kind.media_type, files[path])}
