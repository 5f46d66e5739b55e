"""A job that is not done is put off or dropped, with a reason."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import TODAY, describe
from pinset.chain.register import FarmBook
from pinset.errors import InputError, RefusedError
from pinset.farm import job_store
from pinset.services.answers import putting_off
from services.recorded import LayJob, new_id, transfer


def test_not_today_keeps_the_job_and_not_at_all_closes_it(
    lay: LayJob, stock: dict[str, str]
) -> None:
    job = transfer(lay, stock)
    putting_off.not_today(job, person="ada", client_id=new_id(), reason="no time")
    assert not job_store.job_by_code(job).is_closed  # type: ignore[union-attr]
    putting_off.not_at_all(job, person="ada", client_id=new_id(), reason="not needed")
    assert job_store.job_by_code(job).is_closed  # type: ignore[union-attr]
    with pytest.raises(InputError, match="reason"):
        putting_off.not_today(job, person="ada", client_id=new_id(), reason=" ")


def test_one_id_put_off_is_not_dropped(lay: LayJob, stock: dict[str, str]) -> None:
    job, tap = transfer(lay, stock), new_id()
    putting_off.not_today(job, person="ada", client_id=tap, reason="no time")
    assert putting_off.not_today(job, person="ada", client_id=tap, reason="no time").already
    with pytest.raises(RefusedError, match="not today; now it says: not at all"):
        putting_off.not_at_all(job, person="ada", client_id=tap, reason="no time")


def test_before_a_day_off_it_comes_again_on_the_next_working_day(
    farm: FarmBook, lay: LayJob, stock: dict[str, str]
) -> None:
    """Thursday; nobody works from Friday to Sunday."""
    off = tuple(TODAY + timedelta(days=n) for n in (1, 2, 3))
    describe(replace(farm, farm=replace(farm.farm, days_off=off)))
    job = transfer(lay, stock)
    said = putting_off.not_today(job, person="ada", client_id=new_id(), reason="no time")
    assert said.sentence.endswith("not today, Monday again.")
