"""Where nobody is there at the end of a cook, it stays closed until somebody is."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from pinset.chain.register import CookKind, FarmBook, Preparation, RoomKind, Steriliser, Worker
from pinset.planning.plan import PlannedCook
from pinset.services.book_reader import Reader
from pinset.services.jobs.of_cooks import cook_jobs, loads_of
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.loads.loads_in_time import never_used
from pinset.services.loads.opening_hour import closed_words, opening_of_cook, will_open
from services.jobs.test_jobs_of_cooks import BOOK, MONDAY, start

MORNING = datetime.combine(MONDAY, datetime.min.time()) + timedelta(hours=7)


def farm(hours: float, opened_until: str = "", *, kind: str = "grain") -> FarmBook:
    """Return a farm open from 07:00 to 13:00, with a cook of so many hours, loaded at 09:30."""
    steriliser = Steriliser(
        "one", "One", "bay", (CookKind(kind, hours, 60, 90, 150),), 22, 1, 0.0, "09:30",
        opened_until,
    )  # fmt: skip
    step = replace(BOOK.routes[0].steps[0], cook=kind)
    return replace(
        BOOK,
        farm=replace(BOOK.farm, day_starts="07:00"),
        sterilisers=(steriliser,),
        workers=(Worker("sam", "Sam", (6.0,) * 5 + (0.0, 0.0)),),
        routes=(replace(BOOK.routes[0], steps=(step,)),),
    )


@pytest.mark.parametrize(
    ("hours", "until", "at"),
    [
        (3.0, "", "12:30"),
        (5.0, "", "07:00 next day"),
        (5.0, "15:00", "14:30"),
        (5.0, "14:00", "07:00 next day"),
        (19.0, "", "07:00 next day"),  # it ends at 04:30, earlier than anybody comes
        (22.5, "", "08:00 next day"),
    ],
)
def test_the_job_of_opening_names_an_hour_at_which_somebody_is_there(
    hours: float, until: str, at: str
) -> None:
    reader = Reader(farm(hours, until), MONDAY)
    [load] = loads_of([PlannedCook(MONDAY, "one", "grain", 1, 150, hours)], [start(20)], reader)
    loading, opening = cook_jobs(load, reader)
    assert (loading.fixed_at, opening.fixed_at, opening.due) == ("09:30", at, f"after {at}")


@pytest.mark.parametrize(
    ("hours", "until", "words"),
    [
        (5.0, "", "may be opened from 14:30 today"),
        (16.67, "", "may be opened from 02:10 tomorrow"),
        (3.0, "", ""),
        (5.0, "15:00", ""),
    ],
)
def test_it_is_said_from_when_it_may_be_opened_and_that_it_sucks_meanwhile(
    hours: float, until: str, words: str
) -> None:
    reader = Reader(farm(hours, until), MONDAY)
    [load] = loads_of([PlannedCook(MONDAY, "one", "grain", 1, 150, hours)], [start(20)], reader)
    loading, opening = cook_jobs(load, reader)
    assert closed_words(opening, MONDAY).partition(",")[0] == words
    assert ("vacuum" in opening.cautions) == ("vacuum" in loading.cautions) == bool(words)


@pytest.mark.parametrize(
    ("usual", "told"), [(("lime",), ("lime",)), (("steam",), ("steam", "vacuum"))]
)
def test_lime_water_sucks_at_no_lid(usual: tuple[str, ...], told: tuple[str, ...]) -> None:
    job = PlannedJob("open:one", JobKind.OPEN, "open", MONDAY, 20, "units", "vessels", "steriliser",
                     cautions=usual)  # fmt: skip
    night = MORNING + timedelta(hours=19, minutes=10)
    waits = opening_of_cook(farm(5.0), "one", MONDAY, night).given_to(job)
    assert (waits.fixed_at, waits.may_open, waits.cautions) == ("07:00 next day", night, told)
    noon = MORNING + timedelta(hours=5)
    assert opening_of_cook(farm(5.0), "one", MONDAY, noon).told_by(waits).cautions == usual


@pytest.mark.parametrize(
    ("hours", "day", "at"),
    [
        (3.0, 4, "12:30"),
        (5.0, 7, "07:00"),  # nobody comes on Saturday and Sunday
        (19.0, 7, "07:00"),
        (75.0, 7, "12:30"),
        (80.0, 8, "07:00"),  # ends on Monday when everybody has left
    ],
)
def test_over_days_off_the_job_stands_on_the_day_on_which_somebody_is_there(
    hours: float, day: int, at: str
) -> None:
    friday = MONDAY + timedelta(days=4)
    reader = Reader(farm(hours), friday)
    cook = PlannedCook(friday, "one", "grain", 1, 150, hours)
    wanted = [start(20, MONDAY + timedelta(days=9))]
    [load] = loads_of([cook], wanted, reader)
    loading, opening = cook_jobs(load, reader)
    assert (loading.day, opening.day) == (friday, MONDAY + timedelta(days=day))
    assert opening.fixed_at == at
    assert opening.key == loading.key.replace("cook:", "open:", 1)
    ended = MORNING + timedelta(days=4, hours=2.5 + hours)
    assert opening_of_cook(reader.book, "one", friday, ended).day == opening.day


def test_nobody_within_a_month_leaves_the_hour_at_its_end() -> None:
    friday = MONDAY + timedelta(days=4)
    ended = MORNING + timedelta(days=4, hours=8)
    book = replace(farm(5.0), workers=(Worker("sam", "Sam", (0.0,) * 7),))
    assert will_open(book, "one", ended) is None
    assert opening_of_cook(book, "one", friday, ended).at == ended
    assert will_open(farm(5.0), "one", ended) == MORNING + timedelta(days=7)


def test_straw_that_would_be_too_old_is_not_loaded_today() -> None:
    """Opened on the next morning and cool 14 h later it is past the day that straw keeps."""
    for hours, lead, is_used in ((3.0, 17.0, True), (5.0, 19.0, False)):
        book = farm(hours, kind="straw")
        prepared = replace(
            book.routes[0].steps[0],
            preparations=(
                Preparation("cook", lead, 0.0, 0.0, RoomKind.STERILISER),
                Preparation("cool", 14.0, 0.0, 0.0, RoomKind.STERILISER),
            ),
        )
        book = replace(book, routes=(replace(book.routes[0], steps=(prepared,)),))
        reader = Reader(book, MONDAY)
        cook = PlannedCook(MONDAY, "one", "straw", 1, 150, hours)
        loads = loads_of([cook], [start(20, MONDAY + timedelta(days=1))], reader)
        assert never_used(loads, reader) == (frozenset() if is_used else {"one"})
