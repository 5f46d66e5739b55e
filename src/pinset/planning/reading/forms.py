"""One variety promised in two forms, by weight and in units: what one has that the other lacks."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from numpy import float64
from numpy.typing import NDArray

from pinset.planning.model.columns import Model
from pinset.planning.model.programme import Change
from pinset.planning.reading.pegging import Key
from pinset.planning.reading.shortfall import Shortfall, is_worth_saying
from pinset.planning.reading.unlimited import Passed, still_short

Form = tuple[int, str]
"""A recipe, and what is promised of it: what is picked, or units of a step."""


def held_to_the_plan(
    model: Model, change: Change, left: dict[Key, float], found: Shortfall, passed: Passed
) -> dict[Key, NDArray[float64]]:
    """Take out of what is left what only the pass, and not the plan, gives to the other form.

    Without limits the other form may get more than it does in the plan: what it would use of that
    is no reason why this one is short.

    Parameters
    ----------
    model : Model
        What the change is for.
    change : Change
        No promise is shorter in it than in the plan.
    left : dict of Key to float
        What a pass left short, changed in place. [g or units]
    found : Shortfall
        Takes as untold what no pass was solved for in time.
    passed : callable
        Solves a changed programme.

    Returns
    -------
    dict of Key to ndarray
        The columns of the pass in which less of it is short.
    """
    seen = {}
    for form, rivals in _forms(model, left).items():
        values = passed(model, _for_nothing(change, rivals))
        for key in (each for each in left if each[:2] == form):
            if values is None:
                found.leave_untold(key, left[key])
                left[key] = 0.0
                continue
            least = still_short(model, values, key, left[key])
            if is_worth_saying(key, left[key] - least):
                left[key], seen[key] = least, values
    return seen


def tell_shared(
    model: Model,
    change: Change,
    together: Mapping[Key, float],
    found: Shortfall,
    passed: Passed,
) -> None:
    """Take out of nature's part what would be there if the plan gave the other form nothing.

    No more in all than the promises of a form gain together: what one of them would only take from
    another of the same form is not shared with the other form.

    Parameters
    ----------
    model, change, passed
        As in :func:`held_to_the_plan`.
    together : mapping of Key to float
        What is short of all promises at once, the other form held to the plan. [g or units]
    found : Shortfall
        Takes what is found.
    """
    for form, rivals in _forms(model, found.unavoidable).items():
        values = passed(model, _left_out(model, change, rivals))
        keys = sorted(key for key in found.unavoidable if key[:2] == form)
        if values is None:
            for key in keys:
                found.leave_untold(key, found.unavoidable[key])
                found.unavoidable[key] = 0.0
            continue
        alone = {key: still_short(model, values, key, together[key]) for key in keys}
        gained = sum(together[key] - alone[key] for key in keys)
        for key in keys:
            share = min(gained, found.unavoidable[key] - alone[key])
            if is_worth_saying(key, share):
                found.shared[key] = share
                found.unavoidable[key] -= share
                gained -= share


def _forms(model: Model, left: Mapping[Key, float]) -> dict[Form, list[int]]:
    """Return the forms of which something is short, with the shortages of the variety's others."""
    forms = sorted({key[:2] for key, amount in left.items() if is_worth_saying(key, amount)})
    rivals = {form: _rivals(model, form) for form in forms}
    return {form: columns for form, columns in rivals.items() if columns}


def _rivals(model: Model, form: Form) -> list[int]:
    """Return the shortages of the same variety sold in another form: units beside a weight."""
    return [
        column for key, column in model.short.items() if key[0] == form[0] and key[1] != form[1]
    ]


def _for_nothing(change: Change, shorts: Iterable[int]) -> Change:
    """Return the change in which more of these promises than the plan gives is worth nothing."""
    return replace(change, cost={**change.cost, **dict.fromkeys(shorts, 0.0)})


def _left_out(model: Model, change: Change, shorts: Iterable[int]) -> Change:
    """Return the change in which these promises may be left out whole for nothing.

    No more than what is promised: a shortage above it would put units there out of nothing.
    """
    free = {column: model.programme.upper[column] for column in shorts}
    return replace(_for_nothing(change, free), upper={**change.upper, **free})
