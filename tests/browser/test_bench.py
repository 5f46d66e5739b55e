"""A whole bench session by touch, by keys, without script, and with the network away."""

from __future__ import annotations

import json
import sqlite3
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from browser.conftest import PHONE, TABLET, OpenPage
from browser.farm_server import Served
from browser.test_every_page import OPEN_ALL, faults
from browser.test_keyboard_alone import tab_to
from browser.test_scanning import LEAST_USUAL_PX, scan

SIZES = pytest.mark.parametrize("size", [TABLET, PHONE], ids=["tablet", "phone"])
SOON_MS = 30_000
MADE = (
    "SELECT e.details, p.code FROM farm_entry e JOIN farm_person p ON p.id = e.person_id "
    "WHERE e.kind = 'inoculate' ORDER BY e.id"
)


def made(farm: Served) -> list[dict[str, Any]]:
    """Return what each transfer says, in the order they were written down."""
    with sqlite3.connect(farm.folder / "farm.sqlite3") as database:
        rows = database.execute(MADE).fetchall()
    return [{**json.loads(details), "person": person} for details, person in rows]


def begin(page: Page) -> None:
    """Tick the whole list and begin."""
    page.goto("/bench/")
    for line in page.locator("#begin .check").all():
        line.tap()
    page.get_by_role("button", name="Begin the session").tap()
    expect(page.locator("#said")).to_contain_text("Session begun at")
    expect(page.locator("#code")).to_be_focused()
    page.wait_for_load_state("networkidle")  # what a scan is read by, and what keeps taps


def usual(page: Page) -> Locator:
    return page.locator(".thing.usual .tap")


def tap_and_mean_it(page: Page, lot: str) -> None:
    """Scan a parent and tap the usual thing; if something speaks against it, tap a reason."""
    scan(page, lot)
    usual(page).tap()
    said = page.locator("#hand .note.gone, #said .note.good")
    expect(said.first).to_be_visible()
    if page.locator("#hand .note.gone").count():
        page.get_by_role("button", name="only to try").tap()


@SIZES
def test_a_whole_session_by_touch(open_page: OpenPage, farm: Served, size: tuple[int, int]) -> None:
    page = open_page(size, person="ben")
    page.get_by_role("link", name="Begin at the bench").tap()
    expect(page.get_by_role("button", name="Begin the session")).to_be_visible()
    assert faults(page) == []
    page.get_by_role("button", name="Begin the session").tap()
    expect(page.locator("main")).to_contain_text("Not ticked: hands and arms washed")
    assert faults(page) == []
    for line in page.locator("#begin .check").all():
        line.tap()
    page.get_by_text("Settle plates set out").tap()
    plates = page.locator("#begin .step", has=page.locator("[name=plates-middle]"))
    for _ in range(2):
        plates.get_by_role("button", name="one more").tap()
    page.get_by_role("button", name="Begin the session").tap()
    expect(page.locator("#code")).to_be_focused()
    page.wait_for_load_state("networkidle")

    scan(page, farm.codes["plates"])
    expect(usual(page)).to_contain_text("Made: grain jars")
    box = usual(page).bounding_box()
    assert box is not None
    assert box["height"] >= LEAST_USUAL_PX
    assert box["y"] + box["height"] <= size[1], "it is seen without scrolling"
    assert faults(page) == []
    makes = page.locator(".thing.usual .step", has=page.locator("[name=makes]"))
    makes.get_by_role("button", name="one fewer").tap()
    usual(page).tap()
    expect(page.locator("#said")).to_contain_text("9")
    expect(page.locator(".turn")).to_have_count(1)
    [first] = made(farm)
    assert (first["count"], first["turn"], first["plates"], first["person"]) == (
        9, 1, {"middle": 2}, "ben",
    )  # fmt: skip
    expect(page.get_by_role("link", name="Labels for")).to_be_visible()

    scan(page, farm.codes["grain"])
    expect(page.locator("#hand")).to_contain_text("is not ready")
    usual(page).tap()
    expect(page.locator("#hand")).to_contain_text("Nothing was written down.")
    assert len(made(farm)) == 1
    assert faults(page) == []
    page.get_by_role("button", name="nothing else is left").tap()
    expect(page.locator(".turn")).to_have_count(2)
    assert made(farm)[1]["reason"] == "nothing else is left"
    page.get_by_role("button", name="Undo").tap()
    expect(page.locator("#said")).to_contain_text("Taken back")
    expect(page.locator(".turn")).to_have_count(1)
    page.get_by_role("button", name=f"Put {farm.codes['grain']} away").tap()

    cleaned_down(page)


