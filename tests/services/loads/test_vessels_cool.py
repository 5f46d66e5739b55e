"""Vessels are used when they are out of the steriliser and cool: by the plan and by the day."""

from __future__ import annotations

import secrets
from dataclasses import replace
from datetime import date, datetime, time, timedelta

import pytest

from farm.small_farm import CODES, NOW, TODAY, Taps, lot
from pinset.chain.register import FarmBook, Preparation, RoomKind, Steriliser, Worker
from pinset.chain.stages import Stage
from pinset.farm import door, trade
from pinset.planning.plan import PlannedCook, Start
from pinset.services import clock
from pinset.services.answers import recording
from pinset.services.book_reader import Reader
from pinset.services.clock import farm_time
from pinset.services.day.fitting import fit_jobs
from pinset.services.jobs.from_plan import Standing, still_to_prepare, taken
from pinset.services.jobs.of_cooks import loads_of
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.loads.vessels import standing_vessels
from pinset.services.loads.vessels_cool import cool_from, usable_days
from services.conftest import LayJob
from services.jobs.test_jobs_of_cooks import BOOK as COOKS_BOOK
from services.jobs.test_jobs_of_cooks import GRAIN, MONDAY

COOK = "kettle-20260311-1000"
KEY = f"kettle:grain:{TODAY - timedelta(days=1)}"
MADE = CODES[30]


@pytest.fixture
def opening(lay: LayJob, tap: Taps, monkeypatch: pytest.MonkeyPatch) -> str:
    """Yesterday's load of twelve jars, to be opened, that then cool for six hours."""
    about = {"steriliser": "kettle", "cook_kind": "grain", "variety": "",
             "feeds": (LotAmount("", 12, "grain"),)}  # fmt: skip
    load = lay(JobKind.COOK, key=f"cook:{KEY}", **about)
    code = lay(JobKind.OPEN, key=f"open:{KEY}", cool_hours=6.0, **about)
    made = lot(
        MADE, Stage.PREPARED, "grain", variety="", culture="", made_on=TODAY - timedelta(days=1)
    )
    entry = trade.cook(
        replace(tap(hours=-23), job=load), COOK, [(made, 12)], "bay-1",
        steriliser="kettle", cook_kind="grain", hold_minutes=92, details={"count": 12},
    )  # fmt: skip
    door.record([entry], now=NOW)
    monkeypatch.setenv(clock.PRETENDED, NOW.isoformat())
    return code


def local(farm: FarmBook) -> datetime:
    return farm_time(NOW, farm.farm.time_zone).replace(tzinfo=None)


def test_what_is_not_opened_is_opened_when_somebody_is_here(opening: str, farm: FarmBook) -> None:
    assert opening
    cool = cool_from(standing_vessels(), farm, NOW)
    assert cool == {MADE: local(farm) + timedelta(hours=6)}
    night = NOW + timedelta(hours=12)
    later = cool_from(standing_vessels(), farm, night)[MADE]
    starts = [int(part) for part in farm.farm.day_starts.split(":")]
    assert later.time() == (datetime.combine(TODAY, time(*starts)) + timedelta(hours=6)).time()
    assert later.date() > TODAY


@pytest.mark.parametrize(("ago", "is_warm"), [(1.0, True), (5.5, True), (6.5, False)])
def test_what_was_opened_cools_from_then_on(
    opening: str, farm: FarmBook, ago: float, *, is_warm: bool
) -> None:
    recording.done(
        opening, person="ada", client_id=secrets.token_hex(16), at=NOW - timedelta(hours=ago)
    )
    cool = cool_from(standing_vessels(), farm, NOW)
    assert (MADE in cool) is is_warm
    if is_warm:
        assert cool[MADE] == local(farm) + timedelta(hours=6 - ago)


def test_where_only_the_day_is_known_what_was_opened_is_cool(
    opening: str, farm: FarmBook, monkeypatch: pytest.MonkeyPatch
) -> None:
    recording.done(opening, person="ada", client_id=secrets.token_hex(16), at=NOW)
    monkeypatch.setenv(clock.PRETENDED, TODAY.isoformat())
    assert cool_from(standing_vessels(), farm, NOW) == {}


