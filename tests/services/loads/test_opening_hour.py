"""Where nobody is there at the end of a cook, it is opened when work begins again."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from pinset.chain.register import CookKind, FarmBook, Preparation, RoomKind, Steriliser, Worker
from pinset.planning.plan import PlannedCook
from pinset.services.book_reader import Reader
from pinset.services.jobs.of_cooks import cook_jobs, loads_of
from pinset.services.loads.loads_in_time import never_used
from pinset.services.loads.opening_hour import opening_hour, will_open
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
        (19.0, "", "04:30 next day"),  # its end, and earlier than anybody comes
    ],
)
def test_the_job_of_opening_names_an_hour_at_which_somebody_is_there(
    hours: float, until: str, at: str
) -> None:
    reader = Reader(farm(hours, until), MONDAY)
    [load] = loads_of([PlannedCook(MONDAY, "one", "grain", 1, 150, hours)], [start(20)], reader)
    loading, opening = cook_jobs(load, reader)
    assert (loading.fixed_at, opening.fixed_at, opening.due) == ("09:30", at, f"after {at}")


def test_before_days_off_the_hour_is_the_end_of_the_cook() -> None:
    friday = MONDAY + timedelta(days=4)
    ended = MORNING + timedelta(days=4, hours=8)
    assert opening_hour(farm(5.0), "one", friday, ended) == ended
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
