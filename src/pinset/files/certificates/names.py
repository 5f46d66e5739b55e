"""The name and addresses of the farm's computer, checked before they are certified."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from ipaddress import IPv4Address, IPv4Network, IPv6Address, IPv6Network, ip_address, ip_network

from pinset.errors import InputError

Address = IPv4Address | IPv6Address
Network = IPv4Network | IPv6Network

PRIVATE: tuple[Network, ...] = tuple(
    ip_network(each)
    for each in (
        "10.0.0.0/8",
        "172.16.0.0/12",
        "192.168.0.0/16",
        "127.0.0.0/8",
        "fc00::/7",
        "::1/128",
    )
)
"""Networks nobody reaches from outside (RFC 1918 section 3, RFC 4193 section 3.1), and oneself."""

THIS_COMPUTER: tuple[Address, ...] = (ip_address("127.0.0.1"), ip_address("::1"))

OF_NETWORKS = (".lan", ".local", ".internal", ".home.arpa")
"""Endings that no public name has: ``.local`` by RFC 6762 section 3, ``home.arpa`` by RFC 8375
section 3; ``.internal`` is set aside for private use and ``.lan`` is what routers give (memory)."""

LEAST_LABELS = 3
"""Of a public name. One such as ``farm.example`` could be a registry's, and the authority would
reach every name below it."""

LABEL = re.compile(r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?")
LONGEST = 253

EXAMPLE = "farm.lan or farm.home.arpa"


@dataclass(frozen=True, slots=True)
class Names:
    """One host name and the addresses of the farm's computer, this computer's own among them."""

    host: str
    addresses: tuple[Address, ...]


def read_names(host: str, addresses: Sequence[str]) -> Names:
    """Return the checked names of a server.

    Raises
    ------
    InputError
        If the name is no host name of the farm alone, or an address is none of a private network.
    """
    found = [*(_address(each) for each in addresses), *THIS_COMPUTER]
    return Names(_host(host), tuple(dict.fromkeys(found)))


def _host(given: str) -> str:
    name = given.strip().rstrip(".").lower()
    labels = name.split(".")
    is_name = len(name) <= LONGEST and all(LABEL.fullmatch(label) for label in labels)
    if not is_name or labels[-1].isdigit():
        raise InputError(
            "--name", given, f"a host name such as {EXAMPLE}", "Addresses go behind --address."
        )
    is_own = name.endswith(OF_NETWORKS) or len(labels) >= LEAST_LABELS
    if not is_own:
        raise InputError(
            "--name",
            given,
            f"a name that can be nobody else's: {EXAMPLE}, or one with three parts that is yours",
            "The authority may certify the name and everything below it.",
        )
    return name


def _address(given: str) -> Address:
    try:
        address = ip_address(given.strip())
    except ValueError:
        raise InputError("--address", given, "an address such as 192.168.1.10") from None
    if not any(address in network for network in PRIVATE):
        raise InputError(
            "--address",
            given,
            "an address of a private network (10..., 172.16 to 172.31, 192.168..., fd...)",
            "The farm's own authority may certify no other.",
        )
    return address
