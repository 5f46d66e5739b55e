"""What is exported is what holds on the farm's own day, not on that of the clock in UTC."""

from __future__ import annotations

import pytest

from farm.small_farm import BOOK, NOW, TODAY, describe
from pinset.chain.upkeep import Chore, ChoreAt, ChoreKind
from pinset.farm import register_store
from pinset.services import clock
from pinset.services.farms.export import current_book

FLOOR = Chore("floor", "Wash the floor", ChoreKind.ROOM_CLEANING, ChoreAt.ROOM, "lab", 7)


@pytest.mark.django_db
@pytest.mark.parametrize("hour", ["00:40", "23:20"])
def test_what_was_written_down_after_midnight_is_exported(
    monkeypatch: pytest.MonkeyPatch, hour: str
) -> None:
    assert BOOK.farm.time_zone == "Europe/Vienna"
    describe(BOOK)
    monkeypatch.setenv(clock.PRETENDED, f"{TODAY.isoformat()}T{hour}+01:00")
    register_store.write([FLOOR], TODAY, "", NOW)
    assert FLOOR.code in {each.code for each in current_book().upkeep}