def cleaned_down(page: Page) -> None:
    """Tick the clean-down list, end the session, and find it in the books."""
    page.evaluate(OPEN_ALL)
    assert faults(page) == []
    for line in page.locator("#end .check").all():
        line.tap()
    page.get_by_role("button", name="End the session").tap()
    expect(page.locator("#said")).to_contain_text("ended, today at")
    page.get_by_role("link", name="Sessions before").tap()
    expect(page.locator(".list")).to_contain_text("1 transfer")
    page.locator(".list a.line").first.tap()
    expect(page.locator(".turns")).to_contain_text("9 grain jars")
    assert faults(page) == []


def test_by_night_it_can_be_read_too(open_page: OpenPage, farm: Served) -> None:
    page = open_page(PHONE, "dark", person="ben")
    begin(page)
    scan(page, farm.codes["plates"], farm.codes["blocks"])
    expect(page.locator(".inhand")).to_have_count(2)
    page.evaluate(OPEN_ALL)
    assert faults(page) == []


def test_by_keys_alone(open_page: OpenPage, farm: Served) -> None:
    page = open_page(person="ben", touch=False)
    page.goto("/bench/")
    for line in ("washed", "clothes", "Hair", "Mask", "Gloves", "blowing", "wiped", "Alcohol"):
        tab_to_box(page, line)
        page.keyboard.press("Space")
    tab_to(page, "Begin the session")
    page.keyboard.press("Enter")
    expect(page.locator("#code")).to_be_focused()
    scan(page, farm.codes["plates"])
    expect(usual(page)).to_be_visible()
    tab_to(page, "Made: grain jars")
    page.keyboard.press("Enter")
    expect(page.locator(".turn")).to_have_count(1)
    assert len(made(farm)) == 1


def tab_to_box(page: Page, words: str) -> None:
    """Press Tab until the focus is on the box of a line."""
    for _ in range(40):
        page.keyboard.press("Tab")
        label = page.evaluate("() => (document.activeElement.labels || [{}])[0]?.textContent || ''")
        if words in label:
            return
    raise AssertionError(f"{words} was not reached")


def test_without_script(open_page: OpenPage, farm: Served) -> None:
    page = open_page(person="ben", script=False)
    page.goto("/bench/")
    for box in page.locator("#begin input[type=checkbox]").all():
        box.check()
    page.get_by_role("button", name="Begin the session").tap()
    page.fill("#code", farm.codes["plates"])
    page.press("#code", "Enter")
    usual(page).tap()
    expect(page.locator("#said")).to_contain_text("grain jars")
    assert len(made(farm)) == 1
    page.get_by_text("Clean down").tap()
    page.get_by_role("button", name="End the session").tap()
    expect(page.locator("#said")).to_contain_text("Not ticked")


@SIZES
def test_with_the_network_away_it_waits_and_arrives_in_order(
    open_page: OpenPage, farm: Served, size: tuple[int, int]
) -> None:
    page = open_page(size, person="ben")
    begin(page)
    scan(page, farm.codes["plates"])
    expect(usual(page)).to_be_visible()
    page.context.set_offline(True)
    usual(page).tap()
    expect(page.locator("#hand")).to_contain_text("Kept on this device")
    hand = page.locator("#byhand")
    for count in ("3", "2"):
        scan(page, f"{farm.codes['plates']}/4".lower())
        expect(page.locator("#from")).to_have_value(farm.codes["plates"])
        page.locator("#into").select_option("step:grain")
        page.locator("#byhand [name=makes]").fill(count)
        hand.get_by_role("button", name="Write it down").tap()
        hand.get_by_role("button", name="Write down another").tap()
    page.get_by_text("Clean down").tap()
    page.get_by_role("button", name="End the session").tap()
    expect(page.locator("#waiting")).to_contain_text("4 waiting to be sent")
    assert made(farm) == []
    assert faults(page) == []

    context = page.context
    page.close()
    context.set_offline(False)
    page = context.new_page()
    page.goto("/bench/")
    expect(page.locator("#waiting")).to_contain_text("4 sent.", timeout=SOON_MS)
    found = made(farm)
    assert [(each["turn"], each["count"]) for each in found] == [(1, 10), (2, 3), (3, 2)]
    assert len({each["session"] for each in found}) == 1
    assert all("waited" in each for each in found)
    page.goto("/bench/")
    expect(page.get_by_role("button", name="Begin the session")).to_be_visible()
    assert farm.entries("session") == 2


