"""A cook that was opened is asked about until somebody has judged it."""

from __future__ import annotations

import secrets
from collections.abc import Iterable
from dataclasses import replace
from datetime import date, time, timedelta

import pytest

from farm.small_farm import CODES, NOW, TODAY, Taps, describe, lot
from pinset.chain.plain import to_plain
from pinset.chain.register import FarmBook
from pinset.chain.stages import Stage
from pinset.errors import InputError
from pinset.farm import door, job_store, trade
from pinset.farm.job_store import JobToLay
from pinset.farm.models import Entry
from pinset.services import clock
from pinset.services.answers import putting_off, recording, taking_back
from pinset.services.clock import now_utc
from pinset.services.cooks.judge import verdict_entries as cook_verdict_entries
from pinset.services.cooks.judge import verdicts as cook_verdicts
from pinset.services.day import today
from pinset.services.day.fitting import what_follows
from pinset.services.day.lateness import late_cost
from pinset.services.jobs.known import known_jobs
from pinset.services.jobs.matching import match
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.jobs.to_judge import cooks_to_judge, judging
from pinset.services.views import Done
from services.conftest import LayJob

WATCHED = "gauge at 1.0 bar for 90 min by the clock"


def do(job: str, **more: object) -> Done:
    return recording.done(
        job,
        person="ada",
        client_id=secrets.token_hex(16),
        **more,  # type: ignore[arg-type]
    )


def cooked(tap: Taps, number: int, hours: float, *, units: int = 12) -> tuple[str, str]:
    """Record a cook so many hours before the present; return its code and its lot."""
    cook, code = f"kettle-{number}", CODES[30 + number]
    made_on = (NOW - timedelta(hours=hours)).date()
    made = lot(code, Stage.PREPARED, "grain", variety="", culture="", made_on=made_on)
    entry = trade.cook(
        tap(hours=-hours), cook, [(made, units)] if units else [], "bay-1",
        steriliser="kettle", cook_kind="grain",
    )  # fmt: skip
    door.record([entry], now=NOW)
    return cook, code


def asked(book: FarmBook, since: time | None = None, known: Iterable[str] = ()) -> list[str]:
    return [each.code for each in cooks_to_judge(book, TODAY, since, set(known))]


def test_a_cook_of_today_is_asked_about_once_it_is_over_or_opened(
    farm: FarmBook, tap: Taps
) -> None:
    cook, _ = cooked(tap, 1, 2)  # loaded at 8 by the farm's clock; a grain cook takes 5 h
    assert asked(farm) == []
    assert asked(farm, time(12, 55)) == []
    assert asked(farm, time(13, 0)) == [cook]
    assert asked(farm, time(9, 0), known=[cook]) == [cook]


def test_cooks_of_earlier_days_are_asked_about_from_the_morning(farm: FarmBook, tap: Taps) -> None:
    cook, _ = cooked(tap, 1, 14)
    bare, _ = cooked(tap, 2, 30, units=0)
    assert asked(farm) == [bare, cook]
    cook_verdict_entries.judge_by_hand(secrets.token_hex(16), "ada", cook, "fail", WATCHED)
    assert asked(farm) == [bare]


def test_an_old_cook_is_asked_about_only_while_vessels_of_it_stand(
    farm: FarmBook, tap: Taps
) -> None:
    standing, code = cooked(tap, 1, 24 * 9)
    cooked(tap, 2, 24 * 9, units=0)
    assert asked(farm) == [standing]
    door.record([trade.cull(tap(), trade.Taken(code, 12, "bay-1"))], now=NOW)
    assert asked(farm) == []


def test_a_cook_that_could_not_be_told_is_still_asked_about(farm: FarmBook, tap: Taps) -> None:
    cook, _ = cooked(tap, 1, 24)
    cook_verdict_entries.record_verdict(
        secrets.token_hex(16), "ada", cook, {}, "unjudged", "Gap.", None
    )
    assert asked(farm) == [cook]


