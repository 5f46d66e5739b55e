"""Labels scanned with a handheld scanner's keys, by photo or by hand, and written down by touch."""

from __future__ import annotations

from pathlib import Path

import pytest
import segno
from playwright.sync_api import Locator, Page, expect

from browser.conftest import PHONE, TABLET, OpenPage
from browser.farm_server import Served
from browser.test_every_page import OPEN_ALL, faults
from browser.test_keyboard_alone import tab_to

SIZES = pytest.mark.parametrize("size", [TABLET, PHONE], ids=["tablet", "phone"])
LEAST_USUAL_PX = 90


def scan(page: Page, *codes: str) -> None:
    """Type codes as a scanner does: at once, each ended by Enter."""
    for code in codes:
        page.keyboard.type(code)
        page.keyboard.press("Enter")


def opened(open_page: OpenPage, size: tuple[int, int]) -> Page:
    page = open_page(size, person="ben")
    page.goto("/scan/")
    expect(page.locator("#code")).to_be_focused()
    return page


def usual(page: Page) -> Locator:
    return page.locator(".thing.usual .tap")


@SIZES
def test_a_scan_and_a_tap_write_the_usual_thing_down(
    open_page: OpenPage, farm: Served, size: tuple[int, int]
) -> None:
    page = open_page(size, person="ben")
    page.get_by_role("link", name="Scan").locator("visible=true").tap()
    expect(page.locator("#code")).to_be_focused()
    scan(page, farm.codes["grain"])
    expect(usual(page)).to_contain_text("Shaken")
    box = usual(page).bounding_box()
    assert box is not None
    others = [each.bounding_box() for each in page.locator(".thing:not(.usual) button").all()]
    assert box["height"] >= LEAST_USUAL_PX
    assert all(other and other["height"] <= box["height"] for other in others)
    usual(page).tap()
    expect(page.locator("#said")).to_contain_text("shaken")
    assert farm.entries("shake") == 1
    expect(page.locator("#code")).to_be_focused()
    page.get_by_role("button", name="Undo").tap()
    expect(page.locator("#said")).to_contain_text("Taken back")
    expect(page.locator("#hand")).to_contain_text(farm.codes["grain"])
    assert farm.entries("correct") == 1


@SIZES
def test_ten_scans_in_a_row_lose_none(
    open_page: OpenPage, farm: Served, size: tuple[int, int]
) -> None:
    page = opened(open_page, size)
    codes = [farm.codes[each] for each in ("grain", "plates", "blocks")]
    scan(page, *(f"{codes[n % 3].lower()}/{n // 3 + 1}" for n in range(10)))
    expect(page.locator(".inhand")).to_have_count(3)
    for n, code in enumerate(codes):
        units = "1, 2, 3, 4" if n == 0 else "1, 2, 3"
        expect(page.locator(".inhand", has_text=code)).to_contain_text(f"{code}/{units}")
    expect(page.locator("#code")).to_have_value("")


@SIZES
def test_what_is_in_hand_is_moved_together(
    open_page: OpenPage, farm: Served, size: tuple[int, int]
) -> None:
    page = opened(open_page, size)
    scan(page, farm.codes["grain"], farm.codes["plates"], farm.codes["blocks"])
    expect(page.locator(".inhand")).to_have_count(3)
    page.get_by_role("button", name=f"Put {farm.codes['blocks']} down").tap()
    expect(page.locator(".inhand")).to_have_count(2)
    before = farm.entries("move")
    page.get_by_label("Moved to another shelf").select_option("lab-1")
    page.get_by_role("button", name="Moved", exact=True).tap()
    expect(page.locator("#said")).to_contain_text("moved to lab-1")
    assert farm.entries("move") == before + 1
    expect(page.locator("#hand")).to_contain_text("Nothing is in hand")


def test_a_scan_never_becomes_a_count(open_page: OpenPage, farm: Served) -> None:
    page = opened(open_page, TABLET)
    scan(page, farm.codes["grain"])
    count = page.locator(".thing.usual input[type=number]")
    count.fill("7")
    count.focus()
    page.wait_for_timeout(200)
    scan(page, farm.codes["blocks"])
    expect(page.locator(".inhand")).to_have_count(2)
    assert farm.entries("shake") == 0
    page.get_by_role("button", name="Put all down").focus()
    scan(page, farm.codes["plates"])
    expect(page.locator(".inhand")).to_have_count(3)