def test_vessels_cool_after_work_are_for_the_next_working_day(farm: FarmBook) -> None:
    evening = {MADE: datetime.combine(TODAY, time(22, 0))}
    [day] = usable_days(evening, (), farm).values()
    assert day > TODAY
    assert Reader(farm, TODAY).works_on(day)


def test_a_transfer_waits_until_its_vessels_are_cool(farm: FarmBook) -> None:
    job = PlannedJob(
        "t", JobKind.TRANSFER, "transfer", TODAY, 12, "units", "grain jars",
        RoomKind.LABORATORY.value, minutes=20, vessels=(MADE,),
    )  # fmt: skip
    now = fit_jobs([("T", job, 20)], farm, TODAY)
    assert now.at["T"] == farm.farm.day_starts
    at = datetime.combine(TODAY, time(10, 40))
    warm = fit_jobs([("T", job, 20)], farm, TODAY, None, {MADE: at})
    assert warm.at["T"] == "10:40"


def wanted(day: date, count: int = 10) -> Start:
    return Start(day, "grey", "grain", Stage.GRAIN, count, (), count, day, (), "why")


def test_warm_vessels_are_left_for_a_later_start() -> None:
    reader = Reader(COOKS_BOOK, MONDAY)
    key = ("grain", "jar", "", 0.0)
    tuesday = MONDAY + timedelta(days=1)
    standing = [Standing("WARM", 10, tuesday), Standing("COOL", 4, MONDAY)]
    assert taken(list(standing), 10, MONDAY) == {"COOL": 4}
    assert taken(list(standing), 12, tuesday) == {"WARM": 10, "COOL": 2}
    left = still_to_prepare([wanted(MONDAY), wanted(tuesday)], {key: standing}, reader)
    assert [(each.day, each.count) for each in left] == [(MONDAY, 6)]


def with_times(*, load_at: str, hours: float, cool: float) -> Reader:
    """Return a farm, 07:30 to 15:30, with one steriliser that is loaded at an hour."""
    step = replace(
        GRAIN,
        preparations=(
            Preparation("cook", cool + 6, 0, 0, RoomKind.STERILISER),
            Preparation("cool", cool, 0, 0, RoomKind.STERILISER),
        ),
    )
    agar = replace(GRAIN, code="plate", cook="agar", parents=())
    kinds = tuple(replace(COOKS_BOOK.sterilisers[0].cooks[0], code=c) for c in ("agar", "grain"))
    book = replace(
        COOKS_BOOK,
        workers=(Worker("ada", "Ada", (8.0,) * 7),),
        sterilisers=(Steriliser("one", "one", "bay", kinds, hours, 2, 1.4, load_at),),
        routes=(replace(COOKS_BOOK.routes[0], steps=(step, agar)),),
    )
    return Reader(book, MONDAY)


def test_a_load_of_the_starts_own_day_does_not_serve_it() -> None:
    reader = with_times(load_at="10:30", hours=10.0, cool=12.0)
    days = [MONDAY + timedelta(days=each) for each in range(3)]
    cooks = [PlannedCook(day, "one", "grain", 1.0, 150, 5) for day in days]
    [load] = loads_of(cooks, [wanted(days[2], 20)], reader)
    assert load.day == days[0], "the first that is cool in time"
    late = loads_of(cooks[1:], [wanted(days[1], 20)], reader)
    assert [each.day for each in late] == [days[1]], "none is in time; late is better than never"


def test_of_two_loads_of_a_day_the_one_that_is_needed_first_goes_first() -> None:
    reader = with_times(load_at="08:00", hours=12.0, cool=21.0)
    tuesday = MONDAY + timedelta(days=1)
    cooks = [PlannedCook(MONDAY, "one", kind, 1.0, 150, 5) for kind in ("agar", "grain")]
    plate = replace(wanted(tuesday + timedelta(days=1)), step="plate")
    loads = loads_of(cooks, [wanted(tuesday), plate], reader)
    assert [(each.kind.code, f"{each.at:%H:%M}") for each in loads] == [
        ("grain", "08:00"), ("agar", "13:00"),
    ]  # fmt: skip
    in_no_hurry = loads_of(cooks, [wanted(tuesday + timedelta(days=1)), plate], reader)
    assert [each.kind.code for each in in_no_hurry] == ["agar", "grain"]
