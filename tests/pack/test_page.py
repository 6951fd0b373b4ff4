"""Does the page work in a browser, from disk, on a wide screen and on a phone?"""

from __future__ import annotations

import json
from collections.abc import Iterator
from itertools import pairwise

import pytest
from lessons_of_packs import MP3, TWO_TURNS, build
from playwright.sync_api import Browser, Page, expect
from tests.axe import found_by_axe

from lickwright.lesson import read_lesson
from lickwright.phrase import perform

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("page")]


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


_OWN = ("file:", "data:", "blob:")


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


FOLLOW = """name => new Promise(done => {
  const player = document.querySelector(`#${name} lick-player`);
  const frames = [];
  const step = () => {
    if (!player.transport) return frames.length ? done(frames) : requestAnimationFrame(step);
    const moment = player.moment;
    const lines = [...document.querySelectorAll(`#${name} line.cursor`)];
    const line = lines.find(each => each.checkVisibility());
    frames.push({
      at: moment && !Number.isNaN(moment.at) ? moment.at : null,
      round: moment?.round ?? 0,
      answering: moment?.answering ?? false,
      time: player.context.currentTime,
      lit: [...document.querySelectorAll(`#${name} .score .wide [data-note].now`)]
        .map(each => each.dataset.note),
      x: line ? line.getBoundingClientRect().x : null,
    });
    requestAnimationFrame(step);
  };
  requestAnimationFrame(step);
})"""
MIDDLE = "e => { const b = e.getBoundingClientRect(); return b.x + b.width / 2; }"
FRAME = 0.04  # seconds: a frame, and one that the machine was late with


def played(page: Page, name: str) -> list[dict]:
    """What is seen in every frame from the press on play until it ends by itself."""
    page.evaluate(f"void (window.seen = ({FOLLOW})('{name}'))")
    page.locator(f"#{name} .player-play").click()
    return page.evaluate("window.seen")


def choose_tempo(page: Page, name: str, tempo: int) -> None:
    page.locator(f"#{name} .stairs").get_by_label(f"{tempo} beats a minute").check(force=True)


def switch(page: Page, name: str, label: str) -> None:
    box = page.locator(f"#{name} .switches").get_by_label(label, exact=True)
    box.set_checked(not box.is_checked())


def test_the_cursor_and_the_light_are_on_the_note_that_sounds(page: Page) -> None:
    phrase = read_lesson(TWO_TURNS).lesson.phrases[0]
    choose_tempo(page, "up", 90)
    switch(page, "up", "count-in")
    frames = [frame for frame in played(page, "up") if frame["at"] is not None]
    assert len(frames) > 30
    for time in perform(phrase, phrase.clock.at_tempo(phrase.tempo)).times:
        inside = [f for f in frames if time.start + FRAME < f["at"] < time.end - FRAME]
        assert len(inside) > 5
        assert all(set(frame["lit"]) == {time.note.id} for frame in inside)
        box = page.locator(f"#up .score .wide [data-note='{time.note.id}'] text.fret").first
        middle = box.evaluate(MIDDLE)
        reached = min(inside, key=lambda f: f["at"])
        assert abs(reached["x"] - middle) < 30, "the line is at the number when it sounds"
    xs = [frame["x"] for frame in frames if frame["x"] is not None]
    assert len(xs) >= len(frames) - 2
    assert all(b >= a - 0.5 for a, b in pairwise(xs)), "the line moves to the right only"


def test_what_is_said_to_sound_is_what_the_clock_of_the_sound_says(page: Page) -> None:
    choose_tempo(page, "up", 90)
    frames = [frame for frame in played(page, "up") if frame["at"] is not None]
    offsets = [frame["time"] - frame["at"] for frame in frames]
    assert max(offsets) - min(offsets) < 0.02, "one clock"
    assert frames[0]["time"] > 4 * 60 / 90, "a bar is counted in"


def test_a_part_goes_round_and_round_and_every_other_round_is_the_pupils(page: Page) -> None:
    choose_tempo(page, "up", 90)
    page.locator("#up .part select").first.select_option(index=1)  # from the third beat
    switch(page, "up", "then my turn")
    frames = [frame for frame in played(page, "up") if frame["at"] is not None]
    assert {(frame["round"], frame["answering"]) for frame in frames} == {(0, False), (1, True)}
    answers = [frame for frame in frames if frame["answering"]]
    assert all(frame["lit"] == [] for frame in answers[1:]), "one frame later at most"
    length = 2 * 60 / 90
    for frame in frames:
        assert 2 * 60 / 90 - 1e-3 <= frame["at"] <= 2 * 60 / 90 + length + 1e-3
    first, second = (
        min(frame["time"] - frame["at"] for frame in frames if frame["round"] == number)
        for number in (0, 1)
    )
    assert second - first == pytest.approx(length, abs=0.02), "no gap between the rounds"


