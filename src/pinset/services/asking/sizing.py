"""How big must I be: what every week wants of the farm, beside what it has, in words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from pinset.chain.due import due_days
from pinset.chain.register import FarmBook, StepKind
from pinset.planning.sizing.records import PICKED, Sizing, Wanted
from pinset.planning.sizing.sizing import size
from pinset.services import cautions
from pinset.services.asking import sizing_words
from pinset.services.asking.sizing_words import CookRow, NeedRow
from pinset.services.plans import planning_day

WEEK_DAYS = 7


@dataclass(frozen=True, slots=True)
class Line:
    """One thing that can be asked for: picked mushrooms of a variety, or units of a step."""

    variety: str
    name: str
    step: str  # "picked", or the step of the units
    promised: float  # [g or units a week] by today's weekly promises


@dataclass(frozen=True, slots=True)
class SizingView:
    """The answer, as it is read."""

    sentence: str
    units: str  # the farm's choice: metric or us
    rows: tuple[NeedRow, ...]
    bottlenecks: tuple[str, ...]
    cooks: tuple[CookRow, ...]
    tasks: tuple[tuple[str, str], ...]  # what people's time goes into, and how long a week
    bench: str
    chain: tuple[tuple[str, ...], ...]  # variety, step, a week, batches, days, standing
    keep: tuple[str, ...]
    buy: tuple[str, ...]
    store: str
    remarks: tuple[str, ...]
    inputs: tuple[str, ...]
    method: tuple[str, ...]
    cook_cautions: tuple[str, ...]
    room_cautions: tuple[str, ...]
    sizing: Sizing


def lines(book: FarmBook, today: date) -> tuple[Line, ...]:
    """Return what can be asked for, with what is promised every week from today on.

    Units are asked for of steps that are promised, or that a variety is sold as.
    """
    promised: dict[tuple[str, str], float] = {}
    ends = today + timedelta(days=WEEK_DAYS - 1)
    for promise in book.promises:
        if promise.weekday is not None and due_days(promise, today, ends):
            step = PICKED if promise.measure == "gram" else promise.step
            key = (promise.variety, step)
            promised[key] = promised.get(key, 0.0) + promise.amount
    routes = {route.code: route for route in book.routes}
    found = []
    for variety in book.varieties:
        steps = [step for code, step in promised if code == variety.code and step != PICKED]
        if variety.sold_as != PICKED:
            steps.append(variety.sold_as)
        route = routes.get(variety.route)
        fruits = route is None or any(step.kind is StepKind.FRUIT for step in route.steps)
        for step in dict.fromkeys([*([PICKED] if fruits else []), *steps]):
            amount = promised.get((variety.code, step), 0.0)
            found.append(Line(variety.code, variety.name, step, amount))
    return tuple(found)


def promised_lines(now: datetime | None = None) -> tuple[Line, ...]:
    """Return :func:`lines` of the farm as it is now."""
    return lines(*planning_day.farm_book(now))


def promised(now: datetime | None = None) -> tuple[Wanted, ...]:
    """Return what is promised every week from today on."""
    return tuple(
        Wanted(each.variety, each.promised, each.step)
        for each in promised_lines(now)
        if each.promised > 0.0
    )


def how_big(wanted: Iterable[Wanted], now: datetime | None = None) -> SizingView:
    """Return how big the farm must be for what is to leave it every week.

    Raises
    ------
    InputError
        If an amount is not accepted, a variety or a step is unknown, or nothing can be reckoned.
    """
    book, _today = planning_day.farm_book(now)
    return view_of(book, size(book, wanted))


def view_of(book: FarmBook, sizing: Sizing) -> SizingView:
    """Return a sizing as it is read, in the farm's own units."""
    units = book.farm.units
    has_pressure = any(each.rating_bar_gauge > 0.0 for each in book.sterilisers)
    hot = ("pressure", "pressure-rules", "steam") if has_pressure else ("steam", "sealed-vessel")
    return SizingView(
        sentence=sizing_words.verdict(sizing, units),
        units=units,
        rows=sizing_words.need_rows(sizing),
        bottlenecks=sizing_words.bottlenecks(sizing, units),
        cooks=sizing_words.cook_rows(sizing),
        tasks=sizing_words.tasks(sizing),
        bench=sizing_words.bench(sizing),
        chain=sizing_words.chain(sizing),
        keep=sizing_words.keep(sizing),
        buy=(*sizing_words.bought(sizing, book.farm.currency), *sizing_words.used_up(sizing, book)),
        store=sizing_words.store(sizing, units),
        remarks=(*sizing.remarks, *sizing_words.busy_days(sizing)),
        inputs=sizing_words.inputs(sizing, book),
        method=sizing_words.METHOD,
        cook_cautions=cautions.sentences(hot) if sizing.cooks else (),
        room_cautions=cautions.sentences(("co2", "spores")),
        sizing=sizing,
    )
