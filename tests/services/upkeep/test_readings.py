"""Readings typed with their unit; what cannot be is refused in words."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from pinset.chain.upkeep import Chore, ChoreAt, ChoreKind, Reads
from pinset.errors import InputError
from pinset.farm.queries.upkeep import ChoreDone
from pinset.services.upkeep.readings import UnlikelyReadingError, reading_of, refuse_nonsense

AT = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)
HEPA = Chore("hepa", "F", ChoreKind.HEPA, ChoreAt.BENCH, "b", 30, reads=Reads.PRESSURE_DROP)
LAMP = Chore("lamp", "L", ChoreKind.LAMP, ChoreAt.BENCH, "b", 30, reads=Reads.HOURS)


@pytest.mark.parametrize(
    ("text", "reads", "system", "value"),
    [
        ("1240", Reads.HOURS, "metric", 1240.0),
        ("1240 h", Reads.HOURS, "us", 1240.0),
        ("90 min", Reads.HOURS, "metric", 1.5),
        ("180", Reads.PRESSURE_DROP, "metric", 180.0),
        ("0.18 kPa", Reads.PRESSURE_DROP, "metric", 180.0),
        # one inch of water, conventional: 249.0889 Pa (pint 0.25, unit inch_H2O_39F within 0.01 %)
        ("0.5 in wg", Reads.PRESSURE_DROP, "metric", 124.54445),
        ("0.5", Reads.PRESSURE_DROP, "us", 124.54445),
        ("150 Pa", Reads.PRESSURE_DROP, "us", 150.0),
        ("0,3", Reads.OFF_DEGREES, "metric", 0.3),
        ("-0.3 °C", Reads.OFF_DEGREES, "metric", -0.3),
        ("0.3 K", Reads.OFF_DEGREES, "metric", 0.3),
        ("0.9 F", Reads.OFF_DEGREES, "metric", 0.5),
        ("0.9", Reads.OFF_DEGREES, "us", 0.5),
        ("2", Reads.OFF_GRAMS, "metric", 2.0),
        ("0.002 kg", Reads.OFF_GRAMS, "metric", 2.0),
        ("20 mbar", Reads.OFF_PRESSURE, "metric", 2.0),
        ("0", Reads.OFF_DEGREES, "metric", 0.0),
    ],
)
def test_a_reading_is_read_with_its_unit(
    text: str, reads: Reads, system: str, value: float
) -> None:
    assert reading_of(text, reads, system) == pytest.approx(value)


@pytest.mark.parametrize(
    ("text", "reads", "accepted"),
    [
        ("much", Reads.HOURS, "hours on the counter"),
        ("21 °C", Reads.PRESSURE_DROP, "a pressure drop"),
        ("180 Pa", Reads.HOURS, "hours on the counter"),
        ("-5", Reads.PRESSURE_DROP, "0 or more"),
        ("9000", Reads.PRESSURE_DROP, "at most 2,500 Pa"),
        ("300000", Reads.HOURS, "at most 200,000 h"),
        ("25", Reads.OFF_DEGREES, "at most 20 degC"),
        ("12 g", Reads.OFF_DEGREES, "by how much it is off"),
        ("1,240", Reads.HOURS, "hours on the counter"),
        ("5", Reads.NOTHING, "reads nothing off"),
        ("1e99", Reads.OFF_GRAMS, "by how much it is off"),
    ],
)
def test_nonsense_is_refused_in_words(text: str, reads: Reads, accepted: str) -> None:
    with pytest.raises(InputError, match=accepted):
        reading_of(text, reads)


def test_nothing_typed_is_nothing_read() -> None:
    assert reading_of("  ", Reads.HOURS) is None


def before(reading: float, days: float) -> list[ChoreDone]:
    at = AT - timedelta(days=days)
    return [ChoreDone("x", "c", at, "", reading, "", False, False, "", "")]


def checked(chore: Chore, value: float, past: list[ChoreDone], **more: object) -> None:
    given: dict[str, object] = {"is_changed": False, "why": "", **more}
    refuse_nonsense(chore, value, past, AT, "UTC", **given)  # type: ignore[arg-type]


def test_a_counter_neither_goes_back_nor_outruns_the_clock() -> None:
    past = before(1000.0, 10)
    checked(LAMP, 1240.0, past)  # 240 h in 10 days of 24 h
    with pytest.raises(InputError, match="1,000 h or more, as on 2 March"):
        checked(LAMP, 990.0, past)
    with pytest.raises(InputError, match="no more hours went by since 2 March"):
        checked(LAMP, 1242.0, past)
    checked(LAMP, 0.0, past, is_changed=True)
    checked(LAMP, 5.0, [])


def test_a_pressure_drop_that_fell_asks_whether_the_filter_was_changed() -> None:
    past = before(210.0, 30)
    checked(HEPA, 150.0, past)
    with pytest.raises(UnlikelyReadingError, match="far below the 210 Pa"):
        checked(HEPA, 120.0, past)
    checked(HEPA, 120.0, past, why="the fan was turned down")
    checked(HEPA, 120.0, past, is_changed=True)
