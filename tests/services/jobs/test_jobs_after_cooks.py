"""Agar is poured after its cook was opened: never before it, and from what was cooked."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import asdict, replace
from datetime import date, timedelta

import pytest

from farm.small_farm import TODAY, describe
from pinset.chain.register import (
    CookKind,
    FarmBook,
    Preparation,
    RoomKind,
    Step,
    Steriliser,
    Worker,
)
from pinset.chain.stages import Stage
from pinset.planning.plan import PlannedCook, Start
from pinset.services.answers import recording, taking_back
from pinset.services.book_reader import Reader
from pinset.services.day.fitting import fit_jobs, what_follows
from pinset.services.jobs.after_cooks import after_cooks
from pinset.services.jobs.of_cooks import cook_jobs, loads_of
from pinset.services.jobs.preparing import preparation_jobs
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.loads.begun import begun_vessels
from pinset.services.loads.loaded import loaded_since
from pinset.services.loads.uncooked import waiting_for_a_cook

LayJob = Callable[..., str]
MIX = Preparation("mix", 98.0, 0.1, 10.0, RoomKind.PREPARATION)
COOK = Preparation("cook", 96.0, 0.0, 0.0, RoomKind.STERILISER)
POUR = Preparation("pour", 92.0, 0.5, 10.0, RoomKind.LABORATORY, "hot-agar")
LAST = TODAY + timedelta(days=8)
MONDAY = TODAY + timedelta(days=4)


def book_with(book: FarmBook, *preparations: Preparation) -> FarmBook:
    def prepared(step: Step) -> Step:
        if step.code != "plate":
            return step
        return replace(
            step, cook="agar", mix="malt agar", fill_moisture=0.95, preparations=preparations
        )

    route = book.routes[0]
    kinds = (CookKind("agar", 2, 20, 30, 10),)
    return replace(
        book,
        routes=(replace(route, steps=tuple(prepared(each) for each in route.steps)),),
        sterilisers=(
            Steriliser("kettle", "Kettle", "bay", kinds, 8, 1, 1.4, load_at="09:00"),
        ),
    )  # fmt: skip


def planned(reader: Reader, *starts: Start, day: date = TODAY) -> list[PlannedJob]:
    loads = loads_of([PlannedCook(day, "kettle", "agar", 1, 10, 2)], starts, reader)
    return [job for load in loads for job in cook_jobs(load, reader)]


def start(count: int, day: date = MONDAY) -> Start:
    return Start(day, "grey", "plate", Stage.PLATE, count, (), count, day, (), "why")


def test_agar_is_mixed_before_the_cook_and_poured_after_it_is_open(farm: FarmBook) -> None:
    reader = Reader(book_with(farm, MIX, COOK, POUR), TODAY)
    before = preparation_jobs([start(15)], TODAY, "09:00", reader)
    assert [(job.task, job.due) for job in before] == [("mix", "before 09:00")]
    load, opening = planned(reader, start(15))
    [pour] = after_cooks([load, opening], (), reader, LAST)
    assert (pour.task, pour.day, pour.count, pour.due) == ("pour", TODAY, 15, "after 11:00")
    assert pour.detail == "After the cook of today is open and cool enough"
    assert pour.cautions == ("hot-agar",)
    assert pour.minutes == 18, "10 min and half a minute a plate, rounded to even"
    jobs = [("P", pour, 18), ("O", opening, 10), ("L", load, 20), ("M", before[0], 12)]
    at = fit_jobs(jobs, reader.book, TODAY).at
    assert at["M"] < at["L"] < at["O"] < at["P"] == "11:10"


@pytest.mark.parametrize(
    ("units", "said"), [(2, "2 plates: mix malt agar, 40 g wet"), (60, "mix malt agar, 1.2 kg wet")]
)
def test_little_to_mix_is_said_in_grams(farm: FarmBook, units: int, said: str) -> None:
    book = book_with(farm, MIX, COOK, POUR)
    steps = tuple(replace(s, fill_g=20 if s.code == "plate" else 0) for s in book.routes[0].steps)
    reader = Reader(replace(book, routes=(replace(book.routes[0], steps=steps),)), TODAY)
    [mix] = preparation_jobs([start(units)], TODAY, "09:00", reader)
    assert f"{mix.count} {mix.what}".endswith(said)


def test_it_is_poured_before_the_transfer_it_is_for_and_no_other(farm: FarmBook) -> None:
    reader = Reader(book_with(farm, MIX, COOK, POUR), TODAY)
    [pour] = after_cooks(planned(reader, start(15)), (), reader, LAST)
    transfer = PlannedJob(
        "t", JobKind.TRANSFER, "transfer", MONDAY, 15, "units", "plates", "laboratory", step="plate"
    )
    assert what_follows([("P", pour, 1), ("T", transfer, 1)]) == {"T": ("P",)}
    sooner = replace(transfer, day=TODAY)
    assert what_follows([("P", pour, 1), ("T", sooner, 1)]) == {}


def test_with_an_early_cook_it_goes_or_what_is_near_the_transfer_waits(farm: FarmBook) -> None:
    """Agar sets: it is poured when it is cooked. What is added at the end is not added early."""
    add = Preparation("add bran", 2.0, 0.1, 5.0, RoomKind.LABORATORY)
    reader = Reader(book_with(farm, COOK, POUR, add), TODAY)
    late = start(15, TODAY + timedelta(days=7))
    jobs = after_cooks(planned(reader, late), (), reader, LAST)
    assert [(job.task, job.day, job.due) for job in jobs] == [
        ("pour", TODAY, "after 11:00"),
        ("add bran", TODAY + timedelta(days=7), ""),
    ]


def laid(lay: LayJob, job: PlannedJob) -> str:
    return lay(**asdict(job) | {"feeds": job.feeds})


@pytest.mark.parametrize(("loaded", "asked"), [(15, 15), (12, 12)])
def test_once_loaded_it_is_asked_for_from_what_was_cooked(
    farm: FarmBook, lay: LayJob, loaded: int, asked: int
) -> None:
    book = book_with(farm, MIX, COOK, POUR)
    describe(book)
    load, _ = planned(Reader(book, TODAY), start(15))
    code = laid(lay, load)
    recording.done(
        code, person="ada", client_id=secrets.token_hex(16), count=loaded, reason="so many"
    )

    def pours(day: date) -> list[PlannedJob]:
        found = loaded_since(TODAY, book.farm.time_zone)
        return list(after_cooks([], found, Reader(book, day), day + timedelta(days=8)))

    [pour] = pours(TODAY)
    assert (pour.count, pour.day) == (asked, TODAY)
    later = TODAY + timedelta(days=3)
    assert [(job.day, job.due) for job in pours(later)] == [(later, "")]
    assert pours(TODAY + timedelta(days=4)) == [], "nobody will pour it any more"
    done = recording.done(laid(lay, pour), person="ada", client_id=secrets.token_hex(16))
    assert pours(TODAY) == []
    assert begun_vessels(book, TODAY, waiting_for_a_cook(book, TODAY, ())) == (), (
        "it is no preparation of a cook to come"
    )
    found = loaded_since(TODAY, book.farm.time_zone)
    assert not any(waiting_for_a_cook(book, TODAY, found).units.values())
    taking_back.undo(done.entry, person="ada", client_id=secrets.token_hex(16), reason="a slip")
    assert [job.count for job in pours(TODAY)] == [asked]


def test_it_is_poured_when_somebody_of_the_laboratory_is_there(farm: FarmBook) -> None:
    """Loaded at 09:00 on Thursday and opened at 11:00 by Ben; Ada comes again on Friday."""
    people = (
        Worker("ada", "Ada", (8.0, 8.0, 8.0, 0.0, 8.0, 0.0, 0.0)),
        Worker("ben", "Ben", (8.0,) * 5 + (0.0, 0.0), laboratory=False),
    )
    reader = Reader(replace(book_with(farm, MIX, COOK, POUR), workers=people), TODAY)
    [pour] = after_cooks(planned(reader, start(40)), (), reader, LAST)
    assert (pour.day, pour.due) == (TODAY + timedelta(days=1), "after 07:30")
    both = replace(reader.book, workers=(replace(people[0], hours=(8.0,) * 7), people[1]))
    reader = Reader(both, TODAY)
    [pour] = after_cooks(planned(reader, start(40)), (), reader, LAST)
    assert (pour.day, pour.due) == (TODAY, "after 11:00")
