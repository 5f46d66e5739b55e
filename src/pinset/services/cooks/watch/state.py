"""How a cook stands that is going on: from its readings so far, as plain records.

Pure: readings, load, rule and the moment are given; nothing is read from a farm.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from functools import lru_cache

from pinset.errors import Finding, InputError
from pinset.science.heating.heating import Material
from pinset.science.heating.holding import cooling_time
from pinset.science.heating.loads import Fill, fill_of
from pinset.science.judging.cook_rules import rule_in_words
from pinset.science.judging.records import Rule
from pinset.science.lethality.lethality import f_band, lethal_rate
from pinset.science.steam.steam import saturation_temperature
from pinset.science.thinning import thinned
from pinset.science.watching.going_on import CoreNow, WatchedLoad
from pinset.science.watching.pace import KnownUnit
from pinset.science.watching.watching import Watching, watch
from pinset.services.cooks.ahead.planning import LIQUID_OPEN_C, CookPlan, plan_cook
from pinset.services.cooks.judge.judging import plain_findings
from pinset.services.cooks.loads import Heat, LoadPlan
from pinset.services.cooks.watch.doubts import is_gauge_leap
from pinset.services.cooks.watch.freezing import thawed
from pinset.services.cooks.watch.pressure import pressure_of
from pinset.services.cooks.watch.records import (
    CookNow,
    Curve,
    Curves,
    Unsure,
    WatchErrors,
    WatchReading,
)
from pinset.services.cooks.watch.speech import BAR_KPA, MINUTE, STALE, Speech, Times
from pinset.services.cooks.watch.times import times_of
from pinset.services.cooks.watch.waiting import waiting
from pinset.services.cooks.watch.words import findings_of, sentence_of

NAN = float("nan")
UNKNOWN = WatchErrors()
PLAIN = Speech()
COOLING_K = 5.0  # a chamber so far below what was wanted is off
MEASURED_NAME = "core, as its probe reads"
KPA_LEAST = 1.0


def watch_state(
    load: LoadPlan,
    rule: Rule,
    readings: Iterable[WatchReading],
    now: datetime,
    *,
    heated_since: datetime | None = None,
    errors: WatchErrors = UNKNOWN,
    speech: Speech = PLAIN,
    is_over: bool = False,
    is_clock_off: bool = False,
    more: Sequence[Finding] = (),
) -> CookNow:
    """Return how a cook stands.

    Parameters
    ----------
    load : LoadPlan
        Vessel, load and surroundings; its altitude and plate count.
    rule : Rule
        What the slowest core is to reach.
    readings : iterable of WatchReading
        So far, in any order; of the same moment they are put together.
    now : datetime
        The present moment, with its zone.
    heated_since : datetime, optional
        When its heat went on, if somebody said it.
    errors : WatchErrors
        Of the instruments.
    speech : Speech
        Units and clock of what is said.
    is_over : bool
        Whether the cook has ended: then nothing is said of readings that stopped.
    is_clock_off : bool
        Whether the clock of a logger is wrong: then no end is promised.
    more : sequence of Finding
        What else is to be said, such as of its instruments.

    Raises
    ------
    InputError
        If load and rule make no cook, or a reading is out of range.
    """
    plan, fill = planned(load, rule)
    rows, frozen = thawed(together(readings), speech)
    if not rows:
        return waiting(plan, now, more)
    began = rows[0].at
    watched = watch(
        [(row.at - began).total_seconds() for row in rows],
        [_or_nan(row.chamber_c) for row in rows],
        [_pressure_kpa(row, load, plan.atmosphere_kpa) for row in rows],
        [_or_nan(row.core_c) for row in rows],
        _load(load, plan, fill, errors, _seconds(heated_since, began)),
        rule,
    )
    gauge = next((row.gauge_bar for row in reversed(rows) if row.gauge_bar is not None), None)
    recent = next((row.at for row in reversed(rows) if row.gauge_bar is not None), began)
    pressure = pressure_of(
        watched,
        load,
        errors,
        gauge_bar=gauge if rows[-1].at - recent <= STALE else None,
        atmosphere_kpa=plan.atmosphere_kpa,
        speech=speech,
    )
    danger = "" if is_over else pressure.danger
    stage, times = times_of(
        watched, plan, began, rows[-1].at, now, is_danger=bool(danger), is_clock_off=is_clock_off
    )
    findings = findings_of(
        watched,
        rule=rule,
        errors=errors,
        atmosphere_kpa=plan.atmosphere_kpa,
        times=times,
        is_over=is_over,
        speech=speech,
    )
    if not is_over:
        beside = [each for each in findings if not (danger and is_gauge_leap(each))]
        findings = [*pressure.findings, *beside]
    ruling = watched.cores[0] if watched.cores else None
    quick = watched.cores[-1] if len(watched.cores) > 1 else None
    f0 = ruling.earned.f0_counted if ruling else None
    error_k = errors.core_k if watched.is_measured else errors.chamber_k
    opened, cool = _cooling(load, fill, plan, watched, times)
    chamber = watched.chamber
    return CookNow(
        stage=stage,
        sentence=sentence_of(
            stage,
            watched,
            times,
            rule=rule,
            wanted_c=plan.chamber_c,
            is_over=is_over,
            speech=speech,
            danger=danger,
        ),
        now=now,
        last_at=rows[-1].at,
        rule=rule_in_words(rule),
        chamber_c=chamber.now_c if chamber else None,
        chamber_by=("gauge" if chamber.is_by_gauge else "probe") if chamber else "",
        wanted_c=plan.chamber_c,
        gauge_bar=gauge,
        steam_c=_steam(gauge, plan.atmosphere_kpa),
        core_c=ruling.now_c if ruling else None,
        core_quick_c=quick.now_c if quick else None,
        core_by=("measured" if watched.is_measured else "reckoned") if ruling else "",
        f0_min=f0,
        f0_low_min=None if f0 is None else f_band(f0, error_k)[0],
        held_min=ruling.earned.held_min if ruling and rule.hold_c is not None else None,
        left_min=times.left_min,
        left_quick_min=times.left_quick_min,
        again_min=times.again_min,
        again_quick_min=_minutes(quick.again_s) if quick and times.again_min else None,
        end_at=times.end_at,
        latest_at=times.latest_at,
        likely_at=times.likely_at,
        unsure=times.unsure,
        enough_since=times.enough_since,
        open_at=opened,
        inoculate_at=cool,
        findings=plain_findings([*findings, *frozen, *more]),
        cautions=cautions_of(load),
        curves=_curves(watched, began, times.enough_since),
        readings=len(rows),
    )


@lru_cache(maxsize=32)
def planned(load: LoadPlan, rule: Rule) -> tuple[CookPlan, Fill]:
    """Return the cook worked out beforehand, and what the load is to heat.

    Raises
    ------
    InputError
        If they make no cook.
    """
    plan = plan_cook(load, rule)
    middle = (load.start_c + plan.chamber_c) / 2.0
    return plan, fill_of(load.filling, load.shape, load.mass_kg, load.moisture, middle)


def together(readings: Iterable[WatchReading]) -> list[WatchReading]:
    """Return readings by time, those of one moment as one; what came later in the list counts."""
    found: dict[datetime, WatchReading] = {}
    for each in readings:
        known = found.get(each.at, each)
        found[each.at] = WatchReading(
            each.at,
            known.chamber_c if each.chamber_c is None else each.chamber_c,
            known.gauge_bar if each.gauge_bar is None else each.gauge_bar,
            known.core_c if each.core_c is None else each.core_c,
        )
    return [found[at] for at in sorted(found)]


def cautions_of(load: LoadPlan) -> tuple[str, ...]:
    """Return the keys of the cautions that stand beside such a cook while it runs."""
    if load.heat is Heat.PRESSURE_STEAM:
        return ("pressure", "relief-valve", "venting", "opening", "vacuum", "dry-firing",
                "not-proof")  # fmt: skip
    if load.heat is Heat.OPEN_STEAM:
        return ("sealed-vessel", "steam", "carbon-monoxide", "dry-firing", "opening", "not-proof")
    return ("scald", "carbon-monoxide", "wet-floor", "not-proof")


def _minutes(seconds: float | None) -> float | None:
    return None if seconds is None else seconds / MINUTE


def _pressure_kpa(row: WatchReading, load: LoadPlan, atmosphere_kpa: float) -> float:
    """Return the absolute pressure at a reading; in an open steamer it is the air's outside."""
    if row.gauge_bar is None and row.chamber_c is not None and load.heat is Heat.OPEN_STEAM:
        return atmosphere_kpa
    return _or_nan(row.gauge_bar) * BAR_KPA + atmosphere_kpa


