"""When it is said to have happened: not ahead, not before its lots, not long ago unasked."""

from __future__ import annotations

import secrets
from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import BOOK, NOW, TODAY
from pinset.errors import InputError, RefusedError
from pinset.farm import register_store
from pinset.farm.models import Entry
from pinset.services import clock
from pinset.services.answers import lot_actions, off_plan, putting_off, recording
from pinset.services.answers.lot_actions import Saying
from pinset.services.jobs.records import JobKind, LotAmount
from services.conftest import LayJob

KEY = f"kettle:grain:{TODAY}"
ABOUT = {
    "steriliser": "kettle", "place": "Kettle", "cook_kind": "grain", "variety": "", "count": 12,
    "feeds": (LotAmount("", 12, "grain", "oyster-straw"),),
}  # fmt: skip


@pytest.fixture(autouse=True)
def at_nine(monkeypatch: pytest.MonkeyPatch, stock: dict[str, str]) -> None:  # noqa: ARG001
    monkeypatch.setenv(clock.PRETENDED, NOW.isoformat())


def new_id() -> str:
    return secrets.token_hex(16)


def look(lay: LayJob, stock: dict[str, str]) -> str:
    return lay(JobKind.LOOK, count=5, lots=(LotAmount(stock["grain"], 5, "grain"),))


def do(job: str, **more: object) -> recording.Done:
    return recording.done(job, person="ada", client_id=new_id(), **more)  # type: ignore[arg-type]


@pytest.mark.parametrize("ahead", [timedelta(minutes=11), timedelta(hours=4), timedelta(days=1)])
def test_what_lies_ahead_is_refused(lay: LayJob, stock: dict[str, str], ahead: timedelta) -> None:
    job, at, before = look(lay, stock), NOW + ahead, Entry.objects.count()
    with pytest.raises(InputError, match="2026-03-12 10:00, or earlier"):
        do(job, at=at, reason="it was so")
    with pytest.raises(InputError, match="or earlier"):
        putting_off.not_today(job, person="ada", client_id=new_id(), reason="no time", at=at)
    with pytest.raises(InputError, match="or earlier"):
        lot_actions.lose(Saying(stock["grain"], "ada", new_id(), at=at), 1)
    with pytest.raises(InputError, match="or earlier"):
        off_plan.pick(stock["fruiting"], 900, person="ada", client_id=new_id(), at=at)
    assert Entry.objects.count() == before


def test_a_tablet_that_runs_a_little_ahead_is_taken(lay: LayJob, stock: dict[str, str]) -> None:
    assert do(look(lay, stock), at=NOW + timedelta(minutes=4)).findings == ()


def test_no_time_ahead_opens_a_hot_steriliser(lay: LayJob) -> None:
    load = lay(JobKind.COOK, key=f"cook:{KEY}", task="load", **ABOUT)
    opening = lay(JobKind.OPEN, key=f"open:{KEY}", task="open", **ABOUT)
    do(load, at=NOW - timedelta(minutes=20))
    with pytest.raises(InputError, match="or earlier"):
        do(opening, at=NOW + timedelta(hours=5))
    with pytest.raises(RefusedError, match="cannot have ended"):
        do(opening)


def test_before_a_lot_was_made_is_asked_about(lay: LayJob, stock: dict[str, str]) -> None:
    # made 14 days ago
    job, at = look(lay, stock), NOW - timedelta(days=15)
    with pytest.raises(RefusedError, match=f"Lot {stock['grain']} was made .*, after this"):
        do(job, at=at)
    done = do(job, at=at, reason="the label has the wrong day")
    assert any("after this" in said for said in done.findings)


def test_within_the_day_a_lot_made_here_has_its_hour(lay: LayJob, stock: dict[str, str]) -> None:
    made = lay(
        JobKind.TRANSFER, step="block", stage="block", count=8,
        lots=(LotAmount(stock["grain"], 1, "grain"),),
    )  # fmt: skip
    [new] = do(made, at=NOW - timedelta(hours=1)).new_lots
    lost = Saying(new, "ada", new_id(), at=NOW - timedelta(hours=2))
    with pytest.raises(RefusedError, match=r"was made today at 09:00, after this"):
        lot_actions.lose(lost, 1)


def test_before_the_mother_of_its_culture_is_asked_about(
    lay: LayJob, stock: dict[str, str]
) -> None:
    mother = replace(BOOK.cultures[0], mother_on=TODAY - timedelta(days=2))
    register_store.write([mother], TODAY, "", NOW)
    made = lay(
        JobKind.TRANSFER, step="block", stage="block", count=8,
        lots=(LotAmount(stock["grain"], 1, "grain"),),
    )  # fmt: skip
    said = "made on 2026-03-09, before the mother of culture g1, of 2026-03-10"
    with pytest.raises(RefusedError, match=said):
        do(made, at=NOW - timedelta(days=3))
    assert do(made, at=NOW - timedelta(days=2)).findings == ()


@pytest.mark.parametrize(("days", "is_asked"), [(60, False), (61, True)])
def test_long_ago_is_asked_about(lay: LayJob, days: int, *, is_asked: bool) -> None:
    walk = lay(JobKind.ROUND, count=1, unit="rooms", variety="")
    at = NOW - timedelta(days=days)
    if not is_asked:
        assert do(walk, at=at).findings == ()
        return
    with pytest.raises(RefusedError, match="61 days ago"):
        do(walk, at=at)
    assert do(walk, at=at, reason="found in the paper book").findings
