from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from django.db import IntegrityError

from farm.small_farm import BOOK, NOW, ROUTE, TODAY
from pinset.chain.register import (
    Buyer,
    FarmBook,
    Promise,
    Room,
    RoomKind,
    Shelf,
    Weekday,
    Worker,
)
from pinset.errors import InputError, RefusedError
from pinset.farm import register_store
from pinset.farm.models import Person, Place, RegisterRow
from pinset.farm.models.register import RegisterKind

MARCH = date(2026, 3, 1)


def test_a_book_comes_back_as_it_was_written(farm: FarmBook) -> None:
    assert register_store.book(TODAY) == farm


@pytest.mark.django_db
def test_before_the_first_day_there_is_no_farm(farm: FarmBook) -> None:
    assert farm
    with pytest.raises(RefusedError, match="No farm is described on 2025-12-31"):
        register_store.book(date(2025, 12, 31))


@pytest.mark.usefixtures("farm")
def test_only_what_changed_gets_a_version() -> None:
    shorter = replace(BOOK.farm, van_at="13:00")
    rows = register_store.write([shorter, *BOOK.rooms, ROUTE], MARCH, "ada", NOW)
    assert [(row.kind, row.code, row.version) for row in rows] == [("farm", "farm", 2)]
    assert register_store.book(MARCH - timedelta(days=1)).farm.van_at == "14:00"
    assert register_store.book(MARCH).farm.van_at == "13:00"
    first, second = register_store.versions(RegisterKind.FARM, "farm")
    assert (first.recorded_by, second.recorded_by) == ("", "Ada")
    assert second.record == shorter
    assert register_store.write([shorter], MARCH, "ada", NOW) == ()


@pytest.mark.usefixtures("farm")
def test_an_older_truth_learned_later_does_not_hide_a_newer_one() -> None:
    now_known = replace(BOOK.farm, altitude_m=420.0)
    long_ago = replace(BOOK.farm, altitude_m=410.0)
    register_store.write([now_known], MARCH, "ada", NOW)
    register_store.write([long_ago], date(2026, 2, 1), "ada", NOW + timedelta(hours=1))
    assert register_store.book(date(2026, 2, 15)).farm.altitude_m == 410.0
    assert register_store.book(TODAY).farm.altitude_m == 420.0


@pytest.mark.usefixtures("farm")
def test_what_is_retired_ends_and_can_begin_again() -> None:
    weekly = Promise("p1", "weir", "grey", 5000, weekday=Weekday.TUE)
    register_store.write([Buyer("weir", "Kitchen at the weir"), weekly], MARCH, "ada", NOW)
    until = date(2026, 3, 20)
    register_store.write([], until, "ada", NOW, retire=[(RegisterKind.PROMISE, "p1")])
    assert register_store.current(RegisterKind.PROMISE, until - timedelta(days=1)) == (weekly,)
    assert register_store.current(RegisterKind.PROMISE, until) == ()
    register_store.write([weekly], date(2026, 4, 1), "ada", NOW)
    assert register_store.current(RegisterKind.PROMISE, date(2026, 4, 2)) == (weekly,)
    with pytest.raises(InputError, match="in force"):
        register_store.write([], until, "ada", NOW, retire=[(RegisterKind.BUYER, "nobody")])


@pytest.mark.usefixtures("farm")
def test_a_record_twice_is_refused_and_nothing_written() -> None:
    before = RegisterRow.objects.count()
    with pytest.raises(InputError, match="each code once"):
        register_store.write([BOOK.rooms[0], BOOK.rooms[0]], MARCH, "ada", NOW)
    assert RegisterRow.objects.count() == before


@pytest.mark.usefixtures("farm")
def test_shelves_become_places_and_move_with_their_room() -> None:
    assert Place.objects.get(code="inc-2").room == "inc"
    inc, hall = (
        Room("inc", "Incubation", RoomKind.INCUBATION, 24.0, (Shelf("inc-1", 200),)),
        Room("hall", "Hall", RoomKind.INCUBATION, 20.0, (Shelf("inc-2", 200),)),
    )
    register_store.write([inc, hall], MARCH, "ada", NOW)
    assert Place.objects.get(code="inc-2").room == "hall"


@pytest.mark.usefixtures("farm")
def test_workers_become_people_who_cannot_sign_in_yet() -> None:
    ada = Person.objects.get(code="ada")
    assert (ada.name, ada.is_owner, ada.has_usable_password()) == ("Ada", True, False)
    assert not Person.objects.owner_has_password()
    ada.set_password("a long enough word")
    ada.save()
    assert Person.objects.owner_has_password()
    register_store.write([Worker("ada", "Ada B.", (8.0,) * 7, role="owner")], MARCH, "", NOW)
    ada.refresh_from_db()
    assert (ada.name, ada.has_usable_password()) == ("Ada B.", True)


@pytest.mark.usefixtures("farm")
def test_differences_name_what_a_new_book_would_change() -> None:
    described = replace(
        BOOK,
        farm=replace(BOOK.farm, altitude_m=500.0, van_at="13:00"),
        buyers=(Buyer("weir", "Kitchen at the weir"),),
        vessels=(),
    )
    found = {
        (d.kind, d.code): (d.what, d.fields) for d in register_store.differences(described, TODAY)
    }
    assert found == {
        ("farm", "farm"): ("changed", ("altitude_m", "van_at")),
        ("buyer", "weir"): ("new", ()),
        ("vessel", "jar"): ("missing", ()),
    }
    assert register_store.differences(BOOK, TODAY) == ()


@pytest.mark.usefixtures("farm")
def test_a_version_is_written_once() -> None:
    row = RegisterRow.objects.get(kind="farm")
    row.pk = None
    with pytest.raises(IntegrityError):
        row.save()
