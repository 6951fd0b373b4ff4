"""What does the page's player of a phrase have to know, for each tempo?"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Mapping, Sequence
from fractions import Fraction
from math import ceil
from typing import Any

from lickwright.band import pickup_beats
from lickwright.pack.tracks import TrackKind
from lickwright.phrase import Clock, Note, Phrase, count_name, perform
from lickwright.sound import Begins

Track = Mapping[str, Any]  # as the manifest says it
BEND_SECONDS = 8.0  # of a bend's target and the bend after it
_DIGITS = 4  # of a second


def player(
    phrase: Phrase, tracks: Sequence[Track], files: Mapping[str, bytes]
) -> dict[str, Any] | None:
    """The player's `data` (see `web/src/player/data.ts`) and its sounds; None without audio."""
    kinds = {track["kind"]: track for track in tracks if track["phrase"] == phrase.name}
    lead, band = kinds.get(TrackKind.PAGE_LEAD.value), kinds.get(TrackKind.PAGE_BAND.value)
    if lead is None:
        return None
    sounds = {"lead": lead, "band": band}
    return {
        "data": {"name": phrase.name} | timing(phrase, lead, band),
        "sounds": {
            name: b64encode(files[track["files"][0]]).decode()
            for name, track in sounds.items()
            if track is not None
        },
    }


def timing(phrase: Phrase, lead: Track, band: Track | None) -> dict[str, Any]:
    """Where everything is in the two sounds, in seconds, and the places that can be begun at."""
    passes = _passes(lead)
    rounds = _passes(band) if band is not None else [None] * len(passes)
    return {
        "rungs": [_rung(phrase, own, over) for own, over in zip(passes, rounds, strict=True)],
        "places": [place for place, _ in _places(phrase)],
        "beats": float(phrase.meter.beats),
        "bends": _bends(phrase, lead),
    }


def _passes(track: Track) -> list[Mapping[str, Any]]:
    return [start for start in track["starts"] if start["begins"] == Begins.PASS.value]


def _rung(phrase: Phrase, own: Mapping[str, Any], over: Mapping[str, Any] | None) -> dict[str, Any]:
    """One tempo. Times in seconds from the 1 of the first full bar, which a pickup precedes."""
    clock = Clock(Fraction(own["tempo"]), phrase.feel, phrase.start)
    first = _seconds(clock, phrase, phrase.start)
    performance = perform(phrase, clock)
    return {
        "tempo": own["tempo"],
        "lead": own["seconds"],
        "band": None if over is None else over["seconds"],
        "first": first,
        "round": round(bars_round(phrase) * float(phrase.meter.beats) * clock.beat_seconds, 6),
        "beat": round(clock.beat_seconds, 6),
        "at": [_seconds(clock, phrase, beat) for _, beat in _places(phrase)],
        "times": [
            [time.note.id, round(first + time.start, _DIGITS), round(first + time.end, _DIGITS)]
            for time in performance.times
        ],
    }


def bars_round(phrase: Phrase) -> int:
    """Full bars from one time that the phrase is played to the next."""
    beats = phrase.bars[-1].start + phrase.meter.beats - pickup_beats(phrase)
    return max(1, ceil(beats / phrase.meter.beats))


def _seconds(clock: Clock, phrase: Phrase, beat: Fraction) -> float:
    """Seconds of a beat from the 1 of the first full bar."""
    return round(clock.seconds(beat) - clock.seconds(Fraction(pickup_beats(phrase))), _DIGITS)


def _places(phrase: Phrase) -> list[tuple[str, Fraction]]:
    """Every place at which something is struck, as `bar: count`, and the end."""
    meter = phrase.meter
    starts: dict[Fraction, Note] = {}
    for note in sorted(phrase.notes, key=lambda note: note.onset):
        starts.setdefault(note.onset, note)
    named = [
        (f"bar {note.bar}, {count_name(beat % meter.beats, meter)}", beat)
        for beat, note in starts.items()
    ]
    return [*named, ("the end", Fraction(pickup_beats(phrase) + bars_round(phrase) * meter.beats))]


def _bends(phrase: Phrase, lead: Track) -> list[dict[str, Any]]:
    """Where the targets of the bends are heard."""
    heard = [start for start in lead["starts"] if start["begins"] == Begins.TARGET.value]
    notes = {note.id: note for note in phrase.notes}
    found = []
    for start, name in zip(heard, lead.get("bends", ()), strict=True):
        note = notes[name]
        assert note.bend is not None
        found.append(
            {
                "note": name,
                "label": f"string {note.string}, {note.fret} to "
                f"{float(note.fret + note.bend.to):g}",
                "at": start["seconds"],
                "seconds": BEND_SECONDS,
            }
        )
    return found
