"""What the days can hold: sterilisers, prepared vessels, people, benches, places, vessels.

All are frozen. Days are whole numbers, day 0 is today.
"""

from __future__ import annotations

from dataclasses import dataclass

from pinset.chain.register import RoomKind
from pinset.planning.unpicked import is_spoilt


@dataclass(frozen=True, slots=True)
class CookOption:
    """One kind of cook in one steriliser."""

    kind: str
    hours: float
    litres: float
    hands_minutes: float = 0.0
    cost: float = 0.0


@dataclass(frozen=True, slots=True)
class SteriliserDays:
    """What a steriliser can do, day by day."""

    code: str
    cooks: tuple[CookOption, ...]
    hours: tuple[float, ...]
    count: tuple[float, ...]  # cooks a day


@dataclass(frozen=True, slots=True)
class GrowRoom:
    """A room where units fruit."""

    code: str
    places: float
    climates: tuple[str, ...] = ()
    by_day: tuple[float, ...] = ()  # places day by day; empty: always the same
    name: str = ""

    @property
    def words(self) -> str:
        """What it is called in a sentence."""
        return self.name or f"grow room {self.code}"

    def can_give(self, climate: str) -> bool:
        """Whether it can be kept in a climate; one that says nothing of climates gives any."""
        return not self.climates or climate in self.climates

    def on(self, day: int) -> float:
        """Return its places on a day."""
        return self.by_day[day] if day < len(self.by_day) else self.places


@dataclass(frozen=True, slots=True)
class ColdKeeping:
    """A cold store that keeps ready units of a lot longer than where they stand."""

    room: str
    last_day: int  # last usable day of what is carried there as soon as it is ready
    places: float  # of one unit


@dataclass(frozen=True, slots=True)
class ColdPlaces:
    """Places of a cold store that blocks may take: what spawn and cultures leave today."""

    room: str
    places: float
    name: str = ""


@dataclass(frozen=True, slots=True)
class Sterile:
    """Prepared vessels ready today."""

    cook: str
    litres: float
    last_day: int = 2  # last day a start may use them
    first_day: int = 0  # later for what is still in its steriliser, or warm
    mix: str = ""  # what is in which vessel, as a making says it; empty: serves any of that cook


@dataclass(frozen=True, slots=True)
class CookReady:
    """From which day on what is loaded on a day may be inoculated, day by day."""

    steriliser: str
    kind: str
    first: tuple[int | None, ...]  # of the first load of a day; None: within a month never
    last: tuple[int | None, ...]  # of one that waits for the others of its day


@dataclass(frozen=True, slots=True)
class FirstCook:
    """From which day on vessels of one mix that nobody has begun can be cooked."""

    cook: str
    day: int
    mix: str = ""  # as a making says it; empty: every mix of that cook


@dataclass(frozen=True, slots=True)
class TooWet:
    """Days for whose cook new vessels of a mix would have to be soaked too long before."""

    cook: str
    mix: str
    days: tuple[int, ...]

    def later(self, day: int) -> TooWet:
        """Return the same, counted from a later day."""
        return TooWet(self.cook, self.mix, tuple(d - day for d in self.days if d >= day))


@dataclass(frozen=True, slots=True)
class Begun:
    """Vessels soaked, boiled or filled and not cooked yet."""

    cook: str
    litres: float
    first_day: int  # of a cook that may take them
    last_day: int
    mix: str = ""  # as a making says it; empty: serves any of that cook
    meant_day: int | None = None  # of the cook it was begun for; None: its first day

    def is_for(self, cook: str, mix: str | None) -> bool:
        """Say whether it serves a mix of a cook; None: any of that cook."""
        return self.cook == cook and (mix is None or self.mix in {"", mix})


@dataclass(frozen=True, slots=True)
class Loading:
    """People's minutes, day by day, until vessels for a kind of cook must be loaded."""

    cook: str
    minutes: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class VesselCount:
    """Reusable vessels: all that are in circulation, and those busy in living lots by day."""

    code: str
    count: float


@dataclass(frozen=True, slots=True)
class RoomPlaces:
    """Shelf places of all rooms of one kind."""

    room: RoomKind
    places: float
    by_day: tuple[float, ...] = ()  # day by day; empty: always the same

    def on(self, day: int) -> float:
        """Return the places on a day."""
        return self.by_day[day] if day < len(self.by_day) else self.places