def test_the_job_says_what_to_do_and_where(farm: FarmBook, tap: Taps) -> None:
    cook, code = cooked(tap, 1, 24)
    [job] = judging(cooks_to_judge(farm, TODAY, None, set()), farm, TODAY)
    assert job.what == f"cook to judge, {cook}"
    assert job.detail == "Load the logger's file, or write down what the gauge and the clock read"
    assert job.due == "before the first inoculation from it"
    assert job.place == "Kettle"
    assert job.feeds == (LotAmount(code, 12, "grain", "oyster-straw"),)


def test_left_for_a_day_it_says_how_many_vessels_hang_on_it(farm: FarmBook, tap: Taps) -> None:
    cooked(tap, 1, 24)
    [job] = judging(cooks_to_judge(farm, TODAY, None, set()), farm, TODAY)
    assert late_cost(job, 1, TODAY) == "1 day late: 12 units hang on doing it today"


def test_it_comes_before_what_its_vessels_are_for(farm: FarmBook, tap: Taps) -> None:
    cooked(tap, 1, 24)
    [job] = judging(cooks_to_judge(farm, TODAY, None, set()), farm, TODAY)

    def start(step: str) -> PlannedJob:
        return PlannedJob(
            step, JobKind.TRANSFER, "transfer", TODAY, 12, "units", "jars", "laboratory", step=step
        )

    follows = what_follows([("J1", start("grain"), 9), ("J2", job, 5), ("J3", start("block"), 9)])
    assert follows == {"J1": ("J2",)}


def test_what_is_still_to_be_opened_is_not_asked_about(lay: LayJob, farm: FarmBook) -> None:
    """Loaded in the evening and opened on the next day: it is late from the opening on."""
    about = {"steriliser": "kettle", "cook_kind": "grain", "variety": "", "count": 12}
    key, feeds = f"kettle:grain:{TODAY}", (LotAmount("", 12, "grain"),)
    evening = now_utc() - timedelta(hours=30)
    do(lay(JobKind.COOK, key=f"cook:{key}", task="load", feeds=feeds, **about), at=evening)
    opening = lay(JobKind.OPEN, key=f"open:{key}", task="open", feeds=feeds, **about)
    assert asked(farm) == asked(farm, time(23, 0)) == []
    answer = do(opening)
    cook = Entry.objects.get(kind="cook").details["cook"]
    assert asked(farm) == [cook]
    judge = job_store.judging_of(cook)
    assert judge is not None
    assert (judge.day, today.job_view(judge.code).late_days) == (TODAY, 0)
    undo(answer.entry)
    assert job_store.judging_of(cook).is_withdrawn  # type: ignore[union-attr]
    assert asked(farm) == []


def opened(lay: LayJob, day: date = TODAY) -> str:
    """Load and open a cook by its jobs; return the code of the judging that follows."""
    about: dict[str, object] = {
        "steriliser": "kettle",
        "cook_kind": "grain",
        "variety": "",
        "count": 12,
    }
    key = f"kettle:grain:{day}"
    about |= {"day": day, "feeds": (LotAmount("", 12, "grain"),)}
    early = now_utc() - timedelta(hours=5)
    do(lay(JobKind.COOK, key=f"cook:{key}", task="load", **about), at=early)
    do(lay(JobKind.OPEN, key=f"open:{key}", task="open", **about))
    [job] = [row.code for row in job_store.open_jobs() if row.kind == JobKind.JUDGE]
    return job


def test_opening_a_cook_puts_its_judging_on_the_list(lay: LayJob) -> None:
    job = opened(lay)
    view = today.job_view(job)
    cook = Entry.objects.get(kind="cook").details["cook"]
    assert (view.act, view.link) == ("Judge", f"/heat/cook/{cook}/")
    assert any("not a proof" in caution for caution in view.cautions)
    with pytest.raises(InputError, match="what was watched"):
        do(job)
    answer = do(job, reason=WATCHED)
    assert cook_verdicts.cook_of(cook).line.words == "passed, judged by hand, no log"
    assert job_store.job_by_code(job).is_closed  # type: ignore[union-attr]
    taking_back.undo(answer.entry, person="ada", client_id=secrets.token_hex(16), reason="slip")
    assert not job_store.job_by_code(job).is_closed  # type: ignore[union-attr]
    do(job, reason="the fire went out", verdict="fail")
    assert cook_verdicts.cook_of(cook).line.verdict == "fail"


