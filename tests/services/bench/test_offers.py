"""What the lots on the bench can be made into: the usual thing first, with its numbers."""

from __future__ import annotations

from dataclasses import replace

import pytest

from farm.small_farm import CODES, NOW, ROUTE, TODAY, Taps, describe, lot
from pinset.chain.register import Parent
from pinset.chain.stages import Stage
from pinset.farm import door, trade
from pinset.farm.trade import CookVerdict
from pinset.farm.trade.looking import Verdict
from pinset.services.bench.offers import bench_hand
from pinset.services.floor.records import Held
from pinset.services.jobs.records import JobKind, LotAmount
from services.bench.test_sessions import vessels
from services.conftest import FULL_BOOK, PICKED, LayJob


def test_nothing_in_hand_says_what_to_scan(stock: dict[str, str]) -> None:
    view = bench_hand(())
    assert view.makings == ()
    assert view.sentence.startswith("Scan what you take from")
    prepared = vessels(24, CODES[170], CookVerdict.PASS)
    assert bench_hand([Held(prepared)]).sentence.startswith("Now scan what goes into them")
    assert stock


def test_plates_without_a_job_make_what_the_route_says(stock: dict[str, str]) -> None:
    [making] = bench_hand([Held(stock["plate"])]).makings
    assert (making.step, making.job, making.makes) == ("grain", "", 8)
    assert making.words == "grain jars of Grey oyster"
    [share] = making.shares
    assert (share.lot, share.units, share.most, share.is_part) == (stock["plate"], 1, 20, False)
    assert making.is_usual


def test_the_vessels_in_hand_say_how_many(stock: dict[str, str]) -> None:
    prepared = vessels(24, CODES[171], CookVerdict.PASS)
    view = bench_hand([Held(stock["plate"]), Held(prepared)])
    [making] = view.makings
    assert (making.makes, making.vessels) == (24, (prepared,))
    assert making.shares[0].units == 3
    assert [(each.lot, each.units) for each in view.vessels] == [(prepared, 24)]
    one_by_one = bench_hand([Held(stock["plate"], (4, 5)), Held(prepared, (1, 2, 3))])
    assert one_by_one.makings[0].makes == 3
    assert one_by_one.makings[0].shares[0].units == 2


def test_a_job_of_today_comes_first(stock: dict[str, str], lay: LayJob) -> None:
    parents = (LotAmount(stock["plate"], 3, "plate"),)
    job = lay(JobKind.TRANSFER, lots=parents, count=24, step="grain", stage="grain",
              what="grain jars from 3 plates")  # fmt: skip
    [making] = bench_hand([Held(stock["plate"])]).makings
    assert (making.job, making.makes, making.words) == (job, 24, "grain jars")
    assert making.shares[0].units == 3
    few = vessels(10, CODES[172], CookVerdict.PASS)
    assert bench_hand([Held(stock["plate"]), Held(few)]).makings[0].makes == 10


def test_vessels_of_another_sort_are_not_the_usual_thing(
    stock: dict[str, str], lay: LayJob
) -> None:
    lay(JobKind.TRANSFER, lots=(LotAmount(stock["plate"], 3, "plate"),), count=24, step="grain")
    bags = vessels(10, CODES[173], CookVerdict.PASS, step="block")
    [making] = bench_hand([Held(stock["plate"]), Held(bags)]).makings
    assert making.makes == 24, "the bags do not count for jars"


def test_what_speaks_against_it_is_said_before_the_tap(stock: dict[str, str], tap: Taps) -> None:
    failed = vessels(24, CODES[174], CookVerdict.FAIL)
    held = trade.judge(tap(hours=-1), stock["plate"], Verdict.HELD, reason="smells sour")
    door.record([held], now=NOW)
    view = bench_hand([Held(stock["plate"]), Held(failed)])
    assert any("held back: smells sour" in each for each in view.remarks)
    assert any(each.startswith(failed) for each in view.remarks)
    assert view.makings, "it is asked about once it is tapped"


def test_what_is_gone_meanwhile_is_said_and_not_offered(stock: dict[str, str], tap: Taps) -> None:
    gone = trade.cull(tap(hours=-1), trade.Taken(stock["grain"], 20, "inc-1"), cause="dry")
    door.record([gone], now=NOW)
    view = bench_hand([Held(stock["grain"])])
    assert view.makings == ()
    assert view.remarks == (f"Lot {stock['grain']}: nothing of it is alive any more.",)


def test_two_varieties_are_never_offered_together(stock: dict[str, str], tap: Taps) -> None:
    pink = replace(FULL_BOOK.varieties[0], code="pink", name="Pink oyster")
    describe(replace(FULL_BOOK, varieties=(*FULL_BOOK.varieties, pink)))
    other = lot(CODES[175], Stage.PLATE, "plate", variety="pink", culture="",
                made_on=TODAY)  # fmt: skip
    door.record([trade.opening(tap(hours=-1), other, 4, "inc-1")], now=NOW)
    view = bench_hand([Held(stock["plate"]), Held(other.code)])
    assert view.makings == ()
    assert "Two varieties never go together" in view.sentence


@pytest.mark.parametrize("already", ["sealed", "opened"])
def test_a_part_of_a_bag_with_its_grams(stock: dict[str, str], tap: Taps, already: str) -> None:
    steps = tuple(
        replace(step, fill_g=1000, parents=(Parent("grain", 10.0, part_use=True),))
        if step.code == "block"
        else replace(step, fill_g=1000)
        for step in PICKED.steps
    )
    describe(replace(FULL_BOOK, routes=(replace(ROUTE, steps=steps),)))
    fresh = lot(CODES[176], Stage.GRAIN, "grain", made_on=TODAY)
    since = TODAY if already == "opened" else None
    door.record([trade.opening(tap(hours=-1), fresh, 4, "inc-1", opened_on=since)], now=NOW)
    [making] = bench_hand([Held(fresh.code)]).makings
    [share] = making.shares
    assert (share.is_part, share.amount, share.measure) == (True, 1000, "g")
    assert share.units == (0 if already == "opened" else 1)
    assert stock
