"""What is booked of a load of several mixes is what was in it: as said, or as it was filled."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace

import pytest

from farm.small_farm import TODAY, describe
from pinset.chain.register import FarmBook, Preparation, RoomKind, Step
from pinset.errors import InputError, RefusedError
from pinset.farm.models import Entry
from pinset.farm.queries.lots import lot_by_code, rows_of
from pinset.services.answers import recording, taking_back
from pinset.services.clock import now_utc
from pinset.services.day import today
from pinset.services.jobs.records import JobKind, LotAmount
from pinset.services.loads.loaded import loaded_since
from pinset.services.loads.uncooked import waiting_for_a_cook
from pinset.services.loads.what_waits import mix_of
from pinset.services.views import Done, JobState
from services.conftest import LayJob

FILL = Preparation("fill", 97.0, 0.5, 5.0, RoomKind.PREPARATION)
COOK = Preparation("cook", 96.0, 0.0, 0.0, RoomKind.STERILISER)
MIXES = {"grain": ("rye", 0.5), "block": ("straw", 0.7)}
PLANNED = {"grain": 40, "block": 20}
Jobs = dict[str, str]


@pytest.fixture
def book(farm: FarmBook) -> FarmBook:
    """The farm, where jars of rye and bags of straw go into the kettle together."""

    def cooked(step: Step) -> Step:
        if step.code not in MIXES:
            return step
        mix, moisture = MIXES[step.code]
        return replace(
            step, cook="grain", mix=mix, fill_moisture=moisture, preparations=(FILL, COOK)
        )

    route = farm.routes[0]
    changed = replace(farm, routes=(replace(route, steps=tuple(map(cooked, route.steps))),))
    describe(changed)
    return changed


@pytest.fixture
def jobs(book: FarmBook, lay: LayJob) -> Jobs:
    """Codes of the jobs: to fill of each mix, to load 40 jars and 20 bags, to open."""
    route, found = book.routes[0], {}
    for code, units in PLANNED.items():
        mix, moisture = MIXES[code]
        step = route.step(code)
        found[code] = lay(
            JobKind.PREPARE, key=f"fill:{mix}", task="fill", count=units, variety="", step=code,
            stage=step.stage.value, mix=f"{mix} {step.vessel}", moisture=moisture,
            lead_hours=97.0, for_day=TODAY, minutes=30, what=f"vessels: fill {mix}",
        )  # fmt: skip
    about = {
        "steriliser": "kettle", "cook_kind": "grain", "variety": "", "count": 60, "step": "grain",
        "feeds": tuple(LotAmount("", units, code, route.code) for code, units in PLANNED.items()),
    }  # fmt: skip
    key = f"kettle:grain:{TODAY}"
    found["load"] = lay(JobKind.COOK, key=f"cook:{key}", task="load", **about)
    found["open"] = lay(JobKind.OPEN, key=f"open:{key}", task="open", **about)
    return found


def do(job: str, how: Callable[..., Done] = recording.done, **more: object) -> Done:
    return how(job, person="ada", client_id=secrets.token_hex(16), **more)


@pytest.fixture
def filled(jobs: Jobs) -> None:
    """All that is to be loaded."""
    do(jobs["grain"])
    do(jobs["block"])


def part(job: str, **more: object) -> Done:
    return do(job, recording.part_done, **more)


def booked(*answers: Done) -> dict[str, int]:
    """Return the prepared vessels in the books by their step."""
    found: dict[str, int] = {}
    for code in (lot for answer in answers for lot in answer.new_lots):
        lot = lot_by_code(code)
        [row] = rows_of([lot])
        assert lot.route
        found[lot.step] = found.get(lot.step, 0) + row.counts.made
    return found


@pytest.mark.usefixtures("filled")
def test_a_part_by_mix_is_booked_as_said_and_the_rest_is_left(jobs: Jobs) -> None:
    first = part(jobs["load"], mixes=[("straw", 20), ("rye", 10)])
    assert booked(first) == {"grain": 10, "block": 20}
    assert Entry.objects.get(client_id=first.entry).details["count"] == 30
    view = today.job_view(jobs["load"])
    assert (view.state, view.count, view.left) == (JobState.PART, 60, 30)
    rest = do(jobs["load"])
    assert booked(rest) == {"grain": 30}
    assert today.job_view(jobs["open"]).count == 60


def test_one_total_is_what_was_filled_of_each_mix(jobs: Jobs) -> None:
    part(jobs["grain"], count=15)
    part(jobs["block"], count=18)
    assert booked(part(jobs["load"], count=33)) == {"grain": 15, "block": 18}
    do(jobs["grain"])
    do(jobs["block"])
    assert booked(do(jobs["load"])) == {"grain": 25, "block": 2}


def test_where_fewer_were_filled_the_whole_load_is_those(jobs: Jobs) -> None:
    do(jobs["grain"], count=31, reason="short of jars")
    do(jobs["block"])
    assert booked(do(jobs["load"])) == {"grain": 31, "block": 20}


@pytest.mark.parametrize("filled", [False, True])
def test_a_total_that_may_be_any_of_the_mixes_is_asked_about(jobs: Jobs, *, filled: bool) -> None:
    if filled:
        part(jobs["grain"], count=15)
        part(jobs["block"], count=18)
    before = Entry.objects.count()
    with pytest.raises(RefusedError, match="30 of several mixes") as asked:
        part(jobs["load"], count=30, reason="the rest goes in later")
    for words in ("rye", "straw", *(("15", "18") if filled else ("40", "20"))):
        assert words in str(asked.value)
    assert Entry.objects.count() == before


@pytest.mark.usefixtures("filled")
def test_as_planned_is_no_question(jobs: Jobs) -> None:
    assert booked(do(jobs["load"], count=60)) == {"grain": 40, "block": 20}


def test_names_and_numbers_that_cannot_be(jobs: Jobs) -> None:
    with pytest.raises(InputError, match="rye or straw"):
        do(jobs["load"], mixes=[("oats", 3)])
    with pytest.raises(InputError, match="30, the sum of the mixes"):
        do(jobs["load"], count=31, mixes=[("rye", 10), ("straw", 20)])
    with pytest.raises(InputError, match="0 or more"):
        do(jobs["load"], mixes=[("rye", -1), ("straw", 20)])
    with pytest.raises(InputError, match="at least 1"):
        do(jobs["load"], mixes=[("rye", 0)])
    with pytest.raises(InputError, match="load of a steriliser"):
        do(jobs["grain"], mixes=[("rye", 10)])


@pytest.mark.usefixtures("filled")
def test_a_step_or_its_route_names_a_mix_too(jobs: Jobs, book: FarmBook) -> None:
    route = book.routes[0].code
    assert booked(part(jobs["load"], mixes=[("Grain", 4), (f"{route}/block", 5)])) == {
        "grain": 4,
        "block": 5,
    }


def test_more_of_a_mix_than_was_filled_wants_a_reason(jobs: Jobs) -> None:
    do(jobs["grain"], count=30, reason="short of jars")
    do(jobs["block"])
    with pytest.raises(RefusedError, match="35 of rye are to be loaded, and 30 are prepared"):
        do(jobs["load"], mixes=[("rye", 35), ("straw", 15)])
    answer = do(jobs["load"], mixes=[("rye", 35), ("straw", 15)], reason="five from Monday")
    assert booked(answer) == {"grain": 35, "block": 15}
    assert any("30 are prepared" in said for said in answer.findings)


def test_a_whole_load_above_what_is_filled_wants_a_reason(jobs: Jobs) -> None:
    do(jobs["block"])
    part(jobs["grain"], count=9)
    with pytest.raises(RefusedError, match="40 of rye are to be loaded, and 9 are written down"):
        do(jobs["load"])
    assert today.job_view(jobs["grain"]).state is JobState.PART
    answer = do(jobs["load"], mixes=[("rye", 9), ("straw", 20)])
    assert booked(answer) == {"grain": 9, "block": 20}
    assert today.job_view(jobs["grain"]).state is JobState.DONE


def test_the_filling_settled_by_a_load_opens_again_with_it(jobs: Jobs) -> None:
    do(jobs["block"])
    part(jobs["grain"], count=9)
    loaded = do(jobs["load"], mixes=[("rye", 9), ("straw", 20)])
    taking_back.undo(loaded.entry, person="ada", client_id=secrets.token_hex(16), reason="a slip")
    view = today.job_view(jobs["grain"])
    assert (view.state, view.left) == (JobState.PART, 31)
    assert today.job_view(jobs["block"]).state is JobState.DONE


@pytest.mark.usefixtures("filled")
@pytest.mark.parametrize("name", ["Rye", " RYE ", "rye jar", "Rye-Jar", "grain", "grain jars, rye"])
def test_a_mix_is_named_as_the_grower_sees_it(jobs: Jobs, name: str) -> None:
    answer = do(jobs["load"], mixes=[(name, 30), ("straw  bag", 20)])
    assert booked(answer) == {"grain": 30, "block": 20}


@pytest.mark.usefixtures("filled")
def test_a_variety_names_the_mix_that_is_for_it_alone(
    jobs: Jobs, book: FarmBook, lay: LayJob
) -> None:
    # one route for both mixes: its variety names neither of them
    with pytest.raises(InputError, match="rye also goes by rye jar"):
        do(jobs["load"], mixes=[("Grey oyster", 30)])
    other = replace(book.routes[0], code="other")
    pink = replace(book.varieties[0], code="pink", name="Pink oyster", route="other")
    changed = replace(book, routes=(*book.routes, other), varieties=(*book.varieties, pink))
    describe(changed)
    feeds = (
        LotAmount("", 40, "grain", book.routes[0].code),
        LotAmount("", 20, "block", "other"),
    )
    load = lay(
        JobKind.COOK, key="cook:kettle:grain:again", task="load", steriliser="kettle",
        cook_kind="grain", variety="", count=60, step="grain", feeds=feeds,
    )  # fmt: skip
    answer = do(load, mixes=[("pink oyster", 20), ("Grey Oyster", 40)])
    assert booked(answer) == {"grain": 40, "block": 20}


def test_what_was_not_loaded_of_a_mix_still_waits(jobs: Jobs, book: FarmBook) -> None:
    do(jobs["grain"])
    do(jobs["block"])
    do(jobs["load"], mixes=[("rye", 38)])
    loaded = loaded_since(TODAY, book.farm.time_zone)
    assert {feed.step: feed.units for each in loaded for feed in each.feeds} == {"grain": 38}
    waiting = waiting_for_a_cook(book, TODAY, loaded)
    left = {mix: units for (mix, _, _), units in waiting.units.items()}
    step = book.routes[0].step
    assert left == {mix_of(step("grain")): 2, mix_of(step("block")): 20}


@pytest.mark.usefixtures("filled")
def test_the_same_tap_with_other_mixes_is_another_answer(jobs: Jobs) -> None:
    tap = secrets.token_hex(16)
    about = {"person": "ada", "client_id": tap, "at": now_utc()}
    recording.part_done(jobs["load"], mixes=[("rye", 10)], **about)  # type: ignore[arg-type]
    again = recording.part_done(jobs["load"], mixes=[("rye", 10)], **about)  # type: ignore[arg-type]
    assert again.already
    with pytest.raises(RefusedError, match="straw 10"):
        recording.part_done(jobs["load"], mixes=[("straw", 10)], **about)  # type: ignore[arg-type]


@pytest.mark.usefixtures("filled")
def test_a_part_taken_back_is_to_be_loaded_again(jobs: Jobs) -> None:
    first = part(jobs["load"], mixes=[("straw", 20)])
    taking_back.undo(first.entry, person="ada", client_id=secrets.token_hex(16), reason="a slip")
    assert booked(do(jobs["load"])) == {"grain": 40, "block": 20}


def test_the_job_tells_its_mixes(jobs: Jobs) -> None:
    do(jobs["block"], count=12, reason="short of straw")
    [rye, straw] = today.job_view(jobs["load"]).mixes
    assert (rye.name, rye.units, rye.filled) == ("rye", 40, None)
    assert (straw.name, straw.units, straw.filled) == ("straw", 12, 12)
    assert today.job_view(jobs["grain"]).mixes == ()
