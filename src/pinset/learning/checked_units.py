"""How many units of a lot to check: what finding none among them is worth.

A clean check shows that few are bad, never that none is; and only as far as what is bad would
have shown by now. So each answer takes the chance that a bad unit is seen when it is looked at.
"""

from __future__ import annotations

from math import ceil, log, log1p

import numpy as np
from scipy.special import gammaln

from pinset.errors import InputError


def _checked(units: int, bad: int, check: int, seen: float) -> None:
    if units < 1:
        raise InputError("units of the lot", units, "1 or more")
    if not 0 <= bad <= units:
        raise InputError("bad units", bad, f"from 0 to {units}")
    if not 0 <= check <= units:
        raise InputError("units to check", check, f"from 0 to {units}")
    if not 0.0 <= seen <= 1.0:
        raise InputError("chance that a bad unit is seen", seen, "from 0 to 1")


def chance_of_none_found(units: int, bad: int, check: int, *, seen: float = 1.0) -> float:
    """Return the chance that a check finds nothing though so many are bad.

    Parameters
    ----------
    units, bad, check : int
        Units of the lot, bad ones among them, and units checked, drawn blindly.
    seen : float
        Chance that a bad unit that is checked is seen as bad, from 0 to 1: the share that has
        shown by its age, for one.

    Raises
    ------
    InputError
        If a count is out of its range, or the chance is not one.

    Notes
    -----
    Hypergeometric in the bad units drawn, each seen by itself with that chance.
    """
    _checked(units, bad, check, seen)
    drawn = np.arange(max(0, check + bad - units), min(bad, check) + 1)
    logs = _log_choose(bad, drawn) + _log_choose(units - bad, check - drawn)
    mass = np.exp(logs - _log_choose(units, np.array(check)))
    return float(min((mass * (1.0 - seen) ** drawn).sum(), 1.0))


def _log_choose(of: int, k: np.ndarray) -> np.ndarray:
    return np.asarray(gammaln(of + 1.0) - gammaln(k + 1.0) - gammaln(of - k + 1.0))


def units_to_check(
    units: int, bad: int, *, assurance: float = 0.95, seen: float = 1.0
) -> int | None:
    """Return the fewest units to check so that so many bad ones would hardly be missed.

    Parameters
    ----------
    units, bad : int
        Units of the lot, and the bad ones that must not be missed, 1 or more.
    assurance : float
        Chance that at least one is found if so many are bad, between 0 and 1.
    seen : float
        Chance that a bad unit that is checked is seen as bad.

    Returns
    -------
    int or None
        None where not even checking all of them gives that assurance: too few would have shown.

    Raises
    ------
    InputError
        If a number is out of its range.

    Notes
    -----
    Exact. The usual hand formula (Cannon and Roe 1982, memory) can be one too many.
    """
    _checked(units, bad, 0, seen)
    if bad < 1:
        raise InputError("bad units", bad, f"from 1 to {units}")
    if not 0.0 < assurance < 1.0:
        raise InputError("assurance", assurance, "between 0 and 1, say 0.95")
    missed = 1.0 - assurance + 1e-12
    if chance_of_none_found(units, bad, units, seen=seen) > missed:
        return None
    low, high = 0, units
    while high - low > 1:
        middle = (low + high) // 2
        if chance_of_none_found(units, bad, middle, seen=seen) > missed:
            low = middle
        else:
            high = middle
    return high


def units_to_check_of_many(share: float, *, assurance: float = 0.95, seen: float = 1.0) -> int:
    """Return the fewest units to check of a lot so large that its size does not matter.

    Parameters
    ----------
    share : float
        Bad units that must not be missed, as a share between 0 and 1.
    assurance, seen : float
        As in `units_to_check`; `seen` above 0.

    Raises
    ------
    InputError
        If a number is out of its range.
    """
    if not 0.0 < share < 1.0:
        raise InputError("share of bad units", share, "between 0 and 1")
    if not 0.0 < seen <= 1.0:
        raise InputError("chance that a bad unit is seen", seen, "above 0, up to 1")
    if not 0.0 < assurance < 1.0:
        raise InputError("assurance", assurance, "between 0 and 1, say 0.95")
    return ceil(log(1.0 - assurance) / log1p(-share * seen) - 1e-9)


def worth_of_clumped(check: int, clumping: float) -> float:
    """Return how many units drawn here and there a check of neighbours is worth.

    Parameters
    ----------
    check : int
        Units checked, all of one rack or bag stack.
    clumping : float
        Correlation between them, from 0 to 1.

    Raises
    ------
    InputError
        If a number is out of its range.

    Notes
    -----
    Kish's design effect, 1 + (n - 1) rho.
    """
    if check < 1:
        raise InputError("units to check", check, "1 or more")
    if not 0.0 <= clumping <= 1.0:
        raise InputError("clumping", clumping, "from 0 to 1")
    return check / (1.0 + (check - 1) * clumping)


def assurance_of_clean(units: int, bad: int, check: int, *, seen: float = 1.0) -> float:
    """Return the chance that a check would have found at least one of so many bad units."""
    return 1.0 - chance_of_none_found(units, bad, check, seen=seen)
