"""The pages by which a device comes to trust the farm: over https, and at the plain door."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, expect

from browser.conftest import OpenPage
from browser.farm_server import Served, plain_door
from browser.test_every_page import HELD, OPEN_ALL, faults, held, misfits


def test_the_certificate_is_fit_for_hands_and_readers(open_secure: OpenPage) -> None:
    page = open_secure()
    for size, scheme in HELD:
        held(page, size, scheme)
        page.goto("/settings/certificate/")
        expect(page.locator("main")).to_contain_text("farm.lan")
        assert misfits(page) == [], (size, scheme)
        page.evaluate(OPEN_ALL)
        assert faults(page) == [], (size, scheme)


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without"])
def test_the_plain_door_too(browser: Browser, secure: Served, *, script: bool) -> None:
    with plain_door(secure) as base:
        for size, scheme in HELD:
            context = browser.new_context(
                viewport={"width": size[0], "height": size[1]},
                color_scheme="dark" if scheme == "dark" else "light",
                java_script_enabled=script,
            )
            page = context.new_page()
            page.goto(f"{base}/certificate/")
            expect(page.locator("main")).to_contain_text("compare the fingerprint")
            expect(page.get_by_role("link", name="To the farm")).to_be_visible()
            if script:
                assert misfits(page) == [], (size, scheme)
                page.evaluate(OPEN_ALL)
                assert faults(page) == [], (size, scheme)
            context.close()
