"""Parents are used as they may be, and what speaks against them is said."""

from __future__ import annotations

from datetime import timedelta

import pytest

from farm.small_farm import CODES, NOW, TODAY, Taps, lot
from pinset.chain.stages import Stage
from pinset.errors import RefusedError
from pinset.farm import door, trade
from pinset.farm.check import check
from pinset.farm.models import Entry, Job, Lot
from pinset.farm.queries import lineage
from pinset.farm.queries.lots import lot_by_code
from pinset.services import clock
from pinset.services.answers import lot_actions, recording
from pinset.services.answers.lot_actions import Saying
from pinset.services.books.lots import lot_view
from pinset.services.day import today
from pinset.services.jobs.records import JobKind, LotAmount
from services.recorded import LayJob, counts, do, new_id, transfer


def test_a_transfer_uses_parents_and_makes_a_lot(lay: LayJob, stock: dict[str, str]) -> None:
    answer = do(transfer(lay, stock))
    [child] = answer.new_lots
    assert counts(child) == {"made": 24, "alive": 24}
    assert counts(stock["plate"]) == {"made": 20, "alive": 17, "used": 3}
    assert lot_by_code(child).culture == "g1"
    assert check() == ()


def test_fewer_made_opens_fewer_parents(lay: LayJob, stock: dict[str, str]) -> None:
    [child] = do(transfer(lay, stock), count=8).new_lots
    assert counts(child) == {"made": 8, "alive": 8}
    assert counts(stock["plate"])["used"] == 1


def test_parents_are_opened_by_the_units_made(lay: LayJob, stock: dict[str, str]) -> None:
    job = transfer(lay, stock, count=18, parents=3)  # six of each
    recording.part_done(job, person="ada", client_id=new_id(), count=12)
    assert counts(stock["plate"])["used"] == 2
    do(job, count=12)
    assert counts(stock["plate"])["used"] == 4
    do(transfer(lay, stock, count=12, parents=2), count=24)
    assert counts(stock["plate"])["used"] == 8


def test_other_lots_than_planned(lay: LayJob, stock: dict[str, str]) -> None:
    do(transfer(lay, stock), lots=[(stock["plate"], 5)])
    assert counts(stock["plate"])["used"] == 5


def test_a_lot_that_is_no_parent_here_is_refused(lay: LayJob, stock: dict[str, str]) -> None:
    job = transfer(lay, stock)
    with pytest.raises(RefusedError, match="is not made on this route"):
        do(job, lots=[(stock["block"], 2)])
    assert counts(stock["block"]) == {"made": 20, "alive": 20}


def test_an_unknown_lot_is_refused_and_nothing_is_written(
    lay: LayJob, stock: dict[str, str]
) -> None:
    before = Entry.objects.count()
    job = transfer(lay, stock)
    with pytest.raises(RefusedError, match="There is no lot 22222"):
        do(job, lots=[("22222", 2)])
    assert Entry.objects.count() == before


def test_more_used_than_stood_there_needs_a_reason(lay: LayJob, stock: dict[str, str]) -> None:
    job = transfer(lay, stock)
    with pytest.raises(RefusedError, match=r"25 of lot \w+ are named, and 20 stand there"):
        do(job, lots=[(stock["plate"], 25)])
    answer = do(job, lots=[(stock["plate"], 25)], reason="five more stood behind")
    assert answer.findings
    assert counts(stock["plate"]) == {"made": 20, "used": 25, "unexplained": -5}


def test_what_speaks_against_a_parent_is_said_and_needs_a_reason(
    lay: LayJob, stock: dict[str, str]
) -> None:
    lot_actions.hold(Saying(stock["plate"], "ada", new_id()), "a green speck")
    job = transfer(lay, stock)
    with pytest.raises(RefusedError, match="held back: a green speck"):
        do(job)
    assert counts(stock["plate"]) == {"made": 20, "alive": 20}
    answer = do(job, reason="far from the speck")
    assert any("held back" in finding for finding in answer.findings)
    entry = Entry.objects.get(client_id=answer.entry)
    assert entry.details["reason"] == "far from the speck"
    assert entry.details["against"]


def test_a_parent_that_is_not_ready_or_past_its_time_needs_a_reason(
    lay: LayJob, stock: dict[str, str]
) -> None:
    for code, age, said in ((CODES[120], 2, "not ready"), (CODES[121], 300, "past its time")):
        made = lot(code, Stage.PLATE, "plate", made_on=TODAY - timedelta(days=age))
        door.record([trade.opening(Taps(9000 + age)(hours=-1), made, 5, "inc-1")], now=NOW)
        with pytest.raises(RefusedError, match=said):
            do(transfer(lay, stock), lots=[(code, 2)])


def test_cultures_are_not_mixed_without_a_word(lay: LayJob, stock: dict[str, str]) -> None:
    other = lot(CODES[122], Stage.PLATE, "plate", culture="g2", made_on=TODAY - timedelta(days=14))
    door.record([trade.opening(Taps(9500)(hours=-1), other, 5, "inc-1")], now=NOW)
    both = [(stock["plate"], 1), (other.code, 2)]
    job = transfer(lay, stock)
    with pytest.raises(RefusedError, match="cultures differ"):
        do(job, lots=both)
    [child] = do(job, lots=both, reason="a trial").new_lots
    assert lot_by_code(child).culture == ""


