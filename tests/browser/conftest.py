"""A real Chromium, if the system has one; without it the tests say so and are skipped."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Request, Route, sync_playwright

from browser.farm_server import PASSWORD, Served, build, serve

TABLET = (820, 1180)
PHONE = (390, 844)
OF_THE_BROWSER = ("chrome://", "chrome-extension://")  # its own viewer of PDF pages
CHROMIUM = next(
    (
        path
        for name in ("chromium", "chromium-browser", "google-chrome")
        if (path := shutil.which(name))
    ),
    None,
)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    here = Path(__file__).parent
    for item in items:
        if here in item.path.parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    if CHROMIUM is None:
        said = (
            "NO CHROMIUM: the pages were not tried by touch and keyboard (apt-get install chromium)"
        )
        if os.environ.get("PINSET_REQUIRE_ALL") == "1":
            pytest.fail(said)
        pytest.skip(said)
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=CHROMIUM)
        yield started
        started.close()


@pytest.fixture(scope="session")
def model(
    browser: Browser,  # noqa: ARG001  (without one there is nothing to build for)
    tmp_path_factory: pytest.TempPathFactory,
) -> tuple[Path, dict[str, str]]:
    folder = tmp_path_factory.mktemp("farm") / "model"
    return folder, build(folder)


@pytest.fixture
def farm(model: tuple[Path, dict[str, str]], tmp_path: Path) -> Iterator[Served]:
    with serve(model[0], tmp_path / "farm", model[1]) as served:
        yield served


@dataclass
class Seen:
    """What a browser asked for and complained about."""

    elsewhere: list[str]
    faults: list[str]


OpenPage = Callable[..., Page]


@pytest.fixture
def open_page(browser: Browser, farm: Served) -> Iterator[OpenPage]:
    """Open a page as one holds it: by touch, in a size and a scheme; nothing from elsewhere."""
    contexts: list[BrowserContext] = []
    seen = Seen([], [])

    def only_ours(route: Route, request: Request) -> None:
        if request.url.startswith((farm.base, "data:", *OF_THE_BROWSER)):
            route.continue_()
            return
        seen.elsewhere.append(request.url)
        route.abort()

    def opened(
        size: tuple[int, int] = TABLET,
        scheme: str = "light",
        *,
        person: str = "ada",
        script: bool = True,
        touch: bool = True,
    ) -> Page:
        context = browser.new_context(
            viewport={"width": size[0], "height": size[1]},
            color_scheme="dark" if scheme == "dark" else "light",
            has_touch=touch,
            java_script_enabled=script,
            base_url=farm.base,
        )
        contexts.append(context)
        context.set_default_timeout(15_000)
        context.route("**/*", only_ours)
        page = context.new_page()
        page.on("pageerror", lambda problem: seen.faults.append(str(problem)))
        page.on(
            "console",
            lambda line: seen.faults.append(line.text) if line.type == "error" else None,
        )
        page.goto("/sign-in/")
        if person:
            page.fill("#name", person)
            page.fill("#password", PASSWORD)
            page.press("#password", "Enter")
            page.wait_for_url(f"{farm.base}/")
        return page

    yield opened
    for context in contexts:
        context.close()
    assert seen.elsewhere == [], "a page asked for something from elsewhere"
    expected = (  # made by the tests themselves: pages that are not there, the network gone
        "ERR_INTERNET_DISCONNECTED",
        "ERR_CONNECTION_REFUSED",
        "status of 4",
        "Response Status Error Code 4",  # the same, said by the script that exchanges parts
        "htmx:sendError",
        "htmx:afterRequest",
    )
    assert [fault for fault in seen.faults if not any(e in fault for e in expected)] == []
