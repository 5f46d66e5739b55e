"""`pinset certificate` and `pinset serve --https`, as a grower uses them."""

from __future__ import annotations

import http.client
import os
import socket
import ssl
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from cli.conftest import PINSET, Terminal

WAIT_S = 60.0


@pytest.fixture(scope="module")
def certified(pinset: Terminal) -> Terminal:
    said = pinset("certificate", "make", "--name", "farm.lan", "--address", "192.168.1.10")
    assert "for farm.lan, 192.168.1.10, 127.0.0.1, ::1" in said
    assert "What installing it means" in said
    return pinset


def test_it_is_explained_before_and_after(pinset: Terminal, certified: Terminal) -> None:
    said = certified("certificate")
    for words in (
        "396 days from now",
        "Fingerprint",
        "Android",
        "iPhone and iPad",
        "Taking it back",
    ):
        assert words in said
    again = pinset("certificate", "make", "--name", "farm.lan", status=1)
    assert "has an authority already" in again
    assert "accepted is a host name" in pinset("certificate", "make", "--name", "a b", status=1)
    assert "Start pinset serve again" in pinset("certificate", "renew")


def test_no_key_leaves_the_folder(certified: Terminal, tmp_path: Path) -> None:
    certified("backup", tmp_path / "farm.backup")
    certified("export", tmp_path / "described")
    key = (certified.farm / "https" / "authority-key.pem").read_bytes().splitlines()[1]
    written = [path for path in tmp_path.rglob("*") if path.is_file()]
    assert len(written) > 3
    for path in written:
        assert key not in path.read_bytes()
        assert b"PRIVATE KEY" not in path.read_bytes()


def free_port() -> int:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return int(free.getsockname()[1])


@pytest.fixture
def ports(certified: Terminal) -> Iterator[tuple[int, int]]:
    secure, plain = free_port(), free_port()
    environment = {k: v for k, v in os.environ.items() if k != "PINSET_DATABASE"}
    command = [PINSET, "--farm", certified.farm, "serve", "--https", "--workers", "1"]
    server = subprocess.Popen(
        [*command, "--port", str(secure), "--http-port", str(plain)],
        env={**environment, "PINSET_TODAY": certified.today},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    until = time.monotonic() + WAIT_S
    try:
        for port in (secure, plain):
            while not answers(port):
                assert time.monotonic() < until, "it took too long"
                time.sleep(0.2)
        yield secure, plain
    finally:
        server.terminate()
        server.wait(timeout=WAIT_S)


def answers(port: int) -> bool:
    with socket.socket() as client:
        return client.connect_ex(("127.0.0.1", port)) == 0


def test_it_is_served_and_trusted_by_the_authority_alone(
    certified: Terminal, ports: tuple[int, int]
) -> None:
    secure, plain = ports
    trusting = ssl.create_default_context(cafile=certified.farm / "https" / "authority.crt")
    asking = http.client.HTTPSConnection("127.0.0.1", secure, context=trusting, timeout=20)
    asking.request("GET", "/sign-in/", headers={"Host": f"192.168.1.10:{secure}"})
    answer = asking.getresponse()
    cookies = " ".join(answer.headers.get_all("Set-Cookie") or [])
    asking.close()
    assert answer.status in {200, 302}
    if cookies:
        assert "__Host-" in cookies
        assert "Secure" in cookies
    assert "Strict-Transport-Security" not in answer.headers
    stranger = http.client.HTTPSConnection(
        "127.0.0.1", secure, context=ssl.create_default_context(), timeout=20
    )
    with pytest.raises(ssl.SSLCertVerificationError):
        stranger.request("GET", "/")
    unsafe = http.client.HTTPConnection("127.0.0.1", plain, timeout=20)
    unsafe.request("GET", "/")
    led = unsafe.getresponse()
    unsafe.close()
    assert (led.status, led.headers["Location"]) == (307, f"https://127.0.0.1:{secure}/")


def test_clear_words_where_it_cannot_be_served(certified: Terminal) -> None:
    key = certified.farm / "https" / "server-key.pem"
    good = key.read_bytes()
    try:
        key.write_bytes(b"nothing")
        assert "is broken: it is no private key" in certified("serve", "--https", status=1)
        key.unlink()
        assert "The server's key is not in" in certified("serve", "--https", status=1)
    finally:
        key.write_bytes(good)
        key.chmod(0o600)
    assert "--http-port" in certified("serve", "--https", "--http-port", "8000", status=1)


def test_check_tells_of_a_certificate_that_is_not_in_order(certified: Terminal) -> None:
    assert "https certificate" not in certified("check")
    server = certified.farm / "https" / "server.crt"
    good = server.read_bytes()
    try:
        server.write_bytes(b"")
        assert "warning: https certificate: The server's certificate in" in certified("check")
    finally:
        server.write_bytes(good)


def test_taken_back(certified: Terminal) -> None:
    assert "take it off every device" in certified("certificate", "remove", "--yes")
    assert "has no certificate to serve https with" in certified("serve", "--https", status=1)
    assert "served over plain http" in certified("certificate")