def _or_nan(value: float | None) -> float:
    return NAN if value is None else value


def _seconds(heated_since: datetime | None, began: datetime) -> float | None:
    return None if heated_since is None else min(0.0, (heated_since - began).total_seconds())


def _load(
    load: LoadPlan, plan: CookPlan, fill: Fill, errors: WatchErrors, since_s: float | None
) -> WatchedLoad:
    own = None
    if load.learnt is not None:
        own = load.learnt.unit(load.shape, fill.heat_capacity, plan.inside_kpa)
    return WatchedLoad(
        cases=tuple(
            (case.name, case.taken_as.unit(load.shape, fill.heat_capacity, plan.inside_kpa))
            for case in plan.cases
        ),
        start_c=load.start_c,
        wanted_c=plan.chamber_c,
        come_up_s=load.come_up_min * MINUTE,
        atmosphere_kpa=plan.atmosphere_kpa,
        probe_error_k=errors.chamber_k,
        core_error_k=errors.core_k,
        gauge_error_kpa=errors.gauge_kpa,
        since_s=since_s,
        known=KnownUnit(load.shape, fill, own),
    )


def _steam(gauge_bar: float | None, atmosphere_kpa: float) -> float | None:
    if gauge_bar is None or gauge_bar * BAR_KPA + atmosphere_kpa < KPA_LEAST:
        return None
    return saturation_temperature(gauge_bar * BAR_KPA + atmosphere_kpa)


