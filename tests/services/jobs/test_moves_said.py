"""Units that stand there already stay; units past their time are looked over and asked about."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from farm.small_farm import BOOK, CODES, NOW, ROUTE, TODAY, Taps, lot
from pinset.chain.living import LivingLot
from pinset.chain.register import FarmBook, StandingLot
from pinset.chain.stages import Stage
from pinset.errors import RefusedError, Severity
from pinset.farm import door, trade
from pinset.files.description.example import example_book
from pinset.files.description.writing import write_folder
from pinset.services.answers import recording
from pinset.services.book_reader import Reader
from pinset.services.farms.load import load
from pinset.services.jobs.moves_said import with_standing
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob

READER = Reader(BOOK, TODAY)
MOVE = PlannedJob(
    "move:grey", JobKind.MOVE, "move", TODAY, 60, "units", "blocks U625Y into Incubation",
    "incubation", detail="Grey oyster, ripening", place="Incubation", to_room="inc",
    to_step="ripening", lots=(LotAmount("U625Y", 60),),
)  # fmt: skip


def block(made_on: date, room: str) -> LivingLot:
    keeping = replace(
        ROUTE, steps=tuple(replace(step, keeps_days_warm=10.0) for step in ROUTE.steps)
    )
    return LivingLot(
        "U625Y", "grey", "block", Stage.BLOCK, 60, made_on, made_on, "", room, 22.0, keeping
    )


def test_what_stands_there_stays() -> None:
    young = block(TODAY - timedelta(days=12), "inc")
    [job] = with_standing([MOVE], [young], READER)
    assert job.what == "blocks U625Y stay in Incubation; ripening begins"
    assert job.detail == MOVE.detail


def test_what_comes_from_elsewhere_goes_in() -> None:
    young = block(TODAY - timedelta(days=12), "lab")
    assert with_standing([MOVE], [young], READER) == (MOVE,)


def test_of_a_lot_in_two_places_only_what_is_taken_counts() -> None:
    """What keeps on in the cold moves; what is past its time in the warm is not it."""
    old, sound = block(date(2025, 12, 15), "lab"), block(TODAY - timedelta(days=12), "lab")
    assert with_standing([MOVE], [old, sound], READER) == (MOVE,)
    [job] = with_standing([MOVE], [old, replace(sound, alive=59)], READER)
    assert "look them over first" in job.detail


def test_what_is_past_its_time_is_looked_over_first() -> None:
    old = block(date(2025, 12, 15), "lab")
    [job] = with_standing([MOVE], [old], READER)
    assert job.detail == (
        "Grey oyster, ripening. Lot U625Y is past its time: kept until 4 January: "
        "look them over first"
    )


def test_moving_what_is_past_its_time_takes_a_reason(
    farm: FarmBook,  # noqa: ARG001
    lay: Callable[..., str],
) -> None:
    made = lot(CODES[160], Stage.BLOCK, "block", made_on=TODAY - timedelta(days=21))
    door.record([trade.opening(Taps()(hours=-48), made, 20, "inc-1")], now=NOW)
    job = lay(
        JobKind.MOVE, count=20, to_step="fruiting", to_room="grow",
        lots=(LotAmount(made.code, 20, "block"),),
    )  # fmt: skip
    with pytest.raises(RefusedError, match="past its time: kept until 11 March"):
        recording.done(job, person="ada", client_id=secrets.token_hex(16))
    done = recording.done(
        job, person="ada", client_id=secrets.token_hex(16), reason="white and firm all through"
    )
    assert any("past its time" in said for said in done.findings)


@pytest.mark.django_db
def test_loading_what_is_past_its_time_is_warned_about(tmp_path: Path) -> None:
    book = example_book(TODAY)
    lots = [each for each in book.lots if each.step == "block"]
    old = replace(lots[0], made_on=TODAY - timedelta(days=200))
    assert isinstance(old, StandingLot)
    write_folder(replace(book, lots=(old,)), tmp_path, replace=True)
    report = load(tmp_path, now=NOW)
    assert report.applied
    [finding] = report.findings
    assert (finding.id, finding.severity) == ("load.lot-past-its-time", Severity.WARNING)
    assert "past its time: kept until" in finding.sentence
