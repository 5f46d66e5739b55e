"""The cheapest blend: against exhaustive search, its prices by doing it, and what cannot be met."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from pinset.errors import InputError
from pinset.science.mixing.cheapest import STEPS, NoBlendError, cheapest, without
from pinset.science.mixing.limits import Limit, Of, Offer
from science.mixing.things import BRAN, GYPSUM, SAWDUST, made

SOY = made("soybean hulls", 0.44, 0.0192, ash=0.05, moisture_wet=0.10, is_supplement=True)
STRAW = made("oat straw", 0.45, 0.009, ash=0.07, moisture_wet=0.14)
OFFERS = (
    Offer(SAWDUST, 0.39, 0.06),
    Offer(BRAN, 0.125, 0.32),
    Offer(SOY, 0.10, 0.24),
    Offer(STRAW, 0.14, 0.15, most_share=0.30),
    Offer(GYPSUM, 0.0, 0.40, least_share=0.01),
)
LIMITS = (
    Limit(Of.NITROGEN, 0.006, is_least=True),
    Limit(Of.NITROGEN, 0.010, is_least=False),
    Limit(Of.SUPPLEMENT, 0.20, is_least=False),
)


def cost_of(shares: tuple[float, ...]) -> float:
    return sum(s * o.price_per_kg * o.wet_per_dry for s, o in zip(shares, OFFERS, strict=True))


def test_no_blend_of_a_fine_grid_is_cheaper() -> None:
    found = cheapest(OFFERS, LIMITS, 100.0, 0.62)
    dry = 38.0
    best = np.inf
    steps = np.arange(0.0, 0.305, 0.01)
    for bran, soy, straw in product(steps, steps, steps):
        shares = (0.99 - bran - soy - straw, bran, soy, straw, 0.01)
        nitrogen = sum(
            s * o.ingredient.nitrogen.middle for s, o in zip(shares, OFFERS, strict=True)
        )
        if shares[0] >= 0 and 0.006 <= nitrogen <= 0.010 and bran + soy <= 0.20 + 1e-9:
            best = min(best, cost_of(shares))
    assert found.cost <= best * dry + 1e-9
    assert found.cost >= 0.97 * best * dry  # the grid comes near it
    blend = found.batch.blend
    assert blend.mass_kg == pytest.approx(100.0)
    assert blend.moisture_wet == pytest.approx(0.62)
    assert blend.nitrogen.middle == pytest.approx(0.006)
    assert blend.supplement <= 0.20 + 1e-9


def test_what_a_limit_costs_is_what_loosening_it_saves() -> None:
    limits = (Limit(Of.NITROGEN, 0.008, is_least=True), Limit(Of.RATIO, 70.0, is_least=False))
    offers = tuple(replace(o, stock_kg=4.0) if o.ingredient is SOY else o for o in OFFERS)
    found = cheapest(offers, limits, 100.0, 0.62)
    assert found.costs
    assert [each.saved for each in found.costs] == sorted(
        (each.saved for each in found.costs), reverse=True
    )
    for costs in found.costs:
        small = 1e-3  # of a step: prices hold only near the blend
        limit = costs.limit
        moved = replace(
            limit, value=limit.value + (-1 if limit.is_least else 1) * small * STEPS[limit.of]
        )
        if limit.of is Of.SHARE:
            field = "least_share" if limit.is_least else "most_share"
            new_offers = tuple(
                replace(o, **{field: moved.value}) if o.ingredient.name == limit.name else o
                for o in offers
            )
            new_limits = limits
        elif limit.of is Of.STOCK:
            new_offers = tuple(
                replace(o, stock_kg=moved.value) if o.ingredient.name == limit.name else o
                for o in offers
            )
            new_limits = limits
        else:
            new_offers = offers
            new_limits = tuple(moved if each == limit else each for each in limits)
        saved = found.cost - cheapest(new_offers, new_limits, 100.0, 0.62).cost
        assert saved == pytest.approx(costs.saved * small, rel=1e-3)


def test_no_mix_reaches_it_and_what_the_most_is() -> None:
    limits = (
        Limit(Of.NITROGEN, 0.012, is_least=True),
        Limit(Of.SUPPLEMENT, 0.15, is_least=False),
    )
    offers = (Offer(SAWDUST, 0.39, 0.06), Offer(BRAN, 0.125, 0.32))
    with pytest.raises(NoBlendError) as raised:
        cheapest(offers, limits, 100.0, 0.62)
    found = {each.limit.of: each.best for each in raised.value.reaches}
    assert found[Of.NITROGEN] == pytest.approx(0.85 * 0.0011 + 0.15 * 0.0275)
    assert found[Of.SUPPLEMENT] == pytest.approx((0.012 - 0.0011) / (0.0275 - 0.0011))


def test_the_nearest_ratio() -> None:
    limits = (Limit(Of.RATIO, 30.0, is_least=False), Limit(Of.SUPPLEMENT, 0.15, is_least=False))
    offers = (Offer(SAWDUST, 0.39, 0.06), Offer(BRAN, 0.125, 0.32))
    with pytest.raises(NoBlendError) as raised:
        cheapest(offers, limits, 100.0, 0.62)
    found = {each.limit.of: each.best for each in raised.value.reaches}
    by_hand = (0.85 * 0.495 + 0.15 * 0.45) / (0.85 * 0.0011 + 0.15 * 0.0275)
    assert found[Of.RATIO] == pytest.approx(by_hand)


def test_two_limits_that_only_together_stand_in_the_way_name_neither() -> None:
    limits = (
        Limit(Of.NITROGEN, 0.02, is_least=True),
        Limit(Of.NITROGEN, 0.0001, is_least=False),
        Limit(Of.SUPPLEMENT, 0.1, is_least=False),
    )
    with pytest.raises(NoBlendError) as raised:
        cheapest((Offer(SAWDUST, 0.39, 0.06), Offer(BRAN, 0.125, 0.32)), limits, 100.0, 0.62)
    assert raised.value.reaches == ()


def test_what_is_too_wet_is_ruled_out() -> None:
    wet = made("coffee grounds", 0.51, 0.021, moisture_wet=0.65)
    offers = (Offer(wet, 0.65, 0.0), Offer(SAWDUST, 0.39, 0.06))
    found = cheapest(offers, (), 100.0, 0.60)
    assert 0.0 < found.shares[0] < 1.0
    assert found.batch.water_kg == pytest.approx(0.0, abs=1e-6)
    assert found.batch.blend.moisture_wet == pytest.approx(0.60)


def test_stock_and_an_ingredient_that_ran_out() -> None:
    plenty = cheapest(OFFERS, LIMITS, 100.0, 0.62)
    named = max(
        (p for p in plenty.batch.portions if p.ingredient.is_supplement), key=lambda p: p.mass_kg
    )
    other = without(OFFERS, LIMITS, 100.0, 0.62, named.ingredient.name)
    assert other.cost > plenty.cost
    assert named.ingredient.name not in {p.ingredient.name for p in other.batch.portions}
    half = tuple(
        replace(o, stock_kg=named.mass_kg / 2) if o.ingredient == named.ingredient else o
        for o in OFFERS
    )
    less = cheapest(half, LIMITS, 100.0, 0.62)
    assert plenty.cost < less.cost <= other.cost + 1e-9
    [used] = [p for p in less.batch.portions if p.ingredient == named.ingredient]
    assert used.mass_kg == pytest.approx(named.mass_kg / 2)


def test_wrong_calls_are_refused() -> None:
    for call in (
        lambda: cheapest((), (), 1.0, 0.6),
        lambda: cheapest((OFFERS[0], OFFERS[0]), (), 1.0, 0.6),
        lambda: cheapest(OFFERS, (), 0.0, 0.6),
        lambda: cheapest(OFFERS, (), 1.0, 1.0),
        lambda: Offer(SAWDUST, 0.39, -1.0),
        lambda: Offer(SAWDUST, 0.39, 1.0, least_share=0.5, most_share=0.4),
        lambda: Limit(Of.NITROGEN, float("nan"), is_least=True),
    ):
        with pytest.raises(InputError):
            call()
