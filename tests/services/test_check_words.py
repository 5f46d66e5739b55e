"""What a check of a lot is held against."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from scipy.stats import binom

from pinset.farm.queries.lots import Counts, LotRow
from pinset.services.losses.check_words import delivery_check, lost_so_far

LOT = LotRow(
    code="7K4MV",
    stage="grain",
    variety="oyster",
    step="grain",
    culture="",
    made_on=date(2026, 3, 1),
    cook="",
    session="",
    bought_from="Mill Lane spawn",
    is_announced=False,
    is_void=False,
    counts=Counts(made=120),
    places=("lab-1",),
)


def test_the_custom_for_bought_units() -> None:
    # ISO 2859-1, tables 1 and 2-A: 91 to 150 units, level II: letter F, 20 units; at 2.5: 1 and 2.
    said = delivery_check(LOT, 120, 3.0)
    assert "quality limit 2.5 %) looks over 20, takes it with up to 1 bad and refuses" in said
    taken, poor = (100 * binom.cdf(1, 20, share) for share in (0.025, 0.075))
    assert (
        f"with 2.5 % bad it is taken {taken:.0f} times of 100, with 7.5 % still {poor:.0f}" in said
    )
    assert "quality limit 0.65 %" in delivery_check(LOT, 120, 0.2)
    assert delivery_check(replace(LOT, bought_from=""), 120, 3.0) == ""
    assert delivery_check(LOT, 1, 3.0) == ""


def test_what_was_lost_so_far_has_a_range() -> None:
    # Newcombe 1998, Statistics in Medicine 17:857-872, table I, method 3: 81 of 263.
    row = replace(LOT, counts=Counts(made=263, lost=81))
    assert "So far 81 of 263 units were lost: in the long run 26 to 37 of 100" in lost_so_far(row)
    assert lost_so_far(LOT) == ""
