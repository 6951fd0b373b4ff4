"""What does verovio make of our MEI? The only module that talks to it."""

from __future__ import annotations

import threading
from typing import Any

from lickwright.engrave.style import Style

PAGE_UNITS = 18  # of pageWidth in one sp
SVG_UNITS = 180  # in one sp of the SVG
HIGHEST_PAGE = 60000
_OWN = threading.local()  # a toolkit works only in the thread that made it

_OPTIONS: dict[str, Any] = {
    "header": "none",
    "footer": "none",
    "pageMarginTop": 0,
    "pageMarginBottom": 0,
    "pageMarginLeft": 0,
    "pageMarginRight": 0,
    "pageHeight": HIGHEST_PAGE,
    "adjustPageHeight": True,
    "unit": 9,
    "scale": 100,
    "font": "Leipzig",
    "svgFormatRaw": True,
    "svgRemoveXlink": True,
    "xmlIdSeed": 1,
    "lyricSize": 2,
    "lyricWordSpace": 0,
    "minLastJustification": 0.75,
    "breaks": "encoded",
}


class EngravingError(RuntimeError):
    """The notation could not be set; a fault of ours, not of the lesson."""


def typeset(mei: str, style: Style, *, width: float) -> str:
    """Set `mei` on lines of `width` sp, broken where it says, and return verovio's SVG."""
    toolkit = _toolkit()
    options = dict(_OPTIONS)
    options["pageWidth"] = min(round(width * PAGE_UNITS), 100_000)
    options["spacingLinear"] = 0.12 if style.narrow else 0.3
    options["spacingNonLinear"] = 0.5 if style.narrow else 0.6
    toolkit.setOptions(options)
    if not toolkit.loadData(mei):
        raise EngravingError("verovio could not read the notation it was sent")
    return str(toolkit.renderToSVG(1))


def _toolkit() -> Any:
    if not hasattr(_OWN, "toolkit"):
        import verovio  # noqa: PLC0415

        from lickwright.engrave.glyphs import verovio_data  # noqa: PLC0415

        verovio.enableLog(verovio.LOG_OFF)
        toolkit = verovio.toolkit(False)
        toolkit.setResourcePath(str(verovio_data()))
        _OWN.toolkit = toolkit
    return _OWN.toolkit
