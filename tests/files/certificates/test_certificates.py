"""The farm's authority and its server's certificate, checked by OpenSSL: by its own program and by
Python's binding, neither of which made them.

What an authority may certify: RFC 5280 section 4.2.1.10. Extensions a browser wants: section 4.2.1.
"""

from __future__ import annotations

import os
import shutil
import socket
import ssl
import subprocess
import threading
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from ipaddress import ip_address
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.asymmetric import ec

from pinset.errors import InputError
from pinset.files.certificates import making
from pinset.files.certificates.names import Names, read_names

NOW = datetime.now(UTC)
NAMES = read_names("Farm.LAN", ["192.168.1.10"])
STRICT = "-x509_strict"


@pytest.fixture(scope="module")
def authority() -> making.Pair:
    return making.make_authority(NAMES, NOW)


def written(folder: Path, authority: making.Pair, server: making.Pair) -> tuple[Path, Path, Path]:
    places = folder / "ca.crt", folder / "server.crt", folder / "server.pem"
    places[0].write_bytes(making.certificate_text(authority.certificate))
    places[1].write_bytes(making.certificate_text(server.certificate))
    places[2].write_bytes(making.key_text(server.key))
    return places


def openssl(*words: object) -> tuple[bool, str]:
    """Return whether OpenSSL's own program took it, and what it said; skip loudly without it."""
    if shutil.which("openssl") is None:
        said = "NO OPENSSL: the certificates were not verified by another program"
        if os.environ.get("PINSET_REQUIRE_ALL") == "1":
            pytest.fail(said)
        pytest.skip(said)
    command = ["openssl", *map(str, words)]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=30)
    return done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize(
    ("asked", "is_taken"),
    [
        (("-verify_hostname", "farm.lan"), True),
        (("-verify_ip", "192.168.1.10"), True),
        (("-verify_ip", "127.0.0.1"), True),
        (("-verify_hostname", "other.lan"), False),
        (("-verify_ip", "192.168.1.11"), False),
        (("-purpose", "sslserver"), True),
        (("-purpose", "smimesign"), False),
        (("-attime", f"{(NOW + timedelta(days=395)).timestamp():.0f}"), True),
        (("-attime", f"{(NOW + timedelta(days=398)).timestamp():.0f}"), False),
    ],
)
def test_openssl_takes_the_chain_for_its_names_and_days(
    authority: making.Pair, tmp_path: Path, asked: tuple[str, str], *, is_taken: bool
) -> None:
    ca, server, _ = written(tmp_path, authority, making.make_server(authority, NAMES, NOW))
    taken, said = openssl("verify", STRICT, "-CAfile", ca, *asked, server)
    assert taken is is_taken, said


@pytest.mark.parametrize(
    "names",
    [
        Names("shop.example", (ip_address("192.168.1.10"),)),
        Names("farm.lan", (ip_address("203.0.113.7"),)),
        Names("farm.lan", (ip_address("2001:db8::7"),)),
        Names("notfarm.lan", (ip_address("192.168.1.10"),)),
    ],
)
def test_a_stolen_key_certifies_nothing_outside_the_farm(
    authority: making.Pair, tmp_path: Path, names: Names
) -> None:
    ca, server, _ = written(tmp_path, authority, making.make_server(authority, names, NOW))
    taken, said = openssl("verify", STRICT, "-CAfile", ca, server)
    assert not taken
    assert "permitted subtree violation" in said


def test_nothing_below_the_authority_signs(authority: making.Pair, tmp_path: Path) -> None:
    below = making.make_server(authority, NAMES, NOW)
    rogue = making.make_server(below, NAMES, NOW)
    ca, middle, _ = written(tmp_path, authority, below)
    leaf = tmp_path / "rogue.crt"
    leaf.write_bytes(making.certificate_text(rogue.certificate))
    taken, said = openssl("verify", "-CAfile", ca, "-untrusted", middle, leaf)
    assert not taken, said


def greeted(ca: Path, server: Path, key: Path, name: str) -> str:
    """Return the version of TLS that a client agreed on with a server, trusting this authority."""
    serving = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    serving.load_cert_chain(server, key)
    asking = ssl.create_default_context(cafile=ca)
    asking.verify_flags |= ssl.VERIFY_X509_STRICT
    left, right = socket.socketpair()

    def serve() -> None:
        try:
            serving.wrap_socket(left, server_side=True).close()
        except ssl.SSLError:
            left.close()

    thread = threading.Thread(target=serve)
    thread.start()
    try:
        with asking.wrap_socket(right, server_hostname=name) as client:
            return client.version() or ""
    finally:
        thread.join(10)


def test_a_client_greets_the_server_by_its_names_alone(
    authority: making.Pair, tmp_path: Path
) -> None:
    places = written(tmp_path, authority, making.make_server(authority, NAMES, NOW))
    assert greeted(*places, "farm.lan") == "TLSv1.3"
    assert greeted(*places, "192.168.1.10") == "TLSv1.3"
    with pytest.raises(ssl.SSLCertVerificationError, match="Hostname mismatch"):
        greeted(*places, "other.lan")
    ended = making.make_server(authority, NAMES, NOW - timedelta(days=400))
    with pytest.raises(ssl.SSLCertVerificationError, match="expired"):
        greeted(*written(tmp_path, authority, ended), "farm.lan")


def test_what_the_certificate_says(authority: making.Pair) -> None:
    server = making.make_server(authority, NAMES, NOW).certificate
    assert server.not_valid_after_utc - server.not_valid_before_utc == timedelta(days=397)
    assert isinstance(authority.key.curve, ec.SECP256R1)
    again = making.make_server(authority, NAMES, NOW).certificate
    assert server.serial_number != again.serial_number


def test_it_never_outlives_its_authority(authority: making.Pair) -> None:
    late = NOW + timedelta(days=3600)
    server = making.make_server(authority, NAMES, late).certificate
    assert server.not_valid_after_utc <= authority.certificate.not_valid_after_utc


def test_a_long_host_name_fits(tmp_path: Path) -> None:
    names = replace(NAMES, host=f"{'a' * 60}.{'b' * 60}.lan")
    authority = making.make_authority(names, NOW)
    ca, server, _ = written(tmp_path, authority, making.make_server(authority, names, NOW))
    taken, said = openssl("verify", STRICT, "-CAfile", ca, "-verify_hostname", names.host, server)
    assert taken, said


def test_names_are_read_as_people_type_them() -> None:
    assert NAMES.host == "farm.lan"
    assert [str(each) for each in NAMES.addresses] == ["192.168.1.10", "127.0.0.1", "::1"]
    assert read_names(" pinset.hill-farm.example. ", ["fd12::1"]).host == "pinset.hill-farm.example"


@pytest.mark.parametrize(
    "name",
    [
        "",
        "farm",
        "com",
        "hill.example",
        "192.168.1.10",
        "a_b.lan",
        "-a.lan",
        ".lan",
        "x" * 300,
        "a..lan",
    ],
)
def test_a_name_that_may_be_somebody_elses_is_refused(name: str) -> None:
    with pytest.raises(InputError, match="--name"):
        read_names(name, [])


@pytest.mark.parametrize(
    "address", ["8.8.8.8", "2001:db8::1", "169.254.1.1", "farm.lan", "192.168.1.10/24"]
)
def test_an_address_outside_private_networks_is_refused(address: str) -> None:
    with pytest.raises(InputError, match="--address"):
        read_names("farm.lan", [address])
