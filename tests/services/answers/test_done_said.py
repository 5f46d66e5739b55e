"""What was done is said with the lots that were really worked on."""

from __future__ import annotations

import pytest

from farm.small_farm import TODAY
from pinset.services.answers.done_said import as_done
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob

MOVE = PlannedJob(
    "move:a", JobKind.MOVE, "move", TODAY, 50, "units", "blocks SBQRW into Fruiting tunnel",
    "growing", lots=(LotAmount("SBQRW", 50),),
)  # fmt: skip
TRANSFER = PlannedJob(
    "transfer:a", JobKind.TRANSFER, "transfer", TODAY, 24, "units",
    "grain jars from 3 plates 2CWF9, into vessels 9H3RA", "laboratory",
    lots=(LotAmount("2CWF9", 3),),
)  # fmt: skip


@pytest.mark.parametrize(
    ("job", "lots", "said"),
    [
        (MOVE, (), "blocks SBQRW into Fruiting tunnel"),
        (MOVE, (("SBQRW", 40),), "blocks SBQRW into Fruiting tunnel"),
        (MOVE, (("56S7K", 50),), "blocks 56S7K into Fruiting tunnel"),
        (
            MOVE,
            (("56S7K", 10), ("SBQRW", 40)),
            "blocks (10 of 56S7K and 40 of SBQRW) into Fruiting tunnel",
        ),
        (TRANSFER, (("2CWF9", 3),), "grain jars from 3 plates 2CWF9, into vessels 9H3RA"),
        (TRANSFER, (("2CWF9", 2), ("AB633", 2)), "grain jars from 2 of 2CWF9 and 2 of AB633"),
    ],
)
def test_the_lots_named_are_those_used(
    job: PlannedJob, lots: tuple[tuple[str, int], ...], said: str
) -> None:
    assert as_done(job, lots) == said


def test_lots_that_the_words_do_not_name_are_said_at_the_end() -> None:
    look = PlannedJob("look", JobKind.LOOK, "look", TODAY, 5, "units", "jars to look over", "x")
    assert as_done(look, (("AB633", 5),)) == "jars to look over, AB633"
