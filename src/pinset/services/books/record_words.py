"""One line about a record of the farm's book, as the settings list it."""

from __future__ import annotations

from typing import Any

from pinset.chain.day_hours import hours_count
from pinset.chain.plain import to_plain
from pinset.services.books.prices import is_price
from pinset.services.books.record_forms import label_of, quantity_of, unit_of
from pinset.services.words import joined, plural
from pinset.units import Quantity, show

MOST_TOLD = 4
SINGULAR = {"shelves": "shelf", "cooks": "kind of cook", "steps": "step", "climates": "climate"}
SEVERAL = {"cooks": "kinds of cook"}
YES_NO = {
    "laboratory": ("works in the laboratory", "not in the laboratory"),
    "cleared": ("cleared for use", "not cleared for use"),
}
PASCALS = 1e5  # in one bar
GRAMS = 1000.0  # in one kilogram


def summary(record: Any, units: str = "metric") -> str:
    """Return what matters most of a record: ``incubation, 22 °C, 2 shelves``.

    ``units`` is the farm's choice, ``metric`` or ``us``. What holds by default is left out.
    """
    plain = to_plain(record)
    said = [
        _said(name, value, units)
        for name, value in plain.items()
        if name not in {"code", "name"} and value not in ("", None, [])
    ]
    return ", ".join([part for part in said if part][:MOST_TOLD])


def _said(name: str, value: Any, units: str) -> str:
    if isinstance(value, bool):
        return YES_NO[name][not value] if name in YES_NO else f"{label_of(name)}: {_word(value)}"
    if isinstance(value, list):
        return _list(name, value)
    if isinstance(value, dict):
        return ""
    quantity = quantity_of(name)
    if quantity is not None and isinstance(value, (int, float)):
        return f"{label_of(name)} {_measured(name, quantity, float(value), units)}"
    if is_price(name):
        return ""  # prices stand in the form, with their currency
    unit = unit_of(name)
    if isinstance(value, float):
        value = f"{value:g}"
    return f"{label_of(name)} {value}{f' {unit}' if unit else ''}"


def _word(value: bool) -> str:  # noqa: FBT001  (one value turned into a word)
    return "yes" if value else "no"


def _list(name: str, value: list[Any]) -> str:
    if name == "hours":
        return f"{sum(map(hours_count, value)):g} hours a week"
    if all(isinstance(item, str) for item in value):
        return f"{label_of(name)} {joined(value)}"
    return plural(len(value), SINGULAR.get(name, label_of(name)), SEVERAL.get(name, label_of(name)))


def _measured(name: str, quantity: Quantity, value: float, units: str) -> str:
    if name.endswith("_bar_gauge"):
        return f"{show(quantity, value * PASCALS, units)} on the gauge"
    return show(quantity, value / GRAMS if name.endswith("_g") else value, units)
