"""Histories of lots, put into the rows and levels that a fit reads."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from pinset.chain.histories import LotHistory, Shared
from pinset.chain.stages import Stage
from pinset.errors import InputError
from pinset.learning.incidence.inputs import Factor, Records, records
from pinset.learning.incidence.links import Floats
from pinset.learning.showing import Mixed

WORK = "work"
"""Name of the factor that holds each variety's step: what is expected, and no suspect."""

_DAY_S = 86_400.0
_SURE = (1e-4, 0.9)  # shares expected by a route are taken between these

Level = tuple[Shared, str]
Work = tuple[str, str]  # variety, step


@dataclass(frozen=True, slots=True, eq=False)
class Told:
    """What a fit reads, and the lots behind it."""

    records: Records
    lots: tuple[LotHistory, ...]  # by their index in the records
    showing: Mapping[Stage, Mixed]

    def seen_share(self) -> Floats:
        """Return the share of what will show that shows by each lot's last look, shape (lots,)."""
        return np.array(
            [float(self.showing[lot.stage].shown_by(lot.last_seen_days)) for lot in self.lots]
        )


def log_rate(share: float) -> float:
    """Return the logarithm of the rate at which a share is lost, its ends kept off.

    Examples
    --------
    >>> round(log_rate(0.02), 3)
    -3.902
    """
    low, high = _SURE
    return float(np.log(-np.log1p(-min(max(share, low), high))))


def told(
    histories: Sequence[LotHistory],
    showing: Mapping[Stage, Mixed],
    expected: Mapping[Work, float],
    predicted: Mapping[Level, float] | None = None,
) -> Told:
    """Return histories as a fit reads them.

    Parameters
    ----------
    histories : sequence of LotHistory
        Of all lots, those nobody looked at included.
    showing : mapping of Stage to Mixed
        How soon contamination shows, for every stage among the lots.
    expected : mapping of Work to float
        Share of units that the route of a variety expects to lose in a step; steps that are not in
        it are taken as like all others.
    predicted : mapping of Level to float, optional
        Logarithm of the rate ratio that physics predicts for a cook or a session.

    Raises
    ------
    InputError
        If it is not known how soon contamination shows in a stage.
    """
    missing = {lot.stage for lot in histories} - set(showing)
    if missing:
        raise InputError("stages", sorted(missing), f"those of {', '.join(sorted(showing))}")
    first = min((lot.made_at for lot in histories), default=None)
    made = [(lot.made_at - first).total_seconds() / _DAY_S if first else 0.0 for lot in histories]
    lot_of, after, until, units, found = [], [], [], [], []
    for at, lot in enumerate(histories):
        for each in lot.seen:
            lot_of.append(at)
            after.append(each.after_days)
            until.append(each.until_days)
            units.append(each.units)
            found.append(each.found)
    index = np.array(lot_of, dtype=np.int64)
    logs = np.zeros(len(index))
    for stage in {lot.stage for lot in histories}:
        here = np.array([histories[at].stage is stage for at in lot_of], dtype=bool)
        start, end = np.array(after)[here], np.array(until)[here]
        logs[here] = showing[stage].log_showing(start, np.maximum(end, start + 1e-9))
    return Told(
        records=records(
            lost=np.array(found, dtype=float),
            risk=np.array(units, dtype=float),
            log_showing=_not_too_early(logs, np.array(found)),
            lot=index,
            made_day=np.array(made),
            factors=_factors(histories, expected, predicted or {}),
            fixed_sd=LEVEL_SD,
        ),
        lots=tuple(histories),
        showing=showing,
    )


LEVEL_SD = 1.0
"""How far a farm's level of losses may lie from that of its routes, as the logarithm's standard
deviation: within a factor of seven either way for 95 of 100 farms; assumed, no source. With it a
farm that has not looked yet is told what its routes expect, and its own looks soon weigh more."""

EARLY = 0.002
"""Share of showing at which a find counts that came before anything should show: kept, as it was
seen, and taken as hardly possible; our own choice."""


def _not_too_early(logs: Floats, found: np.ndarray) -> Floats:
    """Return the logarithms of showing, with finds that came too early kept in."""
    early = (found > 0) & (logs < np.log(EARLY))
    return np.where(early, np.log(EARLY), logs)


def _factors(
    histories: Sequence[LotHistory],
    expected: Mapping[Work, float],
    predicted: Mapping[Level, float],
) -> tuple[Factor, ...]:
    works = sorted({(lot.variety, lot.step) for lot in histories})
    usual = [log_rate(expected[work]) for work in works if work in expected]
    middle = float(np.mean(usual)) if usual else log_rate(0.02)
    numbers = {work: at for at, work in enumerate(works)}
    factors = [
        Factor(
            WORK,
            tuple(f"{variety} {step}" for variety, step in works),
            np.array([numbers[lot.variety, lot.step] for lot in histories], dtype=np.int64),
            np.array([log_rate(expected[w]) if w in expected else middle for w in works]),
        )
    ]
    for shared in Shared:
        levels = sorted({lot.shared[shared] for lot in histories if shared in lot.shared})
        if not levels:
            continue
        place = {level: at for at, level in enumerate(levels)}
        of_lot = [place[lot.shared[shared]] if shared in lot.shared else -1 for lot in histories]
        centres = np.array([predicted.get((shared, level), 0.0) for level in levels])
        factors.append(
            Factor(
                shared.value,
                tuple(levels),
                np.array(of_lot, dtype=np.int64),
                centres if centres.any() else None,
            )
        )
    return tuple(factors)
