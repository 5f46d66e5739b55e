"""What is said of a lot without a job: read and written while no other writer is at work."""

from __future__ import annotations

import secrets

import pytest

from farm.small_farm import NOW, Taps
from pinset.errors import InputError
from pinset.farm import door, trade, whereabouts
from pinset.farm.check import check
from pinset.farm.models import Balance, Entry, Posting
from pinset.farm.trade import Taken
from pinset.services import lot_actions
from pinset.services.lot_actions import Saying


def by(lot: str, client_id: str = "") -> Saying:
    return Saying(lot, "ada", client_id or secrets.token_hex(16))


def accounts(lot: str) -> dict[tuple[str, str], int]:
    rows = Balance.objects.filter(lot__code=lot).exclude(quantity=0)
    return {(row.account, row.place.code): row.quantity for row in rows.select_related("place")}


@pytest.fixture
def two_shelves(stock: dict[str, str], tap: Taps) -> str:
    """A lot of 20 that stands 12 and 8 on two shelves."""
    door.record([trade.move(tap(), Taken(stock["grain"], 8, "inc-1"), "inc-2")], now=NOW)
    return stock["grain"]


def test_two_people_who_count_the_same_say_the_same(
    stock: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Both count 18 of 20; the second has to wait for the pen while the first writes."""
    lot, wait = stock["grain"], whereabouts.wait_for_the_pen
    others = [by(lot)]

    def somebody_else_first() -> None:
        wait()
        if others:
            lot_actions.recount(others.pop(), 18)

    monkeypatch.setattr(whereabouts, "wait_for_the_pen", somebody_else_first)
    done = lot_actions.recount(by(lot), 18)
    assert not others
    assert accounts(lot)["alive", "inc-1"] == 18
    assert done.sentence == f"{lot}: the books say so, too."


def test_a_tap_that_comes_twice_at_once_is_one_entry(
    stock: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    lot, wait = stock["grain"], whereabouts.wait_for_the_pen
    tap = by(stock["grain"])
    first = [tap]

    def the_same_tap_first() -> None:
        wait()
        if first:
            lot_actions.recount(first.pop(), 18)

    monkeypatch.setattr(whereabouts, "wait_for_the_pen", the_same_tap_first)
    assert lot_actions.recount(tap, 18).already
    assert accounts(lot)["alive", "inc-1"] == 18


def test_a_tap_does_not_vanish_behind_that_of_another_lot(stock: dict[str, str]) -> None:
    tap = secrets.token_hex(16)
    lot_actions.lose(by(stock["grain"], tap), 1)
    assert lot_actions.lose(by(stock["grain"], tap), 1).already
    with pytest.raises(InputError, match="fresh random id"):
        lot_actions.lose(by(stock["plate"], tap), 1)


@pytest.mark.parametrize("what", ["lose", "cull"])
def test_units_are_taken_from_every_shelf_they_stand_on(two_shelves: str, what: str) -> None:
    done = getattr(lot_actions, what)(by(two_shelves), 15, "green mould")
    assert done.findings == ()
    gone = {"lose": "lost", "cull": "culled"}[what]
    assert accounts(two_shelves) == {("made", ""): -20, ("alive", "inc-2"): 5, (gone, ""): 15}
    assert check() == ()


def test_more_than_stands_anywhere_is_still_asked_about(two_shelves: str) -> None:
    done = lot_actions.lose(by(two_shelves), 23)
    assert len(done.findings) == 1
    assert sum(n for (account, _), n in accounts(two_shelves).items() if account == "alive") == 0
    assert whereabouts.owed_at(two_shelves) == {"inc-2": 3}


def test_a_move_takes_from_the_other_shelves(two_shelves: str) -> None:
    lot_actions.move(by(two_shelves), 10, "inc-2")
    assert accounts(two_shelves)["alive", "inc-1"] == 2
    lot_actions.move(by(two_shelves), 15, "grow-1")
    now = accounts(two_shelves)
    assert (now["alive", "grow-1"], now["alive", "inc-2"], now["alive", "inc-1"]) == (15, 3, 2)
    assert check() == ()


def test_a_recount_takes_what_is_missing_from_every_shelf(two_shelves: str) -> None:
    lot_actions.recount(by(two_shelves), 5)
    assert accounts(two_shelves) == {("made", ""): -20, ("alive", "inc-2"): 5, ("culled", ""): 15}


@pytest.mark.parametrize(
    ("counted", "made", "culled"),
    [(23, -26, 0), (20, -23, 0), (18, -21, 0), (17, -20, 0), (12, -20, 5), (0, -20, 17)],
)
def test_a_recount_settles_what_was_unexplained(
    stock: dict[str, str], tap: Taps, counted: int, made: int, culled: int
) -> None:
    """Of twenty, three were taken from a shelf where none stood: seventeen should be left."""
    lot = stock["grain"]
    door.record([trade.lose(tap(), Taken(lot, 3, "inc-2"))], now=NOW)
    done = lot_actions.recount(by(lot), counted)
    assert done.sentence == f"{lot}: {counted} counted, 17 in the books."
    alive = {("alive", "inc-1"): counted} if counted else {}
    more = {("culled", ""): culled} if culled else {}
    assert accounts(lot) == {("made", ""): made, ("lost", ""): 3, **alive, **more}
    entry = Entry.objects.get(client_id=done.entry)
    assert entry.details["recount"] == counted - 17
    assert sum(p.quantity for p in Posting.objects.filter(entry=entry)) == 0
    assert lot_actions.recount(by(lot), counted).entry == ""


def test_a_count_as_in_the_books_writes_nothing(stock: dict[str, str]) -> None:
    before = Entry.objects.count()
    assert lot_actions.recount(by(stock["grain"]), 20).entry == ""
    assert Entry.objects.count() == before
