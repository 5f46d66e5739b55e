"""What ripens while nobody is there is told on the day of its move and before the days off."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest

from farm.small_farm import NOW, TODAY
from pinset.chain.register import FarmBook
from pinset.farm.queries.alive import living
from pinset.planning.building.from_book import build_problem
from pinset.services import clock
from pinset.services.books.register_change import write_records
from pinset.services.day.today import day_view
from pinset.services.jobs.records import JobKind, LotAmount

LayJob = Callable[..., str]


def closed(book: FarmBook, first: date, days: int) -> FarmBook:
    """Close the farm from a day on; return its book."""
    off = tuple(first + timedelta(days=ahead) for ahead in range(days))
    farm = replace(book.farm, days_off=off)
    write_records([farm], "", NOW - timedelta(hours=1))
    return replace(book, farm=farm)


def notes() -> list[str]:
    return [note for note in day_view(now=NOW).notes if "will ripen" in note]


def test_on_the_last_day_of_work_what_ripens_behind_it_is_told(
    farm: FarmBook, stock: dict[str, str]
) -> None:
    """20 blocks of 600 g less 5 % trimmed, ten days from their entry a week ago, for two days."""
    closed(farm, TODAY + timedelta(days=1), 11)
    [note] = notes()
    assert note.startswith("11.4 kg Grey oyster of " + stock["fruiting"] + " will ripen 15 March")
    assert "nobody works until 24 March" in note
    assert note.endswith("Pick today what is close, or somebody comes on 17 March.")


def test_the_plan_counts_on_nothing_of_what_is_told(farm: FarmBook, stock: dict[str, str]) -> None:
    def picked(book: FarmBook) -> float:
        problem, _ = build_problem(book, living(TODAY), TODAY)
        rooms = [room for room in problem.in_rooms if room.lot == stock["fruiting"]]
        return sum(pick.grams for room in rooms for _, pick in problem.gathered(room.picks))

    before = picked(farm)
    book = closed(farm, TODAY + timedelta(days=1), 11)
    [note] = notes()
    assert note.startswith("11.4 kg Grey oyster")
    assert picked(book) == pytest.approx(before - 11_400.0)


@pytest.mark.usefixtures("stock")
def test_before_that_and_over_two_days_off_nothing_is_said(farm: FarmBook) -> None:
    closed(farm, TODAY + timedelta(days=2), 11)
    assert notes() == []
    closed(farm, TODAY + timedelta(days=3), 2)
    assert notes() == []


def test_on_the_day_of_the_move_it_is_told(
    farm: FarmBook, stock: dict[str, str], lay: LayJob
) -> None:
    """What goes in today is ripe ten days later, in the middle of the days off."""
    lots = (LotAmount(stock["block"], 4),)
    lay(JobKind.MOVE, key="move", count=4, step="fruiting", lots=lots)
    closed(farm, TODAY + timedelta(days=8), 9)
    [note] = notes()
    assert f"of {stock['block']}, to be moved in today, will ripen 22 March to 23 March" in note
    assert note.endswith("Move it on a later day, or somebody comes on 24 March.")


def test_in_the_closed_days_themselves_it_is_still_told(
    farm: FarmBook, stock: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert stock
    closed(farm, TODAY - timedelta(days=2), 14)
    monkeypatch.setenv(clock.PRETENDED, TODAY.isoformat())
    [note] = notes()
    assert "somebody comes on 17 March" in note
