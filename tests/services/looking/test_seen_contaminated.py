"""What was seen contaminated and stands is told, asked about when it is used, and not planned."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from farm.small_farm import NOW, TODAY, Taps
from pinset.chain.register import FarmBook
from pinset.errors import RefusedError
from pinset.farm import door, trade
from pinset.farm.queries.alive import living
from pinset.farm.trade import Taken
from pinset.planning.building.from_book import build_problem
from pinset.services.answers import lot_actions, recording, taking_back
from pinset.services.answers.lot_actions import Saying as OfLot
from pinset.services.bench.offers import bench_hand
from pinset.services.books.lots import lot_view
from pinset.services.day.today import day_view, job_view
from pinset.services.floor.next_things import hand_view
from pinset.services.floor.records import Amount, Deed, Held
from pinset.services.floor.taps import Saying
from pinset.services.floor.writing_down import write_down
from pinset.services.jobs.records import JobKind, LotAmount
from pinset.services.looking.looked import Seen, look

LayJob = Callable[..., str]
ASKED = "seen contaminated"


def new_id() -> str:
    return secrets.token_hex(16)


def see(lot: str, seen: int, of: int | None = None, *, out: bool = False) -> str:
    """Look at a lot and see green dust on some, or nothing on any; return the look."""
    signs = ("green-dust",) if seen else ()
    return look(OfLot(lot, "ben", new_id()), Seen(signs, "", seen, of, take_out=out)).entry


def bad(lot: str, day: date = TODAY) -> int:
    return sum(part.alive for part in living(day, lots=[lot]) if part.contaminated)


def test_the_lot_says_how_many_and_no_longer_that_they_are_ready(stock: dict[str, str]) -> None:
    see(stock["grain"], 2)
    view = lot_view(stock["grain"])
    assert "2 of 20 were seen contaminated (green dust) and not taken out" in view.findings[0]
    assert "18 ready" in view.line.ready
    assert "2 seen contaminated" in view.line.ready
    see(stock["grain"], 20)
    view = lot_view(stock["grain"])
    assert "ready" not in view.line.ready
    assert view.line.held == "", "nobody held it back, so nobody offers it again"


def test_taken_out_taken_back_or_looked_at_again_they_are_told_no_more(
    stock: dict[str, str],
) -> None:
    lot = stock["grain"]
    see(lot, 3, out=True)
    assert bad(lot) == 0
    see(lot, 3)
    lot_actions.lose(OfLot(lot, "ben", new_id()), 2, "green dust")
    assert bad(lot) == 1
    entry = see(lot, 5)
    assert bad(lot) == 5
    taking_back.undo(entry, person="ben", client_id=new_id(), reason="tapped by mistake")
    assert bad(lot) == 1
    see(lot, 0, of=4)
    assert bad(lot) == 1, "a look at some of them may have missed it"
    see(lot, 0)
    assert bad(lot) == 0
    assert lot_view(lot).findings == ()


def test_a_tap_over_several_lots_takes_nothing_back(stock: dict[str, str], tap: Taps) -> None:
    see(stock["grain"], 2)
    over = [Taken(stock["grain"], 20, "inc-1"), Taken(stock["plate"], 20, "inc-1")]
    door.record([trade.look(tap(hours=0), over)], now=NOW)
    assert bad(stock["grain"]) == 2


def test_they_stand_where_they_were_seen(stock: dict[str, str], tap: Taps) -> None:
    lot = stock["block"]
    door.record([trade.move(tap(hours=-1), Taken(lot, 8, "inc-2"), "inc-1")], now=NOW)
    said = Seen(("green-dust",), "", 3, place="inc-1")
    look(OfLot(lot, "ben", new_id()), said)
    found = [(part.place, part.alive) for part in living(TODAY, lots=[lot]) if part.contaminated]
    assert found == [("inc-1", 3)]


def test_at_the_scan_the_usual_thing_is_taking_them_out(stock: dict[str, str]) -> None:
    see(stock["block"], 2)
    view = hand_view([Held(stock["block"])])
    assert view.things[0].deed is Deed.LOSE
    assert view.things[0].amounts[0].count == 2
    assert ASKED in view.lots[0].remarks[0]
    [move] = [thing for thing in view.things if thing.deed is Deed.MOVE]
    assert move.amounts[0].count == 18
    deeds = {thing.deed for thing in view.things}
    assert Deed.HOLD in deeds
    assert Deed.RELEASE not in deeds
    see(stock["block"], 20)
    view = hand_view([Held(stock["block"])])
    assert view.things[0].deed is Deed.LOSE
    assert Deed.MOVE not in {thing.deed for thing in view.things}


def test_the_bench_says_it(stock: dict[str, str]) -> None:
    see(stock["grain"], 2)
    assert any(ASKED in remark for remark in bench_hand([Held(stock["grain"])]).remarks)


def test_a_move_asks_for_a_reason_once_too_few_are_sound(stock: dict[str, str]) -> None:
    lot = stock["block"]
    see(lot, 2)
    write_down(Saying(Deed.MOVE, (Amount(lot, 10, 10),)), person="ben", client_id=new_id())
    with pytest.raises(RefusedError, match=ASKED):
        write_down(Saying(Deed.MOVE, (Amount(lot, 10, 10),)), person="ben", client_id=new_id())
    said = Saying(Deed.MOVE, (Amount(lot, 10, 10),), reason="into a room of their own")
    write_down(said, person="ben", client_id=new_id())


def test_a_job_that_would_use_them_names_it_and_asks(stock: dict[str, str], lay: LayJob) -> None:
    lots = (LotAmount(stock["plate"], 19, "plate"),)
    code = lay(JobKind.TRANSFER, lots=lots, count=12, stage="grain", step="grain")
    see(stock["plate"], 1)
    assert job_view(code).stop == ""
    see(stock["plate"], 2)
    assert ASKED in job_view(code).stop
    day = day_view()
    [shown] = [job for section in day.sections for job in section.jobs if job.job == code]
    assert shown.stop == job_view(code).stop
    with pytest.raises(RefusedError, match=ASKED):
        recording.done(code, person="ben", client_id=new_id())
    recording.done(code, person="ben", client_id=new_id(), reason="only to try")


def test_the_plan_does_not_count_on_them(stock: dict[str, str], farm: FarmBook) -> None:
    def planned() -> tuple[float, tuple[str, ...]]:
        parts = living(TODAY, lots=[stock["grain"]])
        problem, remarks = build_problem(farm, parts, TODAY)
        return sum(each.units for each in problem.stock), remarks

    before, _ = planned()
    see(stock["grain"], 2)
    after, said = planned()
    assert after == pytest.approx(before * 18 / 20)
    assert any(ASKED in remark and "does not use them" in remark for remark in said)


def test_the_past_is_read_of_such_lots_alone(stock: dict[str, str]) -> None:
    def questions() -> int:
        with CaptureQueriesContext(connection) as asked:
            living(TODAY)
        return len(asked)

    see(stock["grain"], 0)
    clean = questions()
    see(stock["grain"], 2)
    assert questions() <= clean + 3
