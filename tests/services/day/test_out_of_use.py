"""What is out of use today: nothing is laid on it, and Today says so."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import NOW, TODAY
from pinset.chain.outages import Outage, OutageOf
from pinset.chain.register import FarmBook
from pinset.errors import RefusedError
from pinset.farm.models.register import RegisterKind
from pinset.services.books.register_change import retire, write_record
from pinset.services.day.fitting import fit_jobs
from pinset.services.day.hours_left import hours_left, only_what_is_left
from pinset.services.day.minutes_left import DoneToday, minutes_left
from pinset.services.day.out_of_use import outage_words
from pinset.services.day.today import day_view
from pinset.services.jobs.records import JobKind, PlannedJob
from services.day import test_hours_left as left
from services.planned import planned

LayJob = Callable[..., str]


def out(what: OutageOf, which: str, note: str = "") -> Outage:
    return Outage(f"{which}-out", what, which, TODAY, TODAY + timedelta(days=1), note)


def test_a_steriliser_that_is_down_holds_nothing_today() -> None:
    book = replace(left.BOOK, outages=(out(OutageOf.STERILISER, "kettle"),))
    found = hours_left(book, TODAY, None, [])
    [row] = only_what_is_left(left.PROBLEM, found).resources.sterilisers
    assert (row.hours[0], row.count[0]) == (0.0, 0.0)
    kind = book.sterilisers[0].cooks[0]
    assert not found.sterilisers["kettle"].fits(kind, 10 * 60 + 30, follows=False)


def test_a_person_away_has_no_minutes_and_is_given_no_work() -> None:
    ada = left.BOOK.workers[0]
    both = replace(left.BOOK, workers=(ada, replace(ada, code="b", name="Ben")))
    away = replace(both, outages=(out(OutageOf.PERSON, "a"),))
    job = PlannedJob(
        "k", JobKind.TRANSFER, "transfer", TODAY, 5, "units", "plates", "laboratory", minutes=30
    )
    assert fit_jobs([("J", job, 30)], both, TODAY).who == {"J": "Ada"}
    assert fit_jobs([("J", job, 30)], away, TODAY).who == {"J": "Ben"}
    since = left.time(8, 0)
    whole = minutes_left(both, TODAY, since, DoneToday()).people
    assert minutes_left(away, TODAY, since, DoneToday()).people == whole / 2


def test_today_says_what_is_out_and_which_cooks_were_laid_for_it(
    farm: FarmBook, lay: LayJob
) -> None:
    del farm
    lay(JobKind.COOK, steriliser="kettle", cook_kind="grain", what="jars")
    planned()
    write_record(out(OutageOf.STERILISER, "kettle", "new seal."), "", NOW)
    notes = day_view(now=NOW).notes
    assert "Kettle is out of use until tomorrow: new seal." in notes
    assert any("1 job on this page would load Kettle, which is down" in note for note in notes)


def test_words_of_what_is_still_to_come() -> None:
    book = replace(left.BOOK, outages=())
    later = replace(
        out(OutageOf.PERSON, "a"),
        from_date=TODAY + timedelta(days=1),
        until=TODAY + timedelta(days=3),
    )
    assert outage_words(book, later, TODAY) == "Ada is away from tomorrow until Sunday."


def test_an_outage_names_something_that_is_there_and_keeps_it_there(farm: FarmBook) -> None:
    del farm
    with pytest.raises(RefusedError, match="one of the sterilisers kettle"):
        write_record(out(OutageOf.STERILISER, "kettel"), "", NOW)
    backwards = replace(out(OutageOf.STERILISER, "kettle"), until=TODAY - timedelta(days=2))
    with pytest.raises(RefusedError, match="until"):
        write_record(replace(backwards, from_date=TODAY), "", NOW)
    write_record(out(OutageOf.STERILISER, "kettle"), "", NOW)
    with pytest.raises(RefusedError, match="kettle"):
        retire(RegisterKind.STERILISER, "kettle", "", NOW)
