"""A cook that is watched: drawn anew by itself, typed with gloves on, told to who listens."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from browser.conftest import PHONE, OpenPage
from browser.farm_server import Served

LOOKS_EVERY_MS = 20_000


def watched(open_page: OpenPage, farm: Served, *, script: bool = True) -> Page:
    page = open_page(PHONE, person="ben", script=script)
    if script:
        page.clock.install()
    page.goto(f"/heat/during/{farm.codes['watched_cook']}/")
    return page


def test_it_is_drawn_anew_by_itself_and_leaves_what_is_being_typed(
    open_page: OpenPage, farm: Served
) -> None:
    page, other = watched(open_page, farm), watched(open_page, farm)
    page.get_by_role("textbox", name="Chamber").fill("11")
    other.get_by_role("textbox", name="Chamber").fill("95,0")
    other.get_by_role("button", name="Write it down").tap()
    expect(other.locator("h1")).to_contain_text("Interrupted: the chamber fell to 95 °C")
    page.clock.run_for(LOOKS_EVERY_MS + 500)
    expect(page.locator("h1")).to_contain_text("Interrupted: the chamber fell to 95 °C")
    expect(page.locator("#watch-said")).to_contain_text("Interrupted")
    expect(page.get_by_role("textbox", name="Chamber")).to_have_value("11")


def test_who_listens_hears_nothing_while_nothing_changes(open_page: OpenPage, farm: Served) -> None:
    page = watched(open_page, farm)
    with page.expect_response(lambda answer: "said=" in answer.url):
        page.clock.run_for(LOOKS_EVERY_MS + 500)
    expect(page.locator("#watch-said")).to_have_text("")


def test_a_page_without_network_says_that_it_stands_still(
    open_page: OpenPage, farm: Served
) -> None:
    page = watched(open_page, farm)
    page.context.set_offline(True)
    page.clock.run_for(LOOKS_EVERY_MS + 500)
    expect(page.locator("#said")).to_contain_text("what you see here stands still")
    page.context.set_offline(False)
    page.clock.run_for(LOOKS_EVERY_MS + 500)
    expect(page.locator("#said")).to_have_text("")


def test_two_quick_taps_write_one_reading(open_page: OpenPage, farm: Served) -> None:
    page = watched(open_page, farm)
    page.get_by_label("Core, by a probe in a unit").fill("61")
    page.get_by_role("button", name="Write it down").dblclick()
    expect(page.locator("#said")).to_contain_text("Written down.")
    expect(page.get_by_text("core 61 °C")).to_have_count(1)


def test_it_works_without_script(open_page: OpenPage, farm: Served) -> None:
    page = watched(open_page, farm, script=False)
    page.get_by_role("textbox", name="Chamber").fill("117.2")
    page.get_by_label("Gauge").fill("1.1")
    page.get_by_role("button", name="Write it down").tap()
    expect(page.locator("#said")).to_contain_text("Written down.")
    page.get_by_role("link", name="Look again").tap()
    page.get_by_text("The cook has ended").tap()
    page.get_by_role("button", name="End it").tap()
    page.get_by_role("button", name="Judge by what was read").tap()
    expect(page.locator("main")).to_contain_text("not judged", ignore_case=True)