def test_only_one_plays_and_the_keyboard_starts_and_stops_it(page: Page) -> None:
    up, down = page.locator("#up .player-play"), page.locator("#down .player-play")
    up.focus()
    page.keyboard.press("Enter")
    expect(up).to_have_attribute("aria-label", "Stop: Up")
    down.focus()
    page.keyboard.press("Space")
    expect(down).to_have_attribute("aria-label", "Stop: Down")
    expect(up).to_have_attribute("aria-label", "Play: Up")
    page.keyboard.press("Space")
    expect(down).to_have_attribute("aria-label", "Play: Down")


def test_what_comes_out_of_the_loudspeaker_goes_round_without_a_gap(page: Page) -> None:
    # What the browser's own analyser hears of two rounds with the band, a frame at a time.
    switch(page, "up", "band")
    switch(page, "up", "count-in")
    choose_tempo(page, "up", 90)
    page.locator("#up .player-play").click()
    expect(page.locator("#up .player-play")).to_have_attribute("aria-label", "Stop: Up")
    level = page.evaluate(
        """() => new Promise(done => {
          const player = document.querySelector('#up lick-player');
          const meter = player.context.createAnalyser();
          meter.fftSize = 2048;
          player.transport.out.connect(meter);
          player.again = true; player.transport.setAgain(true);
          const heard = [], data = new Float32Array(2048);
          const step = () => {
            meter.getFloatTimeDomainData(data);
            const at = player.moment?.at;
            heard.push([at ?? null, Math.max(...data.map(Math.abs))]);
            if (player.moment?.round === 1 && at > 0.5) { player.stop(); done(heard); }
            else requestAnimationFrame(step);
          };
          step();
        })"""
    )
    loud = [peak for at, peak in level if at is not None]
    assert max(loud) > 0.05, "it sounds"
    assert max(loud) < 1.0, "and is not clipped"
    around = [peak for at, peak in level if at is not None and at < 0.4]
    assert min(around[2:]) > 0.001, "no hole where the round begins again"


def test_ticks_are_kept_and_shown_and_can_be_taken_away(page: Page) -> None:
    choose_tempo(page, "up", 66)
    page.locator("#up .reached input").check()
    assert "66 of 90" in page.locator("#progress").inner_text()
    assert page.locator("input[data-phrase=up][data-tempo='66']").is_checked()
    page.reload()
    assert "66 of 90" in page.locator("#progress").inner_text()
    page.get_by_role("button", name="Begin again from nothing").click()
    page.get_by_role("button", name="Yes, all").click()
    assert "Nothing is ticked" in page.locator("#progress").inner_text()
    assert not page.locator("input[data-phrase=up][data-tempo='66']").is_checked()


def test_a_take_is_recorded_and_stays_on_the_page(page: Page) -> None:
    page.locator("#up .record-yourself summary").click()
    page.locator("#up").get_by_role("button", name="Record yourself").click()
    stop = page.locator("#up").get_by_role("button", name="Stop recording")
    stop.wait_for()
    page.wait_for_timeout(700)
    stop.click()
    link = page.locator("#up .recorder a", has_text="Save it to a file")
    link.wait_for()
    assert (link.get_attribute("href") or "").startswith("blob:")
    assert (link.get_attribute("download") or "").startswith("up-take.")


def test_rows_and_the_hand_can_be_chosen(page: Page) -> None:
    assert page.locator("#up .wide .row-count").first.is_visible()
    page.locator("input[data-view=count]").uncheck()
    assert not page.locator("#up .wide .row-count").first.is_visible()
    assert page.locator("#up .neck.right").is_visible()
    page.locator("input[data-view=left]").check()
    assert page.locator("#up .neck.left").is_visible()
    assert not page.locator("#up .neck.right").is_visible()


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


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [390, 1280])
def test_axe_finds_nothing(browser: Browser, address: str, scheme: str, width: int) -> None:
    context = browser.new_context(color_scheme=scheme, viewport={"width": width, "height": 900})
    try:
        page = context.new_page()
        page.goto(address)
        page.locator("#up .reached input").check()
        page.locator("#up .why button").first.click()
        page.evaluate("document.querySelectorAll('details').forEach(each => each.open = true)")
        assert found_by_axe(page) == []
    finally:
        context.close()
