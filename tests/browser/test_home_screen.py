"""Over https with the farm's own certificate: pages open without network, and nobody else's.

The browser trusts the certificate by the hash of its key, as a device that installed the authority;
under a name of the network, so that nothing works only because it is this computer.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from browser.conftest import CHROMIUM, TABLET, trusting
from browser.farm_server import Served
from browser.test_every_page import faults
from browser.test_no_network import SOON_MS, form, kept, lot, note, notes, sign_in, strip

Started = Callable[[], BrowserContext]


@pytest.fixture
def start(browser: Browser, secure: Served, tmp_path: Path) -> Iterator[Started]:
    """Start the browser of one tablet, again after it was closed; nothing from elsewhere."""
    elsewhere: list[str] = []
    broken: list[str] = []
    contexts: list[BrowserContext] = []

    def started() -> BrowserContext:
        context = browser.browser_type.launch_persistent_context(
            tmp_path / "profile",
            executable_path=CHROMIUM,
            base_url=secure.base,
            has_touch=True,
            viewport={"width": TABLET[0], "height": TABLET[1]},
            args=trusting(secure),
        )
        context.set_default_timeout(15_000)
        context.on(
            "request",
            lambda asked: (
                None
                if asked.url.startswith((secure.base, "data:", "blob:"))
                else elsewhere.append(asked.url)
            ),
        )
        context.on("weberror", lambda problem: broken.append(str(problem.error)))
        contexts.append(context)
        return context

    yield started
    for context in contexts:
        context.close()
    assert elsewhere == [], "something was asked for from elsewhere"
    assert broken == []


WHICH_KEPT = """async () => {
  const found = [];
  for (const name of (await caches.keys()).filter(each => each.startsWith('pinset-pages-')))
    for (const each of await (await caches.open(name)).keys())
      found.push(`${name.split('-').pop()} ${new URL(each.url).pathname}`);
  return found.sort();
}"""


KEEPERS = """async () => {
  const found = await navigator.serviceWorker.getRegistration();
  const state = keeper => keeper ? keeper.state : 'none';
  return `installing ${state(found.installing)}, waiting ${state(found.waiting)}, `
    + `active ${state(found.active)}, of this page ${state(navigator.serviceWorker.controller)}; `
    + (await caches.keys()).join(' ');
}"""


def pages_kept(page: Page, *wanted: str) -> list[str]:
    """Wait until the device keeps these, `person address` each, and return all it keeps."""
    for _ in range(150):
        found: list[str] = page.evaluate(WHICH_KEPT)
        if set(wanted) <= set(found):
            return found
        page.wait_for_timeout(100)
    raise AssertionError(f"kept: {found}, wanted: {wanted}")


def as_of(page: Page) -> Any:
    return page.locator("#asof")


MAIN = ("ben /", "ben /scan/", "ben /bench/", "ben /look/")


def test_twenty_entries_closed_reopened_without_network_and_sent_once(
    start: Started, secure: Served
) -> None:
    context = start()
    page = context.new_page()
    sign_in(page, "ben")
    grain = f"/books/lots/{secure.codes['grain']}/"
    lot(secure, page)
    expect(as_of(page)).to_be_hidden()
    pages_kept(page, *MAIN, f"ben {grain}")
    texts = [f"note {number} of twenty" for number in range(1, 21)]
    with secure.away():
        page.reload()
        expect(as_of(page)).to_contain_text("This page is as it was on")
        for text in texts[:12]:
            note(page, text)
        context.close()  # the tablet is put away, the browser ends
        context = start()
        page = context.new_page()
        page.goto("/")
        expect(as_of(page)).to_be_visible()
        expect(page.locator("h1")).to_be_visible()
        expect(strip(page)).to_contain_text("12 waiting to be sent")
        assert faults(page) == []
        lot(secure, page)
        for text in texts[12:]:
            note(page, text)
        expect(strip(page)).to_contain_text("20 waiting to be sent")
        for address in ("/scan/", "/bench/", "/look/"):
            page.goto(address)
            expect(as_of(page)).to_be_visible()
        assert notes(secure) == []
    expect(strip(page)).to_contain_text("20 sent.", timeout=SOON_MS)
    assert notes(secure) == [(text, "ben") for text in texts]
    kept(page, [])
    page.goto("/")
    expect(as_of(page)).to_be_hidden()


def test_a_page_opened_twice_from_the_device_writes_two_entries(
    start: Started, secure: Served
) -> None:
    page = start().new_page()
    sign_in(page, "ben")
    lot(secure, page)
    pages_kept(page, f"ben /books/lots/{secure.codes['grain']}/")
    with secure.away():
        for text in ("the first time", "the second time"):
            lot(secure, page)
            expect(as_of(page)).to_be_visible()
            note(page, text)
        expect(strip(page)).to_contain_text("2 waiting to be sent")
    expect(strip(page)).to_contain_text("2 sent.", timeout=SOON_MS)
    assert [text for text, _ in notes(secure)] == ["the first time", "the second time"]


def test_what_is_not_kept_says_so_and_what_is(start: Started, secure: Served) -> None:
    page = start().new_page()
    sign_in(page, "ben")
    pages_kept(page, *MAIN)
    page.goto("/settings/pin/")
    with secure.away():
        page.goto(f"/books/lots/{secure.codes['plates']}/")
        expect(page.locator("h1:visible")).to_have_text("The farm cannot be reached")
        expect(page.locator("#kept-pages")).to_contain_text("Today")
        assert faults(page) == []
        page.goto("/settings/pin/")  # not among the pages that are kept
        expect(page.locator("h1:visible")).to_have_text("The farm cannot be reached")
        page.get_by_role("link", name="Today").tap()
        expect(as_of(page)).to_be_visible()


def test_what_was_told_once_is_not_told_again(start: Started, secure: Served) -> None:
    page = start().new_page()
    sign_in(page, "ben")
    lot(secure, page)
    page.get_by_text("A note", exact=True).tap()
    page.fill("#lot-note", "told once")
    form(page, "note").get_by_role("button", name="Write it down").tap()
    expect(page.locator("#said")).to_contain_text("oted")
    expect(page.locator("body")).to_contain_text("told once")
    pages_kept(page, f"ben /books/lots/{secure.codes['grain']}/")
    page.wait_for_timeout(1500)
    with secure.away():
        page.reload()
        expect(as_of(page)).to_be_visible()
        expect(page.locator("#said .note")).to_have_count(0)
        expect(page.locator("body")).to_contain_text("told once")


def test_signing_out_leaves_nothing_and_nobody_sees_anothers_pages(
    start: Started, secure: Served
) -> None:
    page = start().new_page()
    sign_in(page, "ben")
    pages_kept(page, *MAIN)
    page.get_by_role("button", name="Sign out").first.tap()
    page.wait_for_url("**/sign-in/**")
    assert page.evaluate(WHICH_KEPT) == []
    with secure.away():
        page.goto("/")
        expect(page.locator("h1:visible")).to_have_text("The farm cannot be reached")
    sign_in(page, "ben")
    pages_kept(page, *MAIN)
    page.context.clear_cookies()  # another signs in without anybody signing out
    sign_in(page, "ada")
    found = pages_kept(page, "ada /", "ada /scan/")
    assert [each for each in found if not each.startswith("ada ")] == []
    with secure.away():
        page.goto("/")
        expect(as_of(page)).to_be_visible()
        expect(page.locator(".who b")).to_have_text("Ada")


def test_signing_out_without_network_is_told_the_farm_later(start: Started, secure: Served) -> None:
    page = start().new_page()
    sign_in(page, "ben")
    lot(secure, page)
    pages_kept(page, *MAIN, f"ben /books/lots/{secure.codes['grain']}/")
    with secure.away():
        page.reload()
        note(page, "before signing out")
        page.get_by_role("button", name="Sign out").first.tap()
        expect(page.locator("h1:visible")).to_have_text("Signed out on this device")
        assert page.evaluate(WHICH_KEPT) == []
        page.goto("/")
        expect(page.locator("h1:visible")).to_have_text("Signed out on this device")
    page.goto("/")
    expect(page.locator("#name")).to_be_visible()
    sign_in(page, "ben")
    expect(strip(page)).not_to_contain_text("waiting to be sent", timeout=SOON_MS)
    kept(page, [])
    assert notes(secure) == [("before signing out", "ben")]


def test_another_version_keeps_all_anew(start: Started, secure: Served) -> None:
    page = start().new_page()
    sign_in(page, "ben")
    lot(secure, page)
    pages_kept(page, *MAIN)
    names = "async () => (await caches.keys()).filter(n => n.startsWith('pinset-files-'))"
    [first] = page.evaluate(names)
    assert first != "pinset-files-another"
    with secure.away():
        secure.server.application = "browser.next_version:application"
    for _ in range(6):  # as somebody who opens the page again now and then
        page.goto("/")
        for _ in range(100):
            if page.evaluate(names) == ["pinset-files-another"]:
                break
            page.wait_for_timeout(100)
    assert page.evaluate(names) == ["pinset-files-another"], page.evaluate(KEEPERS)
    assert f"ben /books/lots/{secure.codes['grain']}/" not in page.evaluate(WHICH_KEPT)
    page.goto("/")
    pages_kept(page, *MAIN)


def test_it_can_be_put_on_the_home_screen(start: Started) -> None:
    page = start().new_page()
    sign_in(page, "ben")
    session = page.context.new_cdp_session(page)
    found = session.send("Page.getAppManifest")
    assert found["errors"] == []
    told = json.loads(found["data"])
    assert (told["start_url"], told["display"]) == ("/", "standalone")
    assert session.send("Page.getInstallabilityErrors")["installabilityErrors"] == []
    for icon in told["icons"]:
        size = page.evaluate(
            "async src => { const i = new Image(); i.src = src; await i.decode();"
            " return `${i.naturalWidth}x${i.naturalHeight}`; }",
            icon["src"],
        )
        assert size == icon["sizes"]


def test_plain_http_promises_nothing(open_page: Callable[..., Page]) -> None:
    page = open_page(person="ben")
    assert page.locator("link[rel=manifest]").count() == 0
    assert page.locator("#asof").count() == 0
    assert (
        page.evaluate("async () => (await navigator.serviceWorker.getRegistrations()).length") == 0
    )
    assert page.request.get("/worker.js").status == 404
    assert page.request.get("/manifest.webmanifest").status == 404
