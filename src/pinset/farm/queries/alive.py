"""What is alive today, lot by lot and place by place, as the planner reads it."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import cast
from zoneinfo import ZoneInfo

from django.db.models import QuerySet, Sum

from pinset.chain.living import LivingLot, Stood
from pinset.chain.register import Culture, Farm, Room, Route, Step
from pinset.chain.stages import Stage
from pinset.farm.entries import Account
from pinset.farm.models import Balance, Mention, RegisterRow
from pinset.farm.models.register import RegisterKind
from pinset.farm.queries.ages import Age, ages
from pinset.farm.queries.opened import ROLE as OPENED
from pinset.farm.queries.opened import (
    Told,
    opened_apart,
    opened_keep,
    opened_units,
    part_taken,
)
from pinset.farm.queries.parts import Part, parts_of
from pinset.farm.queries.seen_bad import left_standing
from pinset.farm.queries.told import Story
from pinset.farm.queries.ways import as_one
from pinset.farm.register_store import current_of, record_of

_ROLES = (
    OPENED,
    "step",
    "moved",
    "since",
    "keeps",
    "part",
    "held",
    "released",
    "cleared",
    "ready",
    "use by",
    "watched",
    "flush",
)


@dataclass(frozen=True, slots=True)
class PreparedLot:
    """Vessels that are filled and cooked, with nothing living in them yet."""

    code: str
    step: str  # of the route they are prepared for
    route: str
    variety: str
    alive: int
    place: str
    room: str
    made_on: date
    cook: str


@dataclass(frozen=True, slots=True)
class _Book:
    """The parts of the farm's book that living lots need."""

    rooms: dict[str, Room]
    cultures: dict[str, Culture]
    zone: ZoneInfo
    warmth: dict[str, float]  # of each shelf [°C]

    def stood(self, way: Iterable[tuple[str, date]], step: Step) -> tuple[Stood, ...]:
        """Return the rooms of a way; a shelf that is gone counts as warm as the step is run."""
        return tuple(Stood(day, self.warmth.get(at, step.temperature_c)) for at, day in way)


def _book(today: date) -> _Book:
    kinds = (RegisterKind.FARM, RegisterKind.ROOM, RegisterKind.CULTURE)
    held = current_of(kinds, today)
    farm = cast("tuple[Farm, ...]", held[RegisterKind.FARM])
    rooms = cast("tuple[Room, ...]", held[RegisterKind.ROOM])
    cultures = cast("tuple[Culture, ...]", held[RegisterKind.CULTURE])
    return _Book(
        {room.code: room for room in rooms},
        {culture.code: culture for culture in cultures},
        ZoneInfo(farm[0].time_zone if farm else "UTC"),
        {shelf.code: room.temperature_c for room in rooms for shelf in room.shelves},
    )


def _alive(lots: Iterable[str] | None) -> QuerySet[Balance]:
    found = Balance.objects.filter(account=Account.ALIVE.value, quantity__gt=0)
    return found if lots is None else found.filter(lot__code__in=list(lots))


def living(today: date, *, lots: Iterable[str] | None = None) -> tuple[LivingLot, ...]:
    """Return every living lot at every place where it stands, oldest first.

    Units that were opened, and those seen contaminated and not taken out, stand apart.
    Prepared vessels and fruits taken for cloning are not among them.

    Parameters
    ----------
    today : date
        The day whose rooms and cultures count.
    lots : iterable of str, optional
        Only these lot codes.
    """
    alive = _alive(lots).filter(lot__route__isnull=False)
    alive = alive.exclude(lot__stage__in=(Stage.PREPARED.value, Stage.FRUIT.value))
    rows = list(
        alive.select_related("lot", "place").order_by("lot__made_on", "lot_id", "place__code")
    )
    if not rows:
        return ()
    book = _book(today)
    numbers = {row.lot_id for row in rows}
    stories, taken = _stories(
        {row.lot_id: Story(row.lot.step, _made_on(row)) for row in rows}, alive, book
    )
    totals = _totals(alive)
    routes = _routes({row.lot.route_id for row in rows if row.lot.route_id is not None})
    known = ages(numbers)
    apart = _apart(rows, stories, routes, book)
    left = opened_units(taken, alive, opened_keep(rows, routes))
    bad = left_standing(rows)
    standing: Counter[int] = Counter()
    for row in rows:
        standing[row.lot_id] += row.quantity
    found: list[LivingLot] = []
    for row in rows:
        story = stories[row.lot_id]
        lot = _living_lot(
            row,
            story,
            totals[row.lot_id],
            routes[cast("int", row.lot.route_id)],
            known.get(row.lot_id, Age()),
            book,
            row.quantity / standing[row.lot_id],
        )
        for part in _of_parts(lot, story, apart.get((row.lot_id, row.place.code), ()), book):
            for own in bad[row.lot_id, row.place.code].apart(part):
                found.extend(opened_apart(own, left.get(row.lot_id, ())))
    return tuple(found)


