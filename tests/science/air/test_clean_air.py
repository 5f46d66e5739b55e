"""Clean rooms: blank cells, sources, clearing and recovery, by an integrator and by properties."""

from __future__ import annotations

import csv
from dataclasses import replace
from math import exp, inf

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from pinset.errors import InputError
from pinset.science.air.classes import SIZES_UM, class_limit, class_reached, sample_litres
from pinset.science.air.helps import Change, by_cost, effects
from pinset.science.air.particles import (
    CleanRoom,
    Source,
    after,
    clearing_time,
    fresh_air_for,
    steady,
    steady_total,
)
from pinset.science.air.people import Clothes, Counted, shed
from pinset.science.air.ranges import Range
from pinset.science.air.recovery import recovery
from science.air.air_rows import FOLDER

OUTSIDE = Range(1.0e7, 3.52e7, 5.0e7)
ROOM = CleanRoom(
    volume_m3=30.0,
    fresh_m3_s=600.0 / 3600.0,
    fresh_passes=3e-4,
    outside_m3=OUTSIDE,
    people=shed(Clothes.OWN, Counted.FINE),
    leak_in_m3_s=20.0 / 3600.0,
    recirculated_m3_s=400.0 / 3600.0,
    recirculated_passes=0.05,
    mixing=1.5,
)
SHARES = st.floats(0.0, 1.0)
FLOWS = st.floats(0.0, 2.0)


def test_every_cell_of_the_table_and_every_blank_one() -> None:
    """ISO 14644-1:2015 table 1, as reproduced at cleanroom.net."""
    with (FOLDER / "data_iso14644_limits.csv").open(newline="", encoding="utf-8") as file:
        for row in csv.DictReader(file):
            for size in SIZES_UM:
                cell = row[f"{size:g}um"]
                wanted = float(cell) if cell else None
                assert class_limit(int(row["class"]), size) == wanted, (row["class"], size)


def test_between_sizes_and_classes_a_limit_is_defined_only_if_it_is_on_both_sides() -> None:
    assert class_limit(5.5, 5.0) is None
    assert class_limit(5, 2.0) is None
    assert class_limit(6.5, 0.3) is None
    between = class_limit(7, 2.0)
    assert between is not None
    assert 2930 < between < 83_200


def test_the_class_reached_is_that_of_the_worst_size() -> None:
    assert class_reached({0.5: 3_520.0}) == 5.0
    assert class_reached({0.5: 3_521.0}) == 5.5
    assert class_reached({0.5: 3_520.0, 5.0: 25_000.0}) == 8.0
    assert class_reached({0.5: 4.0e7}) is None
    assert class_reached({5.0: 0.0}) == 6.0
    assert sample_litres(352_000) == 2.0


def test_the_split_of_the_worked_room() -> None:
    """air.md section 1.3: leak-in 1 135 000, person 206 000, through the filter 10 200 per m3."""
    plain = replace(ROOM, recirculated_m3_s=0.0, outside_m3=Range.exactly(3.52e7))
    found = steady(plain)
    assert found.most is Source.LEAK_IN
    assert found.by_source[Source.LEAK_IN].middle == pytest.approx(1_135_000, rel=1e-3)
    assert found.by_source[Source.PEOPLE].middle == pytest.approx(206_000, rel=1e-3)
    assert found.by_source[Source.FRESH].middle == pytest.approx(10_200, rel=3e-3)
    assert class_reached({0.5: found.total.middle}) == 8.0
    assert found.total.low < found.total.middle < found.total.high


@given(SHARES, SHARES, FLOWS, FLOWS, FLOWS)
def test_the_sources_add_up(p: float, back: float, fresh: float, again: float, leak: float) -> None:
    room = replace(
        ROOM,
        fresh_m3_s=fresh + 0.01,
        fresh_passes=p,
        recirculated_m3_s=again,
        recirculated_passes=back,
        leak_in_m3_s=leak,
    )
    found = steady(room)
    together = sum(share.middle for share in found.by_source.values())
    assert together == pytest.approx(found.total.middle)


@pytest.mark.parametrize("end", [0, 1, 2])
def test_an_integrator_of_the_balance(end: int) -> None:
    people, outside = ROOM.people.ends[end], OUTSIDE.ends[end]

    def slope(_: float, there: list[float]) -> list[float]:
        back = ROOM.recirculated_m3_s * ROOM.recirculated_passes * there[0]
        into = people + (ROOM.fresh_m3_s * ROOM.fresh_passes + ROOM.leak_in_m3_s) * outside + back
        out = (ROOM.fresh_m3_s + ROOM.leak_in_m3_s + ROOM.recirculated_m3_s) * there[0]
        return [(into - out) / (ROOM.volume_m3 * ROOM.mixing)]

    times = np.linspace(0.0, 1800.0, 31)
    theirs = solve_ivp(slope, (0.0, 1800.0), [3.0e7], t_eval=times, rtol=1e-10, atol=1.0)
    assert after(ROOM, 3.0e7, times)[end] == pytest.approx(theirs.y[0], rel=1e-6)


