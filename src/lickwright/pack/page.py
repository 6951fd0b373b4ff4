"""How is the lesson shown in a browser? One file that asks nothing of any network."""

from __future__ import annotations

from base64 import b64encode
from functools import cache
from importlib import resources
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined

from lickwright.engrave import font_bytes
from lickwright.engrave.faces import Cut
from lickwright.installed import NotInstalledError

_ON_PAGE = (Cut.SANS, Cut.SANS_SEMIBOLD, Cut.SANS_ITALIC, Cut.SERIF, Cut.SERIF_ITALIC)


def make_page(data: dict[str, Any]) -> bytes:
    """Fill the page's template; everything in `data` but its `html` and pictures is escaped."""
    template = _environment().get_template("lesson.html.j2")
    return template.render(**data, css=page_style(), js=web_file("page.js")).encode()


def part_html(part: dict[str, Any]) -> str:
    """One part of a lesson as it stands on the page."""
    module: Any = _environment().get_template("parts.html.j2").module
    return str(module.show(part))


def page_style() -> str:
    """The page's style sheet with its fonts."""
    return _faces() + web_file("page.css")


def web_file(name: str) -> str:
    """A file that was bundled for the page when the package was built.

    Raises NotInstalledError if it was not.
    """
    try:
        return (resources.files("lickwright.pack") / "web" / name).read_text(encoding="utf-8")
    except FileNotFoundError:
        raise NotInstalledError(name) from None


@cache
def _environment() -> Environment:
    loader = PackageLoader("lickwright.pack", "templates")
    return Environment(autoescape=True, undefined=StrictUndefined, loader=loader, trim_blocks=True)


def data_address(media_type: str, data: bytes) -> str:
    """Bytes as an address that holds them."""
    return f"data:{media_type};base64,{b64encode(data).decode()}"


def _faces() -> str:
    return "".join(
        f'@font-face{{font-family:"{cut.value.family}";font-weight:{cut.value.weight};'
        f"font-style:{'italic' if cut.value.italic else 'normal'};"
        f"src:url({data_address('font/woff2', font_bytes(cut, 'woff2'))})}}"
        for cut in _ON_PAGE
    )