@pytest.mark.parametrize(
    ("opened_ahead", "days_on", "late"),
    [(0, 1, 0), (0, 2, 1), (1, 3, 0), (1, 4, 1)],  # Thursday, and Friday before days off
)
def test_it_is_not_late_on_the_next_working_morning(
    lay: LayJob, farm: FarmBook, monkeypatch: pytest.MonkeyPatch,
    opened_ahead: int, days_on: int, late: int,
) -> None:  # fmt: skip
    weekend = (TODAY + timedelta(days=2), TODAY + timedelta(days=3))
    book = replace(farm, farm=replace(farm.farm, days_off=weekend))
    describe(book)
    day = TODAY + timedelta(days=opened_ahead)
    monkeypatch.setenv(clock.PRETENDED, day.isoformat())
    job = opened(lay, day)
    assert today.job_view(job).late_days == 0
    morning = TODAY + timedelta(days=opened_ahead + days_on)
    monkeypatch.setenv(clock.PRETENDED, morning.isoformat())
    assert today.job_view(job).late_days == late
    known = [each for each in known_jobs() if each.code == job]
    codes = {each.job.cook for each in known}
    new = judging(cooks_to_judge(book, morning, None, codes), book, morning)
    [(code, kept)] = match(known, new, morning).kept
    assert (code, kept.day) == (job, morning)
    assert max(0, (morning - (kept.first_day or kept.day)).days) == late


def test_a_load_taken_back_takes_its_judging_off_the_list(lay: LayJob) -> None:
    job = opened(lay)
    load = Entry.objects.get(kind="cook")
    undo(load.client_id)
    row = job_store.job_by_code(job)
    assert row is not None
    assert row.is_withdrawn
    assert job not in {each.code for each in job_store.jobs_for(TODAY, NOW - timedelta(days=1))}
    [again] = [each.code for each in job_store.open_jobs() if each.kind == JobKind.COOK]
    do(again, at=now_utc() - timedelta(hours=6))
    assert Entry.objects.filter(kind="cook", is_corrected=False).count() == 1


def test_half_a_load_taken_back_leaves_the_judging_of_the_other_half(
    lay: LayJob, farm: FarmBook
) -> None:
    key, feeds = f"cook:kettle:grain:{TODAY}", (LotAmount("", 12, "grain"),)
    load = lay(
        JobKind.COOK, key=key, task="load", feeds=feeds, steriliser="kettle", cook_kind="grain",
        variety="", count=12,
    )  # fmt: skip
    early = now_utc() - timedelta(hours=30)
    parts = [
        recording.part_done(
            load, person="ada", client_id=secrets.token_hex(16), count=6, at=early, reason="more"
        ).entry
        for _ in range(2)
    ]
    [cook] = asked(farm)
    rows = [JobToLay("", TODAY, "judge", to_plain(j)) for j in judged_today(farm)]
    [job] = job_store.add(rows)
    undo(parts[0])
    assert not job_store.judging_of(cook).is_withdrawn  # type: ignore[union-attr]
    undo(parts[1])
    assert job_store.job_by_code(job).is_withdrawn  # type: ignore[union-attr]


def judged_today(book: FarmBook) -> tuple[PlannedJob, ...]:
    return judging(cooks_to_judge(book, TODAY, None, set()), book, TODAY)


def undo(entry: str) -> None:
    taking_back.undo(entry, person="ada", client_id=secrets.token_hex(16), reason="a slip")


def test_not_at_all_leaves_it_unjudged_and_is_not_asked_again(lay: LayJob, farm: FarmBook) -> None:
    job = opened(lay)
    putting_off.not_at_all(
        job, person="ada", client_id=secrets.token_hex(16), reason="no longer needed"
    )
    cook = Entry.objects.get(kind="cook").details["cook"]
    assert cook_verdicts.cook_of(cook).line.verdict == "unjudged"
    tomorrow = TODAY + timedelta(days=1)
    assert cooks_to_judge(farm, tomorrow, None, set()) == ()
