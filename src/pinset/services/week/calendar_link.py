"""The address by which a person's calendar program fetches the jobs without signing in.

A long token in the address stands in for the sign-in. Only its SHA-256 is kept; the token is worked
out again, for its own person alone, from the farm's secret key and a number that is kept. So a copy
of the database, or a backup, opens nothing.
"""

from __future__ import annotations

import base64
import hashlib
import hmac
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.utils.crypto import salted_hmac

from pinset.errors import PinsetError
from pinset.farm import calendar_store
from pinset.farm import people as attempts
from pinset.farm.calendar_store import LinkRow
from pinset.services.clock import now_utc

NAME = "(calendar)"  # under which wrong addresses are counted; no person can have it
SALT = "pinset.calendar"
NONCE_BYTES = 16
LONGEST = 100  # signs of a token that are looked at; ours have 43
MOST_WRONG = 10
"""From one place within the window; fewer than keep a place from signing in, so that a phone with
an address of before never does."""

MOST_READS = 60  # of one address within the window
WINDOW = timedelta(minutes=15)


class WrongAddressError(PinsetError):
    """The address is not, or no longer, one of this farm's."""


class TooOftenError(PinsetError):
    """Too many wrong addresses from one place, or one address fetched too often."""

    wait_s = int(WINDOW.total_seconds())


@dataclass(frozen=True, slots=True)
class Link:
    """A person's calendar address as that person sees it."""

    token: str  # empty: it cannot be shown any more, though it still counts
    made_at: datetime
    read_at: datetime | None  # fetched last


def new_link(person: str) -> Link:
    """Make a person's address anew; the one before counts no more.

    Raises
    ------
    InputError
        If there is no such person.
    """
    key, nonce, now = calendar_store.person_key(person), secrets.token_hex(NONCE_BYTES), now_utc()
    token = _token(key, nonce)
    calendar_store.set_link(person, _digest(token), nonce, now)
    return Link(token, now, None)


def no_link(person: str) -> bool:
    """Let no address of a person count any more; say whether there was one."""
    return calendar_store.drop_link(person)


def link_of(person: str) -> Link | None:
    """Return a person's address, to be shown to nobody else; None if there is none."""
    row = calendar_store.link_of(person)
    if row is None:
        return None
    token = _token(row.person_key, row.nonce)
    is_ours = hmac.compare_digest(_digest(token), row.digest)  # not after the secret key changed
    return Link(token if is_ours else "", row.made_at, row.read_at)


def let_in(token: str, address: str) -> str:
    """Return the code of the person whose address this is.

    Raises
    ------
    WrongAddressError
        If it is nobody's, was taken back, or its person may not sign in any more.
    TooOftenError
        If too many wrong ones came from there, or this one is fetched too often.
    """
    now, row = now_utc(), _found(token)
    if row is None:
        _, wrong = attempts.refused_since(NAME, address, now - WINDOW)
        if wrong >= MOST_WRONG:
            raise TooOftenError("Too many wrong addresses. Wait a quarter of an hour.")
        attempts.note_refusal(NAME, address, now, keep=timedelta(days=1))
        raise WrongAddressError(
            "No calendar stands at this address. If it was yours, look under Calendar for the new "
            "one."
        )
    if calendar_store.count_read(row.digest, now, WINDOW) > MOST_READS:
        raise TooOftenError(
            f"Fetched more than {MOST_READS} times within a quarter of an hour; once an hour is "
            "plenty."
        )
    return row.person


def _found(token: str) -> LinkRow | None:
    digest = _digest(token[:LONGEST])
    row = calendar_store.link_by_digest(digest)
    if row is None or not hmac.compare_digest(row.digest, digest) or not row.is_active:
        return None
    return row


def _token(person_key: str, nonce: str) -> str:
    made = salted_hmac(SALT, f"{person_key}:{nonce}", algorithm="sha256").digest()
    return base64.urlsafe_b64encode(made).rstrip(b"=").decode("ascii")


def _digest(token: str) -> str:
    return hashlib.sha256(token.encode("utf-8", errors="replace")).hexdigest()
