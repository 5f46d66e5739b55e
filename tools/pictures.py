"""Take the README's picture from the running demo, so that it shows the page as it is now.

Usage: pictures.py   Writes docs/pictures/today.png; needs Chromium and a few free minutes.
"""

from __future__ import annotations

import os
import re
import shutil
import socket
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

PICTURE = Path(__file__).parents[1] / "docs" / "pictures" / "today.png"
DAY = "2026-03-10"
PORT = 22_080
TABLET = {"width": 820, "height": 1180}
PATIENCE_S = 60
OWNER = re.compile(r"^\s+marta\s+(\S+)", re.MULTILINE)


def build_demo(folder: str, environment: dict[str, str]) -> str:
    """Build the invented farm in a folder; return the password of its owner."""
    built = subprocess.run(
        [Path(sys.executable).parent / "pinset", "demo", folder, "--no-serve", "--today", DAY],
        env=environment,
        stdout=subprocess.PIPE,
        text=True,
        check=True,
    )
    found = OWNER.search(built.stdout)
    if found is None:
        raise SystemExit("the demo names no owner to sign in as")
    return found.group(1)


def wait_for_server() -> None:
    """Wait until somebody listens at the port."""
    until = time.monotonic() + PATIENCE_S
    while time.monotonic() < until:
        try:
            with socket.create_connection(("127.0.0.1", PORT)):
                return
        except ConnectionRefusedError:
            time.sleep(0.5)
    raise SystemExit(f"nobody listens at port {PORT} after {PATIENCE_S} s")


def take(page: Page, address: str, password: str) -> None:
    """Sign in and take Today as a tablet shows it."""
    page.goto(address)
    page.fill("#name", "marta")
    page.fill("#password", password)
    page.click("main button")
    page.get_by_role("heading", level=1).wait_for()
    page.screenshot(path=PICTURE)


def main() -> int:
    """Build, serve, take the picture, put everything away."""
    environment = {k: v for k, v in os.environ.items() if not k.startswith(("PINSET_", "DJANGO_"))}
    environment["PINSET_TODAY"] = DAY
    address = f"http://127.0.0.1:{PORT}/"
    with tempfile.TemporaryDirectory() as folder:
        password = build_demo(folder, environment)
        server = subprocess.Popen(
            [
                Path(sys.executable).parent / "pinset",
                "--farm",
                folder,
                "serve",
                "--port",
                str(PORT),
            ],
            env=environment,
            stdout=subprocess.DEVNULL,
        )
        try:
            wait_for_server()
            with sync_playwright() as driver:
                browser = driver.chromium.launch(executable_path=shutil.which("chromium"))
                take(browser.new_page(viewport=TABLET), address, password)
                browser.close()
        finally:
            server.terminate()
            server.wait()
    return 0


if __name__ == "__main__":
    sys.exit(main())
