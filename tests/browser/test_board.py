"""The board with a real plan: fit for hands and readers, by keyboard alone, one day on a phone."""

from __future__ import annotations

from playwright.sync_api import expect

from browser.conftest import PHONE, TABLET, OpenPage
from browser.farm_server import Served
from browser.test_every_page import OPEN_ALL, faults
from browser.test_keyboard_alone import tab_to

DESK = (1500, 900)
WIDE = (2300, 1200)


def test_the_board_is_looked_at_held_and_planned_again(open_page: OpenPage, farm: Served) -> None:
    page = open_page(DESK)
    page.get_by_role("button", name="Plan now").tap()
    page.wait_for_url("**/plan/*/?back=*")
    page.goto("/more/")  # nothing asks how far it is meanwhile
    farm.work_once()
    for size in (PHONE, TABLET, DESK, WIDE):
        for scheme in ("light", "dark"):
            page.set_viewport_size({"width": size[0], "height": size[1]})
            page.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
            page.goto("/board/")
            page.evaluate(OPEN_ALL)
            assert faults(page) == [], (size, scheme)
            days = page.locator("table.board thead th.day:visible").count()
            assert days == {PHONE: 1, TABLET: 14, DESK: 14, WIDE: 21}[size]
    cards = page.locator("a.plancard", has_text="to start")
    assert cards.count() > 0
    address = cards.first.get_attribute("href")
    page.goto(str(address))
    assert faults(page) == []
    tab_to(page, "Hold it here")
    page.keyboard.press("Enter")
    expect(page.locator("#said")).to_contain_text("Pinned.")
    expect(page.locator("main")).to_contain_text("1 pin was changed since the plan was made")
    expect(page.locator("a.plancard.pinned")).to_have_count(1)
    assert faults(page) == []
    page.get_by_role("button", name="Plan again").tap()
    page.wait_for_url("**/plan/*/?back=*")
    page.goto("/more/")  # nothing asks how far it is meanwhile
    farm.work_once()
    page.goto("/board/")
    expect(page.locator("a.plancard.pinned")).to_have_count(1)
    expect(page.locator("main")).not_to_contain_text("plan again.")
    expect(page.get_by_text("What the pins cost")).to_be_visible()


def test_a_phone_turns_from_day_to_day(open_page: OpenPage, farm: Served) -> None:
    del farm
    page = open_page(PHONE, person="ben")
    page.goto("/board/")
    first = page.locator("table.board thead th.day:visible").inner_text()
    turn = page.get_by_role("navigation", name="Days of the board")
    turn.get_by_role("link").first.tap()
    second = page.locator("table.board thead th.day:visible").inner_text()
    assert first != second
    expect(page.get_by_role("button", name="Plan again")).to_have_count(0)
