"""Looks with their photos: what statistics read, and what a check of the ledger holds them to."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from zoneinfo import ZoneInfo

import pytest
from django.db import connection, transaction

from farm.small_farm import CODES, NOW, TODAY, Taps, lot
from pinset.chain.stages import Stage
from pinset.errors import InputError
from pinset.farm import photo_store, trade
from pinset.farm.check import check
from pinset.farm.corrections import undo_of
from pinset.farm.door import record
from pinset.farm.entries import NewEntry
from pinset.farm.forgetting import forget_photo
from pinset.farm.models import Entry, Photo
from pinset.farm.queries.looks import last_looks, looks, tied_to
from pinset.farm.trade import Taken, Tap

A, B = CODES[60], CODES[61]
ZONE = ZoneInfo("Europe/Vienna")
PICTURE = photo_store.JPEG + b"\xe0 stands for a picture"

pytestmark = pytest.mark.usefixtures("lots")


@pytest.fixture
def lots(farm: object, tap: Taps) -> None:  # noqa: ARG001 - lots need the book
    made = [
        lot(A, Stage.GRAIN, "grain", made_on=TODAY - timedelta(days=6)),
        lot(B, Stage.BLOCK, "block", made_on=TODAY - timedelta(days=2)),
    ]
    record([trade.opening(tap(hours=-150), made[0], 24, "inc-1")], now=NOW)
    record([trade.opening(tap(hours=-49), made[1], 40, "inc-2")], now=NOW)


def seen(at: Tap, units: int, of: int = 24, **more: object) -> NewEntry:
    said = {"signs": ["green-dust"], "where": "filter", "seen": units, "of": of, **more}
    return trade.look(at, [Taken(A, of, "inc-1")], details=said)


def out(at: Tap, units: int, look: str) -> NewEntry:
    entry = trade.lose(at, Taken(A, units, "inc-1"), cause="green dust")
    return replace(entry, details={**entry.details, "look": look})


def test_each_look_with_its_age_and_what_was_seen(tap: Taps) -> None:
    first, second = tap(hours=-48), tap(hours=-1)
    record([trade.look(first, [Taken(A, 24, "inc-1")])], now=NOW)
    record([seen(second, 2), out(tap(hours=-1), 2, second.client_id)], now=NOW)
    clean, dirty = looks(ZONE, lots=[A])
    assert (clean.age_days, clean.seen, clean.of, clean.is_empty) == (4, 0, 24, True)
    assert (dirty.age_days, dirty.seen, dirty.of) == (6, 2, 24)
    assert (dirty.signs, dirty.where, dirty.lost, dirty.culled) == (("green-dust",), "filter", 2, 0)
    assert (dirty.stage, dirty.variety, dirty.places) == ("grain", "grey", ("inc-1",))
    assert looks(ZONE, since=second.at) == (dirty,)
    assert looks(ZONE, until=second.at) == (clean,)
    assert tied_to(second.client_id) == (f"{int(second.client_id, 16) + 1:032x}",)


def test_of_each_lot_the_last_look_alone_is_read(tap: Taps) -> None:
    first, second, third = tap(hours=-48), tap(hours=-2), tap(hours=-1)
    record([trade.look(first, [Taken(A, 24, "inc-1"), Taken(B, 40, "inc-2")])], now=NOW)
    record([seen(third, 2), out(replace(third, client_id="c" * 32), 2, third.client_id)], now=NOW)
    record([trade.look(second, [Taken(A, 24, "inc-1")])], now=NOW)  # written down late
    told = last_looks(ZONE, [A, B, CODES[62]])
    assert set(told) == {A, B}
    assert (told[A].entry, told[A].seen, told[A].lost) == (third.client_id, 2, 2)
    assert (told[B].entry, told[B].is_empty) == (first.client_id, True)
    assert set(last_looks(ZONE, [B])) == {B}
    assert last_looks(ZONE, []) == {}
    record([undo_of(third.client_id, tap())], now=NOW)
    assert last_looks(ZONE, [A])[A].entry == second.client_id


def test_a_look_over_several_lots_saw_nothing_on_each(tap: Taps) -> None:
    both = [Taken(A, 24, "inc-1"), Taken(B, 30, "inc-2"), Taken(B, 10, "inc-1")]
    record([trade.look(tap(), both, details={"count": 64})], now=NOW)
    found = {look.lot: look for look in looks(ZONE)}
    assert (found[A].of, found[B].of) == (24, 40)
    assert set(found[B].places) == {"inc-1", "inc-2"}
    assert all(look.is_empty for look in found.values())


def test_what_was_taken_back_is_no_look(tap: Taps) -> None:
    look = seen(tap(), 3)
    lose = out(tap(), 3, look.client_id)
    record([look, lose], now=NOW)
    record([undo_of(lose.client_id, tap())], now=NOW)
    [kept] = looks(ZONE)
    assert (kept.seen, kept.lost) == (3, 0)
    assert tied_to(look.client_id) == ()
    record([undo_of(look.client_id, tap())], now=NOW)
    assert looks(ZONE) == ()


def test_a_look_dated_before_its_lot_says_so_by_its_age(tap: Taps) -> None:
    record([trade.look(tap(hours=-24 * 10), [Taken(A, 24, "inc-1")])], now=NOW)
    [early] = looks(ZONE)
    assert early.age_days == -4


def with_photo(tap: Taps) -> str:
    with transaction.atomic():
        digest = photo_store.keep(PICTURE)
        record([seen(tap(), 1, photo=digest)], now=NOW)
    return digest


def test_a_photo_is_kept_once_and_can_be_forgotten(tap: Taps) -> None:
    digest = with_photo(tap)
    assert photo_store.keep(PICTURE) == digest == hashlib.sha256(PICTURE).hexdigest()
    assert Photo.objects.count() == 1
    assert photo_store.stored(digest) == PICTURE
    assert photo_store.there([digest, "0" * 64]) == {digest}
    assert looks(ZONE)[0].photo == digest
    assert check() == ()
    forget_photo(digest)
    assert photo_store.stored(digest) is None
    assert photo_store.there([digest]) == frozenset()
    assert bytes(Photo.objects.get().content) == b""
    assert check() == ()
    photo_store.keep(PICTURE)
    assert photo_store.stored(digest) is None, "what was forgotten stays forgotten"
    with pytest.raises(InputError, match="photo"):
        forget_photo("0" * 64)


def test_only_pictures_of_a_fit_size_are_kept() -> None:
    for wrong in (b"", b"GIF89a", PICTURE + bytes(photo_store.MOST_BYTES)):
        with pytest.raises(InputError, match="JPEG"):
            photo_store.keep(wrong)
    assert not Photo.objects.exists()


def sql(text: str, *values: object) -> Callable[[], None]:
    def run() -> None:
        with connection.cursor() as cursor:
            cursor.execute(text, values)

    return run


TAMPERINGS: dict[str, tuple[Callable[[], object], str]] = {
    "delete a photo": (sql("DELETE FROM farm_photo"), "ledger.photo-lost"),
    "exchange a picture": (
        lambda: Photo.objects.update(content=photo_store.JPEG + b"another"),
        "ledger.photo-changed",
    ),
    "put something where it was forgotten": (
        lambda: Photo.objects.update(is_forgotten=True),
        "ledger.photo-changed",
    ),
    "put a photo in": (lambda: photo_store.keep(PICTURE + b"2"), "ledger.photo-foreign"),
}


@pytest.mark.parametrize("name", TAMPERINGS)
def test_tampering_with_a_photo_is_found(name: str, tap: Taps) -> None:
    digest = with_photo(tap)
    tamper, expected = TAMPERINGS[name]
    with transaction.atomic():
        tamper()
        assert expected in {finding.id for finding in check()}
        if name == "exchange a picture":
            with pytest.raises(InputError, match="pinset check"):
                photo_store.stored(digest)
        transaction.set_rollback(True)
    assert check() == ()


def test_a_photo_stands_in_no_entry_itself(tap: Taps) -> None:
    digest = with_photo(tap)
    assert Entry.objects.get(kind="look").details["photo"] == digest
