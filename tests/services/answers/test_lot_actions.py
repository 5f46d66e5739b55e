"""What is said of a lot without a job: read and written while no other writer is at work."""

from __future__ import annotations

import secrets
from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import NOW, Taps
from pinset.chain.register import FarmBook, Shelf
from pinset.errors import InputError, RefusedError
from pinset.farm import door, trade, whereabouts
from pinset.farm.check import check
from pinset.farm.models import Balance, Entry, Posting
from pinset.farm.trade import Taken
from pinset.services.answers import lot_actions, taking_back
from pinset.services.answers.lot_actions import Saying
from pinset.services.answers.lot_counts import UnlikelyError, places_to_count
from pinset.services.books import lots
from pinset.services.books.register_change import write_record


def by(lot: str, client_id: str = "") -> Saying:
    return Saying(lot, "ada", client_id or secrets.token_hex(16))


def accounts(lot: str) -> dict[tuple[str, str], int]:
    rows = Balance.objects.filter(lot__code=lot).exclude(quantity=0)
    return {(row.account, row.place.code): row.quantity for row in rows.select_related("place")}


@pytest.fixture
def two_shelves(stock: dict[str, str], tap: Taps) -> str:
    """A lot of 20 that stands 12 and 8 on two shelves."""
    moved = trade.move(tap(hours=-50), Taken(stock["grain"], 8, "inc-1"), "inc-2")
    door.record([moved], now=NOW - timedelta(hours=39))
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


@pytest.mark.parametrize("what", ["lose", "cull"])
def test_more_than_stands_anywhere_needs_a_reason(two_shelves: str, what: str) -> None:
    say, before = getattr(lot_actions, what), Entry.objects.count()
    with pytest.raises(RefusedError, match=r"23 units are said of, and 20 stand there"):
        say(by(two_shelves), 23, "green mould")
    assert Entry.objects.count() == before
    done = say(replace(by(two_shelves), why="a tray was never written down"), 23, "green mould")
    _owed, although = done.findings
    assert although.startswith("Written down although: 23 units are said of")
    assert sum(n for (account, _), n in accounts(two_shelves).items() if account == "alive") == 0
    assert whereabouts.owed_at(two_shelves) == {"inc-2": 3}
    details = Entry.objects.get(client_id=done.entry).details
    assert details["why"] == "a tray was never written down"
    assert len(details["against"]) == 1
    [event] = [e for e in lots.lot_view(two_shelves).life if e.entry == done.entry]
    assert event.what.endswith("green mould; a tray was never written down")


def test_more_than_stands_elsewhere_is_not_moved_without_a_reason(two_shelves: str) -> None:
    with pytest.raises(RefusedError, match=r"13 units are said of, and 12 stand there"):
        lot_actions.move(by(two_shelves), 13, "inc-2")
    assert accounts(two_shelves)["alive", "inc-1"] == 12


@pytest.mark.parametrize("count", [5, 15, 20, 999])
@pytest.mark.parametrize("what", ["lose", "cull", "recount"])
def test_what_was_a_slip_is_undone_to_exactly_what_stood_before(
    two_shelves: str, what: str, count: int
) -> None:
    before = accounts(two_shelves)
    saying = replace(by(two_shelves), why="looked so")
    if what == "recount":
        done = lot_actions.recount(saying, {"inc-1": count, "inc-2": 1})
    else:
        done = getattr(lot_actions, what)(saying, count, "green mould")
    assert accounts(two_shelves) != before
    [event] = [e for e in lots.lot_view(two_shelves).life if e.entry == done.entry]
    assert event.can_undo
    tap = secrets.token_hex(16)
    taking_back.undo(done.entry, person="ada", client_id=tap, reason="a slip")
    assert accounts(two_shelves) == before
    assert check() == ()
    [back] = [e for e in lots.lot_view(two_shelves).life if e.entry == tap]
    assert not back.can_undo


def test_an_entry_under_a_later_count_is_taken_back_after_that_count(two_shelves: str) -> None:
    before = accounts(two_shelves)
    slip = lot_actions.lose(replace(by(two_shelves), why="looked so"), 999, "green mould")
    count = lot_actions.recount(by(two_shelves), {"inc-1": 11, "inc-2": 8})
    with pytest.raises(RefusedError, match="was counted again today, after this entry"):
        undo(slip.entry)
    undo(count.entry)
    undo(slip.entry)
    assert accounts(two_shelves) == before
    late = lot_actions.lose(by(two_shelves), 1, "green mould")
    undo(late.entry)  # the count before it was taken back
    assert accounts(two_shelves) == before


def undo(entry: str) -> None:
    taking_back.undo(entry, person="ada", client_id=secrets.token_hex(16), reason="a slip")


