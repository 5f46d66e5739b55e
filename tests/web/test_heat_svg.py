"""A cook drawn: lines inside the frame, told apart without colour, ticks by clock or by hours."""

from __future__ import annotations

import pytest

from files.logger_files import cook as invented
from pinset.services.cook_judging import judge_file, read_rule
from pinset.services.heat_lines import HeatLine, HeatLines, lines_of_log
from pinset.web.formats import shown_in
from pinset.web.heat_svg import HIGH, WIDE, drawn
from web.cooked import log_bytes

COOK = invented(361)


def lines(rule: str = "f0=15") -> HeatLines:
    judged, log = judge_file(log_bytes(), "cook.csv", read_rule(rule))
    return lines_of_log(log, judged)


def test_everything_lies_inside_the_frame() -> None:
    drawing = drawn(lines(), {"chamber": "chamber"}, "Long enough.")
    for stroke in drawing.strokes:
        for point in stroke.points.split():
            across, down = map(float, point.split(","))
            assert 0.0 <= across <= WIDE
            assert 0.0 <= down <= HIGH
    assert len({stroke.shape for stroke in drawing.strokes}) == 2
    assert len(drawing.areas) == 1


def test_enough_is_where_f0_is_reached() -> None:
    found = lines()
    rate = 10.0 ** ((COOK.core_c - 121.1) / 10.0)
    earned = ((rate[1:] + rate[:-1]) / 2).cumsum()
    assert found.enough_min == pytest.approx(float((earned >= 15.0).argmax()) + 1.0, abs=1.0)
    assert drawn(lines("f0=5000"), {}, "").enough_at is None


def test_ticks_are_clock_times_if_the_log_has_them() -> None:
    line = HeatLine("core", "core", (((0.0, 20.0), (180.0, 121.0)),), is_ruling=True)
    by_minutes = drawn(HeatLines((line,)), {}, "")
    assert [tick.label for tick in by_minutes.across][:2] == ["0 min", "30 min"]
    long = HeatLine("core", "core", (((0.0, 20.0), (600.0, 121.0)),), is_ruling=True)
    assert [tick.label for tick in drawn(HeatLines((long,)), {}, "").across][:2] == ["0 h", "2 h"]
    by_clock = drawn(HeatLines((line,), started="2026-03-02T10:30:00+00:00"), {}, "")
    assert by_clock.across[0].label == "10:30"


def test_degrees_are_the_farms() -> None:
    with shown_in("us"):
        assert any("F" in tick.label for tick in drawn(lines(), {}, "").up)


def test_nothing_known_is_no_fault() -> None:
    empty = drawn(HeatLines((HeatLine("core", "core", ()),)), {}, "")
    assert empty.strokes == ()
