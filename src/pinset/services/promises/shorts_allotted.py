"""What is short of which promise, once what there is has been allotted in the order of preference.

The plan knows how much of a variety is short on which day, and why; whom it falls on is told here,
so that Today and Promises say the same. A reason stays with its promise and day where that is still
short; else it is that of the same variety on the nearest day.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from pinset.planning.plan import Short
from pinset.services.book_reader import Reader
from pinset.services.promises.allotment import GRAM, Allotment, in_order
from pinset.services.promises.due_deliveries import DueDelivery, open_amount, packed_on

LEAST = {GRAM: 10.0, "unit": 0.01}
"""Less is a rounding error. [g] or units"""

GONE_BEFORE = "What is in the store and expected goes to what was promised for earlier."
TOO_OLD_OR_LATE = (
    "What is in the store keeps no longer than that, or what is expected is picked too late for it."
)

_Lack = tuple[DueDelivery, float]  # and how much of it is short


@dataclass(slots=True)
class _Left:
    """What of a shortage of the plan has not fallen on a promise yet."""

    of: Short
    amount: float


def shorts_as_allotted(
    shorts: Sequence[Short],
    due: Iterable[DueDelivery],
    allotted: Allotment,
    reader: Reader,
    until: date,
) -> tuple[Short, ...]:
    """Return the shortages of a plan as they fall on the promises of today and after it.

    Parameters
    ----------
    shorts : sequence of Short
        As the plan gave them.
    due : iterable of DueDelivery
        Every delivery in sight of the plan.
    allotted : Allotment
        What each of them gets.
    reader : Reader
        The farm's book and day.
    until : date
        Up to the day before it weight is short as it was allotted, whatever the plan says. From it
        on, where the plan is provisional, and of units always, the plan says how much is short on a
        day, and the order of preference on whom it falls.
    """
    shorts = [short for short in shorts if not is_of_owed(short)]
    everything = list(in_order(due, reader))
    ahead = [each for each in everything if each.day >= reader.today]
    near = [each for each in ahead if each.promise.measure == GRAM and each.day < until]
    told = {(each.promise.code, each.day) for each in near}
    lacking = [(each, open_amount(each) - allotted.of(each).grams) for each in near]
    lacking += _by_day(
        [each for each in ahead if (each.promise.code, each.day) not in told], shorts, reader
    )
    known = {each.promise.variety for each in ahead}
    left: dict[tuple[str, str], list[_Left]] = defaultdict(list)
    for short in shorts:
        left[short.variety, short.measure].append(_Left(short, short.amount))
    found: list[Short] = [short for short in shorts if short.variety not in known]
    for is_own in (True, False):  # own reasons first, so that none is taken by another promise
        again: list[_Lack] = []
        for each, amount in lacking:
            if not _is_much(each, amount):
                continue
            of_kind = left[each.promise.variety, each.promise.measure]
            parts, rest = _reasons(each, amount, of_kind, is_own=is_own)
            found += parts
            again.append((each, rest))
        lacking = again
    found += [
        _without_reason(each, amount, _is_served_before(each, everything, allotted))
        for each, amount in lacking
        if _is_much(each, amount)
    ]
    return tuple(sorted(found, key=lambda short: (short.day, short.variety)))


def _is_much(each: DueDelivery, amount: float) -> bool:
    return amount > LEAST.get(each.promise.measure, 0.0)


def _by_day(due: Sequence[DueDelivery], shorts: Iterable[Short], reader: Reader) -> list[_Lack]:
    """Return what is short of deliveries: the plan's sum of alike ones, on those who come last."""

    def alike(each: DueDelivery) -> tuple[object, ...]:
        promise = each.promise
        return promise.variety, promise.measure, promise.step, each.day, packed_on(each, reader)

    groups = {(each.promise.code, each.day): alike(each) for each in due}
    total: dict[tuple[object, ...], float] = defaultdict(float)
    for short in shorts:
        group = groups.get((_code(short), short.day))
        if group is not None:
            total[group] += short.amount
    found = []
    for each in reversed(due):
        amount = min(float(open_amount(each)), total[alike(each)])
        total[alike(each)] -= amount
        found.append((each, amount))
    return found[::-1]


def is_of_owed(short: Short) -> bool:
    """Say whether a shortage is of what was due before today: nobody is promised it for a day."""
    return "@" in short.promise


def _code(short: Short) -> str:
    return short.promise.split("@")[0]


def _reasons(
    each: DueDelivery, amount: float, left: Iterable[_Left], *, is_own: bool
) -> tuple[list[Short], float]:
    """Return what is short of a delivery by the plan's reasons, and what is left without one."""
    parts = []
    for part in sorted(left, key=lambda part: abs((part.of.day - each.day).days)):
        if is_own and (_code(part.of), part.of.day) != (each.promise.code, each.day):
            continue
        share = min(amount, part.amount)
        if share <= 0:
            continue
        part.amount -= share
        amount -= share
        parts.append(
            replace(
                part.of,
                promise=each.promise.code,
                day=each.day,
                amount=share,
                promised=float(each.promise.amount),
            )
        )
    return parts, amount


def _is_served_before(each: DueDelivery, due: Sequence[DueDelivery], allotted: Allotment) -> bool:
    """Say whether a delivery of the same that comes first in the order of preference gets some."""
    for other in due:
        if other == each:
            return False
        if other.promise.variety == each.promise.variety and allotted.of(other).grams > 0:
            return True
    return False


def _without_reason(each: DueDelivery, amount: float, is_served_before: bool) -> Short:  # noqa: FBT001
    return Short(
        promise=each.promise.code,
        day=each.day,
        variety=each.promise.variety,
        amount=amount,
        measure=each.promise.measure,
        promised=float(each.promise.amount),
        reason=GONE_BEFORE if is_served_before else TOO_OLD_OR_LATE,
        is_unavoidable=False,
    )
