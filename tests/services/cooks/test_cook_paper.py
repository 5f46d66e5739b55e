"""The record of a cook filled for paper: what is drawn and said, in the farm's units."""

from __future__ import annotations

from datetime import UTC
from io import BytesIO
from zoneinfo import ZoneInfo

import pytest
from pypdf import PdfReader

from pinset.paper.cook_record import CookRecord, cook_pdf
from pinset.services.cooks.heat_lines import HeatLine, HeatLines
from pinset.services.cooks.judge.paper import _inputs
from pinset.services.cooks.judge.paper_chart import paper_chart

CORE = HeatLine("core", "core", (((0.0, 20.0), (180.0, 121.0)),), is_ruling=True)
STARTED = "2026-03-02T09:37:00+00:00"


def others(count: int) -> tuple[HeatLine, ...]:
    return tuple(HeatLine(f"bag {n}", "core", CORE.pieces) for n in range(count))


def test_degrees_are_the_farms() -> None:
    metric = paper_chart(HeatLines((CORE,)), "metric", UTC)
    us = paper_chart(HeatLines((CORE,)), "us", UTC)
    assert metric is not None
    assert us is not None
    assert metric.lines[0].pieces[0][-1] == (180.0, 121.0)
    assert us.lines[0].pieces[0][-1][1] == pytest.approx(249.8), "121 x 1.8 + 32"
    assert [label for _, label in us.up] == ["50 °F", "100 °F", "150 °F", "200 °F", "250 °F"]
    assert us.up[-1][0] == 250.0


def test_times_are_the_farms() -> None:
    shown = paper_chart(HeatLines((CORE,), started=STARTED), "metric", ZoneInfo("Europe/Vienna"))
    assert shown is not None
    assert [label for _, label in shown.across][:2] == ["11:00", "11:30"]
    assert shown.across[0][0] == 23.0


def test_lines_are_told_apart_without_colour() -> None:
    chamber = HeatLine("", "chamber", CORE.pieces)
    shown = paper_chart(HeatLines((chamber, CORE, *others(7))), "metric", UTC)
    assert shown is not None
    told = [(line.dash, line.letter, line.is_ruling) for line in shown.lines]
    assert len(set(told)) == 9
    assert shown.lines[0].name == "chamber"
    assert shown.lines[1].name == "core, the slowest"


def test_nothing_to_draw_is_no_drawing() -> None:
    assert paper_chart(HeatLines(()), "metric", UTC) is None
    assert paper_chart(HeatLines((HeatLine("core", "core", ()),)), "metric", UTC) is None


@pytest.mark.parametrize(
    "lines",
    [
        HeatLines((HeatLine("core", "core", (((0.0, 20.0),),), is_ruling=True),)),
        HeatLines((HeatLine("core", "core", (((5.0, 20.0),), ((7.0, 900.0),))),)),
        HeatLines((CORE,), ((((3.0, 0.5),)),), 179.0),
        HeatLines(others(40), ((((0.0, 0.0), (3.0, 0.005)),)), 0.0),
        HeatLines((HeatLine("core", "core", (((0.0, 60.0), (20_160.0, 61.0)),)),), started=STARTED),
    ],
    ids=["one reading", "two apart", "lone speed", "forty probes", "a fortnight"],
)
def test_what_is_hard_to_draw_is_drawn(lines: HeatLines) -> None:
    """Every name stands in the key, and every point inside the paper."""
    shown = paper_chart(lines, "metric", UTC)
    record = CookRecord("Cook", "", "", "", (), (), (), (), (), (), "", shown)
    words = "\n".join(page.extract_text() for page in PdfReader(BytesIO(cook_pdf(record))).pages)
    for line in lines.lines:
        assert line.name in words
    assert ("enough from here" in words) is (lines.enough_min is not None)


def test_rule_and_method_are_in_the_farms_degrees() -> None:
    judged = {
        "probes": [{}], "altitude_m": 0.0, "minutes": 60.0, "rule": "15 min at 121.1 °C",
        "method": "m", "file": "f", "readings": 1, "digest": "d", "started": "", "layout": (),
    }  # fmt: skip
    said = dict(_inputs(judged, "us", ZoneInfo("UTC")))
    assert said["Rule"] == "15 min at 250.0 °F"
    assert "F0 at 250.0 °F with z = 18.0 °F" in said["Method"]
    assert "z = 10.0 K" in dict(_inputs(judged, "metric", ZoneInfo("UTC")))["Method"]
