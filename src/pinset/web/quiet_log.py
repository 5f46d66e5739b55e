"""Keeps the token of a calendar's address out of the server's messages."""

from __future__ import annotations

import logging
import re

_TOKEN = re.compile(r"(/calendar/+)[^/\s\"']+")
HIDDEN = r"\1(hidden)"


def without_tokens(text: str) -> str:
    """Return a text with the token of every calendar address in it hidden.

    Examples
    --------
    >>> without_tokens("Not Found: /calendar/aBc-1/jobs.ics")
    'Not Found: /calendar/(hidden)/jobs.ics'
    """
    return _TOKEN.sub(HIDDEN, text)


class WithoutTokens(logging.Formatter):
    """Formats a message, with its traceback if there is one, and hides tokens in all of it."""

    def format(self, record: logging.LogRecord) -> str:
        """Return the message."""
        return without_tokens(super().format(record))
