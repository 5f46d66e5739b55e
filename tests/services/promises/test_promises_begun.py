"""Ending a promise leaves what was handed over for it counted as its delivery."""

from __future__ import annotations

import secrets
from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import TODAY, describe
from pinset.chain.register import FarmBook, Promise
from pinset.errors import RefusedError
from pinset.farm.models.register import RegisterKind
from pinset.services import clock, memory
from pinset.services.answers import recording, taking_back
from pinset.services.books.register_change import retire
from pinset.services.jobs.records import JobKind
from pinset.services.plans import planning_day
from pinset.services.promises import promises
from pinset.services.views import PromiseWeek
from services.conftest import LayJob


def sell(lay: LayJob, promise: str, count: int = 3) -> str:
    job = lay(JobKind.DELIVER, count=count, step="grain", promise=promise)
    done = recording.done(job, person="ada", client_id=secrets.token_hex(16))
    return done.entry


def row_of(promise: str) -> PromiseWeek | None:
    rows = [row for _, week in promises.promises_view().weeks for row in week]
    return next((r for r in rows if (r.promise, r.day) == (promise, TODAY)), None)


def promise_of(code: str) -> Promise | None:
    return planning_day.promise_by_code(planning_day.farm_book()[0], code)


@pytest.fixture(autouse=True)
def _unplanned(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(planning_day, "latest", lambda: None)


@pytest.fixture
def once(farm: FarmBook) -> str:
    """A promise of three jars for today only."""
    own = Promise("once", "market", "grey", 3, "unit", "grain", on_date=TODAY)
    describe(replace(farm, promises=(*farm.promises, own)))
    memory.forget_all()
    return own.code


@pytest.mark.usefixtures("stock")
def test_a_weekly_promise_ends_after_the_day_it_was_handed_over_for(lay: LayJob) -> None:
    sell(lay, "spawn")
    promises.end_promise("spawn", "ada")
    ended = promise_of("spawn")
    assert ended is not None
    assert ended.until == TODAY
    row = row_of("spawn")
    assert row is not None
    assert (row.delivered, row.state) == (3, "kept")


def test_with_nothing_handed_over_it_ends_yesterday(farm: FarmBook) -> None:  # noqa: ARG001
    promises.end_promise("spawn", "ada")
    ended = promise_of("spawn")
    assert ended is not None
    assert ended.until == TODAY - timedelta(days=1)
    assert row_of("spawn") is None


@pytest.mark.usefixtures("stock")
def test_a_promise_for_one_day_is_not_taken_away_once_handed_over(lay: LayJob, once: str) -> None:
    entry = sell(lay, once, 2)
    with pytest.raises(RefusedError, match="2 units for 12 March were handed over") as refused:
        promises.end_promise(once, "ada")
    assert "take it back first" in refused.value.hint
    with pytest.raises(RefusedError, match="were handed over"):
        retire(RegisterKind.PROMISE, once, "ada", planning_day.now_utc())
    assert promise_of(once) is not None
    taking_back.undo(entry, person="ada", client_id=secrets.token_hex(16), reason="a slip")
    promises.end_promise(once, "ada")
    assert promise_of(once) is None


@pytest.mark.usefixtures("stock")
def test_changed_to_what_was_handed_over_it_is_kept(lay: LayJob, once: str) -> None:
    sell(lay, once, 2)
    promise = promise_of(once)
    assert promise is not None
    promises.save_promise(replace(promise, amount=2), "ada")
    row = row_of(once)
    assert row is not None
    assert (row.delivered, row.state) == (2, "kept")


@pytest.mark.usefixtures("stock")
@pytest.mark.parametrize(
    ("in_time", "days", "said"),
    [
        (0, 1, "Handed over a day late."),
        (0, 2, "Handed over 2 days late."),
        (1, 1, "2 units of it handed over a day late."),
    ],
)
def test_handed_over_late_it_is_kept_late_and_counted_apart(
    in_time: int, days: int, said: str, lay: LayJob, once: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    if in_time:
        sell(lay, once, in_time)
    later = TODAY + timedelta(days=days)
    monkeypatch.setenv(clock.PRETENDED, later.isoformat())
    memory.forget_all()
    sell(lay, once, 3 - in_time)
    view = promises.promises_view()
    row = row_of(once)
    assert row is not None
    assert (row.delivered, row.state, row.late_days, row.reason) == (3, "kept late", days, said)
    assert "1 of " in view.sentence
    assert view.sentence.endswith("kept since four weeks ago, 1 of them late.")


@pytest.mark.usefixtures("stock")
def test_what_is_added_later_to_a_promise_that_was_kept_is_not_late(
    lay: LayJob, once: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    sell(lay, once, 3)
    monkeypatch.setenv(clock.PRETENDED, (TODAY + timedelta(days=1)).isoformat())
    memory.forget_all()
    sell(lay, once, 1)
    row = row_of(once)
    assert row is not None
    assert (row.delivered, row.state, row.late_days) == (4, "kept", 0)
