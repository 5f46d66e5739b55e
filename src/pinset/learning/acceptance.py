"""Sampling plans for units bought in: how many to look at, and how many bad ones to put up with.

Single plans at normal inspection by lot size, inspection level and acceptable quality limit. They
protect the seller at that limit, not the buyer below it: one's own spawn is better judged by
`checked_units`.
"""

from __future__ import annotations

from dataclasses import dataclass

from scipy.special import bdtr

from pinset.errors import InputError

_LETTERS = "ABCDEFGHJKLMNPQR"
_SIZES = (2, 3, 5, 8, 13, 20, 32, 50, 80, 125, 200, 315, 500, 800, 1250, 2000)
LIMITS_PERCENT = (
    *(0.010, 0.015, 0.025, 0.040, 0.065, 0.10, 0.15, 0.25, 0.40),
    *(0.65, 1.0, 1.5, 2.5, 4.0, 6.5, 10.0),
)
_ACCEPT = (0, None, None, 1, 2, 3, 5, 7, 10, 14, 21)  # by columns right of the letter's own 0
_UP, _DOWN = 1, 2  # of those, where an arrow leads to the plan before or after
_LOTS = (8, 15, 25, 50, 90, 150, 280, 500, 1200, 3200, 10_000, 35_000, 150_000, 500_000)
_LEVELS = {
    "S-1": "AAAABBBBCCCCDDD",
    "S-2": "AAABBBCCCDDDEEE",
    "S-3": "AABBCCDDEEFFGGH",
    "S-4": "AABCCDEEFGGHJJK",
    "I": "AABCCDEFGHJKLMN",
    "II": "ABCDEFGHJKLMNPQ",
    "III": "BCDEFGHJKLMNPQR",
}
"""Letters by lot size, level by level: the standard's table 1, from memory but for the rows that
the tests check."""


@dataclass(frozen=True, slots=True)
class AcceptancePlan:
    """A single sampling plan."""

    letter: str  # whose plan it is, after arrows
    check: int  # units to look at
    accept: int  # at most so many bad ones: take the lot
    refuse: int  # from so many on: refuse it

    def chance_to_accept(self, share: float) -> float:
        """Return the chance that a lot with such a share of bad units is taken (binomial)."""
        if not 0.0 <= share <= 1.0:
            raise InputError("share of bad units", share, "from 0 to 1")
        return float(bdtr(self.accept, self.check, share))


def size_letter(units: int, level: str = "II") -> str:
    """Return the code letter of a lot's size.

    Raises
    ------
    InputError
        If the lot has fewer than 2 units, or the level is none of the standard's seven.
    """
    if units < 2:  # noqa: PLR2004 - the standard's smallest lot
        raise InputError("units of the lot", units, "2 or more")
    if level not in _LEVELS:
        raise InputError("inspection level", level, f"one of {', '.join(_LEVELS)}")
    return _LEVELS[level][sum(units > most for most in _LOTS)]


def acceptance_plan(units: int, limit_percent: float, level: str = "II") -> AcceptancePlan:
    """Return the single plan at normal inspection.

    Parameters
    ----------
    units : int
        Of the lot, 2 or more.
    limit_percent : float
        Acceptable quality limit, in percent bad: 0.010 to 10 in the standard's steps.
    level : str
        General level I, II or III, or special level S-1 to S-4.

    Raises
    ------
    InputError
        If the lot is too small, the level unknown, or the limit not one of the standard's.

    Notes
    -----
    ISO 2859-1, tables 1 and 2-A. Table 2-A repeats along its diagonals, so it is kept as that
    rule: from the column whose limit a letter meets with no bad unit, the next leads to the
    letter before, the one after to the letter behind, then 1, 2, 3, 5, 7, 10, 14, 21 are put up
    with. An arrow's plan is taken whole: its size, too.
    """
    if limit_percent not in LIMITS_PERCENT:
        named = ", ".join(f"{each:g}" for each in LIMITS_PERCENT)
        raise InputError("acceptable quality limit", limit_percent, f"one of {named} (percent)")
    letter = _LETTERS.index(size_letter(units, level))
    column = LIMITS_PERCENT.index(limit_percent)
    while True:
        right = column - (len(LIMITS_PERCENT) - 2 - letter)
        first, last = letter == 0, letter + 1 == len(_LETTERS)
        if right < 0 or (right == _DOWN and not last) or (right == _UP and first):
            letter += 1
        elif right in {_UP, _DOWN} or right >= len(_ACCEPT):
            letter -= 1
        else:
            break
    accept = _ACCEPT[right] or 0
    return AcceptancePlan(_LETTERS[letter], min(_SIZES[letter], units), accept, accept + 1)
