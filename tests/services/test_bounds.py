"""What no view can show is refused in words, whether a page or the terminal asks."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta, timezone

import pytest

from farm.small_farm import NOW, TODAY
from pinset.errors import InputError
from pinset.services.answers import off_plan, recording
from pinset.services.bench.sessions import sessions
from pinset.services.books.lots import lots_view
from pinset.services.bounds import within
from pinset.services.cooks.judge.verdicts import cooks
from pinset.services.jobs.records import JobKind, LotAmount
from pinset.services.outlets.surplus_view import surplus_view
from pinset.services.promises.promises import promises_view
from services.recorded import LayJob, do, new_id

VIEWS: dict[str, Callable[[int], object]] = {
    "page of lots": lambda number: lots_view(page=number),
    "page of cooks": lambda number: cooks(NOW - timedelta(days=9), number),
    "weeks of surplus": surplus_view,
    "weeks of promises": promises_view,
    "days of sessions": sessions,
}


@pytest.mark.parametrize("number", [-1, 0, 10**9, 10**20, 10**400])
@pytest.mark.parametrize("view", VIEWS.values(), ids=VIEWS)
@pytest.mark.usefixtures("stock")
def test_a_number_out_of_bounds_is_refused(view: Callable[[int], object], number: int) -> None:
    with pytest.raises(InputError, match="a whole number from 1 to"):
        view(number)


@pytest.mark.parametrize("view", VIEWS.values(), ids=VIEWS)
@pytest.mark.usefixtures("stock")
def test_both_bounds_are_allowed(view: Callable[[int], object]) -> None:
    view(1)
    with pytest.raises(InputError) as refused:
        view(10**20)
    view(int(refused.value.accepted.rpartition(" ")[2]))


def test_within() -> None:
    assert within("page", 3, 1, 3) == 3
    with pytest.raises(InputError, match=r"page: 4 is not accepted; .* from 1 to 3"):
        within("page", 4, 1, 3)


def test_a_flush_that_no_lot_has_is_refused_with_a_job_and_without(
    lay: LayJob, stock: dict[str, str]
) -> None:
    lot = stock["fruiting"]
    job = lay(JobKind.PICK, count=2, unit="kg", lots=(LotAmount(lot, 2),))
    for flush in (0, 13, 10**30):
        with pytest.raises(InputError, match="flush"):
            recording.done(
                job, person="ada", client_id=new_id(), grams=900, flush=flush, reason="seen"
            )
        with pytest.raises(InputError, match="flush"):
            off_plan.pick(lot, 900, person="ada", client_id=new_id(), flush=flush, reason="seen")


@pytest.mark.parametrize(
    "at",
    [
        datetime.min.replace(tzinfo=timezone(timedelta(hours=14))),
        datetime.max.replace(tzinfo=timezone(timedelta(hours=-14))),
        datetime(1969, 12, 31, 23, tzinfo=UTC),
    ],
)
def test_a_moment_no_record_holds_is_refused(
    lay: LayJob, stock: dict[str, str], at: datetime
) -> None:
    job = lay(JobKind.SHAKE, count=3, lots=(LotAmount(stock["grain"], 3, "grain"),))
    with pytest.raises(InputError, match="a moment from 1970 until now"):
        do(job, at=at, reason="seen")


@pytest.mark.usefixtures("stock")
def test_a_variety_nobody_grows_is_refused_with_those_there_are() -> None:
    assert TODAY
    with pytest.raises(InputError, match=r"variety: 'gray' .*one of grey.*Did you mean grey\?"):
        lots_view(variety="gray")
