"""The network goes away: what is tapped waits on the device and arrives once, in order."""

from __future__ import annotations

import json
import os
import signal
import sqlite3
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, Route, expect

from browser.conftest import CHROMIUM, PHONE, TABLET, OpenPage
from browser.farm_server import PASSWORD, Served
from browser.test_every_page import faults

SOON_MS = 40_000  # what is tried again by itself, also on a busy machine
STRIP = Path(__file__).parents[2] / "src/pinset/web/static/waiting/strip.js"
NOTES = (
    "SELECT n.text, p.code, e.happened_at, e.recorded_at, e.details FROM farm_entry e "
    "JOIN farm_note n ON n.digest = e.note JOIN farm_person p ON p.id = e.person_id "
    "WHERE e.kind = 'note' ORDER BY e.id"
)


def notes(farm: Served) -> list[tuple[str, str]]:
    """Return what was noted and by whom, in the order it was written down."""
    return [(row[0], row[1]) for row in rows(farm)]


def rows(farm: Served) -> list[tuple[Any, ...]]:
    with sqlite3.connect(farm.folder / "farm.sqlite3") as database:
        return list(database.execute(NOTES))


def lot(farm: Served, page: Page, code: str = "") -> None:
    page.goto(f"/books/lots/{code or farm.codes['grain']}/")


def form(page: Page, what: str) -> Locator:
    return page.locator(f"form[action$='/say/{what}/']")


def note(page: Page, text: str) -> None:
    """Open the form if it is shut, type a note and tap; it must be kept on the device."""
    sheet = page.locator("details", has=form(page, "note"))
    if sheet.get_attribute("open") is None:
        sheet.locator("summary").first.tap()
    again = sheet.get_by_role("button", name="Write down another")
    if again.count():
        again.tap()
    page.fill("#lot-note", text)
    page.get_by_role("button", name="Write it down").tap()
    expect(again).to_be_visible()


def strip(page: Page) -> Locator:
    return page.locator("#waiting")


def sign_in(page: Page, person: str) -> None:
    page.goto("/sign-in/")
    page.fill("#name", person)
    page.fill("#password", PASSWORD)
    page.press("#password", "Enter")
    page.wait_for_url("**/")
    page.wait_for_load_state()


KEPT = """() => new Promise(resolve => {
  const request = indexedDB.open('pinset-waiting');
  request.onsuccess = () => {
    const all = request.result.transaction('taps').objectStore('taps').getAll();
    all.onsuccess = () => { request.result.close(); resolve(all.result.map(each => each.state)); };
  };
})"""


def kept(page: Page, wanted: list[str], tries: int = 50) -> None:
    """Wait until the device keeps taps in these states, and no other."""
    for _ in range(tries):
        states: list[str] = page.evaluate(KEPT)
        if states == wanted:
            return
        page.wait_for_timeout(100)
    assert states == wanted


@pytest.mark.parametrize("size", [TABLET, PHONE], ids=["tablet", "phone"])
def test_twenty_entries_a_closed_page_and_the_network_back(
    open_page: OpenPage, farm: Served, size: tuple[int, int]
) -> None:
    page = open_page(size, person="ben")
    lot(farm, page)
    page.context.set_offline(True)
    texts = [f"note {number} of twenty" for number in range(1, 21)]
    for text in texts:
        note(page, text)
    expect(strip(page)).to_contain_text("20 waiting to be sent")
    expect(strip(page)).to_contain_text("The farm cannot be reached")
    strip(page).locator("summary").tap()
    expect(strip(page).locator("li")).to_have_count(20)
    expect(strip(page).locator("li").first).to_contain_text("note 1 of twenty")
    expect(strip(page).locator("li").first).to_contain_text("tapped by Ben")
    assert faults(page) == []
    assert notes(farm) == []

    context = page.context
    page.close()
    context.set_offline(False)
    page = context.new_page()
    page.goto("/promises/")
    expect(strip(page)).to_contain_text("20 sent.", timeout=SOON_MS)
    assert notes(farm) == [(text, "ben") for text in texts]
    assert faults(page) == []
    for _text, _who, happened, recorded, details in rows(farm):
        assert datetime.fromisoformat(happened) < datetime.fromisoformat(recorded)
        assert abs(json.loads(details)["waited"]["ahead_s"]) <= 2


