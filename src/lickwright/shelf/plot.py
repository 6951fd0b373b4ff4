"""How does a pupil come along over the weeks? A plot, one panel a phrase."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from html import escape
from statistics import median

from lickwright.hear.table import is_phrase
from lickwright.shelf.shelf import KeptTake

WIDTH, PANEL = 720.0, 190.0  # pixels
LEFT, RIGHT, TOP, BOTTOM = 58.0, 58.0, 46.0, 34.0
TEXT = 13
_ACCENT = "#b5461b"
_SANS = 'font-family="Lickwright Sans, sans-serif"'


def progress_plot(pupil: str, takes: Sequence[KeptTake]) -> str:
    """SVG: for each phrase the tempo of its takes, and how far its bends were from their pitch.

    Tempo (beats a minute) as dots on a line, left scale; median distance of the bends (cents) as
    squares on a dashed line, right scale, 0 at the top.
    """
    phrases: dict[str, list[KeptTake]] = {}
    for take in takes:
        if is_phrase(take.summary) and take.summary.tempo:
            phrases.setdefault(f"{take.lesson}: {take.phrase}", []).append(take)
    parts = [
        _panel(name, own, index * PANEL + 40) for index, (name, own) in enumerate(phrases.items())
    ]
    height = 40 + PANEL * max(1, len(phrases))
    if not phrases:
        parts = [_text(LEFT, 80, "No take that could be judged is kept yet.")]
    words = "; ".join(f"{name}: {_said(own)}" for name, own in phrases.items()) or "no takes"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:g} {height:g}" '
        f'width="{WIDTH:g}" height="{height:g}" role="img" {_SANS} fill="currentColor" '
        f'aria-labelledby="progress-title progress-desc">'
        f'<title id="progress-title">{escape(pupil)} over the weeks</title>'
        f'<desc id="progress-desc">{escape(words)}</desc>'
        f"{_text(LEFT, 24, pupil, size=18, weight=600)}{''.join(parts)}</svg>"
    )


def _said(takes: Sequence[KeptTake]) -> str:
    first, last = takes[0].summary, takes[-1].summary
    return f"{len(takes)} takes, from {first.tempo} to {last.tempo} beats a minute"


def _panel(name: str, takes: Sequence[KeptTake], top: float) -> str:
    times = [datetime.fromisoformat(take.at).timestamp() for take in takes]
    tempos = [float(take.summary.tempo) for take in takes]
    low, high = min(tempos) // 10 * 10 - 10, max(tempos) // 10 * 10 + 10
    bottom, upper = top + PANEL - BOTTOM, top + TOP
    first, span = times[0], max(times[-1] - times[0], 1.0)

    def x(at: float) -> float:
        inner = WIDTH - LEFT - RIGHT
        return LEFT + inner * (0.5 if len(times) == 1 else (at - first) / span)

    def y(share: float) -> float:
        return bottom - share * (bottom - upper)

    parts = [_text(LEFT, top + 20, name, weight=600)]
    for value in (low, high):
        at = y((value - low) / (high - low))
        parts.append(_line(LEFT, at, WIDTH - RIGHT, at))
        parts.append(_text(LEFT - 8, at + 4, f"{value:g}", "end"))
    parts.append(_text(LEFT - 8, upper - 12, "tempo", "end"))
    shares = [(tempo - low) / (high - low) for tempo in tempos]
    dots = [(x(at), y(share)) for at, share in zip(times, shares, strict=True)]
    parts.append(_path(dots, 'stroke="currentColor" stroke-width="1.6"'))
    parts += [f'<circle cx="{dx:.1f}" cy="{dy:.1f}" r="4"/>' for dx, dy in dots]
    parts += _bends(takes, [x(at) for at in times], y)
    for at, take in {times[0]: takes[0], times[-1]: takes[-1]}.items():
        day = datetime.fromisoformat(take.at).strftime("%d %b %Y").lstrip("0")
        parts.append(_text(x(at), bottom + 20, day, "middle" if len(times) == 1 else
                           ("start" if at == times[0] else "end")))  # fmt: skip
    return "".join(parts)


def _bends(
    takes: Sequence[KeptTake], xs: Sequence[float], y: Callable[[float], float]
) -> list[str]:
    found = [
        (at, median(abs(cents) for cents in take.summary.bend_cents))
        for at, take in zip(xs, takes, strict=True)
        if take.summary.bend_cents
    ]
    if not found:
        return []
    most = max(50.0, *(value for _, value in found))
    spots = [(at, y(1 - value / most)) for at, value in found]
    parts = [_path(spots, f'stroke="{_ACCENT}" stroke-width="1.6" stroke-dasharray="5 4"')]
    parts += [
        f'<rect x="{sx - 3.6:.1f}" y="{sy - 3.6:.1f}" width="7.2" height="7.2" fill="{_ACCENT}"/>'
        for sx, sy in spots
    ]
    parts += [
        _text(WIDTH - RIGHT + 8, y(1) + 4, "0", accent=True),
        _text(WIDTH - RIGHT + 8, y(0) + 4, f"{most:.0f}", accent=True),
        _text(WIDTH - RIGHT + 8, y(1) - 12, "cents off", accent=True, anchor="start"),
    ]
    return parts


def _path(points: Sequence[tuple[float, float]], how: str) -> str:
    way = "L".join(f"{px:.1f} {py:.1f}" for px, py in points)
    return f'<path d="M{way}" fill="none" {how}/>' if len(points) > 1 else ""


def _line(x: float, y: float, to_x: float, to_y: float) -> str:
    return (f'<path d="M{x:.1f} {y:.1f}L{to_x:.1f} {to_y:.1f}" stroke="currentColor" '
            'opacity=".25"/>')  # fmt: skip


def _text(
    x: float, y: float, words: str, anchor: str = "start", *, size: int = TEXT, weight: int = 400,
    accent: bool = False,
) -> str:  # fmt: skip
    extra = f' font-weight="{weight}"' if weight != 400 else ""
    extra += f' fill="{_ACCENT}"' if accent else ""
    extra += f' text-anchor="{anchor}"' if anchor != "start" else ""
    return f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size}"{extra}>{escape(words)}</text>'
