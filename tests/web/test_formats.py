from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from django.utils import timezone

from pinset.web import formats

NBSP = "\N{NO-BREAK SPACE}"


@pytest.mark.parametrize(
    ("grams", "said"),
    [(0, "0 kg"), (650, "0.7 kg"), (4200, "4.2 kg"), (6000, "6 kg"), (35_400, "35 kg"),
     (12_345_000, "12,345 kg"), (-2500, "-2.5 kg")],
)  # fmt: skip
def test_weight_has_one_decimal_below_ten_kilograms(grams: int, said: str) -> None:
    assert formats.weight(grams).replace(NBSP, " ") == said


def test_a_farm_that_reads_pounds_gets_pounds() -> None:
    # 1 lb = 0.45359237 kg exactly (International Yard and Pound Agreement, 1959).
    with formats.shown_in("us"):
        assert formats.weight(45_359).startswith("100")
        assert "lb" in formats.weight(45_359)
        assert "70" in formats.temperature(21.1)
    assert "kg" in formats.weight(45_359)
    assert "21" in formats.temperature(21.0)


def test_amounts_of_units_have_their_plural() -> None:
    assert formats.amount(1, "unit") == "1 unit"
    assert formats.amount(1200, "unit") == "1,200 units"
    assert formats.amount(1200, "gram").replace(NBSP, " ") == "1.2 kg"


def test_an_average_of_few_units_has_a_tenth() -> None:
    said = [formats.average(value, "unit") for value in (0.42, 1.0, 4.96, 9.96, 12.3)]
    assert said == ["0.4 units", "1 unit", "5 units", "10 units", "12 units"]
    assert formats.average(1900.0, "gram") == formats.amount(1900.0, "gram")


def test_days_and_moments_by_the_farms_clock() -> None:
    assert formats.day(date(2026, 3, 12)).replace(NBSP, " ") == "Thursday 12 March"
    with timezone.override("Europe/Vienna"):
        summer = datetime(2026, 7, 1, 22, 30, tzinfo=UTC)
        assert formats.moment(summer).replace(NBSP, " ") == "2 July 2026, 00:30"
        assert formats.clock(summer) == "00:30"
        assert formats.typed_moment(summer) == "2026-07-02T00:30"


@pytest.mark.parametrize(
    ("value", "said"), [(0, "0 min"), (25, "25 min"), (60, "1 h"), (155.2, "2 h 35 min")]
)
def test_minutes(value: float, said: str) -> None:
    assert formats.minutes(value) == said


def test_percent() -> None:
    assert formats.percent(0.004).replace(NBSP, " ") == "0.4 %"
    assert formats.percent(0.81).replace(NBSP, " ") == "81 %"


def test_marked_lots_are_bold_and_everything_else_is_escaped() -> None:
    marked = str(formats.mark_lots("<i>from</i> 4CWF9 & 4CWF9", ["4CWF9"]))
    assert marked == (
        '&lt;i&gt;from&lt;/i&gt; <b class="lot">4CWF9</b> &amp; <b class="lot">4CWF9</b>'
    )
    assert "<script>" not in formats.mark_lots("<script>", ["<script>"])
    assert str(formats.mark_lots("plain", [""])) == "plain"


def test_a_lot_code_inside_another_word_is_left_alone() -> None:
    assert str(formats.mark_lots("X4CWF9Y", ["4CWF9"])) == "X4CWF9Y"


def test_stages_stand_in_the_order_of_the_chain() -> None:
    chain = ["tube", "plate", "grain", "sawdust", "block"]
    places = [formats.stage_place(stage) for stage in chain]
    assert places == sorted(set(places))
    assert formats.stage_place("block", "fruiting") > places[-1]
    assert formats.stage_place("block", "pick") > formats.stage_place("block", "fruiting")
    assert formats.stage_place("prepared") == 0
