"""Waiting until the pages answer, so that nobody is sent to an address where nothing is yet."""

from __future__ import annotations

import http.client
import ssl
from collections.abc import Callable
from ipaddress import ip_address
from threading import Event, Thread

EVERY_S = 0.3
PATIENCE_S = 20.0
ASKED = "/waiting/"
"""A page that anybody may ask for and that reads the farm."""


def tell_once_it_answers(
    host: str, port: int, tell: Callable[[], None], ended: Event, *, is_secure: bool
) -> Thread:
    """Call ``tell`` once a page is answered; until then, or until it is ended, ask again.

    Parameters
    ----------
    host, port : str, int
        Where the server listens; of every address of this computer the loop is asked.
    tell : callable
        What is called, once.
    ended : Event
        Set when nobody waits any longer.
    is_secure : bool
        Whether it answers over https, by a certificate that this computer need not trust.

    Returns
    -------
    Thread
        In which it waits.
    """

    def wait() -> None:
        while not ended.wait(EVERY_S):
            if _answers(_here(host), port, is_secure=is_secure):
                tell()
                return

    waiting = Thread(target=wait, name="until the pages answer", daemon=True)
    waiting.start()
    return waiting


def _here(host: str) -> str:
    """Return the address by which this computer reaches what listens on another of its own."""
    try:
        address = ip_address(host)
    except ValueError:
        return host
    if not address.is_unspecified:
        return host
    return "127.0.0.1" if address.version == 4 else "::1"  # noqa: PLR2004  (of the protocol)


def _answers(host: str, port: int, *, is_secure: bool) -> bool:
    """Say whether a page is answered, whatever the answer."""
    asking = (
        http.client.HTTPSConnection(host, port, timeout=PATIENCE_S, context=_trusting())
        if is_secure
        else http.client.HTTPConnection(host, port, timeout=PATIENCE_S)
    )
    try:
        asking.request("GET", ASKED)
        asking.getresponse()
    except (OSError, http.client.HTTPException):
        return False
    finally:
        asking.close()
    return True


def _trusting() -> ssl.SSLContext:
    """Return a context that takes any certificate: nothing is said to what is asked here."""
    context = ssl.create_default_context()
    context.check_hostname = False
    context.verify_mode = ssl.CERT_NONE
    return context
