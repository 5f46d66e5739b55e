"""What a reader of a fit should know before reading its numbers."""

from __future__ import annotations

import numpy as np

from pinset.errors import Finding, RefusedError, Severity
from pinset.learning.incidence.model import Model

ALL_LOST = "all-lost"
"""Id of the finding that nothing was clean."""

SLOW_WORK = 3e9
"""Multiplications of one step above which a fit is said to be slow: about a second a step."""

ENDLESS_WORK = 1e12
"""Multiplications of one step above which a fit is refused: hours."""


def refuse_endless(model: Model) -> None:
    """Refuse a fit that would not end in reasonable time.

    Raises
    ------
    RefusedError
        If one step takes more than :data:`ENDLESS_WORK` multiplications.
    """
    if model.order.shape.work() > ENDLESS_WORK:
        raise RefusedError(
            f"{len(model.order.number)} suspects meet in lots made far apart in time; finding "
            "which of them matter would take hours.",
            "Take a shorter history, or fewer kinds of suspects.",
        )


def doubts(model: Model, *, settled: bool) -> tuple[Finding, ...]:
    """Return what speaks against trusting a fit, all at once."""
    data = model.records
    found: list[Finding] = []
    if data.left_out:
        found.append(
            Finding(
                "incidence.rows-left-out",
                Severity.WARNING if data.lost_left_out else Severity.NOTE,
                "looks",
                f"{data.left_out} looks tell nothing (nobody at risk, or too early to see "
                f"anything) and are left out, with {data.lost_left_out} contaminated vessels.",
            )
        )
    lost, risk = data.lost.sum(), data.risk.sum()
    if risk == 0.0:
        found.append(_note("nothing-seen", "No look says anything yet.", "Look at the lots."))
    elif lost == 0.0:
        found.append(_note("all-clean", "Nothing was contaminated: there is nothing to compare."))
    elif lost == risk:
        found.append(_note(ALL_LOST, "Every vessel was lost: there is nothing to compare."))
    told = np.zeros(data.lots, bool)
    told[data.lot] = True
    if told.sum() == 1:
        found.append(_note("one-lot", "All is known from one lot: no suspect can be told apart."))
    for factor in data.factors:
        met = np.unique(factor.of_lot[told])
        if (met >= 0).sum() == 1 and told.sum() > 1:
            sentence = f"All lots share one level of {factor.name}: it cannot be told from chance."
            found.append(_note("one-level", sentence, "", factor.name))
    if model.order.shape.work() > SLOW_WORK:
        found.append(
            Finding(
                "incidence.far-apart",
                Severity.WARNING,
                "lots",
                f"Suspects meet in lots made far apart in time, so {len(model.order.number)} of "
                "them must be weighed all against all; this takes long.",
                "Check the days on which lots were made, or take a shorter history.",
            )
        )
    if not settled:
        found.append(
            Finding(
                "incidence.not-settled",
                Severity.WARNING,
                "fit",
                "How much suspects differ could not be settled; read the ranges with care.",
            )
        )
    return tuple(found)


def _note(name: str, sentence: str, hint: str = "", record: str = "looks") -> Finding:
    """Return a note."""
    return Finding(f"incidence.{name}", Severity.NOTE, record, sentence, hint)
