"""A cook counts as begun once something was prepared for it, and not when that was taken back."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest

from farm.small_farm import TODAY
from pinset.chain.register import FarmBook
from pinset.chain.vessel_keys import mix_words
from pinset.planning.building.step_numbers import litres_of
from pinset.planning.resources import Begun
from pinset.services.answers import recording, taking_back
from pinset.services.jobs.records import JobKind
from pinset.services.loads.begun import begun_vessels
from pinset.services.loads.uncooked import waiting_for_a_cook

LayJob = Callable[..., str]


def cooking(book: FarmBook) -> FarmBook:
    route = book.routes[0]
    steps = tuple(
        replace(step, cook="grain", mix="rye") if step.code == "grain" else step
        for step in route.steps
    )
    return replace(book, routes=(replace(route, steps=steps),))


def begun(book: FarmBook, day: date = TODAY) -> tuple[Begun, ...]:
    return begun_vessels(book, day, waiting_for_a_cook(book, day, ()))


@pytest.mark.parametrize("whole", [True, False])
def test_grain_in_the_soak_lets_its_cook_be(farm: FarmBook, lay: LayJob, *, whole: bool) -> None:
    book, tomorrow = cooking(farm), TODAY + timedelta(days=1)
    job = lay(
        JobKind.PREPARE, task="soak", count=30, step="grain", mix="rye jar", for_day=tomorrow,
        variety="",
    )  # fmt: skip
    assert begun(book) == (), "asked for and not done"
    record = recording.done if whole else recording.part_done
    done = record(job, person="ada", client_id=secrets.token_hex(16), count=30 if whole else 8)
    litres = (30 if whole else 8) * litres_of(book, book.routes[0].step("grain"))
    mix = mix_words(book.routes[0].step("grain"))
    assert begun(book) == (Begun("grain", pytest.approx(litres), 1, 2, mix),)  # type: ignore[arg-type]
    [waits] = begun(book, tomorrow + timedelta(days=1))
    assert (waits.first_day, waits.last_day) == (0, 0), "it keeps a day longer"
    assert begun(book, tomorrow + timedelta(days=2)) == (), "its days are over"
    taking_back.undo(done.entry, person="ada", client_id=secrets.token_hex(16), reason="a slip")
    assert begun(book) == ()
