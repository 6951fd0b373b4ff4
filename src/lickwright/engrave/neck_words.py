"""What does a map of the neck say to those who do not see it?"""

from __future__ import annotations

from lickwright.engrave.neck_layout import string_names
from lickwright.engrave.neck_spec import Bent, NeckSpec, Spot, Tone
from lickwright.lesson import Show

_SAID = {Tone.ROOT: "root", Tone.CHORD: "chord tone", Tone.SCALE: "scale tone"}


def describe_map(spec: NeckSpec) -> str:
    """The map in words: the neck, then string by string, thickest first, every place on it.

    A worksheet tells where its rings are, not what belongs into them.
    """
    parts = [_neck(spec)]
    names = string_names(spec)
    for string in range(len(names), 0, -1):
        found = [spot for spot in spec.spots if spot.place.string == string]
        silent = "not played" if string in spec.silent else ""
        if spec.worksheet and spec.show is Show.BLANK:
            continue
        said = "; ".join(_spot(spec, spot) for spot in found) or silent
        if said:
            parts.append(f"{_string(string, len(names), names[string - 1])}: {said}.")
    bends = [] if spec.worksheet else [_bend(spec, bent) for bent in spec.bends]
    return " ".join(parts + bends)


def _string(string: int, count: int, name: str) -> str:
    end = ", the thickest" if string == count > 1 else ", the thinnest" if string == 1 else ""
    return f"{name} string{end}"


def _neck(spec: NeckSpec) -> str:
    start = "open strings" if spec.low == 0 else f"fret {spec.low}"
    said = f"{spec.title}. A neck from {start} to fret {spec.high}"
    if spec.board.capo:
        said += f", frets counted from the capo at fret {spec.board.capo}"
    if spec.board.left_handed:
        said += ", drawn for the left hand"
    if spec.worksheet and spec.show is Show.BLANK:
        return f"{said}, empty, to draw into."
    if spec.worksheet:
        return f"{said}, with empty rings to write into."
    if spec.barre is not None:
        said += f", first finger across fret {spec.barre.fret}"
    return f"{said}."


def _spot(spec: NeckSpec, spot: Spot) -> str:
    over = "harmonic over fret" if spot.harmonic else "fret"
    where = f"{over} {spot.place.fret}" if spot.place.fret else "open"
    if spec.worksheet:
        return where
    words = dict(spec.legend)
    kind = _SAID.get(spot.tone, words.get(spot.tone, "other tone"))
    degree = "" if spot.tone is Tone.ROOT else f" {spot.degree}"
    said = f"{where}, {spot.name}, {kind}{degree}"
    if spec.show is Show.FINGERS and spot.finger not in ("", "0"):
        said += f", finger {spot.finger}"
    if spot.visits:
        orders = sorted({visit.order for visit in spot.visits})
        said += f", note{'s' if len(orders) > 1 else ''} {', '.join(map(str, orders))}"
    return said


def _bend(spec: NeckSpec, bent: Bent) -> str:
    name = string_names(spec)[bent.place.string - 1]
    goal = f"{bent.name}, {bent.degree}"
    if bent.target is not None:
        goal += f", the pitch of fret {bent.target.fret}"
    return f"{name} string fret {bent.place.fret} is bent up to {goal}."
