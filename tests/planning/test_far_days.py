"""A plan with thinned far days is a plan of the whole, held against the whole and its own bound."""

from __future__ import annotations

import pytest

from pinset.planning.building.from_book import build_problem
from pinset.planning.model.model import build_model
from pinset.planning.model.programme import INFINITY, Change, run
from pinset.planning.search import search as searching
from pinset.planning.search.far_days import with_thinned_far_days
from planning.six_varieties import TODAY, six_variety_book, six_variety_stock

GAP = 0.01
THREADS = 2


def a_model(whole_days: int = 5):  # noqa: ANN201  (a Model)
    problem, _ = build_problem(
        six_variety_book(), six_variety_stock(), TODAY, horizon_days=84, whole_days=whole_days
    )
    return build_model(problem)


def test_it_is_a_plan_of_the_whole_and_its_bound_holds() -> None:
    model = a_model()
    lp = model.programme
    found = with_thinned_far_days(model, time_limit_s=60.0, gap=GAP / 2, threads=THREADS)
    assert found.values is not None
    # Held to all its whole numbers, the whole programme costs no more than the thinned one.
    upper, lower = list(lp.upper), list(lp.lower)
    for column, is_whole in enumerate(lp.whole):
        if is_whole:
            lp.lower[column] = lp.upper[column] = float(round(float(found.values[column])))
    held = run(lp, time_limit_s=60.0, gap=0.0, threads=THREADS)
    lp.upper, lp.lower = upper, lower
    assert held.objective <= found.objective * (1.0 + 1e-6)
    # No plan of the whole is below the bound; the whole itself is the peer.
    whole = run(lp, time_limit_s=60.0, gap=GAP / 2, threads=THREADS)
    assert found.bound <= whole.objective * (1.0 + 1e-9)
    assert found.gap == pytest.approx((found.objective - found.bound) / found.objective)


def test_the_farm_is_not_bent_to_find_it() -> None:
    model = a_model()
    lp = model.programme
    before = list(lp.lower), list(lp.upper), list(lp.whole)
    with_thinned_far_days(model, time_limit_s=20.0, gap=0.05, threads=THREADS)
    assert (lp.lower, lp.upper, lp.whole) == before


def test_without_time_it_gives_no_plan_and_no_bound() -> None:
    found = with_thinned_far_days(a_model(21), time_limit_s=0.01, gap=GAP, threads=THREADS)
    assert found.values is None
    assert found.bound == -INFINITY


def test_a_very_large_programme_is_searched_with_thinned_far_days(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    model = a_model(14)
    called: list[float] = []

    def watched(*args, **kwargs):  # noqa: ANN002, ANN003, ANN202
        called.append(kwargs["gap"])
        return with_thinned_far_days(*args, **kwargs)

    monkeypatch.setattr(searching, "VERY_LARGE", 0)
    monkeypatch.setattr(searching, "with_thinned_far_days", watched)
    found = searching.search(model, time_limit_s=90.0, gap=GAP, threads=THREADS)
    assert called == [GAP / 2]
    assert found.gap <= GAP
    relaxed = run(model.programme, time_limit_s=60.0, change=Change(is_relaxed=True))
    assert found.bound >= relaxed.objective * (1.0 - 1e-6)
