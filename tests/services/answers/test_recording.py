"""Every kind of job is written down once, as it was done."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from farm.small_farm import NOW, TODAY
from pinset.errors import InputError, RefusedError
from pinset.farm import job_store
from pinset.farm.check import check
from pinset.farm.models import Job
from pinset.farm.queries.lots import lot_by_code
from pinset.services.answers import lot_actions, recording
from pinset.services.answers.lot_actions import Saying
from pinset.services.books import lots
from pinset.services.cooks.judge import verdict_entries as cook_verdict_entries
from pinset.services.jobs.records import JobKind, LotAmount
from services.recorded import LayJob, counts, do, new_id, transfer


def test_part_done_leaves_the_rest(lay: LayJob, stock: dict[str, str]) -> None:
    job = transfer(lay, stock)
    recording.part_done(job, person="ada", client_id=new_id(), count=8)
    assert not job_store.job_by_code(job).is_closed  # type: ignore[union-attr]
    [child] = do(job).new_lots
    assert counts(child)["made"] == 16
    assert job_store.job_by_code(job).is_closed  # type: ignore[union-attr]
    assert counts(stock["plate"])["used"] == 3


def test_cook_makes_prepared_vessels_which_transfers_use(
    lay: LayJob, stock: dict[str, str]
) -> None:
    cook = lay(
        JobKind.COOK,
        steriliser="kettle",
        cook_kind="grain",
        variety="",
        count=30,
        feeds=(LotAmount("", 30, "grain"),),
    )
    [prepared] = do(cook).new_lots
    assert counts(prepared) == {"made": 30, "alive": 30}
    code = lot_by_code(prepared).cook
    cook_verdict_entries.judge_by_hand(
        new_id(), "ada", code, "pass", "90 min at 1.0 bar by the gauge"
    )
    do(transfer(lay, stock))
    assert counts(prepared) == {"made": 30, "alive": 6, "used": 24}


def test_shake_look_round_clear_discard_prepare_order(lay: LayJob, stock: dict[str, str]) -> None:
    grain = (LotAmount(stock["grain"], 20, "grain"),)
    do(lay(JobKind.SHAKE, count=20, lots=grain))
    do(lay(JobKind.LOOK, count=20, lots=grain))
    do(lay(JobKind.ROUND, count=1, unit="rooms", variety=""))
    do(lay(JobKind.PREPARE, task="soak", count=30, variety=""))
    do(lay(JobKind.ORDER, step="grain", count=4))
    do(lay(JobKind.CLEAR, count=20, lots=(LotAmount(stock["fruiting"], 20),)))
    do(lay(JobKind.DISCARD, count=20, lots=grain))
    assert counts(stock["fruiting"]) == {"made": 20, "spent": 20}
    assert counts(stock["grain"]) == {"made": 20, "culled": 20}
    assert check() == ()


@pytest.mark.parametrize("count", [-1, 100_001])
def test_absurd_counts_are_refused(lay: LayJob, stock: dict[str, str], count: int) -> None:
    job = transfer(lay, stock)
    with pytest.raises(InputError, match="count"):
        do(job, count=count)


def test_nothing_done_is_said_another_way(lay: LayJob, stock: dict[str, str]) -> None:
    job = transfer(lay, stock)
    with pytest.raises(InputError, match="not today, or not at all"):
        do(job, count=0)


def test_numbers_far_from_the_plan_need_a_reason(lay: LayJob, stock: dict[str, str]) -> None:
    pick = lay(JobKind.PICK, count=6, unit="kg", lots=(LotAmount(stock["fruiting"], 20),))
    with pytest.raises(RefusedError, match="Look at the scale"):
        do(pick, grams=4_000_000)
    do(pick, grams=40_000, reason="two flushes at once")
    look = lay(JobKind.LOOK, count=20, lots=(LotAmount(stock["grain"], 20),))
    with pytest.raises(RefusedError, match="far above the 20 planned"):
        do(look, count=5000)


def test_work_of_another_day_needs_a_reason(lay: LayJob, stock: dict[str, str]) -> None:
    job = lay(JobKind.SHAKE, day=TODAY + timedelta(days=1), lots=(LotAmount(stock["grain"], 12),))
    with pytest.raises(RefusedError, match="planned for tomorrow"):
        do(job)
    do(job, reason="had time")


def test_a_job_told_later_is_dated_when_it_happened(lay: LayJob, stock: dict[str, str]) -> None:
    [child] = do(transfer(lay, stock), at=NOW - timedelta(days=2)).new_lots
    assert lot_by_code(child).made_on == TODAY - timedelta(days=2)


def test_a_withdrawn_job_needs_a_reason(lay: LayJob, stock: dict[str, str]) -> None:
    job = transfer(lay, stock)
    Job.objects.filter(code=job).update(withdrawn_at=NOW)
    with pytest.raises(RefusedError, match="no longer asks"):
        do(job)
    assert do(job, reason="was at it already").new_lots


def test_a_cook_that_is_described_no_more_is_refused_in_words(lay: LayJob) -> None:
    with pytest.raises(RefusedError, match="does no rice cooks"):
        do(lay(JobKind.COOK, steriliser="kettle", cook_kind="rice", variety="", count=3))


def test_vessels_of_another_recipe_are_never_taken(lay: LayJob, stock: dict[str, str]) -> None:
    cook = lay(
        JobKind.COOK,
        steriliser="kettle",
        cook_kind="grain",
        variety="",
        count=30,
        feeds=(LotAmount("", 30, "block", "oyster-straw"),),
    )
    [bags] = do(cook).new_lots
    do(transfer(lay, stock))
    assert counts(bags) == {"made": 30, "alive": 30}


def test_a_text_is_kept_whole_or_refused(lay: LayJob, stock: dict[str, str]) -> None:
    job = transfer(lay, stock)
    with pytest.raises(InputError, match="at most 2000 signs"):
        do(job, note="x" * 3000)
    answer = do(job, note="two lids cracked\x1b[31m")
    event = next(e for e in lots.lot_view(answer.new_lots[0]).life if e.entry == answer.entry)
    assert event.note == "two lids cracked[31m"


def test_a_day_beyond_reach_is_refused(stock: dict[str, str]) -> None:
    with pytest.raises(InputError, match="within two years"):
        lot_actions.expect_ready(Saying(stock["block"], "ada", new_id()), date(9999, 12, 31))
    assert lots.lots_view().total == 4
