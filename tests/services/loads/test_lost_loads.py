"""Straw that goes in too late is cool when its time is over: said before, while and after."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

import pytest

from farm.small_farm import TODAY, describe
from pinset.chain.register import CookKind, FarmBook, Preparation, RoomKind, Worker
from pinset.services import clock, memory
from pinset.services.answers import putting_off, recording
from pinset.services.day import today
from pinset.services.jobs.records import JobKind, LotAmount
from pinset.services.views import JobView

LayJob = Callable[..., str]
TOMORROW = TODAY + timedelta(days=1)
KEY = f"kettle:grain:{TODAY}"


def at(clock_time: str, day: date = TODAY) -> datetime:
    """Return the moment at which the farm's clock (Vienna, winter) shows that time."""
    return datetime.combine(day, time.fromisoformat(clock_time), UTC) - timedelta(hours=1)


def straw_farm(book: FarmBook, keeps_days: int = 1) -> FarmBook:
    """Return a farm open from 07:00 to 18:00 with a drum that takes 7 h, 16 h to cool."""
    cooling = (
        Preparation("cook", 24.0, 0.0, 0.0, RoomKind.STERILISER),
        Preparation("cool", 16.0, 0.5, 0.0, RoomKind.STERILISER),
    )
    steps = tuple(
        replace(each, cook="grain", mix="straw", preparations=cooling)
        if each.code == "grain"
        else each
        for each in book.routes[0].steps
    )
    [kettle] = book.sterilisers
    kind = CookKind("grain", 7, 60, 150, 300, keeps_days=keeps_days)
    drum = replace(kettle, cooks=(kind,), hours_per_day=22, load_at="09:40")
    hours = ("07:00-18:00",) * 7
    return replace(
        book,
        farm=replace(book.farm, working_days=tuple(type(book.farm.working_days[0]))),
        routes=(replace(book.routes[0], steps=steps),),
        sterilisers=(drum,),
        workers=(Worker("ada", "Ada", hours, role="owner"),),
    )


@pytest.fixture
def codes(farm: FarmBook, lay: LayJob, monkeypatch: pytest.MonkeyPatch) -> tuple[str, str]:
    """Lay the load of 20 bags at 09:40 and its opening at 16:40."""
    describe(straw_farm(farm))
    memory.forget_all()
    monkeypatch.setenv(clock.PRETENDED, at("09:00").isoformat())
    about: dict[str, object] = {
        "steriliser": "kettle", "cook_kind": "grain", "count": 20, "step": "grain", "variety": "",
        "feeds": (LotAmount("", 20, "grain", farm.routes[0].code),), "for_day": TOMORROW,
        "room_kind": RoomKind.STERILISER.value,
    }  # fmt: skip
    load = lay(
        JobKind.COOK, key=f"cook:{KEY}", task="load", what="grain vessels into Drum",
        fixed_at="09:40", due="09:40", minutes=40, **about,
    )  # fmt: skip
    opening = lay(
        JobKind.OPEN, key=f"open:{KEY}", task="open", fixed_at="16:40", due="after 16:40",
        what="vessels in Drum: open, unload and set out to cool", cool_hours=16.0, minutes=30,
        slack_days=2, stake="5 kg", **about,
    )  # fmt: skip
    return load, opening


def seen(code: str, moment: datetime, monkeypatch: pytest.MonkeyPatch) -> JobView:
    monkeypatch.setenv(clock.PRETENDED, moment.isoformat())
    memory.forget_all()
    return today.job_view(code)


def loaded(code: str, clock_time: str, monkeypatch: pytest.MonkeyPatch) -> tuple[str, ...]:
    monkeypatch.setenv(clock.PRETENDED, at(clock_time).isoformat())
    memory.forget_all()
    done = recording.done(code, person="ada", client_id=secrets.token_hex(16))
    memory.forget_all()
    return done.findings