@dataclass(frozen=True, slots=True)
class Resources:
    """What the days can hold. Rows of days are as long as the problem."""

    bench_minutes: tuple[float, ...] = ()  # empty: not limited
    laboratory_minutes: tuple[float, ...] = ()  # of people who may work there; empty: not limited
    hands_minutes: tuple[float, ...] = ()  # empty: not limited; the fixed rounds are taken off
    works: tuple[bool, ...] = ()  # whether anybody is there, by day; empty: where hands have time
    prepared_minutes: float = 0.0  # of preparation that today has behind it already
    sterilisers: tuple[SteriliserDays, ...] = ()
    sterile: tuple[Sterile, ...] = ()
    is_sterile_counted: bool = False  # False: vessels for the first days are taken as ready
    sterile_keeps_days: int = 3  # days a planned cook serves after the latest it could have been
    short_keeping: tuple[tuple[str, int], ...] = ()  # cook kinds that keep less, and their days
    ready: tuple[CookReady, ...] = ()  # a cook not listed may be used as soon as routes say
    first_cook: tuple[FirstCook, ...] = ()  # mixes that cannot be cooked today; others can
    first_cook_always: tuple[FirstCook, ...] = ()  # the same if somebody were there every day
    too_wet: tuple[TooWet, ...] = ()  # cooks that come too long after the soak: days off between
    loadings: tuple[Loading, ...] = ()  # empty: filling before a loading is not limited
    begun: tuple[Begun, ...] = ()  # what is in the soak, boiled or filled
    places: tuple[RoomPlaces, ...] = ()  # a kind not listed is not limited
    rooms: tuple[GrowRoom, ...] = ()
    cold: tuple[ColdPlaces, ...] = ()  # for blocks; a store not listed takes none
    vessels: tuple[VesselCount, ...] = ()

    def keeps_days(self, cook: str, days_before: int) -> int:
        """Return for how many days vessels of a planned cook serve, beyond the latest it could be.

        A start is served by a cook up to ``days_before + keeps_days`` days before it; what keeps
        only a few days keeps them from its cook on.
        """
        short = dict(self.short_keeping).get(cook)
        if short is None:
            return self.sterile_keeps_days
        return max(0, min(self.sterile_keeps_days, short - days_before))

    def serves_from(self, steriliser: str, cook: str, day: int, *, is_last: bool) -> int | None:
        """Return the first day on which a load of a day may be inoculated, as far as hours say."""
        found = next((r for r in self.ready if (r.steriliser, r.kind) == (steriliser, cook)), None)
        row = found and (found.last if is_last else found.first)
        return row[day] if row and day < len(row) else day

    def first_cook_day(self, cook: str, mix: str) -> int:
        """Return the first day on which vessels of a mix not yet begun can be cooked."""
        return max(
            (f.day for f in self.first_cook if f.cook == cook and f.mix in {"", mix}), default=0
        )

    def can_be_ready(self, cook: str, mix: str, day: int) -> bool:
        """Whether what a mix needs (grain soaked a day ahead) can be ready for a cook of a day."""
        return self.can_be_begun(cook, mix, day) or self.begun_litres(cook, mix, day) > 0.0

    def can_be_begun(self, cook: str, mix: str, day: int) -> bool:
        """Whether new vessels of a mix can be ready, and not too long wet, for a cook of a day."""
        return day >= self.first_cook_day(cook, mix) and day not in self.too_wet_days(cook, mix)

    def too_wet_days(self, cook: str, mix: str) -> tuple[int, ...]:
        """Return the days for whose cook a mix would have to be soaked too long before."""
        return next((e.days for e in self.too_wet if (e.cook, e.mix) == (cook, mix)), ())

    def begun_litres(self, cook: str, mix: str | None, day: int) -> float:
        """Return the litres begun of a mix (None: of all) that a cook of a day can take."""
        return sum(
            each.litres
            for each in self.begun
            if each.is_for(cook, mix) and each.first_day <= day <= each.last_day
        )

    def next_staffed(self, day: int) -> int:
        """Return the first day from a day on that somebody works; itself if none is known."""
        row = self.hands_minutes
        later = range(max(day, 0), len(row))
        return next((each for each in later if row[each] > 0), day)

    def picked_on(self, ripe: int) -> int | None:
        """Return the day on which what ripens on a day is picked; None: it is spoilt before.

        It hangs until somebody works, today at the earliest. Where nobody is known to come any
        more it is taken as picked, unless it is spoilt within the days that are known.
        """
        row, first = self.staffed, max(0, ripe)
        comes = first
        if first < len(row) and any(row):
            comes = next((day for day in range(first, len(row)) if row[day]), len(row))
        return None if is_spoilt(comes - ripe) else max(0, self.next_staffed(ripe))

    @property
    def staffed(self) -> tuple[float, ...]:
        """Whether anybody is there, day by day: more than 0 if so; empty where it is not known."""
        return self.works or self.hands_minutes
