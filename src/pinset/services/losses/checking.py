"""How many units of a lot to check before it is trusted, and when a check is worth it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from math import ceil

from pinset.errors import InputError
from pinset.farm.queries import living
from pinset.farm.queries.lots import lot_by_code, rows_of
from pinset.learning.checked_units import assurance_of_clean, units_to_check
from pinset.learning.losses.records import Shows
from pinset.services.clock import now_utc
from pinset.services.losses import reckoning
from pinset.services.losses.check_words import delivery_check, lost_so_far
from pinset.services.losses.view import CAUTION
from pinset.services.plans import planning_day
from pinset.services.words import plural

MOST_DAYS = 120
_LATER = (1, 2, 3, 4, 5, 6, 7, 10, 14, 21, 28)


@dataclass(frozen=True, slots=True)
class CheckPlan:
    """What a check of one lot is worth."""

    lot: str
    units: int
    age_days: int
    shown: float  # share of what is bad that would have shown by now
    bad: int  # units that must not be missed
    assurance: float
    check: int | None  # units to look over now; None: not even all of them say so much
    all_clean: float  # assurance if all are looked over now and nothing is seen
    in_days: int | None  # from when a check would say so much, if not now
    check_then: int | None
    sentences: tuple[str, ...]
    caution: str = CAUTION


def check_plan(
    lot: str, bad_percent: float = 5.0, assurance: float = 0.95, now: datetime | None = None
) -> CheckPlan:
    """Return how many units of a lot to check.

    Parameters
    ----------
    lot : str
        Code of a lot that is alive.
    bad_percent : float
        Share of bad units that must not be missed, above 0 up to 100. [%]
    assurance : float
        Chance that at least one would be found if so many are bad, between 0 and 1.

    Raises
    ------
    InputError
        If there is no such lot alive, or a number is out of its range.
    """
    if not 0.0 < bad_percent <= 100.0:  # noqa: PLR2004
        raise InputError("bad units", bad_percent, "above 0, up to 100 percent")
    _book, today = planning_day.farm_book(now)
    code = lot.strip().upper()
    parts = living(today, lots=[code])
    if not parts:
        raise InputError("lot", lot, "the code of a lot that is alive")
    shows = _shows(parts[0].stage, now)
    age = max(0, (today - parts[0].made_on).days)
    units = sum(part.alive for part in parts)
    bad = min(units, max(1, ceil(units * bad_percent / 100.0 - 1e-9)))
    seen = shows.shown_by(age)
    check = units_to_check(units, bad, assurance=assurance, seen=seen)
    later = None if check is not None else _later(shows, age, units, bad, assurance)
    plan = CheckPlan(
        lot=code,
        units=units,
        age_days=age,
        shown=seen,
        bad=bad,
        assurance=assurance,
        check=check,
        all_clean=assurance_of_clean(units, bad, units, seen=seen),
        in_days=later[0] if later else None,
        check_then=later[1] if later else None,
        sentences=(),
    )
    [row] = rows_of([lot_by_code(code)])
    more = (lost_so_far(row), delivery_check(row, units, bad_percent))
    return replace(plan, sentences=(*_sentences(plan), *(said for said in more if said)))


def _shows(stage: str, now: datetime | None) -> Shows:
    kept = reckoning.latest() or reckoning.reckon_now(now or now_utc())
    for each in kept.reckoned.shows:
        if each.stage.value == stage:
            return each
    raise InputError("lot", stage, "a lot that grows: tubes, plates, liquid, spawn, blocks")


def _later(
    shows: Shows, age: int, units: int, bad: int, assurance: float
) -> tuple[int, int] | None:
    for days in _LATER:
        check = units_to_check(units, bad, assurance=assurance, seen=shows.shown_by(age + days))
        if check is not None:
            return days, check
    return None


def _sentences(plan: CheckPlan) -> tuple[str, ...]:
    wanted = (
        f"so that {plural(plan.bad, 'bad unit')} among {plan.units} would be noticed with "
        f"{100.0 * plan.assurance:.0f} % certainty"
    )
    shown = (
        f"{plan.lot}: {plural(plan.units, 'unit')}, {plural(plan.age_days, 'day')} old. Of what is "
        f"contaminated {100.0 * plan.shown:.0f} % would show by now."
    )
    if plan.check is not None:
        said = f"Look over {plan.check} of them, drawn from all over the lot, {wanted}."
        rest = (
            "None seen among them says that there are hardly more, never that there are none."
            if plan.check < plan.units
            else "That is all of them: looking at fewer says less."
        )
        return shown, said, rest
    said = (
        f"Looking over all of them today says too little: with nothing seen it is "
        f"{100.0 * plan.all_clean:.0f} % certain that {plural(plan.bad, 'bad unit')} would have "
        "been noticed."
    )
    if plan.in_days is None:
        return shown, said, "It will not show enough within four weeks; take a larger share."
    return (
        shown,
        said,
        f"In {plural(plan.in_days, 'day')} looking over {plan.check_then} is enough, {wanted}.",
    )
