"""Does the page work in a browser, from disk, on a wide screen and on a phone?"""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Iterator

import pytest
from lessons_of_packs import MP3, TWO_TURNS, build
from playwright.sync_api import Browser, Page, sync_playwright

from lickwright.lesson import read_lesson
from lickwright.sound import playing_times

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("page")]


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None:
        if os.environ.get("CI") == "true":
            pytest.fail("Chromium is missing: make chromium")
        pytest.skip("Chromium is missing: make chromium")
    switches = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
    with sync_playwright() as play:
        started = play.chromium.launch(executable_path=chromium, args=switches)
        yield started
        started.close()


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> str:
    target = tmp_path_factory.mktemp("page") / "pack"
    build(TWO_TURNS, target, wish=MP3)
    return (target / "lesson.html").as_uri()


@pytest.fixture
def page(browser: Browser, address: str) -> Iterator[Page]:
    opened = browser.new_page(viewport={"width": 1100, "height": 800})
    wrong: list[str] = []
    opened.on("request", lambda r: wrong.append(r.url) if r.url[:5] not in _OWN else None)
    opened.on("console", lambda message: wrong.append(message.text))
    opened.on("pageerror", lambda error: wrong.append(str(error)))
    opened.on("dialog", lambda dialog: wrong.append(dialog.message))
    opened.goto(address)
    yield opened
    opened.close()
    assert wrong == [], "a request, a message of the browser, an error or a dialog"


_OWN = ("file:", "data:")
STARTED = "a => new Promise(done => a.paused ? a.onplay = () => done(true) : done(true))"


def lit(page: Page, mark: str) -> set[str]:
    found = page.eval_on_selector_all(
        f"#up svg [data-note].{mark}", "all => all.map(each => each.dataset.note)"
    )
    return set(found)


def test_touching_a_sentence_lights_its_notes(page: Page) -> None:
    button = page.locator("#up .why button", has_text="bend starts")
    notes = set(json.loads(button.get_attribute("data-notes") or "[]"))
    assert notes
    button.click()
    assert lit(page, "lit") == notes
    rows = page.locator("#up tr.lit").count()
    assert rows >= len(notes)
    button.click()
    assert lit(page, "lit") == set()


def test_the_cursor_stands_on_the_note_that_sounds(page: Page) -> None:
    phrase = read_lesson(TWO_TURNS).lesson.phrases[0]
    page.locator("#up .choice button", has_text="At tempo").click()
    audio = page.locator("#up audio")
    audio.evaluate(
        "a => new Promise(done => { a.pause(); a.readyState > 1 ? done() : a.oncanplay = done; })"
        ".then(() => null)"
    )
    for time in playing_times(phrase, phrase.tempo):
        middle = (time.start + time.end) / 2
        audio.evaluate(
            "(a, t) => new Promise(done => { a.onseeked = () => done(); a.currentTime = t; })",
            middle,
        )
        page.wait_for_function(
            "id => [...document.querySelectorAll('#up [data-note].now')]"
            ".some(each => each.dataset.note === id)",
            arg=time.note.id,
        )
        assert lit(page, "now") == {time.note.id}


def test_audio_can_be_played_again_and_again(page: Page) -> None:
    listen = page.locator("#down .listen")
    length = listen.locator("audio").evaluate(
        "a => new Promise(done => a.readyState ? done(a.duration)"
        " : a.onloadedmetadata = () => done(a.duration))"
    )
    assert length > 1
    listen.locator("input").check()
    assert listen.locator("audio").evaluate("a => a.loop")


def test_one_player_plays_what_is_chosen_and_only_one_plays(page: Page) -> None:
    page.locator("#up .choice button", has_text="With the band").click()
    assert page.locator("#up audio").evaluate(STARTED)
    pressed = page.locator("#up .choice button[aria-pressed=true]")
    assert pressed.inner_text().startswith("With the band")
    assert "With the band" in (page.locator("#up audio").get_attribute("aria-label") or "")
    page.locator("#down .choice button", has_text="Slow").click()
    assert page.locator("#down audio").evaluate(STARTED)
    assert page.locator("#up audio").evaluate("a => a.paused")


def test_stage_study_piece_and_backing_are_shown(page: Page) -> None:
    text = page.locator("main").inner_text()
    for words in ("60\t66\t71", "Up, moved onto D7", "Quick change in A", "three in a row"):
        assert words in text


@pytest.mark.parametrize("width", [320, 390, 800, 1600])
def test_nothing_sticks_out_at_any_width(page: Page, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 700})
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    shown = "narrow" if width <= 640 else "wide"
    assert page.locator(f"#up .{shown}").is_visible()
    hidden = "wide" if width <= 640 else "narrow"
    assert not page.locator(f"#up .{hidden}").is_visible()


def test_ids_are_unique_and_every_control_has_a_name(page: Page) -> None:
    ids = page.eval_on_selector_all("[id]", "all => all.map(each => each.id)")
    assert len(ids) == len(set(ids))
    named = page.eval_on_selector_all(
        "button, input, audio",
        "all => all.every(e => e.ariaLabel || e.textContent.trim() || e.labels?.length)",
    )
    assert named
