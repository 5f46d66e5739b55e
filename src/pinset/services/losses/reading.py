"""What losses are reckoned from, read from the farm: histories, routes, signs and verdicts."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import median
from zoneinfo import ZoneInfo

from pinset.chain.histories import LotHistory, Shared
from pinset.chain.register import FarmBook
from pinset.chain.stages import Stage
from pinset.farm.queries.cooks import standing_verdicts
from pinset.farm.queries.histories import histories
from pinset.farm.queries.mended import mended
from pinset.farm.queries.sessions import plates_counted
from pinset.learning.losses.physics import of_cook, of_open_minutes, of_plates
from pinset.learning.losses.records import Mended
from pinset.learning.losses.told import Level, Work
from pinset.learning.showing import Usual
from pinset.services.bench.plates_read import bench_count
from pinset.services.looking.media import medium_of_stage
from pinset.tables.signs import Medium, Out, points_to, signs, signs_of

FEWEST_SESSIONS = 5
"""With fewer sessions of a kind of work it is not known how long vessels usually stand open."""

MOUTH_CM2 = {
    Stage.TUBE: 2.0,
    Stage.PLATE: 63.6,
    Stage.LIQUID: 38.5,
    Stage.GRAIN: 38.5,
    Stage.SAWDUST: 100.0,
    Stage.BLOCK: 100.0,
    Stage.BOTTLE: 28.3,
    Stage.BED: 100.0,
}
"""Openings of vessels through which things fall: a plate of 90 mm, a jar of 70 mm, a bottle of
60 mm, the mouth of a bag; assumed, no source. [cm2]"""

_NO_ROUTE = 0.03
"""Share expected of a cook's units where no route says it; assumed, no source."""


@dataclass(frozen=True, slots=True)
class Read:
    """Everything a reckoning reads."""

    lots: tuple[LotHistory, ...]
    usual: Mapping[Stage, Mapping[str, Usual]]
    expected: Mapping[Work, float]
    predicted: Mapping[Level, float]
    pointing: Mapping[str, frozenset[Shared]]
    mended: tuple[Mended, ...]


def read(book: FarmBook) -> Read:
    """Read the farm as its book stands."""
    lost_by = {each.key for each in signs().values() if each.out is Out.LOST}
    lots = histories(ZoneInfo(book.farm.time_zone), lost_by)
    expected = expected_losses(book)
    return Read(
        lots=lots,
        usual={stage: usual_days(medium_of_stage(stage)) for stage in {lot.stage for lot in lots}},
        expected=expected,
        predicted={
            **_of_cooks(lots, expected),
            **_of_sessions(lots),
            **_of_plates(lots, expected),
        },
        pointing=_pointing(lots),
        mended=_mended(),
    )


def _mended() -> tuple[Mended, ...]:
    kinds = {each.value: each for each in Shared}
    return tuple(
        Mended(each.entry, kinds[each.kind], each.level, each.at)
        for each in mended()
        if each.kind in kinds
    )


def expected_losses(book: FarmBook) -> dict[Work, float]:
    """Return the share of units that the route of each variety expects to lose in each step."""
    routes = {route.code: route for route in book.routes}
    return {
        (variety.code, step.code): step.loss.mean
        for variety in book.varieties
        if variety.route in routes
        for step in routes[variety.route].steps
    }


def usual_days(medium: Medium) -> dict[str, Usual]:
    """Return the days after which the signs of contamination usually show in a medium."""
    found = {}
    for sign in signs_of(medium):
        days = sign.shows_after(medium)
        if sign.out is Out.LOST and days is not None and days.low and days.high:
            found[sign.key] = Usual(days.low, days.value, days.high)
    return found


def _pointing(lots: Sequence[LotHistory]) -> dict[str, frozenset[Shared]]:
    """Return what signs seen on each lot point to, among what lots share."""
    shared = {each.value: each for each in Shared}
    found = {}
    for lot in lots:
        kinds = {
            shared[kind]
            for seen in lot.seen
            for sign in seen.signs
            for kind in points_to(sign, seen.where)
            if kind in shared
        }
        if kinds:
            found[lot.lot] = frozenset(kinds)
    return found


def _of_cooks(lots: Sequence[LotHistory], expected: Mapping[Work, float]) -> dict[Level, float]:
    """Return what the lethality of each cook that was judged by F0 predicts."""
    of_cook_lots: defaultdict[str, list[float]] = defaultdict(list)
    for lot in lots:
        if Shared.COOK in lot.shared:
            share = expected.get((lot.variety, lot.step), _NO_ROUTE)
            of_cook_lots[lot.shared[Shared.COOK]].append(share)
    found: dict[Level, float] = {}
    for cook, verdict in standing_verdicts(of_cook_lots).items():
        f0 = slowest_f0(verdict.details)
        if f0 is not None:
            share = min(max(median(of_cook_lots[cook]), 0.001), 0.5)
            found[Shared.COOK, cook] = of_cook(f0, share)
    return found


def slowest_f0(details: Mapping[str, object]) -> float | None:
    """Return the F0 of the slowest core that a verdict rests on; None where it rests on none.

    A cook judged by a hold at a temperature is meant to leave a flora: nothing follows from its F0.
    """
    judged = details.get("judged")
    if not isinstance(judged, Mapping) or not str(judged.get("rule", "")).startswith("F0"):
        return None
    for probe in judged.get("probes", ()):
        if probe.get("name") == judged.get("slowest") and probe.get("role") == "core":
            f0 = probe.get("f0_min")
            return float(f0) if f0 is not None else None
    return None


def _of_sessions(lots: Sequence[LotHistory]) -> dict[Level, float]:
    """Return what the minutes that vessels stood open predict of each bench session."""
    usual: defaultdict[str, list[float]] = defaultdict(list)
    for lot in lots:
        if each := _minutes_each(lot):
            usual[lot.step].append(each)
    told: defaultdict[str, list[float]] = defaultdict(list)
    for lot in lots:
        each = _minutes_each(lot)
        if each and len(usual[lot.step]) >= FEWEST_SESSIONS:
            told[lot.shared[Shared.SESSION]].append(each / median(usual[lot.step]))
    return {
        (Shared.SESSION, session): of_open_minutes(median(times), 1.0)
        for session, times in told.items()
    }


def _of_plates(lots: Sequence[LotHistory], expected: Mapping[Work, float]) -> dict[Level, float]:
    """Return what the settle plates of each bench session predict, where they were counted."""
    of_session: defaultdict[str, list[LotHistory]] = defaultdict(list)
    for lot in lots:
        if Shared.SESSION in lot.shared and _minutes_each(lot):
            of_session[lot.shared[Shared.SESSION]].append(lot)
    found: dict[Level, float] = {}
    for session, count in plates_counted().items():
        at_bench = bench_count(count)
        if at_bench is None or session not in of_session:
            continue
        found[Shared.SESSION, session] = median(
            of_plates(
                at_bench.colonies,
                at_bench.plates,
                at_bench.minutes,
                mouth_cm2=MOUTH_CM2[lot.stage],
                open_min=_minutes_each(lot) or 0.0,
                expected=min(max(expected.get((lot.variety, lot.step), _NO_ROUTE), 0.001), 0.5),
            )
            for lot in of_session[session]
        )
    return found


def _minutes_each(lot: LotHistory) -> float | None:
    """Return the minutes that one vessel of a lot stood open, where they were written down."""
    if not lot.open_min or Shared.SESSION not in lot.shared or not lot.units:
        return None
    return lot.open_min / lot.units
