"""Who feeds whom: every use of units or kilograms traced to what it was taken from, oldest first.

The solver decides how much is used on each day; this says which lot or which planned batch it
comes from (the one that expires first is taken first), and from that what each start serves.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

NOTHING = 1e-6

Key = tuple[int, str, int, int]
"""What is promised alike: recipe, step, the day it must be there, the day it is handed over."""


@dataclass(slots=True)
class Batch:
    """Units that become usable together: a living lot, or a planned start."""

    units: float
    ready_day: int
    last_day: int
    lot: str = ""  # empty: still to be started
    place: str = ""  # the shelf it stands on today
    start: tuple[int, int, int] | None = None  # recipe, making, day
    is_cold: bool = False  # carried into a cold store
    really_keeps: int | None = None  # where the plan counts on less
    is_first: bool = False  # a person decided that it is used before others
    left: float = 0.0
    uses: list[Use] = field(default_factory=list)

    @property
    def keeps_day(self) -> int:
        """The last day on which units could be used, whatever the plan counts on."""
        return self.last_day if self.really_keeps is None else self.really_keeps


@dataclass(slots=True)
class Use:
    """Units taken on a day by a start, a move or a sale."""

    day: int
    wanted: float
    start: tuple[int, int, int] | None = None
    move: tuple[int, str, int] | None = None
    sale: Key | None = None
    until: int | None = None  # what is taken must keep until then; None: only on the day
    taken: list[tuple[Batch, float]] = field(default_factory=list)

    @property
    def keeps_to(self) -> int:
        """The day until which what is taken must keep."""
        return self.day if self.until is None else self.until

    @property
    def units(self) -> float:
        """Units really taken."""
        return sum(units for _, units in self.taken)


def take_oldest_first(batches: Iterable[Batch], uses: Iterable[Use]) -> None:
    """Take every use from the batches, the one that expires first before the others.

    What a person wants used first is taken before all others, as long as nothing is missing for it
    that would be there in the order of expiry.
    """
    batches, uses = list(batches), list(uses)
    by_expiry = sorted(batches, key=lambda b: (b.last_day, b.ready_day))
    if any(batch.is_first for batch in batches):
        _take(by_expiry, uses)
        there = sum(use.units for use in uses)
        _take(sorted(by_expiry, key=lambda b: not b.is_first), uses)
        if sum(use.units for use in uses) >= there - NOTHING:
            return
    _take(by_expiry, uses)


def _take(pool: Sequence[Batch], uses: Iterable[Use]) -> None:
    """Take every use anew from the batches in their order."""
    for batch in pool:
        batch.left = batch.units
        batch.uses = []
    for use in sorted(uses, key=lambda u: (u.day, u.keeps_to)):
        use.taken = []
        wanted = use.wanted
        for batch in pool:
            if wanted <= NOTHING:
                break
            is_good = batch.ready_day <= use.day and use.keeps_to <= batch.last_day
            if batch.left <= NOTHING or not is_good:
                continue
            units = min(wanted, batch.left)
            batch.left -= units
            wanted -= units
            use.taken.append((batch, units))
            batch.uses.append(use)


@dataclass(slots=True)
class Service:
    """What a start or a move serves, and how long it could wait."""

    feeds: dict[Key, float] = field(default_factory=dict)  # grams, or units sold
    slack: int | None = None  # days, None: nothing waits for it
    first_use: int | None = None

    def add(self, other: Service, share: float, wait: int) -> None:
        """Add a share of what a user of these units serves, used ``wait`` days after ready."""
        for key, amount in other.feeds.items():
            self.feeds[key] = self.feeds.get(key, 0.0) + share * amount
        if other.feeds:
            slack = wait + (other.slack or 0)
            self.slack = slack if self.slack is None else min(self.slack, slack)


def service_of(
    batch: Batch,
    moves: dict[tuple[int, str, int], Service],
    starts: dict[tuple[int, int, int], Service],
    totals: dict[int, float],
) -> Service:
    """Return what a batch serves through its uses.

    ``totals`` gives for each use (by identity) the units it takes in all, from every parent.
    """
    service = Service()
    for use in batch.uses:
        units = sum(taken for each, taken in use.taken if each is batch)
        share = units / max(totals[id(use)], NOTHING)
        wait = use.day - batch.ready_day
        first = use.day if service.first_use is None else min(service.first_use, use.day)
        service.first_use = first
        if use.sale is not None:
            service.add(Service({use.sale: units}, 0), 1.0, wait)
        elif use.move is not None:
            service.add(moves.get(use.move, Service()), share, wait)
        elif use.start is not None:
            service.add(starts.get(use.start, Service()), share, wait)
    return service
