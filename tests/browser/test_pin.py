"""People change on a shared tablet by large digits; what lies on the bench stays there."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from browser.conftest import PHONE, TABLET, OpenPage
from browser.farm_server import PASSWORD, Served
from browser.test_bench import begin, made, usual
from browser.test_every_page import faults
from browser.test_scanning import scan

SIZES = pytest.mark.parametrize("size", [TABLET, PHONE], ids=["tablet", "phone"])


def set_pin(page: Page, pin: str) -> None:
    page.goto("/settings/pin/")
    page.fill("#password", PASSWORD)
    page.fill("#pin", pin)
    page.fill("#again", pin)
    page.get_by_role("button", name="Set this PIN").tap()
    expect(page.locator("#said")).to_contain_text("Your PIN is set.")


def digits(page: Page, pin: str) -> None:
    for digit in pin:
        page.locator(f"[data-digit='{digit}']").tap()


@SIZES
def test_two_people_take_turns_at_one_bench(
    open_page: OpenPage, farm: Served, size: tuple[int, int]
) -> None:
    other = open_page(size, person="ada")
    set_pin(other, "6120")
    page = open_page(size, person="ben")
    set_pin(page, "4071")
    begin(page)
    page.get_by_role("link", name="Somebody else is at the bench now").tap()
    expect(page.get_by_label("Ada")).to_be_visible()
    assert faults(page) == []
    page.get_by_label("Ada").check()
    digits(page, "6121")
    page.get_by_role("button", name="Come in").tap()
    expect(page.locator("main")).to_contain_text("Name and PIN do not fit")
    assert faults(page) == []
    digits(page, "61")
    page.get_by_role("button", name="Take the last digit back").tap()
    digits(page, "120")
    page.get_by_role("button", name="Come in").tap()
    expect(page.get_by_role("button", name="Join the session")).to_be_visible()
    for line in page.locator("#begin .check").all():
        line.tap()
    page.get_by_role("button", name="Join the session").tap()
    expect(page.locator("#said")).to_contain_text("begun by Ben")
    expect(page.locator("#code")).to_be_focused()
    page.wait_for_load_state("networkidle")
    scan(page, farm.codes["plates"])
    usual(page).tap()
    expect(page.locator(".turn")).to_have_count(1)
    assert [each["person"] for each in made(farm)] == ["ada"]
    page.goto("/settings/people/")
    expect(page.locator("main")).to_contain_text("A PIN opens no owner's pages")


def test_without_script(open_page: OpenPage, farm: Served) -> None:
    page = open_page(person="ben", script=False)
    set_pin(page, "4071")
    page.goto("/pin/")
    page.fill("#pin", "4071")
    page.get_by_role("button", name="Come in").locator("visible=true").tap()
    page.wait_for_url(f"{farm.base}/")
