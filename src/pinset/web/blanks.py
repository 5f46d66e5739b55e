"""Blanks in drawn pages for what differs from answer to answer: the token and the client ids.

Everything else on a page is a pure function of what a service returned, so a page that was drawn
can be kept and given again; the blanks are filled last.
"""

from __future__ import annotations

import secrets

from pinset.web.client_ids import new_client_id

TOKEN = f"token-{secrets.token_hex(16)}"
_CLIENT_ID = f"client-{secrets.token_hex(16)}"


def client_id() -> str:
    """Return the blank a form carries until its id is filled in."""
    return _CLIENT_ID


def fill(drawn: str, token: str) -> str:
    """Return a drawn page with its token, and a client id of its own in each form."""
    first, *rest = drawn.replace(TOKEN, token).split(_CLIENT_ID)
    return first + "".join(new_client_id() + part for part in rest)
