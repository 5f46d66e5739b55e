"""A cook counts as begun once something was prepared for it, and not when that was taken back."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import TODAY
from pinset.chain.register import FarmBook
from pinset.planning.building.step_numbers import litres_of
from pinset.services.answers import recording, taking_back
from pinset.services.jobs.records import JobKind
from pinset.services.loads.begun import begun_cooks

LayJob = Callable[..., str]


def cooking(book: FarmBook) -> FarmBook:
    route = book.routes[0]
    steps = tuple(
        replace(step, cook="grain", mix="rye") if step.code == "grain" else step
        for step in route.steps
    )
    return replace(book, routes=(replace(route, steps=steps),))


@pytest.mark.parametrize("whole", [True, False])
def test_grain_in_the_soak_lets_its_cook_be(farm: FarmBook, lay: LayJob, *, whole: bool) -> None:
    book, tomorrow = cooking(farm), TODAY + timedelta(days=1)
    job = lay(
        JobKind.PREPARE, task="soak", count=30, step="grain", mix="rye jar", for_day=tomorrow,
        variety="",
    )  # fmt: skip
    assert begun_cooks(book, TODAY) == {}, "asked for and not done"
    record = recording.done if whole else recording.part_done
    done = record(job, person="ada", client_id=secrets.token_hex(16), count=30 if whole else 8)
    litres = (30 if whole else 8) * litres_of(book, book.routes[0].step("grain"))
    assert begun_cooks(book, TODAY) == {("grain", tomorrow): pytest.approx(litres)}
    assert begun_cooks(book, tomorrow + timedelta(days=1)) == {}, "its day is over"
    taking_back.undo(done.entry, person="ada", client_id=secrets.token_hex(16), reason="a slip")
    assert begun_cooks(book, TODAY) == {}
