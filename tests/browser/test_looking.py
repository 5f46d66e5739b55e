"""Looking by touch: what is seen is tapped, on a tablet and a phone; axe finds nothing."""

from __future__ import annotations

import base64

import pytest

from browser.conftest import PHONE, TABLET, OpenPage
from browser.farm_server import Served
from browser.test_every_page import faults, misfits

HELD = [(size, scheme) for size in (TABLET, PHONE) for scheme in ("light", "dark")]
IDS = ["tablet by day", "tablet by night", "phone by day", "phone by night"]
LEAST_SIGN_PX = 63.5

# One olive pixel; made with Pillow.
PIXEL = base64.b64decode(
    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAIAAACQd1PeAAAADElEQVR4nGNoaGAAAAKEAQHMDWOyAAAAAElFTkSuQmCC"
)


@pytest.mark.parametrize(("size", "scheme"), HELD, ids=IDS)
def test_a_look_and_a_round_by_touch(
    open_page: OpenPage, farm: Served, size: tuple[int, int], scheme: str
) -> None:
    page = open_page(size, scheme, person="ben")
    page.goto("/look/")
    assert faults(page) == []
    page.locator("a.lotline").first.tap()
    page.wait_for_selector(".lookform")
    assert page.locator(".then").is_hidden(), "what follows stands once a sign is ticked"
    page.locator("label.signtile", has_text="green dust").tap()
    page.locator(".then").wait_for()
    drawn = page.locator(".signtile .sign").first.bounding_box()
    assert drawn is not None
    assert min(drawn["width"], drawn["height"]) >= LEAST_SIGN_PX
    page.evaluate("() => document.querySelectorAll('details').forEach(each => each.open = true)")
    assert faults(page) == []
    page.locator("label.card", has_text="at a seam").tap()
    page.locator(".then [data-step='1']").tap()
    page.set_input_files("#photo", {"name": "a.png", "mimeType": "image/png", "buffer": PIXEL})
    page.get_by_role("button", name="Write it down, and take them out").tap()
    page.wait_for_url(f"{farm.base}/look/")
    said = page.locator("#said").inner_text()
    assert "show green dust at a seam" in said
    assert "2 units lost" in said
    assert "Do not open a mouldy unit" in said
    assert (farm.entries("look"), farm.entries("lose")) == (1, 1)
    assert faults(page) == []

    page.goto("/look/rooms/")
    assert faults(page) == []
    page.locator("input[name$='-temperature']").first.fill("99 F")
    page.locator("input[name$='-co2']").first.fill("5200")
    page.get_by_role("button", name="Write the round down").tap()
    page.locator("#said .note").first.wait_for()
    assert "Look at the meter at the door" in page.locator("#said").inner_text()
    assert farm.entries("round") == 1
    page.get_by_role("link", name="Its last weeks").first.tap()
    page.wait_for_selector("table")
    page.evaluate("() => document.querySelectorAll('details').forEach(each => each.open = true)")
    assert faults(page) == []


def test_the_usual_look_is_two_taps(open_page: OpenPage, farm: Served) -> None:
    page = open_page(PHONE, person="ben")
    page.goto("/look/")
    page.locator("a.lotline").first.tap()
    page.locator("button.well").tap()
    page.wait_for_url(f"{farm.base}/look/")
    assert "nothing seen" in page.locator("#said").inner_text()
    assert farm.entries("look") == 1
    assert "Nothing is left to look over today." in page.locator("main").inner_text()


def test_a_photo_shows_on_the_lots_page(open_page: OpenPage, farm: Served) -> None:
    page = open_page(TABLET)
    lot = farm.codes["grain"]
    page.goto(f"/look/{lot}/")
    page.locator("label.signtile", has_text="wet and sour").tap()
    page.set_input_files("#photo", {"name": "a.png", "mimeType": "image/png", "buffer": PIXEL})
    page.get_by_role("button", name="Write it down", exact=True).tap()
    page.wait_for_url(f"{farm.base}/look/")
    page.goto(f"/books/lots/{lot}/")
    picture = page.locator(".photos img")
    picture.scroll_into_view_if_needed()
    page.wait_for_function("() => document.querySelector('.photos img').naturalWidth > 0")
    assert picture.get_attribute("alt")
    page.evaluate("() => document.querySelectorAll('details').forEach(each => each.open = true)")
    assert faults(page) == []
    page.get_by_role("button", name="Forget it").tap()
    page.wait_for_selector("#said .note.good")
    assert page.locator(".photos img").count() == 0


def test_without_script_everything_stands_open(open_page: OpenPage, farm: Served) -> None:
    page = open_page(PHONE, person="ben", script=False)
    page.goto(f"/look/{farm.codes['grain']}/")
    page.locator("label.signtile", has_text="no growth").tap()
    page.get_by_role("button", name="Write it down", exact=True).tap()
    page.wait_for_url(f"{farm.base}/look/")
    assert farm.entries("look") == 1


def test_the_keyboard_alone_writes_a_look(open_page: OpenPage, farm: Served) -> None:
    page = open_page(TABLET, person="ben", touch=False)
    page.goto(f"/look/{farm.codes['grain']}/")
    page.locator(".signtile [value='stalled']").focus()
    page.keyboard.press("Space")
    page.get_by_role("button", name="Write it down", exact=True).focus()
    page.keyboard.press("Enter")
    page.wait_for_url(f"{farm.base}/look/")
    assert farm.entries("look") == 1
    assert misfits(page) == []
