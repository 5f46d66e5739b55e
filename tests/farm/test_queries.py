"""What the books ask, on the small farm's chain of lots."""

from __future__ import annotations

import itertools
from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from farm.small_farm import CODES, NOW, TODAY, Taps, lot
from farm.test_living import BLOCK, GRAIN, GRAIN2, PLATE, READY, chain_of_lots
from pinset.chain.register import FarmBook
from pinset.chain.stages import Stage
from pinset.errors import InputError
from pinset.farm import queries, trade
from pinset.farm.corrections import undo_of
from pinset.farm.door import record
from pinset.farm.trade import ParentShare, Taken
from pinset.farm.trade.looking import Verdict


@pytest.fixture(autouse=True)
def _written(farm: FarmBook, tap: Taps) -> None:  # noqa: ARG001 - lots need the book
    record(chain_of_lots(tap), now=NOW)


def counts_of(code: str) -> queries.Counts:
    number = queries.lot_by_code(code).pk
    return queries.counts([number])[number]


def test_counts_of_a_lot() -> None:
    grain = counts_of(GRAIN)
    assert (grain.made, grain.alive, grain.used, grain.lost) == (24, 23, 0, 1)
    block = counts_of(BLOCK)
    assert (block.made, block.alive, block.grown_g, block.store_g) == (40, 40, 3200, 3200)
    assert grain.is_balanced
    assert block.is_balanced
    with pytest.raises(InputError, match="a lot of this farm"):
        queries.lot_by_code("22222")


def test_the_life_of_a_lot_in_the_order_it_happened(tap: Taps) -> None:
    late = trade.look(tap(hours=-90, person="ben"), [Taken(BLOCK, 40, "inc-2")], seen="white, even")
    record([late], now=NOW)
    record([trade.note(tap(person="ada", note="Smells well."), [BLOCK])], now=NOW)
    told = queries.life(BLOCK)
    assert [one.kind for one in told] == ["inoculate", "look", "move", "pick", "note"]
    assert told[0].lots_made == (BLOCK,)
    assert told[0].links == ((GRAIN2, BLOCK, 4),)
    assert told[1].person_name == "Ben"
    assert told[1].mentions[0].value == "white, even"
    assert told[3].total("store", "gram") == 3200
    assert told[4].note == "Smells well."
    assert queries.life("22222") == ()


def test_what_was_taken_back_is_told_but_does_not_stand(tap: Taps) -> None:
    wrong = trade.lose(tap(job="J5"), Taken(BLOCK, 4, "inc-2"))
    record([wrong], now=NOW)
    assert [one.client_id for one in queries.answers(["J5"])["J5"]] == [wrong.client_id]
    record([undo_of(wrong.client_id, tap())], now=NOW)
    assert queries.answers(["J5"]) == {}
    told = queries.life(BLOCK)[-2:]
    assert [one.stands for one in told] == [False, False]
    assert told[1].corrects == told[0].client_id


def test_the_family_up_and_down() -> None:
    assert {one.lot for one in queries.parents(GRAIN2)} == {GRAIN, READY}
    (opened,) = [one for one in queries.parents(GRAIN2) if one.lot == GRAIN]
    assert (opened.units, opened.amount, opened.stage) == (2, 300, "grain")
    assert [one.lot for one in queries.children(PLATE)] == [GRAIN]
    assert set(queries.ancestors([BLOCK])) == {PLATE, GRAIN, GRAIN2, READY}
    assert set(queries.descendants([PLATE])) == {GRAIN, GRAIN2, BLOCK}
    family = [PLATE, *queries.descendants([PLATE])]
    assert {(edge.parent, edge.child) for edge in queries.edges(family)} == {
        (PLATE, GRAIN),
        (GRAIN, GRAIN2),
        (GRAIN2, BLOCK),
    }


def test_deliveries_for_promises(tap: Taps) -> None:
    friday = date(2026, 3, 13)
    sold = trade.deliver(
        tap(), [Taken(BLOCK, 2000, "cold-1")], buyer="weir", promise="p1", for_day=friday
    )
    record(
        [sold, trade.sell(tap(), [Taken(GRAIN, 2, "inc-1")], buyer="club", promise="p2")], now=NOW
    )
    first, second = queries.deliveries(NOW - timedelta(days=1), NOW + timedelta(days=1))
    assert (first.promise, first.for_day, first.amount, first.measure) == (
        "p1",
        friday,
        2000,
        "gram",
    )
    assert (second.promise, second.amount, second.measure) == ("p2", 2, "unit")
    record([undo_of(sold.client_id, tap())], now=NOW)
    assert len(queries.deliveries(NOW - timedelta(days=1), NOW + timedelta(days=1))) == 1
    assert queries.deliveries(NOW + timedelta(days=1), NOW + timedelta(days=2)) == ()


