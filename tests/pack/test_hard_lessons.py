"""Are hard lessons laid out, or is a clear word said? Nothing of them is ever run or cut off."""

from __future__ import annotations

from pathlib import Path

import pymupdf
import pytest
from lessons_of_packs import build
from playwright.sync_api import Browser, Page

from lickwright.lesson import read_lesson
from lickwright.pack import paper, paper_remarks
from lickwright.pack.paper import set_pdf

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("page")]
EVIL = "</title><script>alert(1)</script><img src=x onerror=alert(2)>{{7*7}}${7*7}#panic()"
COUNTS = "".join(f"{n:<3}e  &  a  " for n in range(1, 17))


def lesson(title: str = "Plain", prose: str = "Words.", blocks: str = "", author: str = "A") -> str:
    own = blocks or "```lick turn\nkey: A\nG     |7-5|\ncount |1 2|\n```\n"
    return f"---\ntitle: {title}\nauthor: {author}\n---\n{prose}\n\n{own}"


LESSONS = {
    "scripts": lesson("Ωμέγα урок שיעור درس", "Привет, שלום, مرحبا."),
    "right to left": lesson("\u202eעברית\u202c", "שיעור ערב: שלוש פעמים."),
    "two hundred letters": lesson("Evening " * 25, "Word" * 300),
    "injection": lesson(
        EVIL, f"{EVIL} [x](javascript:alert(3)) `{EVIL}`", author=EVIL,
        blocks=f"```lick turn\ntitle: {EVIL}\nkey: A\nG     |7-5|\ncount |1 2|\n```\n"
        f"```stage\nphrases: turn\nstart: 60\ngoal: 90\nstep: 10\ndone: {EVIL}\n```\n",
    ),
    "sixty-four sixteenths": lesson(
        blocks="```lick turn\nkey: A\nmeter: 16/4\ntempo: 200\n"
        f"G     |{'-'.join(['12'] * 64)}-|\ncount |{COUNTS}|\n```\n"
    ),
    "eight strings": lesson(
        blocks="```lick turn\nkey: E\ntuning: F#1 B1 E2 A2 D3 G3 B3 E4\n"
        + "".join(f"{n}     |10-12-|\n" for n in ("e", "B", "G", "D", "A"))
        + "E     |10-12-|\nB     |10-12-|\nF#    |10-12-|\ncount |1  2  |\n```\n"
    ),
    "sixty phrases": lesson(
        blocks="".join(
            f"```lick turn-{n}\nkey: A\nG     |7-5|\ncount |1 2|\n```\n\n" for n in range(60)
        )
    ),
    "no phrase": lesson(blocks="Only words.\n"),
    "nothing": "",
}  # fmt: skip


# What has to be read on paper, spaces and breaks apart.
READ = {
    "two hundred letters": ["Evening" * 25, "Word" * 300],
    "injection": ["<script>alert(1)</script>", "{{7*7}}${7*7}#panic()"],
    "sixty phrases": [f"Turn{n}" for n in range(60)],
    "eight strings": ["F♯"],
}


@pytest.fixture(scope="module", params=LESSONS)
def pack(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("hard") / "pack"
    assert read_lesson(LESSONS[request.param]).problems == ()
    built = build(LESSONS[request.param], folder)
    assert built.troubles == ()
    assert all("?" in each for each in built.remarks), "a clear word about characters at most"
    return folder


@pytest.mark.parametrize("width", [390, 1280])
def test_the_page_runs_nothing_and_nothing_sticks_out(
    browser: Browser, pack: Path, width: int
) -> None:
    page: Page = browser.new_page(viewport={"width": width, "height": 800})
    wrong: list[str] = []
    page.on("dialog", lambda dialog: wrong.append(dialog.message))
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on("request", lambda r: wrong.append(r.url) if r.url[:5] not in ("file:", "data:") else 0)
    page.goto((pack / "lesson.html").as_uri())
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.locator("img, iframe, object").count() == 0
    assert "49" not in page.title().replace("7*7", "")
    page.close()
    assert wrong == []


@pytest.mark.parametrize("name", ["handout.pdf", "handout-large-print.pdf", "music-stand.pdf"])
def test_nothing_is_cut_off_on_paper(pack: Path, name: str) -> None:
    if not (pack / name).exists():
        assert name == "music-stand.pdf"
        return
    document = pymupdf.open(pack / name)
    assert len(document) >= 1
    for sheet in document:
        for *box, _, _, _, _ in sheet.get_text("words"):
            assert pymupdf.Rect(box) in pymupdf.Rect(-1, -1, sheet.rect.x1 + 1, sheet.rect.y1 + 1)


@pytest.mark.parametrize("name", ["handout.pdf", "handout-large-print.pdf"])
def test_nothing_is_lost_on_paper(pack: Path, name: str, request: pytest.FixtureRequest) -> None:
    text = "".join(sheet.get_text() for sheet in pymupdf.open(pack / name))
    bare = "".join(text.replace("\u200b", "").replace("\u00ad", "").split())
    for words in READ.get(request.node.callspec.params["pack"], []):
        assert words in bare


def test_characters_without_a_font_are_named_and_do_not_take_long(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    lacking = {chr(code) for code in range(0x12000, 0x12380)}  # cuneiform
    tried: list[str] = []

    def can_be_set(characters: str) -> bool:
        tried.append(characters)
        return not lacking & set(characters)

    monkeypatch.setattr(paper, "_can_be_set", can_be_set)
    assert paper.missing_characters("\u0416\U00012001\u0416\U00012005") == "\U00012001\U00012005"
    (said,) = paper_remarks({"title": "".join(lacking), "picture": "\U00012380"})
    assert f"and {len(lacking) - 20} more: on paper a ? stands for each" in said
    assert paper_remarks({"title": "Évening", "picture": "\U00012001"}) == ()
    assert len(tried) < 250


def test_other_scripts_come_out_or_are_told() -> None:
    data = set_pdf("worksheet.typ", {
        "title": "Урок", "author": "", "paper": "a4", "seed": "1", "answers": False, "unit": 1.5,
        "questions": [], "caution": "Rest.",
    })  # fmt: skip
    text = pymupdf.open(stream=data)[0].get_text()
    assert "Урок" in text or (paper_remarks("Урок") and "????" in text)
