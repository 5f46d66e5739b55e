"""The week: each open job on its day, and what is only expected told apart from what is laid."""

from __future__ import annotations

import secrets
from dataclasses import replace
from datetime import date, timedelta
from io import BytesIO

import pytest
from pypdf import PdfReader

from farm.small_farm import NOW, TODAY, describe
from pinset.chain.register import FarmBook, Promise
from pinset.chain.stages import Stage
from pinset.farm import job_store
from pinset.planning.plan import ExpectedPick, Move, PlannedCook, Start
from pinset.services.answers import putting_off, recording
from pinset.services.jobs.records import JobKind, LotAmount
from pinset.services.week.paper import week_on_paper
from pinset.services.week.week import WeekView, hour_of_job, week_view
from services.conftest import LayJob
from services.planned import planned

TOMORROW = TODAY + timedelta(days=1)


def on(view: WeekView, day: date) -> list[str]:
    return [job.what for each in view.days if each.day == day for job in each.jobs]


def expected(view: WeekView, day: date) -> list[str]:
    return [e.text for each in view.days if each.day == day for e in each.expected]


def test_seven_days_from_today_each_job_on_its_own(lay: LayJob) -> None:
    for ahead in (-1, 0, 3, 6, 7):
        lay(
            JobKind.TRANSFER,
            key=f"t{ahead}",
            day=TODAY + timedelta(days=ahead),
            what=f"day {ahead}",
        )
    planned()
    view = week_view()
    assert [day.day for day in view.days] == [TODAY + timedelta(days=n) for n in range(7)]
    assert set(on(view, TODAY)) == {"day -1", "day 0"}, "what is late stands on today"
    assert on(view, TODAY + timedelta(days=3)) == ["day 3"]
    assert on(view, TODAY + timedelta(days=6)) == ["day 6"]
    assert len(view.jobs) == 4


def test_rooms_are_in_the_order_of_cleanliness_and_jobs_in_that_of_their_hours(
    lay: LayJob,
) -> None:
    lay(JobKind.MOVE, key="m", room_kind="growing")
    for key, more in {
        "a": {"due": "after 09:00"}, "b": {"fixed_at": "09:00"}, "c": {"due": "before 09:00"},
        "d": {}, "e": {"fixed_at": "05:30 next day"}, "f": {"due": "08:00"},
    }.items():  # fmt: skip
        lay(JobKind.TRANSFER, key=key, what=key, **more)
    planned()
    [laboratory, growing] = week_view().days[0].places
    assert (laboratory.title, growing.title) == ("Laboratory", "Grow rooms")
    assert [job.what for job in laboratory.jobs] == ["f", "c", "b", "a", "d", "e"]


def test_an_hour_is_the_jobs_own_or_the_one_it_is_due_by(lay: LayJob) -> None:
    for key, more in {"a": {"due": "before 10:30"}, "b": {"due": "13:00"}, "c": {"due": "soon"},
                      "d": {"fixed_at": "09:30", "due": "09:30"}}.items():  # fmt: skip
        lay(JobKind.TRANSFER, key=key, what=key, **more)
    planned()
    said = {job.what: hour_of_job(job) for job in week_view().jobs}
    assert said == {"a": ("before", "10:30"), "b": ("by", "13:00"), "c": ("", ""),
                    "d": ("", "09:30")}  # fmt: skip


def test_done_jobs_are_gone_and_put_off_ones_stand_on_their_new_day(
    stock: dict[str, str], lay: LayJob
) -> None:
    lots = (LotAmount(stock["grain"], 20, "grain"),)
    shake = lay(JobKind.SHAKE, key="s", count=20, what="to shake", lots=lots, step="grain",
                stage="grain", room_kind="incubation")  # fmt: skip
    look = lay(JobKind.LOOK, key="l", count=20, what="to look over", lots=lots, step="grain",
               stage="grain", room_kind="incubation")  # fmt: skip
    planned()
    assert set(on(week_view(), TODAY)) == {"to shake", "to look over"}
    recording.done(shake, person="ada", client_id=secrets.token_hex(16))
    putting_off.not_today(look, person="ada", client_id=secrets.token_hex(16), reason="no time")
    view = week_view()
    assert on(view, TODAY) == []
    assert on(view, TOMORROW) == ["to look over"]


