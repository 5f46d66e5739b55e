"""Prices in a record's form as the farm says them: in its money, by the weight it weighs in."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from typing import Any

from pinset.services.books.prices import (
    is_by_weight,
    is_price,
    kilograms_in,
    price_cents,
    price_shown,
)
from pinset.services.books.record_forms import FormField, RecordForm, columns_of, form_of


def priced(form: RecordForm, currency: str, weighed_in: str) -> RecordForm:
    """Return a form with the currency beside its prices, those of a weight by its unit."""

    def own(field: FormField) -> FormField:
        name = field.path.rsplit(".", 1)[-1]
        if not is_price(name):
            return field
        if not is_by_weight(name) or weighed_in == "kg":
            return dataclasses.replace(field, unit=currency)
        label = field.label.removesuffix("kg") + weighed_in
        cents = price_cents(field.value, field.path) if field.value else None
        shown = "" if cents is None else price_shown(round(cents * kilograms_in(weighed_in)))
        return dataclasses.replace(field, unit=currency, label=label, value=shown)

    tables = []
    for table in form.tables:
        rows = tuple(tuple(map(own, row)) for row in table.rows)
        tables.append(dataclasses.replace(table, columns=columns_of(rows[0]), rows=rows))
    return RecordForm(tuple(map(own, form.fields)), tuple(tables))


def by_the_kilogram(
    cls: type[Any], values: Mapping[str, str], old: Any | None, weighed_in: str
) -> dict[str, str]:
    """Return what was typed, with prices of a weight as those of a kilogram.

    One that is left as it was shown stays as it was: shown by the pound it is rounded.

    Raises
    ------
    InputError
        If one is no amount of money.
    """
    if weighed_in == "kg":
        return dict(values)
    kept = {each.path: each.value for each in form_of(cls, old).fields}
    shown = {each.path: each.value for each in priced(form_of(cls, old), "", weighed_in).fields}
    found = dict(values)
    for path, text in values.items():
        if not is_by_weight(path.rsplit(".", 1)[-1]) or not text.strip():
            continue
        if text.strip() == shown.get(path):
            found[path] = kept[path]
        else:
            found[path] = price_shown(
                round(price_cents(text.strip(), path) / kilograms_in(weighed_in))
            )
    return found
