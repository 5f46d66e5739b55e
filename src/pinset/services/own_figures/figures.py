"""What a farm's records say of its routes, beside what the routes say, in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from pinset.chain.register import FarmBook, Route, StepKind, Variety
from pinset.chain.spells import Spell
from pinset.chain.step_nouns import step_noun
from pinset.errors import InputError
from pinset.farm import register_store
from pinset.farm.models.register import RegisterKind
from pinset.farm.queries.spells import spells
from pinset.farm.queries.story import last_entry_number
from pinset.farm.stamp import register_stamp
from pinset.learning.culture_yields import CultureYield, CultureYields, culture_yields
from pinset.learning.figures import StepFigures, What
from pinset.learning.own_figures import Base, own_figures, with_figures
from pinset.learning.taken_over import base_of, taken_over
from pinset.services.memory import remembered
from pinset.services.own_figures.words import GROUPS, FigureLine, left_out, line_of, rest_words
from pinset.services.plans import planning_day
from pinset.services.words import plural, short_day
from pinset.units import show_grams


@dataclass(frozen=True, slots=True)
class FigureGroup:
    """The figures that are taken over together: one, or one for each flush."""

    what: str
    words: str
    lines: tuple[FigureLine, ...]
    can_take: bool  # into the route, from today on
    taken: str  # when it was last, in words
    remark: str  # why there is nothing to take over


@dataclass(frozen=True, slots=True)
class CultureLine:
    """What one culture yields."""

    culture: str
    lots: int
    own: str
    drawn: str
    ends: str
    grams: float  # drawn
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class StepLines:
    """The figures of one step."""

    step: str
    name: str
    groups: tuple[FigureGroup, ...]
    rest: tuple[str, ...]  # lots left out, and what is known of its days
    cultures: tuple[CultureLine, ...] = ()  # where there are two or more to compare
    cultures_differ: str = ""


@dataclass(frozen=True, slots=True)
class VarietyFigures:
    """The figures of one variety."""

    variety: str
    name: str
    route: str
    shared: str  # with which other varieties, in words; empty: with none
    steps: tuple[StepLines, ...]


@dataclass(frozen=True, slots=True)
class OwnFiguresView:
    """What the records say."""

    sentence: str
    varieties: tuple[VarietyFigures, ...]
    method: tuple[str, ...]


METHOD = (
    (
        "A lot counts once it is old enough that one knows what became of it, whether it is over "
        "or not: of young lots only those that were lost are over."
    ),
    (
        "Losses cluster by lot, so lots count and not only units. Of 5 farms 4 have their true "
        "figure within the range."
    ),
    (
        "The route counts as much as five of your own lots (assumed, no source). What would be "
        "planned with is both together."
    ),
    (
        "First picks and flushes are known by their day. On which day spawn became ready nobody "
        "wrote down, only when it was used; its days stay the route's."
    ),
    "Figures are of the past, with all that went wrong in it. They prove nothing of the next lot.",
)


@dataclass(frozen=True, slots=True)
class Read:
    """One variety's figures with what they are reckoned from."""

    variety: Variety
    route: Route
    base: Base
    steps: tuple[StepFigures, ...]
    yields: Mapping[str, CultureYields]  # by step


def grown_varieties(now: datetime | None = None) -> tuple[tuple[str, str, str], ...]:
    """Return code, name and route of every variety that has a route."""
    book, _today = planning_day.farm_book(now)
    routes = {route.code for route in book.routes}
    grown = (each for each in book.varieties if each.route in routes)
    return tuple((each.code, each.name, each.route) for each in grown)


def figures_view(variety: str = "", now: datetime | None = None) -> OwnFiguresView:
    """Return what the records say of one variety, or of all that have a route.

    Raises
    ------
    InputError
        If there is no such variety.
    """
    book, _today = planning_day.farm_book(now)
    found = tuple(_lines(each, book) for each in read_figures(variety, now))
    lots = max((_most_lots(each) for each in found), default=0)
    said = (
        "No lot is old enough yet to say anything; the routes stand."
        if not lots
        else "What your lots did, beside what your routes say. Nothing changes until you take it "
        "over."
    )
    return OwnFiguresView(said, found, METHOD)


