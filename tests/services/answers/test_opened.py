"""A steriliser is opened after it was loaded, and after its cook can have ended."""

from __future__ import annotations

import secrets
from datetime import datetime, timedelta

import pytest

from farm.small_farm import NOW, TODAY
from pinset.chain.register import CookKind
from pinset.errors import RefusedError
from pinset.farm import job_store
from pinset.farm.models import Entry
from pinset.services.answers import recording, taking_back
from pinset.services.building.opened import come_up_minutes
from pinset.services.jobs.records import JobKind, LotAmount
from pinset.services.views import Done
from services.conftest import LayJob

KEY = f"kettle:grain:{TODAY}"
ABOUT = {
    "steriliser": "kettle", "place": "Kettle", "cook_kind": "grain", "variety": "", "count": 12,
    "feeds": (LotAmount("", 12, "grain", "oyster-straw"),),
}  # fmt: skip
LOADED = NOW - timedelta(hours=9)  # midnight by the clock in UTC; a grain cook of it takes 5 h


def do(job: str, **more: object) -> Done:
    return recording.done(
        job,
        person="ada",
        client_id=secrets.token_hex(16),
        **more,  # type: ignore[arg-type]
    )


def laid(lay: LayJob) -> tuple[str, str]:
    load = lay(JobKind.COOK, key=f"cook:{KEY}", task="load", **ABOUT)
    return load, lay(JobKind.OPEN, key=f"open:{KEY}", task="open", **ABOUT)


def test_nothing_is_opened_that_was_not_loaded(lay: LayJob) -> None:
    load, opening = laid(lay)
    for reason in ("", "it was all the same"):
        with pytest.raises(RefusedError, match="Kettle was not loaded yet"):
            do(opening, reason=reason)
    assert Entry.objects.count() == 0
    answer = do(load, at=LOADED)
    taking_back.undo(answer.entry, person="ada", client_id=secrets.token_hex(16), reason="a slip")
    with pytest.raises(RefusedError, match="Kettle was not loaded yet"):
        do(opening)


def test_nothing_is_opened_before_the_hour_at_which_it_was_loaded(lay: LayJob) -> None:
    load, opening = laid(lay)
    do(load, at=LOADED)
    with pytest.raises(RefusedError, match=r"loaded today at 01:00, after .*today at 00:4"):
        do(opening, at=LOADED - timedelta(minutes=20), reason="it was so")


@pytest.mark.parametrize(
    ("minutes", "is_early"), [(0, True), (1, True), (194, True), (195, False), (300, False)]
)
def test_a_cook_that_cannot_have_ended_is_asked_about_with_the_caution(
    lay: LayJob, minutes: int, *, is_early: bool
) -> None:
    load, opening = laid(lay)
    do(load, at=LOADED)
    at: datetime = LOADED + timedelta(minutes=minutes)
    if not is_early:
        assert do(opening, at=at).findings == ()
        return
    with pytest.raises(RefusedError, match="cannot have ended before today at 04:15") as refused:
        do(opening, at=at)
    assert "open only when the gauge stands at zero" in refused.value.hint
    assert "Never open under pressure" in refused.value.hint
    assert not job_store.job_by_code(opening).is_closed  # type: ignore[union-attr]
    answer = do(opening, at=at, reason="loaded at four, written down late")
    assert any("cannot have ended" in finding for finding in answer.findings)


def test_the_time_at_which_it_was_told_does_not_count(lay: LayJob) -> None:
    """Both are told one after the other in the evening, each with when it happened."""
    load, opening = laid(lay)
    do(load, at=LOADED)
    assert do(opening, at=LOADED + timedelta(hours=5)).findings == ()


def test_coming_up_takes_half_of_what_a_cook_takes_beyond_its_hold() -> None:
    assert come_up_minutes(CookKind("grain", 5.0, 60, 90, 300.0)) == pytest.approx(105.0)
    assert come_up_minutes(CookKind("odd", 1.0, 60, 90, 300.0)) == 0.0
