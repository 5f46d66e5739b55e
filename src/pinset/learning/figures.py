"""The records of own figures: what a route says, what the farm's lots say, what to plan with."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class What(StrEnum):
    """Which figure of a step."""

    LOSS = "loss"  # share of units lost in the step
    DAYS = "days"  # from room entry to the first pick [d]
    YIELD = "yield"  # of the middle lot, over the flushes taken [g a unit]
    SHARES = "shares"  # of a flush in what is picked
    GAPS = "gaps"  # from the last pick of a flush to the first of the next [d]
    LOST_BEFORE = "lost-before"  # share of units lost by the first pick of a flush


class Refusal(StrEnum):
    """Why there is nothing to plan with."""

    NO_LOTS = "no-lots"
    ONE_LOT = "one-lot"
    ALL_LOST = "all-lost"
    NEVER_PICKED = "never-picked"


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of one step (of one flush, where ``flush`` is not 0)."""

    variety: str
    step: str
    what: What
    unit: str  # "fraction", "d", "g"
    route: float  # the figure of the route in force
    flush: int = 0
    lots: int = 0
    units: int = 0
    own: float | None = None  # of the lots alone; None without lots
    low: float | None = None  # its 80 % range; None with fewer than two lots
    high: float | None = None
    spread: float | None = None  # between lots: days, or the logarithm of a yield
    spread_low: float | None = None
    spread_high: float | None = None
    route_spread: float | None = None
    planned: float | None = None  # what would be planned with; None where it is refused
    planned_low: float | None = None  # its 80 % range
    planned_high: float | None = None
    planned_spread: float | None = None  # of the next lot, between lots
    weight: float = 0.0  # of the farm's own lots in it; the rest is the route's
    refusal: Refusal | None = None


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Lots of a step that do not count."""

    young: int = 0  # not long enough ago
    unclear: int = 0  # standing when the farm was loaded, or units that cannot be told apart
    in_parts: int = 0  # came into the grow room on several days
    unfinished: int = 0  # old enough and still standing


@dataclass(frozen=True, slots=True)
class StepFigures:
    """What a farm's records say of one step of one variety."""

    variety: str
    step: str
    figures: tuple[Figure, ...]
    left_out: LeftOut
    left_after: tuple[float, float, float] | None = None
    """Days until units were first used, sold or moved on: one in ten, half, nine in ten."""
