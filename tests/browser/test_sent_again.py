"""What waited and was refused is opened and sent again: it still happened when it was tapped."""

from __future__ import annotations

import json
import sqlite3
from datetime import UTC, datetime, timedelta
from typing import Any

from playwright.sync_api import Page, expect

from browser.conftest import OpenPage
from browser.farm_server import Served
from browser.test_every_page import faults
from browser.test_no_network import SOON_MS, kept, lot, strip

DEEDS = """() => [...document.querySelectorAll('input[type=hidden][name=deed]')]
  .map(each => each.value)"""
WAITED = timedelta(minutes=40)
CLOSE = timedelta(minutes=2)
ENTRIES = "SELECT happened_at, recorded_at, details FROM farm_entry WHERE kind=? ORDER BY id"

TAPPED_EARLIER = """minutes => new Promise(resolve => {
  const request = indexedDB.open('pinset-waiting');
  request.onsuccess = () => {
    const taps = request.result.transaction('taps', 'readwrite').objectStore('taps');
    const all = taps.getAll();
    all.onsuccess = () => {
      all.result.forEach(each => {
        const earlier = new Date(new Date(each.tapped).getTime() - minutes * 60000);
        taps.put({ ...each, tapped: earlier.toISOString() });
      });
      taps.transaction.oncomplete = () => { request.result.close(); resolve(); };
    };
  };
})"""


def shift_clock(page: Page, hours: float) -> None:
    """Let the device's clock be wrong by so many hours on every page opened from now on."""
    page.context.add_init_script(
        f"const Right = Date; Date = class extends Right {{ constructor(...given) {{"
        f" given.length ? super(...given) : super(Right.now() + {hours} * 3600000); }}"
        f" static now() {{ return Right.now() + {hours} * 3600000; }} }};"
    )


def last(farm: Served, kind: str) -> tuple[datetime, datetime, dict[str, Any]]:
    """Return when the last entry of a kind happened and was recorded, and its details."""
    with sqlite3.connect(farm.folder / "farm.sqlite3") as database:
        happened, recorded, details = list(database.execute(ENTRIES, [kind]))[-1]
    moments = [datetime.fromisoformat(each).replace(tzinfo=UTC) for each in (happened, recorded)]
    return moments[0], moments[1], json.loads(details)


def lose(page: Page, count: int) -> None:
    """Tap that so many are lost to green dust, on the lot's page."""
    if not page.locator("#lose-count").is_visible():
        page.get_by_text("Some are lost to contamination").tap()
    page.fill("#lose-count", str(count))
    page.get_by_role("button", name="green dust").tap()


def lose_elsewhere(open_page: OpenPage, farm: Served, code: str, left: int) -> None:
    """Let somebody at another tablet lose all of a lot but some."""
    other = open_page(person="ada")
    lot(farm, other, code)
    alive = int(other.locator("#lose-count").get_attribute("max") or 0)
    lose(other, alive - left)
    expect(other.locator("#said")).to_contain_text("lost")


def refused(page: Page, minutes: float = WAITED.total_seconds() / 60) -> None:
    """Let what waits have been tapped so long ago, send it and wait for the farm's no."""
    expect(strip(page)).to_contain_text("1 waiting to be sent")
    page.evaluate(TAPPED_EARLIER, minutes)
    page.context.set_offline(False)
    expect(strip(page)).to_contain_text("1 to look at", timeout=SOON_MS)


def open_again(page: Page) -> None:
    strip(page).locator("summary").tap()
    page.get_by_role("link", name="Open the form again").tap()
    expect(page.locator("#said")).to_contain_text("What you typed stands in the form again")


def happened_at_the_tap(farm: Served, kind: str, *, ahead: timedelta = timedelta(0)) -> None:
    happened, recorded, details = last(farm, kind)
    assert abs(recorded - WAITED - happened) < CLOSE
    waited = details["waited"]
    tapped = datetime.fromisoformat(waited["tapped"])
    assert abs(tapped - ahead - happened) < CLOSE
    assert abs(waited["ahead_s"] - ahead.total_seconds()) < CLOSE.total_seconds()


def test_a_form_without_a_time_keeps_the_time_of_the_tap(open_page: OpenPage, farm: Served) -> None:
    page = open_page(person="ben")
    lot(farm, page)
    alive = int(page.locator("#lose-count").get_attribute("max") or 0)
    page.context.set_offline(True)
    lose(page, alive)
    lose_elsewhere(open_page, farm, farm.codes["grain"], 3)
    refused(page)
    open_again(page)
    expect(page.locator("#said")).to_contain_text("when you tapped it")
    assert faults(page) == []
    lose(page, 1)
    expect(page.locator("#said")).to_contain_text("1 unit lost.")
    expect(page.locator("#said")).to_contain_text("when it was tapped")
    kept(page, [])
    happened_at_the_tap(farm, "lose")


