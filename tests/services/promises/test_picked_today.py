"""Once picking is done, packing and deliveries of the day are of what was picked."""

from __future__ import annotations

import secrets
from datetime import date, timedelta

import pytest

from farm.small_farm import TODAY
from pinset.errors import InputError
from pinset.farm.check import check
from pinset.planning.plan import ExpectedPick, LotShare
from pinset.services.answers import lot_actions, putting_off, recording, taking_back
from pinset.services.day import today
from pinset.services.day.day_now import allotment_of, day_now, in_sight
from pinset.services.jobs.records import JobKind, LotAmount, VarietyGrams
from pinset.services.plans import planning_day
from pinset.services.plans.stock_now import living_now
from pinset.services.views import JobState, JobView
from services.conftest import LayJob
from services.planned import planned


def do(job: str, **more: object) -> recording.Done:
    return recording.done(job, person="ada", client_id=secrets.token_hex(16), **more)  # type: ignore[arg-type]


@pytest.fixture
def jobs(lay: LayJob, stock: dict[str, str]) -> dict[str, str]:
    """Five kilograms to pick, pack and hand over today."""
    kg = {"unit": "kg", "count": 5, "grams": 5000}
    laid = {
        "pick": lay(
            JobKind.PICK, key=f"pick:grey:{TODAY}", what="kg or so to pick",
            lots=(LotAmount(stock["fruiting"], 20, "fruiting"),), **kg,
        ),
        "pack": lay(
            JobKind.PACK, key=f"pack:{TODAY}:{TODAY}", what="kg to pack: 5 kg Grey oyster",
            for_day=TODAY, weights=(VarietyGrams("grey", 5000),), variety="", **kg,
        ),
        "deliver": lay(
            JobKind.DELIVER, key=f"deliver:market-grey:{TODAY}", promise="market-grey",
            what="kg Grey oyster for Market stall", detail="Promised 5 kg", **kg,
        ),
    }  # fmt: skip
    planned()
    return laid


def on_today(code: str) -> list[JobView]:
    day = today.day_view()
    shown = [job for section in day.sections for job in section.jobs]
    return [job for job in shown if job.job == code]


def test_while_picking_goes_on_the_plan_counts(jobs: dict[str, str]) -> None:
    recording.part_done(jobs["pick"], person="ada", client_id=secrets.token_hex(16), grams=900)
    assert [(job.count, job.what) for job in on_today(jobs["pack"])] == [
        (5, "kg to pack: 5 kg Grey oyster")
    ]


def test_what_was_picked_is_packed_once_it_is_done(jobs: dict[str, str]) -> None:
    done = do(jobs["pick"], grams=900, reason="the rest is small yet")
    [pack] = on_today(jobs["pack"])
    assert (pack.count, pack.what) == (900, "g to pack: 0.9 kg Grey oyster")
    assert "short by 4.1 kg Grey oyster" in pack.detail
    [deliver] = on_today(jobs["deliver"])
    assert "0.9 kg or so will be there" in deliver.detail
    do(jobs["pack"])
    assert today.job_view(jobs["pack"]).state is JobState.DONE
    taking_back.undo(done.entry, person="ada", client_id=secrets.token_hex(16), reason="a slip")
    assert "will be there" not in on_today(jobs["deliver"])[0].detail


def test_more_was_picked_than_expected_and_more_is_packed(
    lay: LayJob, stock: dict[str, str]
) -> None:
    kg = {"unit": "kg", "count": 4, "grams": 4100}
    pick = lay(JobKind.PICK, key=f"pick:grey:{TODAY}", what="kg or so to pick",
               lots=(LotAmount(stock["fruiting"], 20, "fruiting"),), **kg)  # fmt: skip
    pack = lay(JobKind.PACK, key=f"pack:{TODAY}:{TODAY}", what="kg to pack: 4.1 kg Grey oyster",
               for_day=TODAY, weights=(VarietyGrams("grey", 4100),), variety="", **kg)  # fmt: skip
    planned()
    do(pick, grams=4700)
    [shown] = on_today(pack)
    assert shown.what == "kg to pack: 4.7 kg Grey oyster"
    do(pack)


def test_a_gram_of_rounding_asks_for_no_reason(jobs: dict[str, str]) -> None:
    do(jobs["pick"], grams=4998)
    do(jobs["pack"], grams=5000)
    answer = do(jobs["deliver"], grams=5000)
    assert answer.findings == ()
    assert "5 kg" in answer.sentence
    assert check() == (), "nothing is unexplained"


def test_nothing_picked_is_nothing_to_pack(jobs: dict[str, str]) -> None:
    putting_off.not_at_all(
        jobs["pick"], person="ada", client_id=secrets.token_hex(16), reason="nothing is ripe"
    )
    assert on_today(jobs["pack"]) == []
    with pytest.raises(InputError, match="at least 1"):
        do(jobs["pack"])


def test_what_is_not_to_be_picked_at_all_is_not_waited_for(
    jobs: dict[str, str], stock: dict[str, str]
) -> None:
    """What was ripe that day; taken back, it hangs again."""

    def given_up() -> set[date | None]:
        here = living_now(planning_day.farm_book()[0], TODAY + timedelta(days=1))
        return {lot.given_up_on for lot in here if lot.code == stock["fruiting"]}

    said = putting_off.not_at_all(
        jobs["pick"], person="ada", client_id=secrets.token_hex(16), reason="nothing is ripe"
    )
    assert given_up() == {TODAY}
    taking_back.undo(said.entry, person="ada", client_id=secrets.token_hex(16), reason="a slip")
    assert given_up() == {None}


def test_a_new_plan_does_not_allot_what_was_not_picked(
    jobs: dict[str, str], stock: dict[str, str]
) -> None:
    saying = lot_actions.Saying(stock["fruiting"], "ada", secrets.token_hex(16))
    lot_actions.expect_ready(saying, TODAY)
    share = (LotShare(stock["fruiting"], 20.0),)
    planned(picks=(ExpectedPick(TODAY, "grey", 5000.0, share),))
    book, day = planning_day.farm_book()
    newest = planning_day.latest()
    assert newest is not None
    now = day_now(book, day, None)
    before = allotment_of(now, newest.plan, in_sight(now, ()))
    assert round(sum(share.grams for share in before.shares.values())) == 5000
    do(jobs["pick"], grams=900, reason="the rest is small yet")
    now = day_now(book, day, None)
    after = allotment_of(now, newest.plan, in_sight(now, ()))
    assert round(sum(share.grams for share in after.shares.values())) == 900