def test_a_stopped_server_and_a_double_tap_on_a_card(open_page: OpenPage, farm: Served) -> None:
    page = open_page(person="ben")
    card = page.locator(f"#job-{farm.codes['shake']}")
    with farm.away():
        card.get_by_role("button", name="Shaken").dblclick()
        expect(card).to_contain_text("Kept on this device")
        expect(card.get_by_role("button", name="Shaken")).to_be_hidden()
        expect(strip(page)).to_contain_text("1 waiting to be sent")
        assert farm.entries("shake") == 0
    expect(strip(page)).to_contain_text("1 sent.", timeout=SOON_MS)
    strip(page).get_by_role("link", name="Show the page as it is now").tap()
    expect(card).to_contain_text("Done.")
    assert farm.entries("shake") == 1


def test_a_tap_before_the_page_is_whole_is_kept_as_well(open_page: OpenPage, farm: Served) -> None:
    page = open_page(person="ben")
    late: list[Route] = []
    page.route("**/waiting/strip.js", lambda route: late.append(route))  # noqa: PLW0108
    page.goto("/", wait_until="commit")
    card = page.locator(f"#job-{farm.codes['shake']}")
    for _ in range(100):
        if late:
            break
        page.wait_for_timeout(100)
    page.wait_for_timeout(1000)  # the other scripts are there
    card.get_by_role("button", name="Shaken").dblclick()
    page.context.set_offline(True)
    late[0].fulfill(path=STRIP, content_type="text/javascript")
    expect(card).to_contain_text("Kept on this device")
    kept(page, ["waiting"])
    page.unroute("**/waiting/strip.js")
    page.context.set_offline(False)
    expect(strip(page)).to_contain_text("1 sent.", timeout=SOON_MS)
    assert farm.entries("shake") == 1


def test_a_script_that_never_comes_holds_no_form_up(open_page: OpenPage, farm: Served) -> None:
    page = open_page(person="ben")
    page.route("**/waiting/main.js", lambda route: route.fulfill(status=404))
    page.goto("/")
    card = page.locator(f"#job-{farm.codes['shake']}")
    card.get_by_role("button", name="Shaken").tap()
    expect(card).to_contain_text("Done.", timeout=SOON_MS)
    assert farm.entries("shake") == 1


def test_with_the_network_there_nothing_stays_on_the_device(
    open_page: OpenPage, farm: Served
) -> None:
    page = open_page(person="ben")
    card = page.locator(f"#job-{farm.codes['shake']}")
    card.get_by_role("button", name="Shaken").tap()
    expect(card).to_contain_text("Done.")
    lot(farm, page)
    page.get_by_text("A note", exact=True).tap()
    page.fill("#lot-note", "sent at once")
    page.get_by_role("button", name="Write it down").tap()
    expect(page.locator("#said")).to_contain_text("oted")
    expect(strip(page)).to_be_hidden()
    kept(page, [])
    assert farm.entries("shake") == 1
    [row] = rows(farm)
    assert "waited" not in json.loads(row[4])