def make_by_hand(page: Page, lot: str, count: str) -> None:
    part = page.locator("#until-begun")
    page.fill("#from", lot)
    page.locator("#into").select_option("step:grain")
    part.locator("[name=makes]").fill(count)
    part.get_by_role("button", name="Write it down").tap()
    part.get_by_role("button", name="Write down another").tap()


@SIZES
def test_begun_without_network_what_is_made_arrives_after_the_begin(
    open_page: OpenPage, farm: Served, size: tuple[int, int]
) -> None:
    page = open_page(size, person="ben")
    page.goto("/bench/")
    expect(page.locator("#until-begun")).to_be_hidden()
    with farm.away():
        for line in page.locator("#begin .check").all():
            line.tap()
        page.get_by_role("button", name="Begin the session").tap()
        expect(page.locator("#until-begun")).to_be_visible()
        expect(page.get_by_role("button", name="Begin the session")).to_be_hidden()
        assert faults(page) == []
        for count in ("3", "2"):
            make_by_hand(page, farm.codes["plates"], count)
        expect(page.locator("#waiting")).to_contain_text("3 waiting to be sent")
    expect(page.locator("#waiting")).to_contain_text("3 sent.", timeout=SOON_MS)
    found = made(farm)
    assert [(each["turn"], each["count"]) for each in found] == [(1, 3), (2, 2)]
    [begun_as] = {each["session"] for each in found}
    assert begun_as.startswith("bench")
    page.goto("/bench/")
    expect(page.locator("#hand")).to_contain_text("Made in this session")
    assert farm.entries("session") == 1


def test_begun_made_and_ended_without_network_and_another_after_it(
    open_page: OpenPage, farm: Served
) -> None:
    page = open_page(person="ben")
    page.goto("/bench/")
    part = page.locator("#until-begun")
    with farm.away():
        for count in ("3", "2"):
            for line in page.locator("#begin .check").all():
                line.tap()
            page.get_by_role("button", name="Begin the session").tap()
            expect(part.get_by_role("button", name="Write it down")).to_be_visible()
            make_by_hand(page, farm.codes["plates"], count)
            for line in part.locator("#end .check").all():
                line.tap()
            assert faults(page) == []
            part.get_by_role("button", name="End the session").tap()
            expect(part.locator(".note.waits")).to_contain_text("Kept on this device")
            expect(part.get_by_role("button", name="Write it down")).to_be_hidden()
            expect(page.get_by_role("button", name="Begin the session")).to_be_visible()
            assert faults(page) == []
        expect(page.locator("#waiting")).to_contain_text("6 waiting to be sent")
        assert farm.entries("session") == 0
    expect(page.locator("#waiting")).to_contain_text("6 sent.", timeout=SOON_MS)
    found = made(farm)
    assert [(each["turn"], each["count"]) for each in found] == [(1, 3), (1, 2)]
    assert len({each["session"] for each in found}) == 2
    assert farm.entries("session") == 4
    page.goto("/books/sessions/")
    expect(page.locator(".list a.line")).to_have_count(2)
    page.locator(".list a.line").first.tap()
    expect(page.locator("main")).to_contain_text("2 grain jars")
    expect(page.locator("main")).not_to_contain_text("Not ticked")
    page.goto("/bench/")
    expect(page.get_by_role("button", name="Begin the session")).to_be_visible()


def test_a_begin_that_is_refused_brings_back_what_was_made_after_it(
    open_page: OpenPage, farm: Served
) -> None:
    page = open_page(person="ben")
    page.goto("/bench/")
    with farm.away():
        page.get_by_role("button", name="Begin the session").tap()  # nothing is ticked
        expect(page.locator("#until-begun")).to_be_visible()
        make_by_hand(page, farm.codes["plates"], "3")
        page.get_by_role("button", name="End the session").tap()
    expect(page.locator("#waiting")).to_contain_text("3 to look at", timeout=SOON_MS)
    page.locator("#waiting summary").tap()
    expect(page.locator("#waiting")).to_contain_text("Not ticked")
    expect(page.locator("#waiting")).to_contain_text("was not begun")
    assert made(farm) == []
    begin(page)
    page.locator("#waiting summary").tap()
    page.locator("#waiting li").nth(1).get_by_role("link", name="Open the form again").tap()
    expect(page.locator("#from")).to_have_value(farm.codes["plates"])
    page.locator("#byhand").get_by_role("button", name="Write it down").tap()
    expect(page.locator("#waiting")).to_contain_text("2 to look at")
    [found] = made(farm)
    assert (found["turn"], found["count"]) == (1, 3)
