"""How much the database works for a page, counted in steps of its machine and not in time."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from django.db import connection

from pinset.farm.queries.alive import living
from pinset.services.books.lots import lot_view
from pinset.services.day.today import day_view
from pinset.services.looking.choosing import look_list
from pinset.services.looking.photos import photos_of
from pinset.services.memory import forget_all
from pinset.services.promises.promises import promises_view

AT_ONCE = 100  # steps of SQLite's machine between two counts


def pages_work(person: str, day: date) -> dict[str, int]:
    """Return the steps that SQLite takes for some pages of which nothing is remembered."""
    lot = max(living(day), key=lambda each: each.picked_g)

    def one_lot() -> None:
        lot_view(lot.code)
        photos_of(lot.code, lot.stage.value, lot.step)

    return {
        "Today": _steps(lambda: day_view(person)),
        "a lot": _steps(one_lot),
        "Promises": _steps(lambda: promises_view(2)),
        "Look": _steps(look_list),
    }


def _steps(ask: Callable[[], object]) -> int:
    counted = 0

    def count() -> None:
        nonlocal counted
        counted += AT_ONCE

    forget_all()
    connection.ensure_connection()
    connection.connection.set_progress_handler(count, AT_ONCE)
    try:
        ask()
    finally:
        connection.connection.set_progress_handler(None, AT_ONCE)
    return counted
