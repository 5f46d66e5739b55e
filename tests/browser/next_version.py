"""The pages of another version of pinset: all the same, but devices are told that it is another."""

from __future__ import annotations

from pinset.web import wsgi

application = wsgi.application

from pinset.web import offline  # noqa: E402  (once Django is set up)

offline.version = lambda: "another"  # type: ignore[assignment]
