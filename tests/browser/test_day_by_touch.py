"""The grower's day with a thumb: on a tablet and a phone, by day and by night."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from browser.conftest import PHONE, TABLET, OpenPage
from browser.farm_server import Served

HELD = [(size, scheme) for size in (TABLET, PHONE) for scheme in ("light", "dark")]
IDS = ["tablet by day", "tablet by night", "phone by day", "phone by night"]


@pytest.mark.parametrize(("size", "scheme"), HELD, ids=IDS)
def test_a_day_from_the_laboratory_to_the_van(
    open_page: OpenPage, farm: Served, size: tuple[int, int], scheme: str
) -> None:
    page = open_page(size, scheme, person="ben")
    said = page.locator("#said")

    # Shaken by one tap; the card says so and is taken back, then shaken again.
    card = page.locator(f"#job-{farm.codes['shake']}")
    card.get_by_role("button", name="Shaken").tap()
    expect(card).to_contain_text("Done.")
    expect(said).to_contain_text("recorded")
    card.get_by_role("button", name="Undo").tap()
    expect(card.get_by_role("button", name="Shaken")).to_be_visible()
    card.get_by_role("button", name="Shaken").tap()
    expect(card).to_contain_text("Done.")

    # Two jars fewer than planned, the rest stays.
    page.locator(f"#job-{farm.codes['jars']} .more").tap()
    for _ in range(2):
        page.get_by_role("button", name="one fewer").tap()
    expect(page.locator("#count")).to_have_value("8")
    page.get_by_role("button", name="Part done").tap()
    expect(said).to_contain_text("the rest stays open")
    expect(page.locator(f"#job-{farm.codes['jars']}")).to_contain_text("of 10")

    # Not today, with a reason.
    page.locator(f"#job-{farm.codes['look']} .more").tap()
    page.get_by_text("Not today, because").tap()
    page.get_by_role("button", name="no time left").tap()
    expect(page.locator(f"#job-{farm.codes['look']}")).to_contain_text("Not today.")

    # Picked by the scale.
    page.locator(f"#job-{farm.codes['pick']} .act").tap()
    page.fill("#weight", "5.2")
    page.get_by_role("button", name="0.5 kg more").tap()
    expect(page.locator("#weight")).to_have_value("5.7")
    page.get_by_role("button", name="Picked, that is all").tap()
    expect(said).to_contain_text("recorded")

    # Handed over.
    card = page.locator(f"#job-{farm.codes['deliver']}")
    card.get_by_role("button", name="Handed over").tap()
    expect(card).to_contain_text("Done.")

    assert farm.entries("shake") == 2
    assert farm.entries("correct") == 1
    assert [farm.entries(kind) for kind in ("inoculate", "put off", "pick", "deliver")] == [1] * 4


@pytest.mark.parametrize("size", [TABLET, PHONE], ids=["tablet", "phone"])
def test_the_books_by_touch(open_page: OpenPage, farm: Served, size: tuple[int, int]) -> None:
    page = open_page(size)
    if size == PHONE:
        page.locator(".bar").get_by_role("link", name="More").tap()
    frame = page.locator("main" if size == PHONE else ".side")
    frame.get_by_role("link", name="Books").tap()
    page.fill("#query", farm.codes["grain"][:3])
    page.get_by_role("button", name="Find").tap()
    page.get_by_role("link", name=farm.codes["grain"]).tap()
    page.get_by_text("Some are lost to contamination").tap()
    page.get_by_role("button", name="green dust").tap()
    expect(page.locator("#said")).to_contain_text("1 unit lost.")
    expect(page.locator("main")).to_contain_text("1 lost to contamination")
    page.locator(".life summary").first.tap()
    page.locator(".life input:visible").fill("counted the wrong jar")
    page.get_by_role("button", name="Undo this entry").tap()
    expect(page.locator("main")).to_contain_text("Set right by a later entry.")


def test_two_quick_taps_are_one_entry(open_page: OpenPage, farm: Served) -> None:
    page = open_page()
    page.locator(f"#job-{farm.codes['shake']}").get_by_role("button", name="Shaken").dblclick()
    expect(page.locator(f"#job-{farm.codes['shake']}")).to_contain_text("Done.")
    page.wait_for_load_state("networkidle")
    assert farm.entries("shake") == 1


def test_planning_never_hangs_the_page(open_page: OpenPage, farm: Served) -> None:
    page = open_page()
    page.get_by_role("button", name="Plan now").tap()
    expect(page.locator("#progress")).to_contain_text("Waiting for its turn.")
    with farm.working():
        page.wait_for_url(f"{farm.base}/", timeout=80_000)
    expect(page.locator("#said")).to_contain_text("The plan is new.")