def test_lots_repeated_as_planned_scale_with_the_part(lay: LayJob, stock: dict[str, str]) -> None:
    job = transfer(lay, stock, count=10, parents=2)
    planned = [(stock["plate"], 2)]
    recording.part_done(job, person="ada", client_id=new_id(), count=3, lots=planned)
    assert counts(stock["plate"])["used"] == 1
    do(job, lots=planned)
    assert counts(stock["plate"])["used"] == 2


def test_another_variety_is_refused(lay: LayJob, stock: dict[str, str]) -> None:
    Lot.objects.filter(code=stock["plate"]).update(variety="pink")
    with pytest.raises(RefusedError, match="Take a lot of the right variety"):
        do(transfer(lay, stock))


def test_a_start_from_the_collection_needs_no_parent_lot(lay: LayJob) -> None:
    [child] = do(lay(JobKind.TRANSFER, step="plate", stage="plate", count=4)).new_lots
    assert lot_by_code(child).culture == "g1"
    assert counts(child) == {"made": 4, "alive": 4}


def grain_to_blocks(lay: LayJob, grain: str, count: int, jars: int) -> str:
    return lay(
        JobKind.TRANSFER,
        step="block",
        stage="block",
        count=count,
        what=f"blocks from {jars} grain jars {grain}",
        lots=(LotAmount(grain, jars, "grain"),),
    )


def test_the_rest_comes_out_of_the_parent_that_is_open(lay: LayJob, stock: dict[str, str]) -> None:
    grain = stock["grain"]
    job = grain_to_blocks(lay, grain, 10, 1)
    recording.part_done(job, person="ada", client_id=new_id(), count=4)
    assert counts(grain)["used"] == 1
    left = today.job_view(job)
    assert left.what == f"blocks from the grain jar already opened, {grain}"
    assert [(lot.lot, lot.units) for lot in left.from_lots] == [(grain, 0)]
    rest = do(job)
    assert rest.sentence == f"6 blocks from the grain jar already opened, {grain}: recorded."
    assert counts(grain)["used"] == 1
    [child] = rest.new_lots
    assert [each.lot for each in lineage.parents(child)] == [grain]
    assert [each.units for each in lot_view(child).parents] == ["a part of one unit went in"]
    assert check() == ()


def test_the_last_jar_gives_the_rest_with_none_left(lay: LayJob, stock: dict[str, str]) -> None:
    grain = stock["grain"]
    lot_actions.lose(Saying(grain, "ada", new_id()), 19, "mould")
    job = grain_to_blocks(lay, grain, 10, 1)
    recording.part_done(job, person="ada", client_id=new_id(), count=4)
    assert do(job).findings == ()
    assert counts(grain) == {"made": 20, "used": 1, "lost": 19}


def test_parents_are_rounded_over_the_whole_job(lay: LayJob, stock: dict[str, str]) -> None:
    grain = stock["grain"]
    job = grain_to_blocks(lay, grain, 16, 2)
    part = recording.part_done(job, person="ada", client_id=new_id(), count=7)
    assert part.sentence.startswith(f"7 blocks from 1 grain jar {grain}: ")
    recording.part_done(job, person="ada", client_id=new_id(), count=2)
    assert counts(grain)["used"] == 2
    do(job)
    assert counts(grain)["used"] == 2


def test_a_part_out_of_two_lots_names_both(
    lay: LayJob, stock: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(clock.PRETENDED, NOW.isoformat())
    other = lot(CODES[123], Stage.GRAIN, "grain", made_on=TODAY - timedelta(days=14))
    door.record([trade.opening(Taps(9700)(hours=-1), other, 5, "inc-1")], now=NOW)
    lots = (LotAmount(stock["grain"], 1, "grain"), LotAmount(other.code, 1, "grain"))
    job = lay(JobKind.TRANSFER, step="block", stage="block", count=16, lots=lots)
    recording.part_done(job, person="ada", client_id=new_id(), count=5)
    [child] = do(job).new_lots
    parents = [(each.lot, each.units) for each in lineage.parents(child)]
    assert parents == [(stock["grain"], 0), (other.code, 1)]
    assert counts(other.code)["used"] == 1
    assert check() == ()


def test_lots_shown_for_the_rest_say_nothing_of_their_own(
    lay: LayJob, stock: dict[str, str]
) -> None:
    job = grain_to_blocks(lay, stock["grain"], 24, 3)
    recording.part_done(job, person="ada", client_id=new_id(), count=8)
    shown = [(lot.lot, lot.units) for lot in today.job_view(job).from_lots]
    assert shown == [(stock["grain"], 2)]
    recording.part_done(job, person="ada", client_id=new_id(), count=4, lots=shown)
    assert counts(stock["grain"])["used"] == 2


def test_a_plate_open_before_the_next_plan_gives_the_rest(
    lay: LayJob, stock: dict[str, str]
) -> None:
    """The plan of the next morning lays a plate for the seven that are left of two of eight."""
    plate = stock["plate"]
    job = transfer(lay, stock, count=16, parents=2)
    recording.part_done(job, person="ada", client_id=new_id(), count=9)
    row = Job.objects.get(code=job)
    row.body = {**row.body, "lots": [{**row.body["lots"][0], "units": 1}], "laid_after": 9}
    row.save()
    recording.part_done(job, person="ada", client_id=new_id(), count=3)
    assert counts(plate)["used"] == 2
    do(job, count=6)
    assert counts(plate)["used"] == 3
