"""The builder and the solver against instances whose best value is known.

chain_a, chain_b, chain_c: proved by independent exact forms (each file says how).
ww1958: Wagner & Whitin 1958, Management Science 5(1) 89-96, optimum 864.
"""

from __future__ import annotations

import pytest

from pinset.planning.solve import solve
from planning.chain_instances import chain_problem, read, single_level_problem
from planning.simulator import replay


@pytest.mark.parametrize("name", ["chain_a", "chain_b", "chain_c"])
def test_chain_reaches_the_proved_optimum(name: str) -> None:
    instance = read(name)
    problem = chain_problem(instance)
    plan = solve(problem, time_limit_s=120.0, gap=0.0)
    assert plan.objective == pytest.approx(instance["expected_optimum"], rel=1e-6)
    assert plan.status == "proven"
    result = replay(problem, plan)
    assert result.missing_units == pytest.approx(0.0, abs=1e-6)
    short = sum(each.amount for each in plan.short)
    assert sum(result.short.values()) == pytest.approx(short, abs=0.05)


def test_wagner_and_whitin() -> None:
    instance = read("ww1958")
    plan = solve(single_level_problem(instance), time_limit_s=60.0, gap=0.0)
    assert plan.objective == pytest.approx(instance["best_known"], rel=1e-6)
    assert not plan.short
