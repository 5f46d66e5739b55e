"""An independent program on the same records: the package glmm 0.6.2 (LGPL, tests only)."""

from __future__ import annotations

from typing import Any

import glmm
import numpy as np
import pytest

from learning.incidence.data_sets import cbpp
from learning.incidence.invented_farm import farm
from pinset.learning.incidence.inputs import Records
from pinset.learning.incidence.links import Link
from pinset.learning.incidence.maximum import maximum


def other(made: Records, fixed: str = "1", **more: Any) -> Any:
    """Return the other program's fit of the plain model."""
    columns: dict[str, Any] = {"share": made.lost / made.risk}
    for factor in made.factors:
        columns[factor.name] = np.array(factor.levels)[factor.of_lot]
    columns |= dict(zip(made.columns, made.design.T, strict=True))
    groups = " + ".join(f"(1 | {factor.name})" for factor in made.factors)
    return glmm.fit(columns, f"share ~ {fixed} + {groups}", "binomial", weights=made.risk,
                    link=made.link.value, **more)  # fmt: skip


@pytest.mark.parametrize("link", Link)
def test_plain_model_of_an_invented_farm(link: Link) -> None:
    made = farm(21, 400, 50, link=link, delayed=False, lot_sd=0.0).records
    ours, theirs = maximum(made), other(made)
    assert theirs.converged
    assert ours.log_likelihood == pytest.approx(theirs.loglik, rel=1e-6)
    assert ours.fixed == pytest.approx(theirs.beta, abs=1e-3)


def test_delay_as_an_offset() -> None:
    made = farm(22, 400, 50, lot_sd=0.0).records
    ours, theirs = maximum(made), other(made, offset=made.log_showing)
    assert ours.log_likelihood == pytest.approx(theirs.loglik, rel=1e-6)
    assert ours.fixed == pytest.approx(theirs.beta, abs=1e-3)


def test_cattle() -> None:
    ours, theirs = maximum(cbpp()), other(cbpp(), "period2 + period3 + period4")
    assert ours.log_likelihood == pytest.approx(theirs.loglik, rel=1e-7)
    assert ours.fixed == pytest.approx(theirs.beta, abs=1e-4)
    assert ours.standard_errors == pytest.approx(theirs.se, rel=0.03)
