"""Sessions in the database, read by one ready statement.

A session and its person stand before every page; building the two queries anew each time cost more
than drawing the page. Writing and ending sessions is Django's own.
"""

from __future__ import annotations

from typing import Any

from django.contrib.auth.backends import ModelBackend
from django.contrib.sessions.backends.db import SessionStore as DatabaseStore
from django.db import connection

from pinset.services.clock import now_utc
from pinset.services.farms import people

_LOAD = "SELECT session_data FROM django_session WHERE session_key = %s AND expire_date > %s"


class SessionStore(DatabaseStore):
    """Django's session in the database, loaded without building a query."""

    def load(self) -> dict[str, Any]:
        """Return what the session holds; an unknown or expired one is empty and forgotten."""
        with connection.cursor() as cursor:
            cursor.execute(
                _LOAD, [self.session_key, connection.ops.adapt_datetimefield_value(now_utc())]
            )
            row = cursor.fetchone()
        if row is None:
            self._session_key = None
            return {}
        return self.decode(row[0])


class PersonBackend(ModelBackend):
    """Finds the person of a session; names and passwords are checked by services.people."""

    def get_user(self, user_id: int) -> Any:
        """Return the person, if they may still sign in."""
        return people.signed_in(user_id)
