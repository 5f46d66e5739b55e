"""The demo's draws mean by a route's numbers what the plan means by them."""

from dataclasses import replace
from datetime import date
from itertools import count
from math import exp, log
from statistics import fmean, stdev

import numpy as np
import pytest

from demo.history import TODAY
from pinset.chain.lotcode import encode
from pinset.chain.register import Flush, Spread, StepKind
from pinset.demo import growing
from pinset.demo.lots import Lot
from pinset.demo.nature import Nature
from pinset.demo.rhythm import route_of
from pinset.demo.shed import opening_book
from pinset.demo.truth import planned_truth
from pinset.demo.world import World, new_world
from pinset.planning.building.step_numbers import DEFAULT_SAFETY, curve_of

DAY = date(2025, 3, 3)
LOTS, UNITS = 4000, 50


def world() -> World:
    truth = planned_truth(1, TODAY)
    nature = Nature(truth, np.random.default_rng(5))
    return new_world(opening_book(truth.start), truth, nature, (encode(n) for n in count()))


def test_the_yield_of_lots_has_its_mode_where_the_route_says() -> None:
    """Textbook: a lognormal whose logarithm has mean m and spread s has its mode at e^(m - s2)."""
    here = world()
    book = here.book
    step = route_of(book, book.varieties[0]).steps[-1]
    drawn = [here.nature.lot_yield(step) for _ in range(LOTS)]
    logs = [log(each) for each in drawn]
    sd = stdev(logs)
    assert sd == pytest.approx(step.yield_spread, rel=0.05)
    assert exp(fmean(logs) - sd**2) == pytest.approx(1.0, abs=0.02)
    assert fmean(drawn) == pytest.approx(exp(1.5 * step.yield_spread**2), abs=0.02)


def test_a_room_bears_and_loses_what_the_plan_expects_of_it() -> None:
    """Lots in a grow room, drawn: what is left before each flush times what it brings."""
    here = world()
    book = here.book
    variety = book.varieties[0]
    route = route_of(book, variety)
    step = replace(
        next(each for each in route.steps if each.kind is StepKind.FRUIT),
        loss=Spread(0.2, 0.3, 0.4),  # of no concern: the flushes say what is lost
        flushes=(
            Flush(Spread(0, 0, 0), 0.6, 2, 0.10),
            Flush(Spread(8, 10, 12), 0.4, 2, 0.30),
        ),
    )
    grams = [0.0, 0.0]
    for number in range(LOTS // 10):
        lot = Lot(
            code=f"L{number}", variety=variety.code, route=route, step=step, made_on=DAY,
            made=UNITS, alive=UNITS, place="", temperature_c=16.0, culture="", generation=0,
            transfers=0, since=DAY, ready_on=DAY,
        )  # fmt: skip
        growing.begin(here, lot, step, DAY)
        for flush in lot.flushes:
            gone = sum(1 for day, _ in lot.going if day <= flush.days[0][0])
            grams[flush.number - 1] += (UNITS - gone) * sum(each for _, each in flush.days)
    planned = curve_of(step, replace(variety, trim_loss=0.0), DEFAULT_SAFETY)
    for flush_number, drawn in enumerate(grams, start=1):
        expected = sum(each.grams for each in planned if each.flush == flush_number)
        assert drawn / (LOTS // 10 * UNITS) == pytest.approx(expected, rel=0.04)