def test_a_load_says_from_when_on_it_is_lost(
    codes: tuple[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """20 min to unload before 18:00, so out by 17:40 and in by 10:40: cool at 09:40 tomorrow."""
    load, _ = codes
    view = seen(load, at("09:00"), monkeypatch)
    assert view.spoils == (
        "Loaded after 10:40 they are cool enough about 23:00 tomorrow; nobody is here for that "
        "then, and they keep only until tomorrow."
    )
    assert view.detail.endswith("in by 10:40, or they are lost")
    assert view.late_cost == ""
    late = seen(load, at("11:20"), monkeypatch)
    assert late.spoils == ""
    assert late.late_cost == (
        "too late for today: loaded now they are cool enough about 23:00 tomorrow; nobody is here "
        "for that then, and they keep only until tomorrow"
    )


def test_loading_it_too_late_is_said_when_it_is_written_down(
    codes: tuple[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    load, _ = codes
    [said] = loaded(load, "11:21", monkeypatch)
    assert said == (
        "Loaded at 11:21 they are cool enough about 23:00 tomorrow; nobody is here for that then, "
        "and they keep only until tomorrow. They are lost unless somebody comes to inoculate them "
        "in that time."
    )


def test_loaded_in_time_nothing_is_said(
    codes: tuple[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    load, opening = codes
    assert loaded(load, "09:45", monkeypatch) == ()
    view = seen(opening, at("10:00"), monkeypatch)
    assert "lost" not in view.detail
    assert view.what.endswith("set out to cool")
    assert view.minutes == 30


def test_the_opening_says_that_they_do_not_keep_so_long(
    codes: tuple[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    load, opening = codes
    loaded(load, "11:21", monkeypatch)
    view = seen(opening, at("12:00"), monkeypatch)
    assert view.due == "after 07:00 next day"
    assert view.detail == (
        "May be opened from 18:21 today, but nobody is there until 07:00 next day; cool enough to "
        "inoculate about 23:00 tomorrow, 16 h after unloading; measure a core first; nobody is "
        "here for that then, and they keep only until tomorrow: lost unless somebody comes in that "
        "time"
    )
    assert view.what.endswith("open and unload, nobody inoculates them in their time")
    assert view.minutes == 20, "a third of 60 min, and none to set them out"


@pytest.mark.parametrize(
    ("day", "said"),
    [
        (1, "1 day late: {cool} today; nobody is here for that then, and they keep only {until}"),
        (2, "2 days late: {cool} today; they kept until yesterday"),
    ],
)
def test_lateness_counts_it(
    day: int, said: str, codes: tuple[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    load, opening = codes
    loaded(load, "09:45", monkeypatch)
    view = seen(opening, at("07:00", TODAY + timedelta(days=day)), monkeypatch)
    assert view.late_cost == said.format(
        cool="its vessels are cool enough about 23:00", until="until today"
    )


def test_putting_the_opening_off_says_what_it_costs(
    codes: tuple[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    load, opening = codes
    loaded(load, "09:45", monkeypatch)
    monkeypatch.setenv(clock.PRETENDED, at("16:45").isoformat())
    done = putting_off.not_today(
        opening, person="ada", client_id=secrets.token_hex(16), reason="no hands"
    )
    [costs] = done.findings
    assert costs == (
        "Opened then, its vessels are cool enough about 23:00 tomorrow; nobody is here for that "
        "then, and they keep only until tomorrow."
    )


def test_it_is_lost_where_only_somebody_else_is_left_for_it(
    farm: FarmBook, codes: tuple[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """In by 09:40 it is cool at 08:40 tomorrow, and whoever may inoculate it leaves at 08:00."""
    book = straw_farm(farm)
    clean = tuple(replace(s, bench_minutes=2.0) for s in book.routes[0].steps)
    hands = (("07:00-08:00",) * 7, ("07:00-18:00",) * 7)
    people = (
        Worker("ada", "Ada", hands[0], role="owner"),
        Worker("ben", "Ben", hands[1], laboratory=False),
    )
    routes = (replace(book.routes[0], steps=clean),)
    describe(replace(book, routes=routes, workers=people))
    view = seen(codes[0], at("08:00"), monkeypatch)
    assert not view.late_cost  # laid at 09:40, it may go in at once
    view = seen(codes[0], at("09:30"), monkeypatch)
    assert view.late_cost.startswith("too late for today")


def test_what_keeps_long_has_no_such_hour(
    farm: FarmBook, codes: tuple[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    describe(straw_farm(farm, keeps_days=14))
    load, opening = codes
    assert seen(load, at("09:00"), monkeypatch).spoils == ""
    assert loaded(load, "11:21", monkeypatch) == ()
    assert "waits until then" in seen(opening, at("12:00"), monkeypatch).detail
