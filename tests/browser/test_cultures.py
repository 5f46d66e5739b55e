"""The shelf of cultures by touch: a clone is taken, its plate measured, a slip said at its form."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from browser.conftest import PHONE, TABLET, OpenPage
from browser.farm_server import Served
from browser.test_every_page import OPEN_ALL, faults, misfits


@pytest.mark.parametrize(("size", "scheme"), [(TABLET, "dark"), (PHONE, "light")])
def test_a_clone_is_taken_and_measured(
    open_page: OpenPage, farm: Served, size: tuple[int, int], scheme: str
) -> None:
    page = open_page(size, scheme)
    page.goto("/books/cultures/")
    page.locator("summary", has_text="Take a clone").tap()
    page.fill("#clone-lot", farm.codes["fruiting_lot"])
    page.fill("#clone-culture", "fine-one")
    page.locator("form[action$='clone/'] button.act").tap()
    expect(page.locator("#said")).to_contain_text("held back as culture fine-one")
    expect(page).to_have_url(re.compile(r"/books/cultures/\w{5}/$"))

    measure = page.locator("form[action$='measure/']")
    measure.locator("[data-step='1']").first.tap()
    measure.locator("button.act").tap()
    expect(page.locator("#said")).to_contain_text("11 mm. Measure it again")
    page.fill("#n-radius", "5")
    measure.locator("button.act").tap()
    expect(page.locator("[role=alert]")).to_contain_text("If it is another plate")
    page.evaluate(OPEN_ALL)
    assert faults(page) == []

    page.goto(f"/books/lots/{farm.codes['plates']}/")
    assert misfits(page) == []
    page.locator("dd a", has_text="oyster-a").tap()
    expect(page.locator("h1")).to_contain_text(farm.codes["plates"])

    page.goto("/books/cultures/")
    assert misfits(page) == []
    page.evaluate(OPEN_ALL)
    expect(page.locator("main")).to_contain_text("Not cleared for use.")
    assert faults(page) == []