def test_a_slow_clock_does_no_harm_to_a_look_sent_again(open_page: OpenPage, farm: Served) -> None:
    _look_sent_again(open_page, farm, hours=-5)


def test_a_fast_clock_does_no_harm_to_a_look_sent_again(open_page: OpenPage, farm: Served) -> None:
    _look_sent_again(open_page, farm, hours=7)


def _look_sent_again(open_page: OpenPage, farm: Served, hours: int) -> None:
    code = farm.codes["grain"]
    page = open_page(person="ben")
    shift_clock(page, hours)
    page.goto(f"/look/{code}/")
    alive = page.input_value("#of")
    page.context.set_offline(True)
    page.get_by_text("green dust").first.tap()
    page.fill("#count", alive)
    page.get_by_role("button", name="Write it down", exact=True).tap()
    lose_elsewhere(open_page, farm, code, 2)
    refused(page)
    open_again(page)
    page.fill("#of", "2")
    page.fill("#count", "2")
    page.get_by_role("button", name="Write it down", exact=True).tap()
    expect(page.locator("#said")).to_contain_text("when it was tapped", timeout=SOON_MS)
    expect(page.locator("#said")).to_contain_text(f"{abs(hours)} hours 0 minutes")
    kept(page, [])
    happened_at_the_tap(farm, "look", ahead=timedelta(hours=hours))


def test_it_is_kept_with_its_time_until_the_farm_takes_it(
    open_page: OpenPage, farm: Served
) -> None:
    """Refused again, by a page that asks and after the network was away once more."""
    code = farm.codes["grain"]
    page = open_page(person="ben")
    lot(farm, page)
    alive = int(page.locator("#lose-count").get_attribute("max") or 0)
    page.context.set_offline(True)
    lose(page, alive)
    lose_elsewhere(open_page, farm, code, 3)
    refused(page)
    open_again(page)
    lose_elsewhere(open_page, farm, code, 2)
    lose(page, 3)
    expect(page.get_by_label("Why is it right?")).to_be_visible()
    expect(page.get_by_label("When it happened", exact=True).first).not_to_have_value("")
    kept(page, ["no"])
    lot(farm, page)
    open_again(page)
    page.context.set_offline(True)
    lose(page, 2)
    lose_elsewhere(open_page, farm, code, 1)
    expect(strip(page)).to_contain_text("1 waiting to be sent")
    page.context.set_offline(False)
    expect(strip(page)).to_contain_text("1 to look at", timeout=SOON_MS)
    lot(farm, page)
    open_again(page)
    lose(page, 1)
    expect(page.locator("#said")).to_contain_text("1 unit lost.")
    kept(page, [])
    happened_at_the_tap(farm, "lose")


def test_a_refused_moment_is_said_on_the_page(open_page: OpenPage, farm: Served) -> None:
    """The clock was set back while it waited: nobody but a person knows when it was."""
    page = open_page(person="ben")
    lot(farm, page)
    page.context.set_offline(True)
    lose(page, 1)
    refused(page, minutes=-90)
    open_again(page)
    expect(page.locator("#said")).to_contain_text("Say when it happened")
    field = page.get_by_label("When it happened", exact=True)
    expect(field).to_have_value("")
    assert faults(page) == []
    page.get_by_role("button", name="green dust").tap()  # the browser asks for the moment
    kept(page, ["no"])
    then = datetime.now(UTC) - timedelta(days=1)
    field.fill(f"{then + timedelta(days=3):%Y-%m-%dT%H:%M}")
    page.get_by_role("button", name="green dust").tap()
    expect(page.locator("main")).to_contain_text("or earlier")
    kept(page, ["no"])
    open_again(page)
    field = page.get_by_label("When it happened", exact=True)
    field.fill(f"{then:%Y-%m-%dT%H:%M}")
    page.get_by_role("button", name="green dust").tap()
    expect(page.locator("#said")).to_contain_text("1 unit lost.")
    kept(page, [])
    happened, _recorded, details = last(farm, "lose")
    assert abs(happened - then) < timedelta(hours=15)  # the farm's clock may stand in another zone
    assert "waited" in details


def test_of_many_forms_that_are_sent_to_one_place_the_right_one_is_opened(
    open_page: OpenPage, farm: Served
) -> None:
    """On Scan all deeds go to one address: a refused look is not filled into a move."""
    page = open_page(person="ben")
    code = farm.codes["grain"]
    page.goto(f"/scan/{code}/")
    assert len(set(page.evaluate(DEEDS))) > 2
    form = page.locator('form:has(input[name="deed"][value="look"])').first
    expect(form).to_be_attached()
    page.context.set_offline(True)
    form.locator("button:not([name=client_id])").last.evaluate("each => each.click()")
    lose_elsewhere(open_page, farm, code, 1)
    refused(page)
    open_again(page)
    fresh = open_page(person="ada")
    fresh.goto(f"/scan/{code}/")
    assert page.evaluate(DEEDS) == fresh.evaluate(DEEDS)  # no form has become another
