"""Short words for what the pages' tests ask."""

from __future__ import annotations

import re
from html import unescape
from html.parser import HTMLParser

from django.http import HttpResponse
from django.test import Client

OK, FOUND, NO_CONTENT = 200, 302, 204
BAD, FORBIDDEN, MISSING, NO_METHOD, CONFLICT, UNFIT = 400, 403, 404, 405, 409, 422


def words(response: HttpResponse) -> str:
    """Return the visible words of an answer, blanks drawn together."""
    reader = _Words()
    reader.feed(response.content.decode())
    return " ".join(" ".join(reader.found).split())


def shown(response: HttpResponse) -> dict[str, str]:
    """Return the field in which a refused form carries what it shows, as a browser sends it."""
    found = re.search(r'name="shown" value="([^"]*)"', response.content.decode())
    return {"shown": unescape(found[1])} if found else {}


class _Words(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_data(self, data: str) -> None:
        self.found.append(data)


def sent_to_sign_in(client: Client, address: str, *, post: bool = False) -> bool:
    """Say whether a stranger is sent to the sign-in and sees nothing else."""
    response = client.post(address) if post else client.get(address)
    return (
        response.status_code == FOUND
        and response.headers["Location"].startswith("/sign-in/")
        and response.content == b""
    )