def test_a_move_takes_from_the_other_shelves(two_shelves: str) -> None:
    lot_actions.move(by(two_shelves), 10, "inc-2")
    assert accounts(two_shelves)["alive", "inc-1"] == 2
    lot_actions.move(by(two_shelves), 15, "grow-1")
    now = accounts(two_shelves)
    assert (now["alive", "grow-1"], now["alive", "inc-2"], now["alive", "inc-1"]) == (15, 3, 2)
    assert check() == ()


def test_a_lot_at_two_places_is_counted_at_each(two_shelves: str) -> None:
    with pytest.raises(RefusedError, match="several places: 12 at inc-1 and 8 at inc-2"):
        lot_actions.recount(by(two_shelves), 15)
    with pytest.raises(RefusedError, match="several places"):
        lot_actions.recount(by(two_shelves), {"inc-1": 9})
    with pytest.raises(InputError, match="the-moon"):
        lot_actions.recount(by(two_shelves), {"inc-1": 9, "inc-2": 8, "the-moon": 1})
    with pytest.raises(InputError, match="0 or more"):
        lot_actions.recount(by(two_shelves), {"inc-1": -1, "inc-2": 8})
    done = lot_actions.recount(by(two_shelves), {"inc-1": 9, "inc-2": 8})
    assert done.sentence == f"{two_shelves}: 17 counted, 20 in the books."
    now = accounts(two_shelves)
    assert now == {("made", ""): -20, ("alive", "inc-1"): 9, ("alive", "inc-2"): 8, CULLED: 3}
    more = lot_actions.recount(by(two_shelves), {"inc-1": 9, "inc-2": 10, "grow-1": 2})
    assert more.sentence == f"{two_shelves}: 21 counted, 17 in the books."
    assert accounts(two_shelves)["alive", "grow-1"] == 2
    assert accounts(two_shelves)["alive", "inc-1"] == 9
    assert check() == ()


CULLED = ("culled", "")


def test_a_lot_emptied_by_a_slip_is_counted_at_each_place_it_stood(two_shelves: str) -> None:
    lot_actions.lose(replace(by(two_shelves), why="looked so"), 999, "green mould")
    assert places_to_count(two_shelves) == (("inc-1", 0), ("inc-2", 0))
    with pytest.raises(RefusedError, match="stood at several places: inc-1 and inc-2"):
        lot_actions.recount(by(two_shelves), 15)
    lot_actions.recount(by(two_shelves), {"inc-1": 9, "inc-2": 6})
    now = accounts(two_shelves)
    assert (now["alive", "inc-1"], now["alive", "inc-2"]) == (9, 6)
    assert whereabouts.owed_at(two_shelves) == {}


def test_far_more_than_the_books_hold_is_not_counted_without_a_reason(
    stock: dict[str, str],
) -> None:
    with pytest.raises(RefusedError, match="180 is far above the 20 in the books"):
        lot_actions.recount(by(stock["grain"]), 180)
    lot_actions.recount(by(stock["grain"]), 180, "nine crates were never written down")
    assert accounts(stock["grain"])["alive", "inc-1"] == 180


@pytest.mark.parametrize("what", ["lose", "cull"])
def test_one_id_with_another_number_is_another_answer(stock: dict[str, str], what: str) -> None:
    lot, tap = stock["grain"], secrets.token_hex(16)
    say = getattr(lot_actions, what)
    say(by(lot, tap), 2, "green mould")
    assert say(by(lot, tap), 2, "green mould").already
    with pytest.raises(
        RefusedError, match=r"(lost|taken out), count 2; now it says: (lost|taken out), count 3"
    ):
        say(by(lot, tap), 3, "green mould")
    other = {"lose": lot_actions.cull, "cull": lot_actions.lose}[what]
    with pytest.raises(RefusedError, match="sent before"):
        other(by(lot, tap), 2, "green mould")
    assert accounts(lot)["alive", "inc-1"] == 18


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


def test_a_shelf_that_is_full_is_asked_about(stock: dict[str, str], farm: FarmBook) -> None:
    small = replace(farm.rooms[0], shelves=(Shelf("lab-1", 10),))
    write_record(small, "", NOW)
    with pytest.raises(UnlikelyError) as asked:
        lot_actions.move(by(stock["grain"]), 20, "lab-1")
    assert asked.value.sentence == (
        "Shelf lab-1 has 10 places left, and what is carried there takes 20."
    )
    assert accounts(stock["grain"])["alive", "inc-1"] == 20
    lot_actions.move(replace(by(stock["grain"]), why="two deep"), 20, "lab-1")
    assert Entry.objects.latest("id").details["against"] == [asked.value.sentence]
    assert check() == ()