def _apart(
    rows: Sequence[Balance], stories: dict[int, Story], routes: dict[int, Route], book: _Book
) -> dict[tuple[int, str], tuple[Part, ...]]:
    """Return, of lots with several days at one place, what stands there since which."""
    mixed = {
        row.lot_id: row
        for row in rows
        if stories[row.lot_id].is_apart(row.place.code, row.quantity)
    }
    if not mixed:
        return {}
    standing = {(row.lot_id, row.place.code): row.quantity for row in rows if row.lot_id in mixed}
    begun = {
        number: (row.lot.step, _made_on(row), routes[cast("int", row.lot.route_id)])
        for number, row in mixed.items()
    }
    return parts_of(begun, standing, book.zone)


def _of_parts(
    lot: LivingLot, story: Story, parts: Sequence[Part], book: _Book
) -> Iterator[LivingLot]:
    """Yield the units at a place as they came there, the oldest first."""
    steps = {step.code for step in lot.route.steps}
    if not parts or any(part.step not in steps for part in parts):
        yield lot
        return
    yield from as_one(
        replace(
            lot,
            step=part.step,
            step_since=part.since,
            alive=part.units,
            flush=part.flush,
            flush_g=round(part.flush_g),
            last_picked_on=part.last_picked_on,
            expected_ready_on=_expected(story, part.since, part.last_picked_on),
            stood=book.stood(part.stood, lot.route.step(part.step)),
            keeps_until=part.keeps,
        )
        for part in parts
    )


def _made_on(row: Balance) -> date:
    return cast("date", row.lot.made_on)


def _stories(
    stories: dict[int, Story], alive: QuerySet[Balance], book: _Book
) -> tuple[dict[int, Story], dict[int, list[Told]]]:
    """Return what mentions come to, and when a part was taken of units, by lot."""
    taken: defaultdict[int, list[Told]] = defaultdict(list)
    said = (
        Mention.objects.filter(lot__in=alive.values("lot_id"), role__in=_ROLES, is_cancelled=False)
        .order_by("entry__happened_at", "entry__client_id", "id")  # whatever the order of arrival
        .values_list(
            "lot_id",
            "role",
            "place__code",
            "count",
            "value",
            "entry__happened_at",
            "entry__client_id",
        )
    )
    for lot_id, role, place, count, value, at, entry in said:
        if role == OPENED:
            taken[lot_id].append(part_taken(at, entry, count, value, book.zone))
            continue
        happened = at.astimezone(book.zone).date()
        stories[lot_id].tell(role, place, count, value, happened)
    return stories, taken


def _totals(alive: QuerySet[Balance]) -> defaultdict[int, dict[str, int]]:
    wanted = (Account.MADE, Account.RECEIVED, Account.LOST, Account.GROWN)
    found: defaultdict[int, dict[str, int]] = defaultdict(dict)
    sums = (
        Balance.objects.filter(
            lot__in=alive.values("lot_id"), account__in=[account.value for account in wanted]
        )
        .values_list("lot_id", "account")
        .annotate(total=Sum("quantity"))
    )
    for lot_id, account, total in sums:
        found[lot_id][account] = total
    return found


def _routes(numbers: set[int]) -> dict[int, Route]:
    return {
        row.pk: cast("Route", record_of(row)) for row in RegisterRow.objects.filter(pk__in=numbers)
    }


