"""What waits for a load is off the list with it, and back with it."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from farm.small_farm import TODAY
from pinset.services.answers import putting_off, recording, taking_back
from pinset.services.day.today import day_view
from pinset.services.jobs.records import JobKind, LotAmount
from pinset.services.views import Done
from services.answers.test_opened import ABOUT, KEY
from services.conftest import LayJob
from services.planned import planned
from services.recorded import new_id

JARS = (LotAmount("", 12, "grain", "oyster-straw"),)


def laid(lay: LayJob) -> str:
    """Lay a load at 10:00, its opening and what is done after it; return the load."""
    fixed = {**ABOUT, "fixed_at": "10:00"}
    load = lay(JobKind.COOK, key=f"cook:{KEY}", task="load", **fixed)
    lay(JobKind.OPEN, key=f"open:{KEY}", task="open", **{**ABOUT, "fixed_at": "15:00"})
    key = f"after:pour:oats:jar:0.5:grain:cook:{KEY}"
    lay(JobKind.PREPARE, key=key, task="pour", **{**ABOUT, "for_day": TODAY, "feeds": JARS})
    planned()
    return load


def seen() -> tuple[set[str], list[str]]:
    view = day_view()
    jobs = [job for section in view.sections for job in section.jobs]
    waiting = {job.task for job in jobs if job.state.value == "open"}
    return waiting, [hour.at for hour in view.fixed]


@pytest.mark.usefixtures("stock")
@pytest.mark.parametrize("answer", [putting_off.not_today, putting_off.not_at_all])
def test_its_opening_and_its_pour_go_with_it(lay: LayJob, answer: Callable[..., Done]) -> None:
    load = laid(lay)
    assert seen() == ({"load", "open", "pour"}, ["10:00", "15:00"])
    done = answer(load, person="ada", client_id=new_id(), reason="the burner is out")
    assert seen() == (set(), [])
    taking_back.undo(done.entry, person="ada", client_id=new_id(), reason="it burns again")
    assert seen() == ({"load", "open", "pour"}, ["10:00", "15:00"])


@pytest.mark.usefixtures("stock")
def test_what_is_in_is_opened_though_the_rest_is_dropped(lay: LayJob) -> None:
    load = laid(lay)
    recording.part_done(load, person="ada", client_id=new_id(), count=5)
    putting_off.not_at_all(load, person="ada", client_id=new_id(), reason="the rest is not ready")
    assert {"open", "pour"} <= seen()[0]
