"""What a check of a lot is held against: what it lost so far, and the custom for bought units."""

from __future__ import annotations

from pinset.farm.queries.lots import LotRow
from pinset.learning.acceptance import LIMITS_PERCENT, acceptance_plan
from pinset.learning.intervals import wilson
from pinset.services.words import plural

FEWEST = 2
"""Units of the smallest lot the custom speaks of."""

MUCH = 3.0
"""So many times the quality limit is what a buyer would mind; our own choice."""


def lost_so_far(row: LotRow) -> str:
    """Return what was lost of a lot so far, with the range of its share; empty: nothing to tell.

    The range is Wilson's and takes units as independent, which those of one lot are only in part.
    """
    made, lost = row.counts.made, row.counts.lost
    if not 0 < lost <= made:
        return ""
    share = wilson(lost, made)
    return (
        f"So far {lost} of {plural(made, 'unit')} were lost: in the long run "
        f"{100.0 * share.low:.0f} to {100.0 * share.high:.0f} of 100 (95 % range, as if units "
        "were independent), and what has not shown yet comes on top."
    )


def delivery_check(row: LotRow, units: int, bad_percent: float) -> str:
    """Return the customary check of bought units by ISO 2859-1; empty for the farm's own.

    Parameters
    ----------
    row : LotRow
        The lot.
    units : int
        That stand there.
    bad_percent : float
        Share of bad units that must not be missed. The standard's nearest quality limit not
        above it is taken, 0.65 at the least. [%]
    """
    if not row.bought_from or units < FEWEST:
        return ""
    limit = max((each for each in LIMITS_PERCENT if each <= bad_percent), default=0.65)
    limit = max(limit, 0.65)
    plan = acceptance_plan(units, limit)
    bad = min(1.0, MUCH * limit / 100.0)
    usual, many = (100.0 * plan.chance_to_accept(each) for each in (limit / 100.0, bad))
    return (
        f"It was bought from {row.bought_from}. The custom between seller and buyer (ISO 2859-1, "
        f"level II, quality limit {limit:g} %) looks over {plan.check}, takes it with up to "
        f"{plan.accept} bad and refuses it from {plan.refuse} on. It spares the seller: with "
        f"{limit:g} % bad it is taken {usual:.0f} times of 100, with {100.0 * bad:g} % still "
        f"{many:.0f}, and what has not shown yet is not seen."
    )
