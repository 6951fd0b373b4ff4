"""Can a teacher do the whole job at the desk, in a real browser?"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
import soundfile
from playwright.sync_api import Browser, Page, expect
from served import LESSON, Desk, start
from tests.axe import found_by_axe

from lickwright.lesson import read_lesson
from lickwright.sound import render_phrase

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("desk")]
HEARD = "() => document.querySelector('lick-player')?.moment?.at > 0"


@pytest.fixture
def page(browser: Browser, desk: Desk) -> Iterator[Page]:
    opened = browser.new_page(viewport={"width": 1280, "height": 800})
    wrong: list[str] = []
    opened.on("request", lambda r: wrong.append(r.url) if not _own(r.url, desk) else None)
    opened.on("pageerror", lambda error: wrong.append(str(error)))
    opened.on("console", lambda m: wrong.append(m.text) if _bad(m.text) else None)
    yield opened
    opened.close()
    assert wrong == [], "a foreign request, an error, or a word of the browser"


def _own(url: str, desk: Desk) -> bool:
    return url.startswith((desk.address, "data:", "blob:"))


def _bad(text: str) -> bool:
    return "409" not in text and "Failed to load resource" not in text


def opened(page: Page, desk: Desk, name: str, text: str = LESSON) -> Path:
    file = desk.folder / f"{name}.md"
    file.write_text(text, encoding="utf-8")
    page.goto(f"{desk.address}/#/lesson/{name}")
    expect(page.locator(".part-phrase").first).to_be_attached()
    return file


def put_cursor(page: Page, text: str, column: int = 0) -> None:
    """The cursor into the first line that begins with a text."""
    page.locator(".cm-line", has_text=re.compile("^" + re.escape(text))).first.click()
    page.keyboard.press("Home")
    for _ in range(column):
        page.keyboard.press("ArrowRight")


def saved(page: Page) -> None:
    expect(page.locator(".state")).to_have_text("saved", timeout=10_000)


def test_a_phrase_is_written_from_nothing_a_slip_is_mended_and_it_is_built(
    page: Page, desk: Desk
) -> None:
    page.goto(desk.address)
    page.get_by_label("A new lesson").fill("From nothing")
    page.get_by_role("button", name="Begin it").click()
    expect(page.locator("h1").first).to_have_text("From nothing")
    page.get_by_label("Add a block").select_option("lick")
    put_cursor(page, "B     |----------------|", 7)
    page.keyboard.type("8---5")
    put_cursor(page, "G     |----------------|", 15)
    page.keyboard.type("7b9")
    saved(page)
    expect(page.locator("#new-phrase svg").first).to_be_attached()
    text = (desk.folder / "From nothing.md").read_text()
    phrase = next(p for p in read_lesson(text).lesson.phrases if p.name == "new-phrase")
    assert [(n.string, n.fret) for n in phrase.notes] == [(2, 8), (2, 5), (3, 7)]
    assert phrase.notes[2].bend is not None
    put_cursor(page, "B     |8---5", 9)
    page.keyboard.type("7")  # beside its count
    problems = page.locator(".problems")
    expect(problems).to_contain_text("count")
    expect(page.locator(".cm-lintRange-error").first).to_be_visible()
    page.keyboard.press("Control+z")
    expect(problems).to_have_count(0)
    page.get_by_role("button", name="Build").click()
    page.get_by_label("mp3").uncheck()
    page.locator("dialog").get_by_role("button", name="Build", exact=True).click()
    page.get_by_role("link", name="Open the page").wait_for(timeout=60_000)
    with page.context.expect_page() as made:
        page.get_by_role("link", name="Open the page").click()
    expect(made.value.locator("h1").first).to_have_text("From nothing")
    made.value.close()


def test_the_mend_is_one_click_away(page: Page, desk: Desk) -> None:
    text = LESSON.replace("tempo: 120", "tmpo: 120")
    file = opened(page, desk, "slip", text)
    page.get_by_role("button", name=re.compile("^Mend it: line")).first.click()
    saved(page)
    expect(page.locator(".problems")).to_have_count(0)
    assert "\ntempo: 120" in file.read_text()


def test_a_phrase_is_heard_and_its_notes_are_lit(page: Page, desk: Desk) -> None:
    opened(page, desk, "heard")
    page.get_by_role("button", name="Hear it: Up").click()
    page.wait_for_function(HEARD, timeout=30_000)
    expect(page.locator("#up .now").first).to_be_attached()
    page.locator("lick-player .player-play").click()
    expect(page.locator("#up .now")).to_have_count(0)


def test_a_phrase_is_moved_tried_and_taken_over_and_undone(page: Page, desk: Desk) -> None:
    file = opened(page, desk, "moved")
    page.get_by_role("button", name="Up close: Up").click()
    expect(page.locator(".close-more")).to_be_visible()
    page.get_by_label("Key", exact=True).fill("C")
    page.get_by_role("button", name="Try it").click()
    expect(page.locator(".tried svg").first).to_be_attached()
    assert file.read_text() == LESSON, "nothing is taken over yet"
    page.get_by_role("button", name="Take it over").click()
    page.get_by_role("button", name="Back to the lesson").click()
    saved(page)
    phrases = {phrase.name: phrase for phrase in read_lesson(file.read_text()).lesson.phrases}
    assert str(phrases["up"].key) == "C minor"
    page.locator(".cm-content").focus()
    page.keyboard.press("Control+z")
    saved(page)
    assert file.read_text() == LESSON


def test_a_finger_a_place_and_a_reason_are_chosen(page: Page, desk: Desk) -> None:
    file = opened(page, desk, "chosen")
    page.get_by_role("button", name="Up close: Down").click()
    page.get_by_role("button", name="Look for them").click()
    page.get_by_role("button", name=re.compile("^See it: frets")).nth(1).click()
    page.get_by_role("button", name="Put it behind, keep both").click()
    page.get_by_role("button", name=re.compile("finger . at bar 1, count 1, ")).first.click()
    page.get_by_role("button", name="Take it over").click()
    page.get_by_role("button", name=re.compile("^Into the prose")).first.click()
    page.get_by_role("button", name="Back to the lesson").click()
    saved(page)
    reading = read_lesson(file.read_text())
    assert reading.problems == ()
    names = [phrase.name for phrase in reading.lesson.phrases]
    assert names == ["up", "down", "down-2"]
    assert "finger" in file.read_text()
    assert file.read_text() != LESSON


def test_a_note_is_heard_alone_and_played_on_another_string(page: Page, desk: Desk) -> None:
    file = opened(page, desk, "restrung")
    page.get_by_role("button", name="Up close: Down").click()
    page.get_by_role("button", name="Hear: the note at bar 1, count 2, G string").click()
    expect(page.locator(".close-picture .now").first).to_be_attached(timeout=30_000)
    expect(page.locator(".close-picture .now")).to_have_count(0, timeout=10_000)
    page.get_by_role("button", name="Other strings for the note at bar 1, count 2").click()
    page.get_by_role("button", name=re.compile("^D string, fret 10, ")).click()
    page.get_by_role("button", name="Take it over").click()
    page.get_by_role("button", name="Back to the lesson").click()
    saved(page)
    phrases = {phrase.name: phrase for phrase in read_lesson(file.read_text()).lesson.phrases}
    assert [(note.string, note.fret) for note in phrases["down"].notes] == [(3, 7), (4, 10)]


def test_blocks_are_written_and_changed_by_forms(page: Page, desk: Desk) -> None:
    file = opened(page, desk, "forms")
    put_cursor(page, "Say it slowly")
    page.get_by_label("Add a block").select_option("neck")
    page.get_by_label("Key", exact=True).fill("A")
    page.get_by_label("Pattern, 1 to 5 or all").fill("1")
    page.get_by_role("button", name="Write it").click()
    expect(page.locator(".part-neck svg").first).to_be_attached()
    put_cursor(page, "start: 60")
    page.get_by_role("button", name="Change block").click()
    page.locator("dialog").get_by_label("To", exact=True).fill("90")
    page.get_by_role("button", name="Change the block").click()
    saved(page)
    lesson = read_lesson(file.read_text()).lesson
    assert lesson.stages[0].goal == 90
    assert lesson.stages[0].phrases == ("up", "down")
    for kind in ("band", "solo", "stage"):
        page.get_by_label("Add a block").select_option(kind)
        if kind == "solo":
            page.get_by_label("On bar 1", exact=True).fill("up")
        page.get_by_label("Name (may be left out)").fill(f"my {kind}")
        page.get_by_role("button", name="Write it").click()
    saved(page)
    assert read_lesson(file.read_text()).problems == ()


def test_columns_and_bars_are_put_in_and_taken_out_in_all_rows(page: Page, desk: Desk) -> None:
    text = "---\nkey: A\n---\n```lick up\nB     |8-----|\nG     |----7-|\ncount |1   2 |\n```\n"
    file = opened(page, desk, "columns", text)
    put_cursor(page, "B     |", 9)
    page.keyboard.press("Alt+i")
    saved(page)
    assert "B     |8------|\nG     |-----7-|\ncount |1    2 |\n" in file.read_text()
    page.keyboard.press("Alt+u")
    saved(page)
    assert file.read_text() == text
    page.keyboard.press("Alt+Enter")
    saved(page)
    assert "count |1   2 |1   2   3   4   |\n" in file.read_text()
    page.keyboard.press("Control+z")
    saved(page)
    assert file.read_text() == text, "one undo takes the whole bar back"
    put_cursor(page, "B     |", 7)
    page.keyboard.press("Alt+ArrowRight")
    page.keyboard.type("10")
    page.keyboard.press("Backspace")
    page.keyboard.press("Backspace")
    page.keyboard.type("5|")
    saved(page)
    assert "B     |8---5|" in file.read_text()


def test_a_change_from_elsewhere_is_shown_at_once(page: Page, desk: Desk) -> None:
    file = opened(page, desk, "elsewhere")
    file.write_text(LESSON.replace("Say it slowly.", "Said elsewhere."))
    expect(page.locator(".page-place")).to_contain_text("Said elsewhere.", timeout=8000)


def test_two_tabs_notice_each_other_and_no_side_is_lost(page: Page, desk: Desk) -> None:
    file = opened(page, desk, "tabs")
    page.route("**/api/lessons/tabs", lambda route: _late(route, file))
    put_cursor(page, "Say it slowly.")
    page.keyboard.type("Mine. ")
    expect(page.locator(".two-sides")).to_be_visible(timeout=10_000)
    page.get_by_role("button", name="Keep both as two lessons").click()
    expect(page.locator(".page-place")).to_contain_text("Theirs.")
    assert "Theirs." in file.read_text()
    assert "Mine." in (desk.folder / "tabs-2.md").read_text()


def _late(route, file: Path) -> None:
    """Another tab saves in the very moment before this one does."""
    if route.request.method == "PUT" and "Theirs." not in file.read_text():
        file.write_text(LESSON.replace("Say it slowly.", "Theirs."))
    route.continue_()


def test_typing_goes_on_while_the_server_is_gone_and_nothing_is_lost(
    browser: Browser, tmp_path: Path
) -> None:
    (tmp_path / "evening.md").write_text(LESSON)
    own = start(tmp_path)
    page = browser.new_context().new_page()
    try:
        page.goto(f"{own.address}/#/lesson/evening")
        expect(page.locator(".part-phrase").first).to_be_attached()
        own.kill()
        put_cursor(page, "Say it slowly.")
        page.keyboard.type("While it is gone. ")
        expect(page.locator(".state")).to_have_text("not saved", timeout=10_000)
        own = start(tmp_path, own.port)
        expect(page.locator(".state")).to_have_text("saved", timeout=15_000)
        assert "While it is gone. Say" in (tmp_path / "evening.md").read_text()
        own.kill()
        page.keyboard.type("And the browser too. ")
        expect(page.locator(".state")).to_have_text("not saved", timeout=10_000)
        own = start(tmp_path, own.port)
        page.evaluate("() => window.stop()")
        again = page.context.new_page()
        again.goto(f"{own.address}/#/lesson/evening")
        expect(again.locator(".cm-content")).to_contain_text("And the browser too.")
    finally:
        page.context.close()
        own.kill()


def test_a_lesson_is_copied_renamed_thrown_away_and_taken_back(page: Page, desk: Desk) -> None:
    (desk.folder / "shelved.md").write_text(LESSON)
    page.goto(desk.address)
    page.get_by_role("button", name="Copy shelved", exact=True).click()
    page.get_by_role("button", name="Rename shelved-2").click()
    page.get_by_label("New name of shelved-2").fill("Friday")
    page.get_by_role("button", name="Rename", exact=True).click()
    expect(page.get_by_text("Friday.md")).to_be_visible()
    page.get_by_role("button", name="Bin: put Friday away").click()
    expect(page.get_by_text("Friday.md")).to_have_count(0)
    page.get_by_role("button", name="Take it out: Friday").click()
    expect(page.get_by_text("Friday.md")).to_be_visible()
    assert (desk.folder / "Friday.md").read_text() == LESSON


PLAYED = """---
title: Played
---
```lick turn
key: A minor
tempo: 100
B     |5--8--5-----|5--8--5~-|
G     |---------7--|---------|
count |1  2  3  4  |1  2  3  |
```
"""


def test_a_take_is_dropped_told_kept_plotted_and_forgotten(page: Page, desk: Desk) -> None:
    (desk.folder / "played.md").write_text(PLAYED)
    phrase = read_lesson(PLAYED).lesson.phrases[0]
    made = render_phrase(phrase, 90, count_in=False)
    sounds = desk.folder / "kim.wav"
    soundfile.write(sounds, made.samples, made.rate)
    page.goto(f"{desk.address}/#/lesson/played/takes")
    page.get_by_label("Keep it under a pupil's name").fill("Kim")
    page.get_by_label("Choose recordings").set_input_files(str(sounds))
    told = page.locator(".told")
    expect(told).to_contain_text("in time within 20 ms", timeout=40_000)
    expect(page.locator(".take-shown")).to_contain_text("about 90 beats a minute")
    expect(page.locator(".take-picture.wide svg").first).to_be_visible()
    page.get_by_role("button", name="Kim", exact=True).click()
    expect(page.locator(".course svg")).to_be_visible()
    page.get_by_role("button", name="Forget Kim").click()
    page.get_by_role("button", name="Yes, delete").click()
    expect(page.locator(".course")).to_contain_text("Nothing is kept of anyone")
    (desk.folder / "note.wav").write_bytes(b"%PDF-1.4")
    page.get_by_label("Choose recordings").set_input_files(str(desk.folder / "note.wav"))
    expect(page.locator(".take-shown.trouble")).to_contain_text("PDF")
    assert found_by_axe(page) == []


def test_the_microphone_is_recorded_and_heard(page: Page, desk: Desk) -> None:
    (desk.folder / "played.md").write_text(PLAYED)
    page.goto(f"{desk.address}/#/lesson/played/takes")
    page.get_by_role("button", name="Record yourself").click()
    page.get_by_role("button", name=re.compile("Stop recording")).wait_for()
    page.wait_for_timeout(2500)
    page.get_by_role("button", name=re.compile("Stop recording")).click()
    # What the browser's own test sound (beeps) gives is no phrase, and is told so.
    told = page.locator(".take-shown")
    expect(told).to_contain_text(re.compile("Is this|No playing|too little"), timeout=40_000)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_on_any_screen(browser: Browser, desk: Desk, scheme: str) -> None:
    (desk.folder / "seen.md").write_text(LESSON)
    context = browser.new_context(color_scheme=scheme, viewport={"width": 1280, "height": 900})
    page = context.new_page()
    try:
        page.goto(desk.address)
        page.locator(".lessons").wait_for()
        assert found_by_axe(page) == []
        page.goto(f"{desk.address}/#/lesson/seen")
        page.locator("#up svg").first.wait_for(state="attached")
        assert found_by_axe(page) == []
        page.get_by_label("Add a block").select_option("band")
        assert found_by_axe(page) == []
        page.get_by_role("button", name="Leave it").click()
        page.get_by_role("button", name="Build").click()
        assert found_by_axe(page) == []
        page.goto(f"{desk.address}/#/lesson/seen/phrase/up")
        page.locator(".close-more").wait_for()
        assert found_by_axe(page) == []
    finally:
        context.close()


@pytest.mark.parametrize("width", [820, 1280])
def test_nothing_sticks_out(page: Page, desk: Desk, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    opened(page, desk, "wide")
    for address in ("#/", "#/lesson/wide", "#/lesson/wide/phrase/up"):
        page.goto(f"{desk.address}/{address}")
        page.locator("main").first.wait_for(state="attached")
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_all_can_be_reached_with_the_keyboard(page: Page, desk: Desk) -> None:
    opened(page, desk, "keys")
    seen = set()
    page.evaluate("document.activeElement?.blur()")
    for _ in range(60):
        page.keyboard.press("Tab")
        seen.add(
            page.evaluate(
                "(document.activeElement.getAttribute('aria-label')"
                " || document.activeElement.textContent).trim().slice(0, 40)"
            )
        )
        if "The lesson's text" in seen:
            page.keyboard.press("Escape")
    assert {"All lessons", "Build", "Tidy", "column in", "Hear it: Up", "Up close: Up"} <= seen
