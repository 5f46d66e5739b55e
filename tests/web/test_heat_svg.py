"""A cook drawn: lines inside the frame, told apart without colour, no styles on elements."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from django.template import engines

from files.logger_files import cook as invented
from pinset.services.cooks.heat_lines import HeatLine, HeatLines, lines_of_log
from pinset.services.cooks.judge.judging import judge_file, read_rule
from pinset.web.formats import shown_in
from pinset.web.heat_svg import HIGH, WIDE, Drawing, drawn
from web.cooked import log_bytes

COOK = invented(361)
NAMES = {"chamber": "the chamber", "middle": "core, middle: some help by vapour"}


def lines(rule: str = "f0=15") -> HeatLines:
    judged, log = judge_file(log_bytes(), "cook.csv", read_rule(rule))
    return lines_of_log(log, judged)


def page(drawing: Drawing) -> str:
    template = engines["jinja2"].env.get_template("parts/heat_chart.html")  # type: ignore[attr-defined]
    return str(template.render(drawing=drawing))


def rising(name: str, late: float = 0.0) -> HeatLine:
    return HeatLine(name, "core", (((0.0, 20.0 + late), (180.0, 121.0)),), is_probe=True)


def test_everything_lies_inside_the_frame() -> None:
    drawing = drawn(lines(), {"chamber": "chamber"}, "Long enough.")
    for stroke in drawing.strokes:
        for point in stroke.points.split():
            across, down = map(float, point.split(","))
            assert 0.0 <= across <= WIDE
            assert 0.0 <= down <= HIGH
    assert len({stroke.shape for stroke in drawing.strokes}) == 2
    assert len(drawing.areas) == 1


def test_readings_off_the_scale_stay_inside_the_frame() -> None:
    wild = HeatLine("core", "core", (((0.0, -200.0), (5.0, 900.0)),))
    [stroke] = drawn(HeatLines((wild,)), {}, "").strokes
    assert all(0.0 <= float(point.split(",")[1]) <= HIGH for point in stroke.points.split())


def test_enough_is_where_f0_is_reached() -> None:
    found = lines()
    rate = 10.0 ** ((COOK.core_c - 121.1) / 10.0)
    earned = ((rate[1:] + rate[:-1]) / 2).cumsum()
    assert found.enough_min == pytest.approx(float((earned >= 15.0).argmax()) + 1.0, abs=1.0)
    assert drawn(lines("f0=5000"), {}, "").enough is None
    enough = drawn(found, {}, "").enough
    assert enough is not None
    assert enough.label == f"{found.enough_min:.0f}\u00a0min"


def test_many_probes_are_told_apart_by_letters() -> None:
    """Dashes repeat after three; each line has its own letter, on it and in the key."""
    drawing = drawn(HeatLines(tuple(rising(f"bag {n}", n) for n in range(30))), {}, "")
    letters = [mark.letter for mark in drawing.letters]
    assert len(set(letters)) == 30
    assert [entry.letter for entry in drawing.key] == letters
    assert letters[:2] == ["A", "B"]
    assert letters[26] == "A2"
    assert len({mark.x for mark in drawing.letters}) == 30


def test_a_probe_keeps_the_name_it_has_in_the_file() -> None:
    drawing = drawn(HeatLines((rising("middle"), HeatLine("middle", "core", ()))), NAMES, "")
    assert [entry.name for entry in drawing.key] == ["middle", NAMES["middle"]]


def test_a_lone_reading_is_a_dot() -> None:
    line = HeatLine("core", "core", (((10.0, 40.0),), ((20.0, 60.0),)), is_ruling=True)
    drawing = drawn(HeatLines((line,)), {}, "")
    assert drawing.strokes == ()
    assert len(drawing.dots) == 2
    assert page(drawing).count("<circle") == 2


def test_the_table_says_what_is_drawn() -> None:
    found = lines()
    drawing = drawn(found, {}, "Long enough.")
    assert drawing.has_earned
    heads, rows = drawing.heads, drawing.rows
    assert len(rows) >= 4
    assert all(len(cells) == len(heads) + 1 for _, cells in rows)
    pieces = ((0.0, 20.0), (50.0, 40.0)), ((70.0, 50.0), (120.0, 100.0), (180.0, 121.0))
    gapped = drawn(HeatLines((HeatLine("core", "core", pieces),)), {}, "").rows
    assert [cells[0] for _, cells in gapped] == ["20 °C", "", "100 °C", "121 °C"]


def test_degrees_are_the_farms() -> None:
    with shown_in("us"):
        drawing = drawn(lines(), {}, "")
    assert any("F" in tick.label for tick in drawing.up)
    assert all("F" in cells[0] for _, cells in drawing.rows)


def test_nothing_known_is_no_fault() -> None:
    empty = drawn(HeatLines((HeatLine("core", "core", ()),)), {}, "")
    assert empty.strokes == ()
    assert "<svg" in page(empty)


def test_the_part_has_classes_only_and_a_title() -> None:
    """The pages' content policy refuses styles on elements and scripts."""
    html = page(drawn(lines("f0=15,hold=115/20"), NAMES, 'Long enough: "core" <1>.'))
    assert not re.search(r"\sstyle\s*=|<style|<script|\son\w+=", html)
    svg = ET.fromstring(html[html.index("<svg") : html.index("</svg>") + 6])  # noqa: S314  (ours)
    title = svg.find("title")
    assert title is not None
    assert title.text == 'Long enough: "core" <1>.'
    assert (svg.get("role"), svg.get("aria-labelledby")) == ("img", title.get("id"))
    assert not [each for each in svg.iter() if "fill" in each.attrib or "stroke" in each.attrib]
    assert "longest hold of the slowest core" in html


def test_a_page_stays_small_whatever_the_log() -> None:
    noise = np.random.default_rng(5).normal(60.0, 5.0, (8, 300))
    many = tuple(
        HeatLine(f"bag {n}", "core", (tuple(zip(range(300), row.tolist(), strict=True)),))
        for n, row in enumerate(noise)
    )
    assert len(page(drawn(HeatLines(many), {}, ""))) < 60_000
