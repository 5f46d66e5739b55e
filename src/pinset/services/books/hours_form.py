"""Somebody's hours of each weekday as seven fields of a form: ``hours.0`` is Monday's."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isfinite
from typing import Any

from pinset.chain.day_hours import ACCEPTED, DayHours, is_in_spans, spans_text
from pinset.errors import InputError

WEEK = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


def is_week(kind: Any) -> bool:
    """Say whether a field holds hours for each weekday."""
    return bool(kind == tuple[DayHours, ...])


def week_shown(path: str, hours: Sequence[DayHours]) -> Iterator[tuple[str, str, str]]:
    """Yield path, label and value of each weekday's field."""
    given = [*hours, *([0.0] * len(WEEK))]
    for number, day in enumerate(WEEK):
        each = given[number]
        shown = each if isinstance(each, str) else f"{each:.12g}"
        yield f"{path}.{number}", f"hours on {day}", shown


def week_read(tree: Any, path: str) -> list[DayHours]:
    """Return the hours that were filled in, Monday first; an empty field has none.

    Raises
    ------
    InputError
        If one is neither a number nor times by the clock; the field is named by its path.
    """
    if not isinstance(tree, dict) or not set(tree) <= {str(each) for each in range(len(WEEK))}:
        raise InputError(path, tree, "hours for each weekday")
    return [_hours(tree.get(str(day), ""), f"{path}.{day}") for day in range(len(WEEK))]


def _hours(text: Any, field: str) -> DayHours:
    if not isinstance(text, str):
        raise InputError(field, text, ACCEPTED)
    typed = text.strip()
    if is_in_spans(typed):
        return spans_text(typed, field)
    try:
        number = float(typed.replace(",", ".") or 0)
    except ValueError:
        raise InputError(field, text, ACCEPTED) from None
    if not isfinite(number):
        raise InputError(field, text, ACCEPTED)
    return number
