"""How a variety is made and fruited, step by step, as the planner counts it.

All are frozen. Days are whole numbers; units may be fractions where they are expected values, and
weights are grams.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from pinset.chain.register import RoomKind
from pinset.chain.stages import Stage


@dataclass(frozen=True, slots=True)
class Arc:
    """A parent step and how far one of its units goes."""

    parent: str
    units_per_parent: float
    part_use: bool = False  # a part is taken and the rest kept: parents need not be whole


@dataclass(frozen=True, slots=True)
class Stay:
    """Where units stand for a while, in days after their start (or from day 0, for living lots)."""

    step: str
    room: RoomKind
    places: float  # per unit
    from_day: int  # inclusive
    until_day: int  # exclusive
    is_move: bool = False  # units are carried there (ripening); the first stay is where they start
    room_code: str = ""  # the room proposed for it; empty: any of that kind


@dataclass(frozen=True, slots=True)
class Months:
    """What units started on one day take, where days follow the months."""

    lead_days: int
    stays: tuple[Stay, ...]


@dataclass(frozen=True, slots=True)
class Delivery:
    """What a supplier would bring on a day, ordered so long before, if somebody were there."""

    order_day: int
    day: int
    ready_day: int  # its first usable day


@dataclass(frozen=True, slots=True)
class PrepTime:
    """Hand minutes spent on vessels before a start."""

    days_before: int
    minutes_per_unit: float
    minutes_fixed: float
    is_before_loading: bool = False  # on the cook's own day, before the steriliser is loaded


@dataclass(frozen=True, slots=True)
class Making:
    """A step where new units come to be, with the standing (ripening) that follows it.

    A unit started on day t is usable on ``ready(t) .. ready(t) + window_days - 1``.
    """

    step: str
    stage: Stage
    lead_days: int
    window_days: int
    usable: float  # fraction of units started that become usable
    start_days: tuple[int, ...]  # days on which a batch may start, or be ordered; empty: never
    open_days: tuple[int, ...] = ()  # that the farm leaves open, where start_days keep a rhythm
    ready_days: tuple[int, ...] = ()  # beside start_days where the lead is not constant (bought)
    missed: tuple[Delivery, ...] = ()  # of what is bought: none of these, for nobody is there
    arcs: tuple[Arc, ...] = ()  # none: from the culture collection, or bought
    is_purchase: bool = False
    minimum_batch: int = 1
    largest_batch: float = 0.0  # 0: reckoned from the need
    unit_cost: float = 0.0
    batch_cost: float = 0.0
    batch_cost_by_day: tuple[float, ...] = ()  # day by day instead of batch_cost
    hold_cost: float = 0.0  # per usable unit and night
    short_cost: float = 0.0  # per unit sold and not delivered
    spare: float = 0.0  # share of the units promised that is wished to be there beyond them
    bench_minutes: float = 0.0
    bench_setup_minutes: float = 0.0
    hands_minutes: float = 0.0  # per unit on the day of the start
    preparations: tuple[PrepTime, ...] = ()
    cook: str = ""
    litres: float = 0.0
    mix: str = ""  # what its prepared vessels are told apart by, beside the cook
    cook_days_before: int = 1  # latest cook that can still serve a start
    vessel: str = ""  # reusable kind; empty: never runs out
    stays: tuple[Stay, ...] = ()
    waits_in: RoomKind = RoomKind.INCUBATION  # while usable and not yet used
    waits_places: float = 0.0
    culture_stock: float = 0.0  # usable units kept in hand, softly
    months: tuple[Months, ...] = ()  # by start day, instead of lead and stays; none: always those

    def ready(self, start_day: int) -> int:
        """Return the first usable day of units started on a day."""
        if self.ready_days:
            return self.ready_days[self.start_days.index(start_day)]
        return start_day + self.lead_on(start_day)

    def lead_on(self, day: int) -> int:
        """Return the days from a start on a day until its units are usable."""
        months = self.months
        return months[min(day, len(months) - 1)].lead_days if months else self.lead_days

    def stays_on(self, day: int) -> tuple[Stay, ...]:
        """Return where units started on a day stand until they are usable."""
        return self.months[min(day, len(self.months) - 1)].stays if self.months else self.stays

    def slowness_on(self, day: int) -> float:
        """Return how many times the usual days pass until units started on a day are usable."""
        return self.lead_on(day) / self.lead_days if self.months and self.lead_days else 1.0

    @property
    def leads(self) -> tuple[int, int]:
        """The shortest and the longest lead of the year planned."""
        leads = [each.lead_days for each in self.months] or [self.lead_days]
        return min(leads), max(leads)


@dataclass(frozen=True, slots=True)
class Picking:
    """Expected saleable grams of one unit on one day after it entered its grow room."""

    day: int
    grams: float
    flush: int = 1


@dataclass(frozen=True, slots=True)
class Fruiting:
    """The last step: units go into a grow room and are picked."""

    step: str
    parent: str  # step code of the making whose units fruit
    move_days: tuple[int, ...]
    days_in_room: int
    curve: tuple[Picking, ...]
    rooms: tuple[str, ...]  # grow rooms that can give its climate
    climate: str = ""
    climate_words: str = ""  # the climate with its temperature; empty: the climate alone
    places: float = 1.0
    hands_minutes: float = 0.0  # per unit moved
    pick_minutes_per_kg: float = 3.0
    open_days: tuple[int, ...] = ()  # as of a making, of move_days
    season: tuple[float, ...] = ()  # share of the usual yield, by day of picking; none: 1
    pick_days: tuple[tuple[int, ...], ...] = ()  # of the curve by day of entry; none: its own

    @property
    def grams(self) -> float:
        """Whole expected yield of one unit in g, as it is all the year."""
        return sum(picking.grams for picking in self.curve)

    def season_on(self, day: int) -> float:
        """Return the share of the usual yield that is picked on a day."""
        if not self.season:
            return 1.0
        return self.season[min(max(day, 0), len(self.season) - 1)]

    def borne(self, entered: int, curve: tuple[Picking, ...] | None = None) -> tuple[Picking, ...]:
        """Return a curve (its own, if no other is given) of a unit that enters on a day.

        Its days count from the entry and are those of the months they fall into; its grams are
        those of the season it is picked in.
        """
        curve = self.curve if curve is None else curve
        if self.pick_days:
            days = self._days_on(entered)
            curve = tuple(replace(each, day=day) for each, day in zip(curve, days, strict=True))
        if not self.season:
            return curve
        return tuple(
            Picking(each.day, each.grams * self.season_on(entered + each.day), each.flush)
            for each in curve
        )

    def room_days_on(self, entered: int) -> int:
        """Return the days for which a unit that enters on a day keeps its place."""
        return self._days_on(entered)[-1] + 1 if self.pick_days else self.days_in_room

    def slowness_on(self, entered: int) -> float:
        """Return how many times the usual days pass until the first pick of what enters then."""
        usual = self.curve[0].day if self.curve else 0
        if not self.pick_days or usual <= 0:
            return 1.0
        return self._days_on(entered)[0] / usual

    def _days_on(self, entered: int) -> tuple[int, ...]:
        return self.pick_days[min(max(entered, 0), len(self.pick_days) - 1)]


@dataclass(frozen=True, slots=True)
class Recipe:
    """One variety's chain, first making first."""

    variety: str
    name: str
    days: int  # its own horizon: long enough for its slowest step to matter
    makings: tuple[Making, ...]
    fruiting: Fruiting | None = None
    picked_keeps_days: int = 6
    short_cost_per_kg: float = 25.0
    spare: float = 0.0  # share of each promised weight that is wished for beyond it

    def making(self, step: str) -> Making | None:
        """Return the making of that step code, or None."""
        return next((making for making in self.makings if making.step == step), None)