def test_the_store_and_what_was_picked(tap: Taps) -> None:
    (picked,) = queries.picks(NOW - timedelta(days=1), NOW)
    assert (picked.lot, picked.grams, picked.flush) == (BLOCK, 3200, 1)
    record(
        [
            trade.waste(tap(), [Taken(BLOCK, 200, "cold-1")], cause="trim"),
            trade.dry(tap(), [Taken(BLOCK, 500, "cold-1")]),
            trade.pack(tap(), [Taken(BLOCK, 1000, "cold-1")], to_place="van", packages=4),
        ],
        now=NOW,
    )
    assert {(one.place, one.grams) for one in queries.in_store()} == {
        ("cold-1", 1500),
        ("van", 1000),
    }
    assert queries.store_by_variety() == (("grey", TODAY, 1500), ("grey", TODAY, 1000))
    block = counts_of(BLOCK)
    assert (block.waste_g, block.dried_g, block.is_balanced) == (200, 500, True)
    assert queries.totals(variety="grey")["waste", "gram"] == 200


def test_finding_lots(tap: Taps) -> None:
    total, rows = queries.find_lots()
    assert total == 5
    assert [row.code for row in rows][:2] == [READY, BLOCK]
    assert rows[1].places == ("grow-1", "inc-2")
    assert queries.find_lots(stage="grain")[0] == 2
    assert queries.find_lots(step="block", variety="grey", culture="g1")[0] == 1
    assert queries.find_lots(code=PLATE[:3].lower())[1][0].code == PLATE
    assert queries.find_lots(limit=2, offset=4)[1] == rows[4:]
    assert queries.find_lots(is_alive=False)[0] == 0
    record([trade.cull(tap(), Taken(PLATE, 5, "lab-1"), cause="old")], now=NOW)
    assert [row.code for row in queries.find_lots(is_alive=False)[1]] == [PLATE]
    assert queries.find_lots(is_alive=None)[0] == 5


def test_what_stands_where_and_who_worked_where(tap: Taps) -> None:
    loads = {(one.place, one.lot): one.units for one in queries.standing_on_places()}
    assert loads["grow-1", BLOCK] == 15
    record(
        [
            trade.pick(tap(person="ben"), BLOCK, 100, 1, "cold-1", grown_at="grow-1"),
            trade.rounds(tap(person="ada"), ["inc"]),
        ],
        now=NOW,
    )
    hour = timedelta(hours=1)
    assert queries.rooms_worked_in("ben", NOW - hour, NOW + hour) == {"grow", "pack"}
    assert queries.rooms_worked_in("ada", NOW - hour, NOW + hour) == {"inc"}
    assert queries.rooms_worked_in("ben", NOW - 2 * hour, NOW - hour) == set()


def test_who_worked_where_is_asked_of_one_table_after_the_other(tap: Taps) -> None:
    record([trade.rounds(tap(person="ada"), ["inc"])], now=NOW)
    hour = timedelta(hours=1)
    with CaptureQueriesContext(connection) as asked:
        queries.rooms_worked_in("ada", NOW - hour, NOW + hour)
    both = [q for q in asked if "farm_posting" in q["sql"] and "farm_mention" in q["sql"]]
    assert both == [], "joined, every posting at a place meets every mention of it"


def test_codes_the_farm_knows() -> None:
    known = queries.KnownCodes()
    assert BLOCK in known
    assert CODES[99] not in known
    assert 7 not in known


def test_entries_of_some_kinds_between_two_moments() -> None:
    looked = queries.happened_between(NOW - timedelta(hours=30), NOW, kinds=["move", "pick"])
    assert [one.kind for one in looked] == ["move", "pick"]
    assert queries.last_entry_number() == 8
    assert queries.entry(looked[0].client_id) == looked[0]
    assert queries.entry("f" * 32) is None


def test_two_moves_at_one_moment_tell_the_same_whatever_came_first(tap: Taps) -> None:
    first = trade.move(tap(), Taken(GRAIN, 3, "inc-1"), "grow-1", step="fruiting")
    second = trade.move(tap(), Taken(GRAIN, 3, "grow-1"), "inc-2")
    record([second, first], now=NOW)
    (moved,) = [one for one in queries.living(TODAY, lots=[GRAIN]) if one.place == "inc-2"]
    assert moved.step == "fruiting"


def test_generations_over_a_long_line_of_grain(tap: Taps) -> None:
    """Each grain-to-grain transfer is one generation more; the master is the first."""
    line = CODES[100:160]
    entries = [trade.receive(tap(), lot(line[0], Stage.GRAIN, "grain", generation=1), 9, "inc-1")]
    entries += [
        trade.inoculate(
            tap(), [ParentShare(a, 1, "inc-1")], lot(b, Stage.GRAIN, "grain"), 9, "inc-1"
        )
        for a, b in itertools.pairwise(line)
    ]
    record(entries, now=NOW)
    generations = {one.code: one.generation for one in queries.living(TODAY, lots=line)}
    assert [generations[code] for code in line] == list(range(1, 61))


def test_a_released_lot_is_offered_again(tap: Taps) -> None:
    record([trade.judge(tap(), GRAIN, Verdict.HELD)], now=NOW)
    assert queries.living(TODAY, lots=[GRAIN])[0].held == "held back"
    record([trade.judge(tap(), GRAIN, Verdict.RELEASED)], now=NOW)
    assert queries.living(TODAY, lots=[GRAIN])[0].held == ""