def test_promises_and_picks_of_coming_days_are_expected_not_jobs(farm: FarmBook) -> None:
    """The farm of the tests lives on a Thursday, and promises spawn on Thursdays."""
    once = Promise("once", "market", "grey", 2500, on_date=TOMORROW, price_cents=900)
    spawn = Promise("jars", "market", "grey", 3, "unit", "grain", on_date=TOMORROW)
    describe(replace(farm, promises=(*farm.promises, once, spawn)))
    planned(picks=(ExpectedPick(TOMORROW, "grey", 1200.0), ExpectedPick(TOMORROW, "grey", 1800.0),
                   ExpectedPick(TODAY, "grey", 9000.0)))  # fmt: skip
    view = week_view()
    assert expected(view, TOMORROW) == [
        "hand over 2.5 kg Grey oyster: Market stall",
        "hand over 3 units of grain Grey oyster: Market stall",
        "pick about 3 kg Grey oyster",
    ]
    assert expected(view, TODAY) == [], "today has jobs for it"


def test_days_beyond_what_is_laid_say_so(farm: FarmBook) -> None:  # noqa: ARG001
    """A plan lays eight days after its own; one of four days ago leaves two of the seven bare."""
    last, old = TODAY + timedelta(days=6), TODAY - timedelta(days=4)
    planned(
        old,
        starts=(Start(last, "grey", "grain", Stage.GRAIN, 23.6, (), 20.0, last, (), "",
                      provisional=True),),
        moves=(Move(last, "grey", "fruiting", 12.0, "grow", provisional=True),),
        cooks=(PlannedCook(last, "kettle", "grain", 1.0, 20.0, 3.0, provisional=True),),
    )  # fmt: skip
    view = week_view()
    assert [day.is_laid for day in view.days] == [True] * 5 + [False] * 2
    assert "Not laid out yet" in view.days[-1].note
    said = expected(view, last)
    assert "make about 24 grain jars, Grey oyster" in said
    assert "move about 12 units of Grey oyster into Grow room" in said
    assert "1 cook of grain in Kettle" in said
    assert "newest plan is of" in view.notes[0]
    paper = _words(week_on_paper("a4").data)
    assert paper.count("Not laid out yet") == 2


def test_a_farm_that_was_never_planned_says_so(farm: FarmBook) -> None:  # noqa: ARG001
    view = week_view()
    assert not any(day.is_laid for day in view.days)
    assert "not been planned yet" in view.notes[0]
    assert "not been planned yet" in _words(week_on_paper("letter").data)


def test_the_paper_says_count_lots_hour_name_and_caution(
    stock: dict[str, str], lay: LayJob, farm: FarmBook
) -> None:
    lots = (LotAmount(stock["plate"], 3, "plate"),)
    code = lay(JobKind.TRANSFER, key="t", count=24, what="grain jars from plates", lots=lots,
               due="before 10:30", cautions=("alcohol-flame", "hot-glass"), minutes=40)  # fmt: skip
    planned()
    assert job_store.claim(code, "ben", NOW)
    said = _words(week_on_paper().data)
    for word in (farm.farm.name, "24", "grain jars from plates", f"3 of {stock['plate']} (inc-1)",
                 "before", "10:30", "Ben does it", "Caution: alcohol and flame, hot jars",
                 f"About 40 min. Job {code}.", "Made 2026", "page 1 of 1"):  # fmt: skip
        assert word in said, word


def test_many_lots_are_counted(stock: dict[str, str], lay: LayJob) -> None:
    lots = tuple(LotAmount(code, 1, "grain") for code in stock.values()) * 3
    lay(JobKind.TRANSFER, key="t", lots=lots)
    planned()
    assert "and 4 more" in _words(week_on_paper().data)


def test_a_farm_in_pounds_reads_pounds(farm: FarmBook, lay: LayJob) -> None:
    describe(replace(farm, farm=replace(farm.farm, units="us")))
    lay(JobKind.PICK, key="p", count=5, unit="kg", what="kg or so to pick", grams=5000)
    planned()
    assert "11 lb or so to pick" in " ".join(_words(week_on_paper().data).split())


@pytest.mark.parametrize("paper", ["a3", "A4", ""])
def test_other_paper_is_refused(farm: FarmBook, paper: str) -> None:  # noqa: ARG001
    with pytest.raises(ValueError, match="a4 or letter"):
        week_on_paper(paper)


def _words(data: bytes) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(BytesIO(data)).pages)
