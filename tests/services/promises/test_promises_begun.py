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
from pinset.services import memory
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
