"""How is the lesson shown in a browser? One file that asks nothing of any network."""

from __future__ import annotations

from base64 import b64encode
from importlib import resources
from typing import Any

from jinja2 import Environment, StrictUndefined

from lickwright.engrave import font_bytes
from lickwright.engrave.faces import Cut

_ON_PAGE = (Cut.SANS, Cut.SANS_SEMIBOLD, Cut.SANS_ITALIC, Cut.SERIF, Cut.SERIF_ITALIC)


def make_page(data: dict[str, Any]) -> bytes:
    """Fill the page's template; everything in `data` but its `html` and pictures is escaped."""
    environment = Environment(autoescape=True, undefined=StrictUndefined)
    template = environment.from_string(_text("lesson.html.j2"))
    css = _faces() + _text("lesson.css")
    return template.render(**data, css=css, js=_text("lesson.js")).encode()


def data_address(media_type: str, data: bytes) -> str:
    """Bytes as an address that holds them."""
    return f"data:{media_type};base64,{b64encode(data).decode()}"


def _text(name: str) -> str:
    return (resources.files("lickwright.pack") / "templates" / name).read_text(encoding="utf-8")


def _faces() -> str:
    return "".join(
        f'@font-face{{font-family:"{cut.value.family}";font-weight:{cut.value.weight};'
        f"font-style:{'italic' if cut.value.italic else 'normal'};"
        f"src:url({data_address('font/woff2', font_bytes(cut, 'woff2'))})}}"
        for cut in _ON_PAGE
    )
