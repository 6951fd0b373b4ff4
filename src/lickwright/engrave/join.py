"""How do the systems become one picture, and each system one of its own?"""

from __future__ import annotations

import re
from collections.abc import Iterable

from lickwright.engrave.glyphs import glyph_outline
from lickwright.engrave.ink import IDS, clean, num


def safe_id(text: str) -> str:
    """A text as the beginning of an XML id: letters, digits and hyphens only."""
    kept = re.sub(r"[^A-Za-z0-9]+", "-", text).strip("-") or "x"
    return kept if kept[0].isalpha() else f"x{kept}"


def picture(
    body: str, glyphs: Iterable[str], size: tuple[float, float], prefix: str, said: tuple[str, str]
) -> str:
    """One SVG document.

    `size`: its width and height in sp, the unit of its viewBox; `said`: its title and, in words,
    what it shows.
    """
    title, description = said
    ids = f"{prefix}-"
    defs = "".join(
        f'<path id="{ids}{code}" transform="scale(1,-1)" d="{glyph_outline(code)}"/>'
        for code in sorted(glyphs)
    )
    width, height = num(size[0]), num(size[1])
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" role="img" '
        f'aria-labelledby="{ids}title {ids}desc" fill="currentColor" stroke="none">'
        f'<title id="{ids}title">{clean(title)}</title>'
        f'<desc id="{ids}desc">{clean(description)}</desc>'
        f"<defs>{defs}</defs>{body.replace(IDS, ids)}</svg>"
    )