def test_four_devices_on_one_lot_and_nothing_is_dropped(open_page: OpenPage, farm: Served) -> None:
    """Each says that two fifths are lost: two fit the books, the others are asked about."""
    pages = [open_page(person=person) for person in ("ben", "ada", "ben", "ada")]
    for page in pages:
        lot(farm, page)
        alive = int(page.locator("#lose-count").get_attribute("max") or 0)
        page.context.set_offline(True)
        page.get_by_text("Some are lost to contamination").tap()
        page.fill("#lose-count", str(alive * 2 // 5))
        page.get_by_role("button", name="green dust").tap()
        expect(strip(page)).to_contain_text("1 waiting to be sent")
    for page in pages:
        page.context.set_offline(False)
    for page in pages:
        expect(strip(page)).not_to_contain_text("waiting to be sent", timeout=SOON_MS)
    refused = [page for page in pages if page.evaluate(KEPT) == ["no"]]
    assert farm.entries("lose") + len(refused) == len(pages)
    assert len(refused) == 2
    for page in refused:
        lot(farm, page)
        expect(strip(page)).to_contain_text("1 to look at")
        strip(page).locator("summary").tap()
        expect(strip(page)).to_contain_text("Not written down. The farm said:")
        expect(strip(page)).to_contain_text("2 stand there in the books")

    # One opens the form again and says what is right; the other throws it away by a second tap.
    first, second = refused
    first.get_by_role("link", name="Open the form again").tap()
    expect(first.locator("#said")).to_contain_text("What you typed stands in the form again")
    assert first.locator("#lose-count").input_value() == str(alive * 2 // 5)
    first.fill("#lose-count", "1")
    first.get_by_role("button", name="green dust").tap()
    expect(first.locator("#said")).to_contain_text("1 unit lost.")
    kept(first, [])
    second.get_by_role("button", name="Throw away").tap()
    kept(second, ["no"])
    second.get_by_role("button", name="Tap again to throw it away").tap()
    expect(strip(second)).to_be_hidden()
    kept(second, [])
    assert farm.entries("lose") == 3


def test_the_farms_no_stays_after_the_page_was_opened_anew(
    open_page: OpenPage, farm: Served
) -> None:
    page = open_page(person="ben")
    lot(farm, page)
    page.context.set_offline(True)
    page.get_by_text("It will be ready on another day").tap()
    page.fill("#ready-on", "1999-01-01")
    form(page, "ready").get_by_role("button").tap()
    note(page, "after it, and not held up by it")
    page.context.set_offline(False)
    expect(strip(page)).to_contain_text("1 to look at", timeout=SOON_MS)
    page.goto("/")
    expect(strip(page)).to_contain_text("1 to look at")
    strip(page).locator("summary").tap()
    expect(strip(page)).to_contain_text("1999-01-01")
    assert faults(page) == []
    assert notes(farm) == [("after it, and not held up by it", "ben")]
    assert farm.entries("judge") == 0


def test_two_pages_of_one_device(open_page: OpenPage, farm: Served) -> None:
    left = open_page(person="ben")
    right = left.context.new_page()
    for page in (left, right):
        lot(farm, page)
    left.context.set_offline(True)
    texts = [f"note {number} of eight" for number in range(1, 9)]
    for number, text in enumerate(texts):
        page = (left, right)[number % 2]
        page.bring_to_front()  # as a person does; what is behind is drawn seldom
        note(page, text)
    for page in (left, right):
        expect(strip(page)).to_contain_text("8 waiting to be sent")
    left.context.set_offline(False)
    for page in (left, right):
        expect(strip(page)).not_to_contain_text("waiting to be sent", timeout=SOON_MS)
    assert notes(farm) == [(text, "ben") for text in texts]


def test_another_person_is_signed_in_when_the_network_is_back(
    open_page: OpenPage, farm: Served
) -> None:
    page = open_page(person="ben")
    lot(farm, page)
    page.context.set_offline(True)
    note(page, "what ben saw")
    page.context.set_offline(False)
    page.context.route("**/books/lots/*/say/**", lambda route: route.abort("internetdisconnected"))
    expect(strip(page)).to_contain_text("1 waiting to be sent")
    page.context.clear_cookies()
    page.context.unroute("**/books/lots/*/say/**")
    sign_in(page, "ada")
    expect(strip(page)).to_contain_text("Ada is signed in now.", timeout=SOON_MS)
    expect(strip(page)).to_contain_text("waits until Ben signs in")
    lot(farm, page)
    page.get_by_text("A note", exact=True).tap()
    page.fill("#lot-note", "what ada saw")
    page.get_by_role("button", name="Write it down").tap()
    expect(page.locator("#said")).to_contain_text("oted")
    assert notes(farm) == [("what ada saw", "ada")]
    page.get_by_role("button", name="Sign out").tap()
    expect(strip(page)).to_contain_text("1 waiting to be sent")
    assert faults(page) == []
    sign_in(page, "ben")
    expect(strip(page)).to_contain_text("1 sent.", timeout=SOON_MS)
    assert notes(farm) == [("what ada saw", "ada"), ("what ben saw", "ben")]


def test_the_sign_in_was_lost_meanwhile(open_page: OpenPage, farm: Served) -> None:
    page = open_page(person="ben")
    lot(farm, page)
    page.context.clear_cookies()
    note(page, "tapped without a sign-in")
    expect(strip(page)).to_contain_text("Nobody is signed in any more.")
    strip(page).get_by_role("link", name="Sign in").tap()
    expect(page.locator("#name")).to_be_visible()
    expect(strip(page)).to_contain_text("1 waiting to be sent")
    expect(strip(page)).not_to_contain_text("tapped without a sign-in")
    sign_in(page, "ben")
    expect(strip(page)).to_contain_text("1 sent.", timeout=SOON_MS)
    assert notes(farm) == [("tapped without a sign-in", "ben")]


def test_a_clock_that_is_hours_wrong_is_said_and_does_no_harm(
    open_page: OpenPage, farm: Served
) -> None:
    page = open_page(person="ben")
    hours = 5
    page.context.add_init_script(
        f"const Right = Date; Date = class extends Right {{ constructor(...given) {{"
        f" given.length ? super(...given) : super(Right.now() + {hours} * 3600000); }}"
        f" static now() {{ return Right.now() + {hours} * 3600000; }} }};"
    )
    lot(farm, page)
    page.context.set_offline(True)
    note(page, "by a wrong clock")
    page.context.set_offline(False)
    expect(strip(page)).to_contain_text("5 hours 0 minutes ahead of the farm's", timeout=SOON_MS)
    page.goto("/")
    expect(strip(page)).to_contain_text("5 hours 0 minutes ahead of the farm's")
    strip(page).get_by_role("button", name="Read").tap()
    [(_text, _who, happened, recorded, details)] = rows(farm)
    gap = datetime.fromisoformat(recorded) - datetime.fromisoformat(happened)
    assert timedelta(0) <= gap < timedelta(minutes=2)
    assert abs(json.loads(details)["waited"]["ahead_s"] - hours * 3600) <= 5


LEAVE_SENDING = """() => new Promise(resolve => {
  const request = indexedDB.open('pinset-waiting');
  request.onsuccess = () => {
    const taps = request.result.transaction('taps', 'readwrite').objectStore('taps');
    const all = taps.getAll();
    all.onsuccess = () => {
      all.result.forEach(each => taps.put({ ...each, state: 'sending' }));
      taps.transaction.oncomplete = () => { request.result.close(); resolve(); };
    };
  };
})"""


def test_what_a_closed_page_was_sending_waits_again_and_can_be_thrown_away(
    open_page: OpenPage, farm: Served
) -> None:
    page = open_page(person="ben")
    lot(farm, page)
    page.context.set_offline(True)
    note(page, "on its way when the page was closed")
    page.evaluate(LEAVE_SENDING)
    kept(page, ["waiting"], tries=200)
    strip(page).locator("summary").tap()
    expect(strip(page)).to_contain_text("It was sent once without an answer")
    page.get_by_role("button", name="Throw away").tap()
    page.get_by_role("button", name="Tap again to throw it away").tap()
    kept(page, [])
    page.context.set_offline(False)
    page.goto("/")
    expect(strip(page)).to_be_hidden()
    assert notes(farm) == []


ADD_FILE = """() => {
  const input = document.createElement('input');
  input.type = 'file'; input.name = 'photo'; input.id = 'photo';
  document.querySelector("form[action$='/say/note/']").append(input);
}"""


def test_a_photo_waits_up_to_a_size_that_is_said(open_page: OpenPage, farm: Served) -> None:
    page = open_page(person="ben")
    lot(farm, page)
    page.get_by_text("A note", exact=True).tap()
    page.evaluate(ADD_FILE)
    page.context.set_offline(True)
    photo = {"name": "jar.jpg", "mimeType": "image/jpeg", "buffer": os.urandom(13_000_000)}
    page.set_input_files("#photo", photo)
    page.fill("#lot-note", "with a large photo")
    page.get_by_role("button", name="Write it down").tap()
    expect(page.locator("#said")).to_contain_text("up to 12 MB are kept on this device")
    assert page.input_value("#lot-note") == "with a large photo"
    kept(page, [])

    small = os.urandom(300_000)
    page.set_input_files("#photo", {**photo, "buffer": small})
    page.get_by_role("button", name="Write it down").tap()
    expect(strip(page)).to_contain_text("1 waiting to be sent")
    page.close()
    sent: list[bytes] = []
    context = page.context
    context.on(
        "request",
        lambda asked: sent.append(asked.post_data_buffer or b"") if "/say/" in asked.url else None,
    )
    context.set_offline(False)
    page = context.new_page()
    page.goto("/")
    expect(strip(page)).to_contain_text("1 sent.", timeout=SOON_MS)
    assert notes(farm) == [("with a large photo", "ben")]
    assert [small in body for body in sent if body] in ([True], [])  # large bodies may not be told


def test_a_killed_browser_forgets_nothing(browser: Browser, farm: Served, tmp_path: Path) -> None:
    def started() -> Any:
        return browser.browser_type.launch_persistent_context(
            tmp_path / "profile", executable_path=CHROMIUM, base_url=farm.base, has_touch=True
        )

    context = started()
    page = context.new_page()
    sign_in(page, "ben")
    lot(farm, page)
    context.set_offline(True)
    note(page, "before the browser died")
    note(page, "and another")
    told = context.browser.new_browser_cdp_session() if context.browser else None
    assert told is not None
    [pid] = [
        each["id"]
        for each in told.send("SystemInfo.getProcessInfo")["processInfo"]
        if each["type"] == "browser"
    ]
    with context.expect_event("close"):
        os.kill(pid, signal.SIGKILL)

    context = started()
    page = context.new_page()
    page.goto("/")
    if page.locator("#name").is_visible():  # the cookie may not have reached the disk
        expect(strip(page)).to_contain_text("2 waiting to be sent")
        sign_in(page, "ben")
    expect(strip(page)).to_contain_text("2 sent.", timeout=SOON_MS)
    context.close()
    assert notes(farm) == [("before the browser died", "ben"), ("and another", "ben")]
