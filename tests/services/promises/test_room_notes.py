"""What Today says of grow rooms: when a climate is changed, and which blocks will lapse."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from pinset.planning.plan import KeptClimate, Lapse, Plan
from pinset.planning.reading.short_reason import ShortReason
from pinset.services.book_reader import Reader
from pinset.services.promises.room_notes import room_notes
from planning.small_farm import bought_route, small_farm

TODAY = date(2026, 3, 9)
COOL = KeptClimate(
    "grow", "cool", TODAY, TODAY + timedelta(4), "cool (16 °C)", ("Grey oyster",), is_set=False
)
WARM = KeptClimate(
    "grow", "warm", TODAY + timedelta(6), TODAY + timedelta(20), "warm (22 °C)", ("Pink oyster",)
)


def plan(climates: tuple[KeptClimate, ...] = (), lapses: tuple[Lapse, ...] = ()) -> Plan:
    return Plan(
        TODAY, 112, 21, (), (), (), (), (), (), (), 0.0, 0.0, 0.0, 0.0, "proven",
        climates=climates, lapses=lapses,
    )  # fmt: skip


def notes(made: Plan, today: date = TODAY) -> tuple[str, ...]:
    return room_notes(made, Reader(small_farm(bought_route()), today))


def test_a_change_is_said_before_it_and_on_its_day() -> None:
    (note,) = notes(plan((COOL, WARM)))
    assert note == (
        "Grow room is kept cool (16 °C) for Grey oyster until 13 March; set it to warm (22 °C) "
        "for Pink oyster by 15 March, before anything is moved in."
    )
    (note,) = notes(plan((WARM,)), WARM.since)
    assert note == (
        "Grow room is to be warm (22 °C) for Pink oyster from today, before anything is moved in."
    )


@pytest.mark.parametrize(
    "climate",
    [COOL, replace(WARM, since=TODAY + timedelta(8)), replace(WARM, is_set=False)],
    ids=["stands there", "far ahead", "is set"],
)
def test_nothing_is_said_where_nothing_is_to_be_set_soon(climate: KeptClimate) -> None:
    assert notes(plan((climate,))) == ()


@pytest.mark.parametrize(
    ("cause", "days", "is_said"),
    [
        (ShortReason.CLIMATE, 15, True),
        (ShortReason.NOT_NEEDED, 7, True),
        (ShortReason.NOT_NEEDED, 8, False),
        (ShortReason.CLIMATE, -1, False),
    ],
)
def test_what_lapses_by_a_climate_is_said_at_once(
    cause: ShortReason, days: int, *, is_said: bool
) -> None:
    lapse = Lapse("v", "block", ("A",), 3.0, TODAY + timedelta(days), cause, "They lapse.")
    assert notes(plan(lapses=(lapse,))) == (("They lapse.",) if is_said else ())