def _living_lot(
    row: Balance,
    story: Story,
    totals: dict[str, int],
    route: Route,
    age: Age,
    book: _Book,
    share: float,
) -> LivingLot:
    """Return the lot's units at one place, ``share`` of all that stand."""
    lot = row.lot
    step_code, since = story.at(row.place.code)
    steps = {step.code: step for step in route.steps}
    if step_code not in steps:  # a step typed wrong; `pinset check` reports it
        step_code, since = lot.step, _made_on(row)
    step, room = steps[step_code], book.rooms.get(row.place.room)
    made = -totals.get(Account.MADE.value, 0) - totals.get(Account.RECEIVED.value, 0)
    picked_g = -totals.get(Account.GROWN.value, 0)
    earlier = sum(flush.share for flush in step.flushes[: max(0, story.flush - 1)])
    return LivingLot(
        code=lot.code,
        variety=lot.variety,
        step=step_code,
        stage=Stage(lot.stage),
        alive=row.quantity,
        made_on=_made_on(row),
        step_since=since,
        place=row.place.code,
        room=row.place.room,
        temperature_c=room.temperature_c if room else step.temperature_c,
        route=route,
        culture=lot.culture,
        made=made,
        lost=totals.get(Account.LOST.value, 0),
        generation=age.generation,
        transfers=age.transfers,
        held=_held(lot.culture, story, book),
        picked_g=picked_g,
        last_picked_on=story.last_picked_on,
        flush=story.flush,
        flush_g=round(share * story.of_flush_g(picked_g, earlier * step.yield_g * made)),
        expected_ready_on=_expected(story, since, story.last_picked_on),
        use_by=story.use_by,
        look_on=story.look_on,
        stood=book.stood(story.stood.get(row.place.code, ()), step),
        keeps_until=story.keeps.get(row.place.code),
    )


def _expected(story: Story, since: date, last_picked_on: date | None) -> date | None:
    """Return when a person expects it; what was said before its step or its last pick is over."""
    if story.ready is None or story.ready[0] < max(since, last_picked_on or since):
        return None
    if last_picked_on is not None and story.ready[1] <= last_picked_on:  # it came, and was picked
        return None
    return story.ready[1]


def _held(culture: str, story: Story, book: _Book) -> str:
    if story.held or story.is_cleared:
        return story.held
    known = book.cultures.get(culture)
    if known is not None and not known.cleared:
        return f"culture {culture} is not cleared for use"
    return ""


def prepared() -> tuple[PreparedLot, ...]:
    """Return the prepared vessels that stand ready, oldest first."""
    rows = _alive(None).filter(lot__stage=Stage.PREPARED.value)
    rows = rows.select_related("lot__route", "place")
    return tuple(
        PreparedLot(
            code=row.lot.code,
            step=row.lot.step,
            route=row.lot.route.code if row.lot.route else "",
            variety=row.lot.variety,
            alive=row.quantity,
            place=row.place.code,
            room=row.place.room,
            made_on=_made_on(row),
            cook=row.lot.cook,
        )
        for row in rows.order_by("lot__made_on", "lot_id", "place__code")
    )


def vessels_in_use(today: date) -> dict[str, int]:
    """Return how many vessels of each kind are filled: of living lots, and prepared ones.

    A lot keeps the vessel of the step it was made in; steps after it that name none go on in the
    same vessel.
    """
    used: defaultdict[str, int] = defaultdict(int)
    for lot in living(today):
        used[vessel_of(lot.route, lot.step)] += lot.alive
    rows = _alive(None).filter(lot__stage=Stage.PREPARED.value, lot__route__isnull=False)
    for row in rows.select_related("lot__route"):
        route = cast("Route", record_of(cast("RegisterRow", row.lot.route)))
        used[vessel_of(route, row.lot.step)] += row.quantity
    return {vessel: count for vessel, count in sorted(used.items()) if vessel}


def vessel_of(route: Route, step_code: str) -> str:
    """Return the vessel units are in at a step: its own, or that of the nearest step before."""
    vessel = ""
    for step in route.steps:
        vessel = step.vessel or vessel
        if step.code == step_code:
            return vessel
    return ""