def test_a_scan_whose_keys_come_late_is_no_count_either(open_page: OpenPage, farm: Served) -> None:
    page = opened(open_page, TABLET)
    scan(page, farm.codes["grain"])
    count = page.locator(".thing.usual input[type=number]")
    count.fill("7")
    count.focus()
    page.keyboard.type(farm.codes["blocks"], delay=200)
    page.keyboard.press("Enter")
    expect(page.locator(".inhand")).to_have_count(2)
    expect(page.locator(".inhand", has_text=farm.codes["blocks"])).to_be_visible()
    assert farm.entries("shake") == 0


def test_scans_without_network_are_read_when_it_is_back(open_page: OpenPage, farm: Served) -> None:
    page = opened(open_page, TABLET)
    page.context.set_offline(True)
    scan(page, farm.codes["grain"], farm.codes["plates"])
    expect(page.locator("#queue")).to_contain_text(farm.codes["plates"])
    page.context.set_offline(False)
    expect(page.locator(".inhand")).to_have_count(2)
    expect(page.locator("#queue")).to_be_hidden()


@SIZES
def test_a_photo_of_a_label(
    open_page: OpenPage, farm: Served, size: tuple[int, int], tmp_path: Path
) -> None:
    photo = tmp_path / "label.png"
    segno.make(f"{farm.codes['blocks']}/3", error="q").save(str(photo), scale=8)
    page = opened(open_page, size)
    page.set_input_files("#photofile", photo)
    expect(page.locator("#hand")).to_contain_text("Unit 3")


@SIZES
def test_one_wrong_sign_is_mended_by_a_tap(
    open_page: OpenPage, farm: Served, size: tuple[int, int]
) -> None:
    page, code = opened(open_page, size), farm.codes["grain"]
    scan(page, code[:-1] + ("2" if code[-1] != "2" else "3"))
    expect(page.locator("#hand")).to_contain_text("cannot be right")
    page.get_by_role("button", name=code).tap()
    expect(usual(page)).to_contain_text("Shaken")


def test_too_many_are_asked_about_and_written_with_a_reason(
    open_page: OpenPage, farm: Served
) -> None:
    page = opened(open_page, PHONE)
    scan(page, farm.codes["grain"])
    lost = page.locator(".thing", has=page.get_by_role("button", name="green dust"))
    lost.locator("input[type=number]").fill("12")
    lost.get_by_role("button", name="green dust").tap()
    expect(page.locator("#hand")).to_contain_text("10 stand there")
    assert farm.entries("lose") == 0
    assert faults(page) == []
    page.get_by_label("Why is it right?").fill("a tray was never written down")
    page.get_by_role("button", name="Write it down all the same").tap()
    expect(page.locator("#said")).to_contain_text("lost, green dust")
    assert farm.entries("lose") == 1


@SIZES
def test_what_is_in_hand_is_fit_for_hands_and_readers(
    open_page: OpenPage, farm: Served, size: tuple[int, int]
) -> None:
    page = opened(open_page, size)
    scan(page, farm.codes["grain"])
    expect(usual(page)).to_be_visible()
    assert faults(page) == []
    scan(page, farm.codes["plates"], "ZZZZZ")
    expect(page.locator(".inhand")).to_have_count(2)
    page.evaluate(OPEN_ALL)
    assert faults(page) == []


def test_by_keys_alone(open_page: OpenPage, farm: Served) -> None:
    page = open_page(person="ben", touch=False)
    page.goto("/scan/")
    scan(page, farm.codes["grain"])
    expect(usual(page)).to_be_visible()
    tab_to(page, "Shaken")
    page.keyboard.press("Enter")
    expect(page.locator("#said")).to_contain_text("shaken")
    assert farm.entries("shake") == 1
    tab_to(page, "Undo")
    page.keyboard.press("Space")
    expect(page.locator("#said")).to_contain_text("Taken back")


def test_without_script(open_page: OpenPage, farm: Served) -> None:
    page = open_page(person="ben", script=False)
    page.goto("/scan/")
    page.fill("#code", farm.codes["grain"])
    page.press("#code", "Enter")
    usual(page).tap()
    expect(page.locator("#said")).to_contain_text("shaken")
    assert farm.entries("shake") == 1
