"""Work on lots is done on the units that are meant, where they stand."""

from __future__ import annotations

from datetime import timedelta

import pytest

from farm.small_farm import CODES, NOW, TODAY, Taps, lot
from pinset.chain.stages import Stage
from pinset.errors import InputError, RefusedError
from pinset.farm import door, trade, whereabouts
from pinset.farm.check import check
from pinset.farm.models import Mention
from pinset.farm.queries.lots import lot_by_code, rows_of
from pinset.services.answers import recording
from pinset.services.jobs.records import JobKind, LotAmount
from services.recorded import LayJob, counts, do, new_id, transfer


@pytest.mark.parametrize("kind", [JobKind.MOVE, JobKind.SHAKE, JobKind.CLEAR, JobKind.DISCARD])
def test_more_than_stands_there_is_not_worked_on_without_a_reason(
    lay: LayJob, stock: dict[str, str], kind: JobKind
) -> None:
    planned = (LotAmount(stock["block"], 20, "block"),)
    job = lay(kind, count=20, lots=planned, to_step="fruiting", to_room="grow")
    with pytest.raises(RefusedError, match="40 of lot"):
        do(job, lots=[(stock["block"], 40)])
    assert counts(stock["block"]) == {"made": 20, "alive": 20}


def test_move_into_a_grow_room(lay: LayJob, stock: dict[str, str]) -> None:
    job = lay(
        JobKind.MOVE,
        count=20,
        to_step="fruiting",
        to_room="grow",
        lots=(LotAmount(stock["block"], 20, "block"),),
    )
    do(job)
    [row] = rows_of([lot_by_code(stock["block"])])
    assert row.places == ("grow-1",)


def test_count_and_lots_say_the_same(lay: LayJob, stock: dict[str, str]) -> None:
    clear = lay(JobKind.CLEAR, count=20, lots=(LotAmount(stock["fruiting"], 20),))
    with pytest.raises(InputError, match="the sum of the lots"):
        do(clear, count=5, lots=[(stock["fruiting"], 12)])
    recording.part_done(
        clear,
        person="ada",
        client_id=new_id(),
        lots=[(stock["fruiting"], 3), (stock["fruiting"], 2)],
    )
    assert counts(stock["fruiting"]) == {"made": 20, "alive": 15, "spent": 5}


def test_the_rest_of_a_job_is_done_on_the_lots_that_are_left(
    lay: LayJob, stock: dict[str, str]
) -> None:
    other = lot(CODES[160], Stage.BLOCK, "block", made_on=TODAY - timedelta(days=14))
    door.record([trade.opening(Taps(start=50_000)(hours=-48), other, 20, "inc-2")], now=NOW)
    job = lay(
        JobKind.MOVE,
        count=40,
        to_step="fruiting",
        to_room="grow",
        lots=(LotAmount(stock["block"], 20, "block"), LotAmount(other.code, 20, "block")),
    )
    recording.part_done(job, person="ada", client_id=new_id(), lots=[(stock["block"], 20)])
    done = do(job)
    assert done.findings == ()
    moved = Mention.objects.filter(role="step", entry__job=job).values_list("lot__code", "count")
    assert sorted(moved) == sorted([(stock["block"], 20), (other.code, 20)])
    assert check() == ()


def standing_at(code: str) -> dict[str, int]:
    return {each.place: each.quantity for each in whereabouts.units_of([code])[code]}


def test_what_is_past_its_time_is_taken_from_where_it_is(lay: LayJob, half_fruiting: str) -> None:
    job = lay(JobKind.DISCARD, count=6, room="inc", lots=(LotAmount(half_fruiting, 6, "block"),))
    do(job)
    assert standing_at(half_fruiting) == {"grow-1": 14}


def test_what_fruits_already_is_not_moved_again(lay: LayJob, half_fruiting: str) -> None:
    job = lay(
        JobKind.MOVE,
        count=6,
        to_step="fruiting",
        to_room="grow",
        lots=(LotAmount(half_fruiting, 6),),
    )
    do(job)
    assert standing_at(half_fruiting) == {"grow-1": 20}


def test_what_is_spent_is_cleared_out_of_its_room(lay: LayJob, half_fruiting: str) -> None:
    job = lay(JobKind.CLEAR, count=3, room="grow", lots=(LotAmount(half_fruiting, 3, "fruiting"),))
    do(job)
    assert standing_at(half_fruiting) == {"grow-1": 11, "inc-2": 6}


@pytest.mark.parametrize("number", [0, -4])
def test_lots_without_units_are_refused(lay: LayJob, stock: dict[str, str], number: int) -> None:
    with pytest.raises(InputError, match="1 unit or more"):
        do(transfer(lay, stock), lots=[(stock["plate"], number)])
