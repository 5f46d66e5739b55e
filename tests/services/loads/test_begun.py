"""A cook counts as begun once something was prepared for it, and not when that was taken back."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest

from farm.small_farm import TODAY
from pinset.chain.register import FarmBook, Preparation, RoomKind, Weekday
from pinset.chain.vessel_keys import mix_words
from pinset.planning.building.step_numbers import litres_of
from pinset.planning.resources import Begun
from pinset.services import clock
from pinset.services.answers import recording, taking_back
from pinset.services.jobs.records import JobKind
from pinset.services.loads.begun import begun_vessels
from pinset.services.loads.in_reach import InReach
from pinset.services.loads.uncooked import waiting_for_a_cook
from pinset.services.loads.what_waits import mix_of

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
    assert begun(book) == (Begun("grain", pytest.approx(litres), 1, 2, mix, 1),)  # type: ignore[arg-type]
    [waits] = begun(book, tomorrow + timedelta(days=1))
    assert (waits.first_day, waits.last_day) == (0, 0), "it keeps a day longer"
    assert begun(book, tomorrow + timedelta(days=2)) == (), "its days are over"
    taking_back.undo(done.entry, person="ada", client_id=secrets.token_hex(16), reason="a slip")
    assert begun(book) == ()


@pytest.mark.parametrize(
    ("soaked", "working", "days"),
    [
        ("08:30", tuple(Weekday), (1, 2)),  # 22 hours later it is filled, and loaded at 10:30
        ("14:00", tuple(Weekday), (2, 2)),  # too late for tomorrow's load
        ("14:00", tuple(Weekday)[:5], None),  # TODAY is a Thursday: on Monday it is too old
    ],
)
def test_grain_soaked_too_late_for_its_cook_goes_into_the_next_if_it_keeps(
    soaked: str,
    working: tuple[Weekday, ...],
    days: tuple[int, int] | None,
    farm: FarmBook,
    lay: LayJob,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    tasks = (
        Preparation("soak", 46.0, 0.0, 10.0, RoomKind.PREPARATION),
        Preparation("fill", 24.0, 0.0, 10.0, RoomKind.PREPARATION),
        Preparation("cook", 22.0, 0.0, 0.0, RoomKind.STERILISER),
    )
    base = cooking(farm)
    steps = tuple(
        replace(s, preparations=tasks) if s.code == "grain" else s for s in base.routes[0].steps
    )
    book = replace(
        base,
        farm=replace(base.farm, working_days=working),
        routes=(replace(base.routes[0], steps=steps),),
    )
    tomorrow = TODAY + timedelta(days=1)
    job = lay(
        JobKind.PREPARE, task="soak", count=30, step="grain", mix="rye jar", for_day=tomorrow,
        variety="", minutes=10,
    )  # fmt: skip
    monkeypatch.setenv(clock.PRETENDED, f"{TODAY}T{soaked}+01:00")
    recording.done(job, person="ada", client_id=secrets.token_hex(16))
    found = [(each.first_day, each.last_day) for each in begun(book)]
    assert found == ([days] if days else [])
    waiting = waiting_for_a_cook(book, TODAY, ())
    reach = InReach(book, TODAY, 15.0, waiting)
    grain = book.routes[0].step("grain")
    assert reach.is_too_soon(mix_of(grain), tomorrow), "none can be soaked anew for it"
    assert reach.take(grain, tomorrow, 30) == (30 if days == (1, 2) else 0)
