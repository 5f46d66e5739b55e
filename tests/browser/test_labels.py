"""Labels by touch: from the lot to the paper, the sheet drawn anew with every tap."""

from __future__ import annotations

import sqlite3
from urllib.parse import parse_qs, urlsplit

import pytest
from playwright.sync_api import Route, expect

from browser.conftest import PHONE, TABLET, OpenPage
from browser.farm_server import Served


@pytest.mark.parametrize("size", [TABLET, PHONE], ids=["tablet", "phone"])
def test_from_a_lot_to_the_paper(open_page: OpenPage, farm: Served, size: tuple[int, int]) -> None:
    page = open_page(size)
    grain = farm.codes["grain"]
    page.goto(f"/books/lots/{grain}/")
    page.locator("main").get_by_role("link", name="Labels", exact=True).tap()
    said = page.locator("#label-sheet .lead")
    expect(said).to_have_text("10 labels on 1 sheet; the next free place is 11.")
    page.locator("label.place", has=page.locator("#place-15")).tap()
    expect(said).to_have_text("10 labels on 2 sheets; the next free place is 2.")
    expect(page.locator("label.place.used")).to_have_count(15)
    expect(page.locator("#place-15")).to_be_checked()
    page.get_by_role("button", name=f"one fewer of {grain}").tap()
    expect(said).to_have_text("9 labels on 1 sheet.")
    page.select_option("#layout", "a4-5x13-tubes")
    expect(page.locator("label.place")).to_have_count(65)
    expect(page.locator("label.place.used")).to_have_count(0)
    with page.expect_response(lambda answer: "labels.pdf" in answer.url) as paper:
        page.get_by_role("button", name="Print").tap()
    page.wait_for_url("**/labels.pdf?*")  # a page closed on its way there hangs the browser
    asked = parse_qs(urlsplit(paper.value.url).query)
    assert asked == {"layout": ["a4-5x13-tubes"], "skip": ["0"], "lot": [f"{grain}/1-9"]}
    assert paper.value.headers["content-type"] == "application/pdf"
    with sqlite3.connect(farm.folder / "farm.sqlite3") as database:
        rows = database.execute("SELECT lot, first, count FROM farm_labelprint").fetchall()
    assert rows == [(grain, 1, 9)]


def test_a_tap_before_the_script_is_there_counts(open_page: OpenPage, farm: Served) -> None:
    page = open_page(TABLET)
    held: list[Route] = []
    page.context.route("**/htmx*.js", lambda route: held.append(route))  # noqa: PLW0108  (a built-in has no signature)
    page.goto(f"/books/labels/?lot={farm.codes['grain']}", wait_until="commit")
    page.locator("label.place", has=page.locator("#place-3")).tap()
    expect(page.locator("#place-3")).to_be_checked()
    assert len(held) == 1
    held[0].continue_()
    expect(page.locator("label.place.used")).to_have_count(3)


def test_places_are_chosen_with_the_arrow_keys(open_page: OpenPage, farm: Served) -> None:
    page = open_page(TABLET, touch=False)
    page.goto(f"/books/labels/?lot={farm.codes['grain']}")
    page.locator("#place-0").focus()
    page.keyboard.press("ArrowRight")
    expect(page.locator("label.place.used")).to_have_count(1)
    expect(page.locator("#place-1")).to_be_focused()


def test_without_script_the_sheet_is_drawn_on_asking(open_page: OpenPage, farm: Served) -> None:
    page = open_page(TABLET, script=False)
    page.goto(f"/books/labels/?lot={farm.codes['grain']}")
    page.check("#place-3", force=True)
    page.get_by_role("button", name="Draw the sheet anew").tap()
    expect(page.locator("label.place.used")).to_have_count(3)
