"""Which days a cook of the programme stands for: its own, or all of a far week that can hold it."""

from __future__ import annotations

from collections.abc import Collection

from pinset.planning.model.columns import Model
from pinset.planning.resources import CookOption, SteriliserDays


def cookable_days(
    model: Model,
    steriliser: SteriliserDays,
    option: CookOption,
    bucket: int,
    mixes: Collection[str],
) -> tuple[int, ...]:
    """Return the days of a bucket with time for a cook, and with a mix that can be ready for it."""
    return tuple(
        t
        for t in model.days_of(bucket)
        if steriliser.hours[t] >= option.hours
        and steriliser.count[t] >= 1
        and any(model.problem.resources.can_be_ready(option.kind, mix, t) for mix in mixes)
    )


def serving_days(
    model: Model, steriliser: str, kind: str, days: Collection[int]
) -> tuple[int, ...]:
    """Return the days whose loads somebody opens while they keep, so that they may be used."""
    serves = model.problem.resources.serves_from
    return tuple(t for t in days if serves(steriliser, kind, t, is_last=False) is not None)


def serves_cooks_of(
    model: Model, steriliser: str, kind: str, days: Collection[int], days_before: int
) -> int | None:
    """Return the latest cook day of the soonest start that a cook may go into.

    Parameters
    ----------
    model : Model
        The programme.
    steriliser, kind : str
        Of the cook.
    days : collection of int
        On which it may be loaded: one, or those of a far week, of which the soonest is meant.
    days_before : int
        How many days before its start such a cook must be, where that is fewest. [d]

    Returns
    -------
    int or None
        A day, or the first of its week when far; None if no load of these days is ever used.
    """
    resources = model.problem.resources
    firsts = [resources.serves_from(steriliser, kind, t, is_last=False) for t in days]
    found = [first for first in firsts if first is not None]
    if not found:
        return None
    day = max(min(days), min(found) - days_before)
    return model.bucket(day) if day < model.problem.days else day
