"""What is short, split by what takes it."""

from __future__ import annotations

from dataclasses import dataclass, field

from numpy import float64
from numpy.typing import NDArray

from pinset.planning.model.columns import GRAMS_PER_KG, Capacity, Model
from pinset.planning.reading.biology import Wanting
from pinset.planning.reading.closed_days import Unpicked
from pinset.planning.reading.pegging import Key
from pinset.planning.reading.room_climates import RoomClimates
from pinset.planning.search.any_day import OtherDay

LEAST_GRAMS = 10.0  # less is not worth a line
LEAST_UNITS = 0.01
LEAST_LACK = 1e-4  # of any unit


@dataclass(frozen=True, slots=True)
class Lack:
    """More of a resource that would be needed on a day."""

    resource: str
    day: int
    amount: float
    unit: str
    worth: float
    capacity: Capacity


@dataclass(slots=True)
class Shortfall:
    """What is short, how much of it nobody could mend, and how much only the farm's own days."""

    unavoidable: dict[Key, float] = field(default_factory=dict)
    shared: dict[Key, float] = field(default_factory=dict)  # the plan serves another form with it
    by_days: dict[Key, float] = field(default_factory=dict)  # more would be there on other days
    pinned: dict[Key, float] = field(default_factory=dict)  # it would be there but for the pins
    untold: dict[Key, float] = field(default_factory=dict)  # nobody had time to find out why
    closed: dict[Key, Unpicked] = field(default_factory=dict)  # what of it ripens on closed days
    any_day: Model | None = None
    other_days: list[OtherDay] = field(default_factory=list)
    lacks: list[Lack] = field(default_factory=list)
    wanting: list[Wanting] = field(default_factory=list)
    climates: RoomClimates | None = None

    def leave_untold(self, key: Key, amount: float) -> None:
        """Add an amount of which it is not known why it is short."""
        self.untold[key] = self.untold.get(key, 0.0) + amount


def is_worth_saying(key: Key, amount: float) -> bool:
    """Whether a shortage is more than a rounding error of the solver."""
    return amount > (LEAST_GRAMS if key[1] == "picked" else LEAST_UNITS)


def scale(key: Key) -> float:
    """Return how many grams or units one of the programme's own measure is."""
    return GRAMS_PER_KG if key[1] == "picked" else 1.0


def lacks_of(model: Model, values: NDArray[float64]) -> list[Lack]:
    """Return what was hired in a pass in which capacities are for hire, the most worth first."""
    first = len(model.programme.cost)
    lacks = []
    for place, capacity in enumerate(model.capacities):
        amount = float(values[first + place])
        if amount > LEAST_LACK:
            lacks.append(
                Lack(
                    capacity.resource,
                    capacity.day,
                    amount,
                    capacity.unit,
                    amount * capacity.price,
                    capacity,
                )
            )
    return sorted(lacks, key=lambda lack: -lack.worth)
