"""Four tablets at one bench session and on one lot at once, over https; one without network."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from playwright.sync_api import Page, expect

from browser.conftest import OpenPage
from browser.farm_server import Served
from browser.test_bench import begin, made
from browser.test_home_screen import as_of, pages_kept
from browser.test_no_network import SOON_MS, kept, strip

TAP_TWICE = """form => {
  const button = form.querySelector("button.act");
  button.click();
  button.click();
}"""


def fill_in(page: Page, lot: str, units: int, makes: int) -> None:
    part = page.locator("#byhand")
    page.evaluate("() => { document.getElementById('byhand').open = true; }")
    page.fill("#from", f"{lot} {units}")
    page.locator("#into").select_option("step:grain")
    part.locator("[name=makes]").fill(str(makes))


def tap_twice(page: Page) -> None:
    """Tap two times, and wait for nothing: the other tablets tap at the same moment."""
    page.locator("#byhand form").evaluate(TAP_TWICE)


def join(page: Page) -> None:
    page.goto("/bench/")
    for line in page.locator("#begin .check").all():
        line.tap()
    page.get_by_role("button", name="Join the session").tap()
    expect(page.locator("#code")).to_be_focused()


def test_nothing_is_lost_nothing_twice_and_what_cannot_be_is_asked(
    open_secure: OpenPage, secure: Served
) -> None:
    """Of twelve plates the four use three each; a fifth three cannot have been there."""
    plates = secure.codes["plates"]
    tablets = [open_secure(person=person) for person in ("ben", "ada", "ben", "ada")]
    away = tablets[3]
    begin(tablets[0])
    join(tablets[1])
    for page in tablets[2:]:
        page.goto("/bench/")
        expect(page.locator("#code")).to_be_focused()
    pages_kept(away, "ada /bench/")
    away.context.set_offline(True)
    for makes in (2, 3):
        away.goto("/bench/")
        expect(as_of(away)).to_be_visible()
        fill_in(away, plates, 3, makes)
        tap_twice(away)
        expect(away.locator("#byhand")).to_contain_text("Kept on this device")
    expect(strip(away)).to_contain_text("2 waiting to be sent")

    for number, page in enumerate(tablets[:3]):
        fill_in(page, plates, 3, 4 + number)
    for page in tablets[:3]:
        tap_twice(page)
    for page in tablets[:3]:
        expect(page.locator("#said .note.good")).to_be_visible(timeout=SOON_MS)
        kept(page, [])
    away.context.set_offline(False)
    expect(strip(away)).to_contain_text("1 to look at", timeout=SOON_MS)
    kept(away, ["no"])

    found = made(secure)
    assert sorted(each["count"] for each in found[:3]) == [4, 5, 6]
    assert [each["count"] for each in found[3:]] == [2]
    assert [each["turn"] for each in found] == [1, 2, 3, 4]
    assert len({each["session"] for each in found}) == 1
    assert sorted(each["person"] for each in found) == ["ada", "ada", "ben", "ben"]

    strip(away).locator("summary").tap()
    expect(strip(away)).to_contain_text("Not written down. The farm said:")
    expect(strip(away)).to_contain_text(plates)
    strip(away).get_by_role("link", name="Open the form again").tap()
    expect(away.locator("#from")).to_have_value(f"{plates} 3")
    away.locator("#byhand [name=makes]").fill("1")
    away.fill("#from", f"{plates} 0")  # of one that is open already
    away.locator("#byhand").get_by_role("button", name="Write it down").tap()
    away.get_by_role("button", name="the books are behind").tap()
    expect(away.locator("#said .note.good")).to_be_visible()
    kept(away, [])
    assert [each["count"] for each in made(secure)[4:]] == [1]
    pinset = Path(sys.executable).parent / "pinset"
    subprocess.run([pinset, "--farm", secure.folder, "check"], check=True, timeout=60)
