"""What is left over goes where it brings most: by hand, and against every way there is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from itertools import product
from math import inf
from random import Random

import pytest

from pinset.planning.outlets.allotment import allot, is_way, planned_surplus, worth
from pinset.planning.outlets.surplus import Crop, WhyLeft
from pinset.planning.outlets.visits import Visit
from pinset.planning.problem import IN_STORE, Problem

MONDAY = date(2026, 3, 16)
PROBLEM = Problem(MONDAY, 28, 0, ())
KG = 1000.0


def sent(crops: Sequence[Crop], visits: Sequence[Visit]) -> dict[tuple[int, int], float]:
    flows, gap = allot(crops, visits)
    assert gap == 0.0
    return {(flow.crop, flow.visit): round(flow.grams, 3) for flow in flows}


def test_a_kilogram_goes_where_it_brings_most_while_it_keeps() -> None:
    """Wednesday pays more than Tuesday, and takes 3 kg; Friday pays most, when all is too old."""
    crops = [Crop("oyster", 0, 3, 5000.0)]
    visits = [
        Visit("tue", 1, 1, {"oyster": 800.0}),
        Visit("wed", 2, 2, {"oyster": 1000.0}, most=3000.0),
        Visit("fri", 4, 4, {"oyster": 2000.0}),
    ]
    assert sent(crops, visits) == {(0, 1): 3000.0, (0, 0): 2000.0}


def test_what_is_picked_after_the_packing_is_not_in_it() -> None:
    crops = [Crop("oyster", 1, 6, 5000.0), Crop("oyster", IN_STORE, 2, 400.0)]
    early = Visit("stall", 1, 0, {"oyster": 800.0})
    assert sent(crops, [early]) == {(1, 0): 400.0}
    today = Visit("stall", 0, IN_STORE, {"oyster": 800.0})
    assert sent(crops, [today]) == {(1, 0): 400.0}


def test_a_least_that_is_not_reached_gets_nothing() -> None:
    """4 kg: the drier wants 5, so the soup day has them, though a dried kilogram brings more."""
    crops = [Crop("oyster", 0, 3, 4000.0)]
    drier = Visit("drier", 1, 1, {"oyster": 900.0}, least=5000.0)
    soup = Visit("soup", 2, 2, {"oyster": 300.0})
    assert sent(crops, [drier, soup]) == {(0, 1): 4000.0}
    assert sent([*crops, Crop("oyster", 1, 5, 1000.0)], [drier, soup]) == {
        (0, 0): 4000.0,
        (1, 0): 1000.0,
    }


def test_a_least_may_be_worth_taking_from_a_better_payer() -> None:
    """8 kg. The stall pays 10 for up to 5 kg; the kitchen pays 9 from 4 kg on: 4 and 4."""
    crops = [Crop("oyster", 0, 3, 8000.0)]
    stall = Visit("stall", 1, 1, {"oyster": 1000.0}, most=5000.0)
    kitchen = Visit("kitchen", 2, 2, {"oyster": 900.0}, least=4000.0)
    assert sent(crops, [stall, kitchen]) == {(0, 0): 4000.0, (0, 1): 4000.0}


def test_what_brings_nothing_is_given_rather_than_thrown_away_and_fresh() -> None:
    crops = [Crop("oyster", 0, 3, 1000.0)]
    gift = [Visit("gift", day, day, {"oyster": 0.0}) for day in (2, 1, 3)]
    assert sent(crops, gift) == {(0, 1): 1000.0}


def test_why_nobody_takes_it_is_said() -> None:
    crops = [
        Crop("shiitake", 0, 9, 700.0),
        Crop("lion", 0, 1, 800.0),
        Crop("oyster", 0, 3, 900.0),
        Crop("grey", 0, 3, 6000.0),
    ]
    visits = [
        Visit("a", 2, 2, {"lion": 1000.0}),
        Visit("b", 3, 3, {"oyster": 1000.0}, least=1000.0),
        Visit("c", 3, 3, {"grey": 1000.0}, most=4500.0),
    ]
    found = planned_surplus(PROBLEM, crops, visits)
    assert [(s.outlet, s.day, s.variety, s.grams, s.cents) for s in found.shares] == [
        ("c", MONDAY + timedelta(days=3), "grey", pytest.approx(4500.0), pytest.approx(4500.0))
    ]
    assert {(n.variety, n.last_day.day, round(n.grams), n.why) for n in found.not_taken} == {
        ("shiitake", 25, 700, WhyLeft.NOBODY),
        ("lion", 17, 800, WhyLeft.CLOSED),
        ("oyster", 19, 900, WhyLeft.LEAST),
        ("grey", 19, 1500, WhyLeft.FULL),
    }
    assert planned_surplus(PROBLEM, (), visits).not_taken == ()
    assert [each.why for each in planned_surplus(PROBLEM, crops[:1], ()).not_taken] == [
        WhyLeft.NOBODY
    ]


def drawn(random: Random) -> tuple[list[Crop], list[Visit]]:
    """Return whole kilograms of two varieties and visits on six days."""
    crops = [
        Crop(random.choice("ab"), day := random.randint(IN_STORE, 3), day + random.randint(0, 3),
             random.randint(1, 3) * KG)
        for _ in range(random.randint(1, 3))
    ]  # fmt: skip
    visits = []
    for number in range(random.randint(1, 3)):
        day = random.randint(0, 5)
        least = random.choice([0, 0, 1, 2, 3, 4])
        most = random.choice([inf, least + random.randint(1, 3)])
        cents = {v: float(random.randint(0, 9) * 100) for v in random.choice(["a", "b", "ab"])}
        packed = day - random.randint(0, 1)
        visits.append(Visit(f"o{number}", day, packed, cents, least * KG, most * KG))
    return crops, visits


def ways_of(crop: Crop, visits: Sequence[Visit]) -> Iterator[Mapping[int, int]]:
    """Yield every way to share a picking out among visits in whole kilograms."""
    open_to = [v for v, visit in enumerate(visits) if is_way(crop, visit)]
    whole = round(crop.grams / KG)
    for parts in product(range(whole + 1), repeat=len(open_to)):
        if sum(parts) <= whole:
            yield dict(zip(open_to, parts, strict=True))


def best(crops: Sequence[Crop], visits: Sequence[Visit]) -> float:
    """Return the most that any way brings.

    With leasts, mosts and pickings in whole kilograms some best way is in whole kilograms: for a
    given choice of visits it is a flow in a network.
    """
    most = 0.0
    for chosen in product(*(list(ways_of(crop, visits)) for crop in crops)):
        got = [sum(way.get(v, 0) for way in chosen) * KG for v in range(len(visits))]
        if all(
            g == 0 or visit.least <= g <= visit.most for g, visit in zip(got, visits, strict=True)
        ):
            brings = sum(
                kilograms * worth(crop, visits[v])
                for crop, way in zip(crops, chosen, strict=True)
                for v, kilograms in way.items()
            )
            most = max(most, brings)
    return most


@pytest.mark.parametrize("seed", range(60))
def test_no_other_way_brings_more(seed: int) -> None:
    crops, visits = drawn(Random(seed))
    flows, gap = allot(crops, visits)
    assert gap == 0.0
    left = [crop.grams for crop in crops]
    got = [0.0 for _ in visits]
    brings = 0.0
    for flow in flows:
        assert is_way(crops[flow.crop], visits[flow.visit])
        left[flow.crop] -= flow.grams
        got[flow.visit] += flow.grams
        brings += flow.grams / KG * worth(crops[flow.crop], visits[flow.visit])
    assert min(left) >= -1e-3
    for grams, visit in zip(got, visits, strict=True):
        assert grams == 0.0 or visit.least - 1e-3 <= grams <= visit.most + 1e-3
    assert brings == pytest.approx(best(crops, visits), rel=2e-6, abs=1e-3)
