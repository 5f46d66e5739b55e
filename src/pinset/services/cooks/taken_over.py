"""Cooks as growers do them, taken over into a steriliser's own kinds, to be changed there."""

from __future__ import annotations

from dataclasses import replace

from pinset.services.books.record_forms import FormField, RecordForm
from pinset.tables.cook_practice import cook_preset, cook_presets

TABLE = "cooks"


def presets_to_take() -> tuple[tuple[str, str], ...]:
    """Return keys of presets and what they are: name, time with its range, how it is known."""
    found = []
    for each in cook_presets().values():
        low, high = each.hold_band_minutes
        band = f" ({low:.0f} to {high:.0f})" if high > low else ""
        found.append((each.key, f"{each.name}: {each.hold_minutes:.0f} min{band}, {each.flag}"))
    return tuple(found)


def with_preset(form: RecordForm, key: str) -> RecordForm:
    """Return a steriliser's form with a preset in the first empty row of its kinds of cook.

    Hours, hands and litres are the farm's own and stay empty, and so does the rule: a time of
    practice is no proof that anything is dead.

    Raises
    ------
    InputError
        If there is no such preset.
    """
    preset = cook_preset(key)
    taken = {"code": preset.key, "hold_minutes": f"{preset.hold_minutes:.0f}"}
    tables = []
    for table in form.tables:
        rows = list(table.rows)
        at = next((n for n, row in enumerate(rows) if not any(each.value for each in row)), None)
        if table.path == TABLE and at is not None:
            rows[at] = tuple(_filled(each, taken) for each in rows[at])
        tables.append(replace(table, rows=tuple(rows)))
    return replace(form, tables=tuple(tables))


def _filled(field: FormField, taken: dict[str, str]) -> FormField:
    name = field.path.rsplit(".", 1)[-1]
    return replace(field, value=taken[name]) if name in taken else field
