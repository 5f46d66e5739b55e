"""Everything can be reached and done without touching the glass."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from browser.conftest import OpenPage
from browser.farm_server import PASSWORD, Served

FOCUSED = "() => document.activeElement.innerText || document.activeElement.name || ''"
SETTLING = ".htmx-request, .htmx-added, .htmx-settling, .htmx-swapping"
OUTLINE = (
    "() => { const s = getComputedStyle(document.activeElement);"
    " return s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) >= 2; }"
)


def settled(page: Page) -> None:
    """Wait until what was answered is drawn: between the two the focus is on nothing."""
    expect(page.locator(SETTLING)).to_have_count(0)


def tab_to(page: Page, words: str, most: int = 60) -> None:
    """Press Tab until what has the focus says these words."""
    settled(page)
    for _ in range(most):
        page.keyboard.press("Tab")
        assert page.evaluate(OUTLINE), "the focus is seen wherever it goes"
        if words in str(page.evaluate(FOCUSED)):
            return
    raise AssertionError(f"{words} was not reached")


def test_from_sign_in_to_a_job_done_and_undone(open_page: OpenPage, farm: Served) -> None:
    page = open_page(person="", touch=False)
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    page.keyboard.type("ben")
    page.keyboard.press("Tab")
    page.keyboard.type(PASSWORD)
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.wait_for_url(f"{farm.base}/")

    page.keyboard.press("Tab")
    assert page.evaluate(FOCUSED) == "Skip to the page"
    page.keyboard.press("Enter")
    assert page.evaluate("() => document.activeElement.id") == "main"

    tab_to(page, "Shaken")
    page.keyboard.press("Enter")
    card = page.locator(f"#job-{farm.codes['shake']}")
    expect(card).to_contain_text("Done.")
    expect(card.get_by_role("button", name="Undo")).to_be_focused()
    page.keyboard.press("Enter")
    expect(card.get_by_role("button", name="Shaken")).to_be_focused()


def test_a_job_is_put_off_by_keys(open_page: OpenPage, farm: Served) -> None:
    page = open_page(person="ben", touch=False)
    page.goto(f"/jobs/{farm.codes['look']}/")
    tab_to(page, "Not today, because")
    page.keyboard.press("Enter")
    tab_to(page, "not ready yet")
    page.keyboard.press("Space")
    expect(page.locator(f"#job-{farm.codes['look']}")).to_contain_text("Not today.")


def test_the_picker_is_filled_by_keys(open_page: OpenPage, farm: Served) -> None:
    page = open_page(person="ben", touch=False)
    page.goto("/pick/")
    tab_to(page, "Something else was picked")
    page.keyboard.press("Enter")
    tab_to(page, "lot")
    page.keyboard.press("Space")
    tab_to(page, "weight")
    page.keyboard.type("3.4")
    page.keyboard.press("Enter")
    expect(page.locator("#said")).to_contain_text("3.4 kg picked")
    assert farm.entries("pick") == 1
