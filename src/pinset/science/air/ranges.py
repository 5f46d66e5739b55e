"""Numbers that are known only from a low to a high, carried through to the answer.

What is weakly known (what a block breathes, what a person sheds, which dose a spore survives) is
never one figure here: it is a low, a middle and a high, and so is all that is reckoned from it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import product
from math import isnan

from pinset.errors import InputError
from pinset.tables.air import air_value
from pinset.tables.loader import Value


@dataclass(frozen=True, slots=True)
class Range:
    """A number that lies somewhere from ``low`` to ``high``, most likely near ``middle``.

    Raises
    ------
    InputError
        Unless low <= middle <= high.
    """

    low: float
    middle: float
    high: float

    def __post_init__(self) -> None:
        """Refuse what is in no order."""
        if not self.low <= self.middle <= self.high:
            given = (self.low, self.middle, self.high)
            raise InputError("range", given, "a low, a middle and a high in this order")

    @classmethod
    def exactly(cls, value: float) -> Range:
        """Return a number that is known."""
        return cls(value, value, value)

    @property
    def is_known(self) -> bool:
        """Whether low and high are one number."""
        return self.low == self.high

    @property
    def ends(self) -> tuple[float, float, float]:
        """Low, middle, high."""
        return self.low, self.middle, self.high

    def times(self, factor: float) -> Range:
        """Return so many times each; a factor below 0 turns the ends round."""
        return over(lambda value: value * factor, self)

    def plus(self, other: Range) -> Range:
        """Return the sum with another range that may be anywhere of its own."""
        return Range(self.low + other.low, self.middle + other.middle, self.high + other.high)


@dataclass(frozen=True, slots=True)
class Swing:
    """By how much an answer moves if one thing alone is anywhere in its range."""

    name: str
    answer: Range

    @property
    def width(self) -> float:
        """From the least answer to the most."""
        return self.answer.high - self.answer.low


def over(reckon: Callable[..., float], *known: Range) -> Range:
    """Return what is reckoned from ranges: from the least to the most over all their corners.

    Parameters
    ----------
    reckon : callable
        Of as many floats as there are ranges; rising or falling in each of them.
    known : Range
        Each may be anywhere, whatever the others are.

    Raises
    ------
    InputError
        If the answer is no number, or what ``reckon`` raises.
    """
    corners = product(*({one.low, one.high} for one in known))
    middle = reckon(*(one.middle for one in known))
    answers = [middle, *(reckon(*corner) for corner in corners)]
    if any(isnan(answer) for answer in answers):
        raise InputError("answer", "not a number", "inputs that give one")
    return Range(min(answers), middle, max(answers))


def swings(reckon: Callable[..., float], known: Mapping[str, Range]) -> tuple[Swing, ...]:
    """Return what moves an answer, the most first: what is worth measuring before all else.

    Parameters
    ----------
    reckon : callable
        Of keyword arguments named as in ``known``.
    known : mapping of str to Range
        The others stand at their middles while one moves.

    Raises
    ------
    InputError
        What ``reckon`` raises.
    """
    middles = {name: one.middle for name, one in known.items()}

    def alone(name: str) -> Range:
        return over(lambda value: reckon(**{**middles, name: value}), known[name])

    found = [Swing(name, alone(name)) for name, one in known.items() if not one.is_known]
    return tuple(sorted(found, key=lambda swing: -swing.width))


def published(key: str, name: str) -> Range:
    """Return a published value with the bounds known of it; one number where there are none.

    Raises
    ------
    InputError
        If the table has none of that key and name.
    """
    return range_of(air_value(key, name))


def range_of(value: Value) -> Range:
    """Return a row of a table as a range."""
    low = value.value if value.low is None else value.low
    high = value.value if value.high is None else value.high
    return Range(low, value.value, high)
