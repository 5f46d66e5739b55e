"""A real Chromium, if the system has one; without it the tests say so and are skipped."""

from __future__ import annotations

import base64
import hashlib
import os
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from playwright.sync_api import Browser, BrowserContext, Page, Request, Route, sync_playwright

from browser.farm_server import PASSWORD, Served, Stable, build, served, served_securely

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


@pytest.fixture(scope="session")
def stable(
    model: tuple[Path, dict[str, str]], tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Stable]:
    """Farms over plain http."""
    kept = Stable(lambda folder: served(model[0], folder, model[1]), tmp_path_factory.mktemp("at"))
    yield kept
    kept.close()


@pytest.fixture(scope="session")
def secure_stable(
    model: tuple[Path, dict[str, str]], tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Stable]:
    """Farms over https, each with its own certificate and under a name of the network."""
    under = tmp_path_factory.mktemp("secure")
    kept = Stable(lambda folder: served_securely(model[0], folder, model[1]), under)
    yield kept
    kept.close()


@pytest.fixture
def farm(stable: Stable) -> Iterator[Served]:
    with stable.farm() as lent:
        yield lent


@pytest.fixture
def secure(secure_stable: Stable) -> Iterator[Served]:
    with secure_stable.farm() as lent:
        yield lent


def trusting(farm: Served) -> list[str]:
    """Return by what a browser trusts the farm's key, as a device that installed its authority."""
    data = (farm.folder / "https" / "server.crt").read_bytes()
    key = x509.load_pem_x509_certificate(data).public_key()
    spki = key.public_bytes(Encoding.DER, PublicFormat.SubjectPublicKeyInfo)
    told = base64.b64encode(hashlib.sha256(spki).digest()).decode()
    return [
        "--host-resolver-rules=MAP farm.lan 127.0.0.1",
        f"--ignore-certificate-errors-spki-list={told}",
    ]


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
        if person:
            sign_in_page(page, person)
        else:
            page.goto("/sign-in/")
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


@pytest.fixture
def open_secure(browser: Browser, secure: Served) -> Iterator[OpenPage]:
    """Open the page of another tablet over https each time; nothing from elsewhere."""
    seen = Seen([], [])
    trusted = browser.browser_type.launch(executable_path=CHROMIUM, args=trusting(secure))

    def opened(
        size: tuple[int, int] = TABLET, scheme: str = "light", *, person: str = "ada"
    ) -> Page:
        context = trusted.new_context(
            viewport={"width": size[0], "height": size[1]},
            color_scheme="dark" if scheme == "dark" else "light",
            has_touch=True,
            base_url=secure.base,
        )
        context.set_default_timeout(15_000)
        context.on("request", lambda asked: _note_elsewhere(seen, secure, asked.url))
        page = context.new_page()
        page.on("pageerror", lambda problem: seen.faults.append(str(problem)))
        sign_in_page(page, person)
        return page

    yield opened
    trusted.close()
    assert seen.elsewhere == [], "a page asked for something from elsewhere"
    assert seen.faults == []


def _note_elsewhere(seen: Seen, farm: Served, address: str) -> None:
    if not address.startswith((farm.base, "data:", "blob:")):
        seen.elsewhere.append(address)


def sign_in_page(page: Page, person: str) -> None:
    """Sign in by name and password."""
    page.goto("/sign-in/")
    page.fill("#name", person)
    page.fill("#password", PASSWORD)
    page.press("#password", "Enter")
    page.wait_for_url("**/")