def _cooling(
    load: LoadPlan, fill: Fill, plan: CookPlan, watched: Watching, times: Times
) -> tuple[datetime | None, datetime | None]:
    """Return when it may be opened as far as heat goes (liquids), and when it may be inoculated."""
    end = times.latest_at if times.unsure is Unsure.LAW else times.end_at
    if end is None or not watched.cores:
        return None, None
    ruling, chamber = watched.cores[0], watched.chamber
    begin, from_c = end, plan.chamber_c
    is_off = chamber is not None and chamber.now_c < plan.chamber_c - COOLING_K
    if times.enough_since is not None:
        begin = times.now
        if is_off:
            begin, from_c = times.last_at, ruling.now_c
    material = ruling.unit.material
    opened = None
    if not fill.has_vapour:
        opened = _cool_at(load, material, begin, from_c, LIQUID_OPEN_C)
    return opened, _cool_at(load, material, begin, from_c, load.inoculate_c)


def _cool_at(
    load: LoadPlan, material: Material, begin: datetime, from_c: float, to_c: float
) -> datetime | None:
    if from_c <= to_c:
        return begin
    try:
        seconds = cooling_time(load.shape, material, from_c, to_c, load.air_c)
    except InputError:
        return None  # never so cool in this air, or not within ten days
    return begin + timedelta(seconds=seconds)


def _curves(watched: Watching, began: datetime, enough_since: datetime | None) -> Curves:
    lines = []
    if watched.chamber is not None:
        minutes = watched.chamber.seconds / MINUTE
        lines.append(Curve("", "chamber", thinned(minutes, watched.chamber.celsius)))
    for number, each in enumerate(watched.cores):
        name = MEASURED_NAME if watched.is_measured else each.name
        pieces = thinned(each.core.seconds / MINUTE, each.core.celsius)
        lines.append(Curve(name, "core", pieces, number == 0))
    ruling: Sequence[CoreNow] = watched.cores[:1]
    killing = tuple(
        piece
        for each in ruling
        for piece in thinned(each.core.seconds / MINUTE, lethal_rate(each.core.celsius))
    )
    return Curves(
        tuple(lines),
        killing,
        None if enough_since is None else (enough_since - began).total_seconds() / MINUTE,
        began.isoformat(),
    )
