"""Every form works where no script runs."""

from __future__ import annotations

from playwright.sync_api import expect

from browser.conftest import PHONE, OpenPage
from browser.farm_server import Served


def test_a_job_done_undone_and_picked(open_page: OpenPage, farm: Served) -> None:
    page = open_page(PHONE, person="ben", script=False)
    card = page.locator(f"#job-{farm.codes['shake']}")
    card.get_by_role("button", name="Shaken").tap()
    expect(page.locator("#said")).to_contain_text("recorded")
    card.get_by_role("button", name="Undo").tap()
    expect(card.get_by_role("button", name="Shaken")).to_be_visible()

    page.goto(f"/jobs/{farm.codes['jars']}/")
    expect(page.get_by_role("button", name="one fewer")).to_be_hidden()
    page.fill("#count", "7")
    page.get_by_role("button", name="Part done").tap()
    expect(page.locator(f"#job-{farm.codes['jars']}")).to_contain_text("of 10")

    page.goto("/pick/")
    page.get_by_text("Something else was picked").tap()
    page.get_by_label(farm.codes["fruiting_lot"]).check()
    page.fill("#weight", "2")
    page.get_by_role("button", name="Picked").tap()
    expect(page.locator("#said")).to_contain_text("2 kg picked")


def test_planning_has_a_way_to_look_again(open_page: OpenPage, farm: Served) -> None:
    page = open_page(script=False)
    page.get_by_role("button", name="Plan now").tap()
    page.get_by_role("link", name="Look again").tap()
    expect(page.locator("main")).to_contain_text("Waiting for its turn.")
    farm.work_once()
    page.get_by_role("link", name="Look again").tap()
    expect(page.locator("#said")).to_contain_text("The plan is new.")