def _most_lots(found: VarietyFigures) -> int:
    lines = (line for step in found.steps for group in step.groups for line in group.lines)
    return max((line.figure.lots for line in lines), default=0)


def read_figures(variety: str = "", now: datetime | None = None) -> tuple[Read, ...]:
    """Return the figures of one variety, or of all that have a route.

    Raises
    ------
    InputError
        If there is no such variety.
    """
    book, today = planning_day.farm_book(now)
    known = {each.code: each for each in book.varieties}
    if variety and variety not in known:
        raise InputError("variety", variety, ", ".join(known) or "none yet")
    routes = {route.code: route for route in book.routes}
    lived = _spells(last_entry_number(), register_stamp(), book.farm.time_zone)
    return tuple(
        _read(each, routes[each.route], lived, today)
        for each in book.varieties
        if each.route in routes and variety in {"", each.code}
    )


@remembered
def _spells(_entry: int, _register: int, zone: str) -> tuple[Spell, ...]:
    return spells(ZoneInfo(zone))


def _read(variety: Variety, route: Route, lived: Sequence[Spell], today: date) -> Read:
    base = _base(route, today)
    yields = {
        step.code: found
        for step in route.steps
        if step.kind is StepKind.FRUIT
        and (found := culture_yields(variety.code, step, lived, today)) is not None
    }
    figures = own_figures(variety.code, route, lived, today, base)
    return Read(variety, route, base, figures, yields)


def _base(route: Route, today: date) -> Base:
    if not taken_over(route):
        return lambda step, _what: route.step(step)
    versions = register_store.versions(RegisterKind.ROUTE, route.code)
    held = [each.record for each in versions if each.valid_from <= today]
    return base_of([each for each in held if isinstance(each, Route)], route)


def _lines(read: Read, book: FarmBook) -> VarietyFigures:
    route, variety = read.route, read.variety
    others = [v.name for v in book.varieties if v.route == route.code and v != variety]
    return VarietyFigures(
        variety.code,
        variety.name,
        route.code,
        f"The route is also that of {', '.join(others)}; taking over changes it for them, too."
        if others
        else "",
        tuple(_step(each, read, book.farm.units) for each in read.steps),
    )


def _step(found: StepFigures, read: Read, units: str) -> StepLines:
    step = read.route.step(found.step)
    taken = taken_over(read.route)
    groups = []
    for what in dict.fromkeys(figure.what for figure in found.figures):
        figures = [figure for figure in found.figures if figure.what is what]
        before = taken.get((found.step, what))
        lots = plural(before.lots, "lot") if before else ""
        groups.append(
            FigureGroup(
                what.value,
                GROUPS[what],
                tuple(line_of(figure, step, units) for figure in figures),
                can_take=can_take(found, read, what),
                taken=f"In the route since {short_day(before.on)}, from {lots}." if before else "",
                remark=rest_words(figures),
            )
        )
    noun = step_noun(step, 2)
    name = noun if noun.startswith(step.code) else f"{step.code}, {noun}"
    yields = read.yields.get(step.code)
    return StepLines(
        step.code,
        name,
        tuple(groups),
        left_out(found),
        tuple(_culture(each, units) for each in yields.cultures) if yields else (),
        _differ(yields) if yields else "",
    )


def _culture(found: CultureYield, units: str) -> CultureLine:
    own, drawn, low, high = (
        show_grams(round(grams), units) for grams in (found.own, found.drawn, found.low, found.high)
    )
    ends = f"{low} to {high}"
    return CultureLine(
        found.culture, found.lots, own, drawn, ends, found.drawn, found.low, found.high
    )


def _differ(found: CultureYields) -> str:
    return (
        f"Cultures differ by about {100.0 * found.differ:.0f} %, lots of one culture by about "
        f"{100.0 * found.lots_differ:.0f} % (one standard deviation)."
    )


def can_take(found: StepFigures, read: Read, what: What) -> bool:
    """Say whether a figure can be taken over and would change the route."""
    figures = [figure for figure in found.figures if figure.what is what]
    if any(figure.planned is None for figure in figures):
        return False
    return with_figures(read.route, found, what, read.base).steps != read.route.steps
