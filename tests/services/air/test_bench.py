"""A bench's answer beside the worked figures of reference/air.md, 1.6."""

from __future__ import annotations

import pytest

from pinset.errors import InputError
from pinset.services.air.bench import bench_answer
from pinset.services.air.typed import Typed


def test_flow_is_that_of_the_worked_bench() -> None:
    # 1.2 x 0.6 m at 0.45 m/s: 1 166 m3/h; against 300 Pa at 50 % 194 W
    form = {
        "speeds": "0.45 " * 6,
        "width": "1.2",
        "height": "0.6",
        "filter-pressure": "250",
        "pre-pressure": "50",
        "fan-share": "50",
    }
    found = bench_answer(Typed(form, "metric"))
    facts = {fact.name: (fact.value, fact.detail) for fact in found.facts}
    assert facts["Air over the face"][0] == "1\u202f166 m³/h"
    assert facts["Fan, filters dirty"] == ("against 300 Pa", "takes 194 W")
    assert found.sentence.startswith("Every point of the bench is in the window, 0.36")


def test_us_units_are_those_of_the_worked_bench() -> None:
    # 4 x 2 ft at 90 fpm: 720 cfm
    form = {"speeds": "90 90 90 90 90 90", "width": "4", "height": "2"}
    found = bench_answer(Typed(form, "us"))
    assert "720 cfm" in [fact.value for fact in found.facts]


def test_points_out_of_the_window_are_numbered() -> None:
    found = bench_answer(Typed({"speeds": "0.45 0.30 0.45 0.60"}, "metric"))
    assert found.sentence.startswith("2 of the points are out")
    assert "at no. 2." in found.flags[0]
    assert "at no. 4." in found.flags[1]


@pytest.mark.parametrize("speeds", ["", "fast", "-0.3", "80"])
def test_what_is_refused_names_its_field(speeds: str) -> None:
    with pytest.raises(InputError) as caught:
        bench_answer(Typed({"speeds": speeds}, "metric"))
    assert caught.value.field == "speeds"