def test_clearing_is_when_the_fall_passes_the_target() -> None:
    target = 2.0 * steady_total(ROOM).high
    found = clearing_time(ROOM, 3.0e8, target)
    there = after(ROOM, 3.0e8, list(found.ends))
    assert [there[0, 0], there[1, 1], there[2, 2]] == pytest.approx([target] * 3)
    assert clearing_time(ROOM, 1.0, 2.0) == Range.exactly(0.0)
    assert clearing_time(ROOM, 3.0e8, 1.0).low == inf


def test_the_air_for_a_target_gives_it() -> None:
    target = 1_000_000.0
    needed = fresh_air_for(ROOM, target)
    middle = replace(ROOM, fresh_m3_s=needed.middle)
    assert steady_total(middle).middle == pytest.approx(target)
    coarse = replace(ROOM, fresh_passes=0.5)
    assert fresh_air_for(coarse, target).middle == inf
    nobody = replace(ROOM, people=Range.exactly(0.0), leak_in_m3_s=0.0)
    assert fresh_air_for(nobody, target) == Range.exactly(0.0)


def test_stopping_the_leak_helps_more_than_a_better_filter() -> None:
    changes = [
        Change("filter", replace(ROOM, fresh_passes=5e-5), 400.0),
        Change("tape", replace(ROOM, leak_in_m3_s=2.0 / 3600.0), 20.0),
        Change("clothes", replace(ROOM, people=shed(Clothes.CLEAN, Counted.FINE))),
    ]
    found = effects(ROOM, changes)
    assert [effect.change.name for effect in found] == ["tape", "clothes", "filter"]
    assert [effect.change.name for effect in by_cost(found)] == ["tape", "filter"]
    assert found[0].times_cleaner.middle > 3.0
    assert found[0].split.by_source[Source.LEAK_IN].middle < 2e5


def test_a_recovery_test_with_a_background_and_scatter() -> None:
    seconds = np.arange(0.0, 1800.0, 60.0)
    rng = np.random.default_rng(2)
    truth = 2_000.0 + 3.0e6 * np.exp(-seconds / 180.0)
    counts = truth * np.exp(rng.normal(0.0, 0.02, seconds.size))
    counts[:1] = 1.0e6  # the burst is still spreading
    found = recovery(list(seconds), list(counts), 2_000.0)
    assert found.per_s.low < 1.0 / 180.0 < found.per_s.high
    assert found.used < seconds.size - 1
    assert found.seconds_for().middle == pytest.approx(180.0 * np.log(100.0), rel=0.02)
    assert found.seconds_for(exp(1.0)).middle == pytest.approx(1.0 / found.per_s.middle)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (lambda: class_limit(0, 0.5), "ISO class"),
        (lambda: class_limit(5.3, 0.5), "whole or half"),
        (lambda: class_limit(5, 10.0), "particle size"),
        (lambda: class_reached({}), "particles"),
        (lambda: class_reached({0.5: -1.0}), "particles"),
        (lambda: sample_litres(0.0), "class limit"),
        (lambda: replace(ROOM, leak_in_m3_s=-1.0), "leak-in"),
        (lambda: replace(ROOM, volume_m3=0.0), "room volume"),
        (lambda: replace(ROOM, fresh_passes=1.1), "share that passes"),
        (lambda: replace(ROOM, mixing=0.5), "mixing"),
        (
            lambda: replace(ROOM, fresh_m3_s=0.0, leak_in_m3_s=0.0, recirculated_m3_s=0.0),
            "clean air",
        ),
        (lambda: clearing_time(ROOM, 1.0, 0.0), "particles"),
        (lambda: after(ROOM, 1.0, [-1.0]), "time"),
        (lambda: fresh_air_for(ROOM, 0.0), "target"),
        (lambda: shed(Clothes.OWN, Counted.FINE, -1), "people"),
        (lambda: recovery([0.0], [1.0]), "two or more"),
        (lambda: recovery([0.0, 1.0], [1.0, -1.0]), "0 or more"),
        (lambda: recovery([0.0, 60.0], [5.0, 5.0], 4.0), "clear of the background"),
        (lambda: recovery([0.0, 60.0], [5.0, 5.0]), "that fall"),
        (lambda: effects(ROOM, [Change("x", ROOM, -1.0)]), "cost"),
    ],
)
def test_what_cannot_be(wrong: object, words: str) -> None:
    with pytest.raises(InputError, match=words):
        wrong()  # type: ignore[operator]
