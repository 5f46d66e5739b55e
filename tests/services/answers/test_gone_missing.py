"""What went into a cook and did not come out of it whole leaves the books with the same tap."""

from __future__ import annotations

from datetime import timedelta

import pytest

from farm.small_farm import NOW, TODAY
from pinset.chain.register import FarmBook
from pinset.errors import InputError, RefusedError
from pinset.farm.models import Entry
from pinset.farm.queries.alive import prepared
from pinset.services import clock
from pinset.services.answers import putting_off, recording, taking_back
from pinset.services.books.lots import lot_view
from pinset.services.jobs.records import JobKind, LotAmount
from pinset.services.views import Done
from services.answers.test_opened import ABOUT, KEY, LOADED
from services.conftest import LayJob
from services.recorded import counts, do, new_id

JARS = LotAmount("", 12, "grain", "oyster-straw")
BAGS = LotAmount("", 6, "block", "oyster-straw")


@pytest.fixture(autouse=True)
def in_the_afternoon(farm: FarmBook, monkeypatch: pytest.MonkeyPatch) -> None:  # noqa: ARG001
    """Every tap comes after what the tests wrote down before it, at whatever hour they run."""
    monkeypatch.setenv(clock.PRETENDED, (NOW + timedelta(hours=6)).isoformat())


def loaded(lay: LayJob, *feeds: LotAmount) -> str:
    """Lay a load and its opening, write the load down and return the opening."""
    units = sum(feed.units for feed in feeds)
    about = {**ABOUT, "count": units, "feeds": feeds}
    load = lay(JobKind.COOK, key=f"cook:{KEY}", task="load", **about)
    opening = lay(JobKind.OPEN, key=f"open:{KEY}", task="open", **about)
    do(load, at=LOADED)
    return opening


def poured(lay: LayJob) -> str:
    """Lay the work on the jars of that cook that follows it and return its code."""
    about = {**ABOUT, "for_day": TODAY, "feeds": (JARS,)}
    return lay(
        JobKind.PREPARE, key=f"after:pour:oats:jar:0.5:grain:cook:{KEY}", task="pour", **about
    )


def codes() -> dict[str, str]:
    """Return the prepared lots by their step."""
    return {each.step: each.code for each in prepared()}


def dropped(job: str, reason: str) -> Done:
    """Say that a job, or the rest of it, is not done at all."""
    return putting_off.not_at_all(job, person="ada", client_id=new_id(), reason=reason)


def test_burst_jars_leave_the_books_with_the_opening(lay: LayJob) -> None:
    opening = loaded(lay, JARS)
    jars = codes()["grain"]
    answer = do(opening, count=10, reason="2 jars burst")
    assert counts(jars) == {"made": 12, "alive": 10, "culled": 2}
    assert lot_view(jars).life[-1].what == "2 units taken out: 2 jars burst"
    assert answer.sentence.endswith(f"2 of {jars} taken out of the books.")


def test_both_are_taken_back_together(lay: LayJob) -> None:
    opening = loaded(lay, JARS)
    jars = codes()["grain"]
    answer = do(opening, count=10, reason="2 jars burst")
    taking_back.undo(answer.entry, person="ada", client_id=new_id(), reason="a slip")
    assert counts(jars) == {"made": 12, "alive": 12}
    do(opening, count=11, reason="1 burst")
    assert counts(jars) == {"made": 12, "alive": 11, "culled": 1}


def test_without_a_reason_nothing_is_written(lay: LayJob) -> None:
    opening = loaded(lay, JARS)
    before = Entry.objects.count()
    with pytest.raises(RefusedError, match="10 of 12 are said, and 2 units would be left out"):
        do(opening, count=10)
    assert Entry.objects.count() == before
    recording.part_done(opening, person="ada", client_id=new_id(), count=10)
    assert counts(codes()["grain"]) == {"made": 12, "alive": 12}, "the rest is still in it"
    do(opening, count=1, reason="1 burst")
    assert counts(codes()["grain"]) == {"made": 12, "alive": 11, "culled": 1}


def test_the_rest_of_an_opening_that_is_not_done_at_all_leaves_the_books(lay: LayJob) -> None:
    opening = loaded(lay, JARS)
    jars = codes()["grain"]
    recording.part_done(opening, person="ada", client_id=new_id(), count=10)
    answer = dropped(opening, "2 jars burst")
    assert counts(jars) == {"made": 12, "alive": 10, "culled": 2}
    assert answer.sentence.endswith(f"2 of {jars} taken out of the books.")
    taking_back.undo(answer.entry, person="ada", client_id=new_id(), reason="a slip")
    assert counts(jars) == {"made": 12, "alive": 12}
    do(opening, count=2)
    assert counts(jars) == {"made": 12, "alive": 12}


def test_an_opening_that_was_not_begun_and_is_dropped_takes_nothing_out(lay: LayJob) -> None:
    opening = loaded(lay, JARS)
    dropped(opening, "asked twice")
    assert counts(codes()["grain"]) == {"made": 12, "alive": 12}


def test_what_was_taken_out_before_is_not_taken_out_again(lay: LayJob) -> None:
    opening = loaded(lay, JARS)
    do(opening, count=10, reason="2 jars burst")
    do(poured(lay), count=9, reason="1 jar fell")
    assert counts(codes()["grain"]) == {"made": 12, "alive": 9, "culled": 3}


def test_all_that_came_out_needs_no_reason(lay: LayJob) -> None:
    opening = loaded(lay, JARS)
    assert do(opening).sentence.count("taken out") == 0
    do(poured(lay))
    assert counts(codes()["grain"]) == {"made": 12, "alive": 12}


def test_of_several_sorts_it_is_asked_which_are_missing(lay: LayJob) -> None:
    opening = loaded(lay, JARS, BAGS)
    grain, block = codes()["grain"], codes()["block"]
    with pytest.raises(RefusedError, match="Nobody can tell which are missing"):
        do(opening, count=16, reason="2 burst")
    with pytest.raises(InputError, match="leave out 2"):
        do(opening, count=16, lots=((grain, 4), (block, 12)), reason="2 burst")
    do(opening, lots=((grain, 11), (block, 5)), reason="2 burst")
    assert counts(grain) == {"made": 12, "alive": 11, "culled": 1}
    assert counts(block) == {"made": 6, "alive": 5, "culled": 1}


def test_a_pour_takes_only_of_what_is_poured(lay: LayJob) -> None:
    do(loaded(lay, JARS, BAGS))
    do(poured(lay), count=10, reason="2 spilled")
    assert counts(codes()["grain"])["culled"] == 2
    assert "culled" not in counts(codes()["block"])
