"""A start from lots of several cultures is laid as a job for each culture."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from pinset.chain.register import (
    Farm,
    FarmBook,
    Parent,
    Route,
    Spread,
    Step,
    StepKind,
    Variety,
)
from pinset.chain.stages import Stage
from pinset.planning.plan import LotShare, ParentUse, Start
from pinset.services.book_reader import Reader
from pinset.services.jobs.of_starts import transfer_job
from pinset.services.jobs.one_culture import by_culture

TODAY = date(2026, 3, 9)
DAYS, NONE = Spread(8, 10, 12), Spread(0, 0, 0)
PLATE = Step("plate", StepKind.TRANSFER, Stage.PLATE, DAYS, NONE, 24)
GRAIN = Step("grain", StepKind.TRANSFER, Stage.GRAIN, DAYS, NONE, 24, parents=(Parent("plate", 8),))
BOOK = FarmBook(
    Farm("Test", 400, "Europe/Vienna"),
    routes=(Route("r", (PLATE, GRAIN)),),
    varieties=(Variety("grey", "Grey oyster", "Pleurotus ostreatus", "r"),),
)
READER = Reader(BOOK, TODAY)


def start(count: int, *lots: tuple[str, float], still_to_make: float = 0.0) -> Start:
    units = sum(units for _, units in lots) + still_to_make
    parents = (ParentUse("plate", units, tuple(LotShare(code, n) for code, n in lots)),)
    ready = TODAY + timedelta(days=10)
    return Start(
        TODAY, "grey", "grain", Stage.GRAIN, count, parents, count, ready, (), "why", at_stake=900.0
    )


def test_one_culture_stays_one_job() -> None:
    whole = start(24, ("A", 2.0), ("B", 1.0))
    assert by_culture(whole, {"A": "g1", "B": "g1"}, READER) == (("", whole),)
    assert by_culture(whole, {"A": "g1"}, READER) == (("", whole),), "unknown goes along"
    assert transfer_job(whole, READER).key == f"transfer:grey:grain:{TODAY}"


@pytest.mark.parametrize("count", [24, 20, 17])
def test_two_cultures_are_two_jobs_that_add_up(count: int) -> None:
    whole = start(count, ("A", 1.0), ("B", 2.0))
    parts = by_culture(whole, {"A": "g1", "B": "g2"}, READER)
    assert [culture for culture, _ in parts] == ["g2", "g1"]
    assert sum(part.count for _, part in parts) == count
    assert sum(part.at_stake for _, part in parts) == pytest.approx(900.0)
    jobs = [transfer_job(part, READER, culture) for culture, part in parts]
    assert len({job.key for job in jobs}) == 2
    assert [[lot.lot for lot in job.lots] for job in jobs] == [["B"], ["A"]]
    assert [sum(lot.units for lot in job.lots) for job in jobs] == [2, 1]
    assert all(job.count <= 8 * sum(lot.units for lot in job.lots) for job in jobs)
    assert "g1" in jobs[1].detail


def test_parents_still_to_be_made_and_lots_without_culture_go_with_the_largest() -> None:
    whole = start(40, ("A", 1.0), ("B", 2.0), ("C", 1.0), still_to_make=1.0)
    (_, large), (_, small) = by_culture(whole, {"A": "g1", "B": "g2"}, READER)
    assert {share.lot for share in large.parents[0].lots} == {"B", "C"}
    assert large.parents[0].units == 4.0
    assert [share.lot for share in small.parents[0].lots] == ["A"]
