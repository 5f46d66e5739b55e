"""A record as fields and tables that can be filled in, and back.

Every single value has a path: ``temperature_c``, ``shelves.2.holds``, ``steps.3.days.low``,
``steps.3.parents.0.step``. Fields that stand alone come first; each list of records becomes a table
with a few empty rows for new ones. A row whose fields are all empty is left out when read back.
"""

from __future__ import annotations

import dataclasses
import re
import types
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

from pinset.chain.plain import from_plain, to_plain
from pinset.errors import InputError
from pinset.services.books.hours_form import is_week, week_read, week_shown
from pinset.services.books.prices import is_price, price_cents, price_shown
from pinset.units import Quantity, convert, grams, parse, rounded

T = TypeVar("T")
EMPTY_ROWS = 2
MOST_ROWS = 400
TRUE = frozenset({"1", "true", "yes", "on"})
FALSE = frozenset({"", "0", "false", "no", "off"})
UNITS = {
    "_g": "g",
    "_kg": "kg",
    "_ml": "ml",
    "_c": "°C",
    "_days": "days",
    "_hours": "h",
    "_minutes": "min",
    "_m": "m",
    "_mm": "mm",
    "_bar_gauge": "bar on the gauge",
}

MEASURED = {
    "_g": (Quantity.MASS, "g", 0),
    "_kg": (Quantity.MASS, "kg", 3),
    "_c": (Quantity.TEMPERATURE, "°C", 2),
    "_m": (Quantity.LENGTH, "m", 2),
    "_mm": (Quantity.LENGTH, "mm", 3),
    "_bar_gauge": (Quantity.GAUGE_PRESSURE, "bar", 3),
}
"""What may be typed with another unit: quantity, unit of a bare number, places kept of others."""
BARE = re.compile(r"[+-]?\d+(?:[.,]\d+)?")
THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}")


@dataclass(frozen=True, slots=True)
class FormField:
    """One value that can be filled in."""

    path: str
    label: str
    kind: str  # text, number, whole, date, yes, choice
    value: str
    options: tuple[str, ...] = ()
    unit: str = ""
    is_required: bool = False


@dataclass(frozen=True, slots=True)
class FormTable:
    """A list of records inside a record."""

    path: str
    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[FormField, ...], ...]


@dataclass(frozen=True, slots=True)
class RecordForm:
    """Everything of one record."""

    fields: tuple[FormField, ...]
    tables: tuple[FormTable, ...]


def label_of(name: str) -> str:
    """Return a field name as words, without its unit: ``keeps days warm``, ``price per kg``."""
    if is_price(name):
        return name.replace("_cents", "").replace("_", " ")
    ending = _ending(name)
    return name[: len(name) - len(ending)].replace("_", " ")


def unit_of(name: str) -> str:
    """Return the unit a field name ends in."""
    return UNITS.get(_ending(name), "")


def quantity_of(name: str) -> Quantity | None:
    """Return what a field measures by the unit its name ends in, if that can be converted."""
    measured = MEASURED.get(_ending(name))
    return measured[0] if measured else None


def _ending(name: str) -> str:
    """Return the ending of a field name that is its unit; a price per kilogram is no mass."""
    for ending in sorted(UNITS, key=len, reverse=True):
        if name.endswith(ending) and len(name) > len(ending):
            return "" if name.endswith(f"_per{ending}") else ending
    return ""


def form_of(cls: type[Any], record: Any | None) -> RecordForm:
    """Return the form of a record, or an empty one for a new record of that class."""
    fields: list[FormField] = []
    tables: list[FormTable] = []
    _collect(cls, record, "", fields, tables)
    return RecordForm(tuple(fields), tuple(tables))


def _collect(
    cls: type[Any], record: Any, prefix: str, fields: list[FormField], tables: list[FormTable]
) -> None:
    hints = get_type_hints(cls)
    for f in dataclasses.fields(cls):
        kind = hints[f.name]
        path = f"{prefix}{f.name}"
        value = getattr(record, f.name) if record is not None else _default(f)
        inner = _record_item(kind)
        if inner is not None:
            tables.extend(_tables(inner, value or (), path, f.name))
        elif is_week(kind):
            fields += [FormField(p, w, "text", v) for p, w, v in week_shown(path, value or ())]
        elif dataclasses.is_dataclass(_plain_kind(kind)):
            _collect(_plain_kind(kind), value, f"{path}.", fields, tables)
        else:
            fields.append(_field(f, kind, path, value))


def _default(f: dataclasses.Field[Any]) -> Any:
    if f.default is not dataclasses.MISSING:
        return f.default
    return None if f.default_factory is dataclasses.MISSING else f.default_factory()


def _record_item(kind: Any) -> type[Any] | None:
    """Return the record class of ``tuple[Record, ...]``, else None."""
    if get_origin(kind) is tuple and dataclasses.is_dataclass(get_args(kind)[0]):
        item: type[Any] = get_args(kind)[0]
        return item
    return None


def _plain_kind(kind: Any) -> Any:
    if get_origin(kind) in (Union, types.UnionType):
        return next(option for option in get_args(kind) if option is not type(None))
    return kind


def _tables(item: type[Any], rows: Iterable[Any], path: str, name: str) -> Iterable[FormTable]:
    shown: list[tuple[FormField, ...]] = []
    below: list[FormTable] = []
    filled = list(rows)
    for i, row in enumerate([*filled, *([None] * EMPTY_ROWS)]):
        fields: list[FormField] = []
        tables: list[FormTable] = []
        _collect(item, row, f"{path}.{i}.", fields, tables)
        if row is None:
            fields = [dataclasses.replace(field, value="", is_required=False) for field in fields]
        else:
            title = str(getattr(row, "code", i + 1))
            below += [
                dataclasses.replace(table, title=f"{title}: {table.title}") for table in tables
            ]
        shown.append(tuple(fields))
    yield FormTable(path, label_of(name), columns_of(shown[0]), tuple(shown))
    yield from below


def columns_of(row: Iterable[FormField]) -> tuple[str, ...]:
    """Return the heads of a table, each with its unit."""
    return tuple(f"{field.label}{f' ({field.unit})' if field.unit else ''}" for field in row)


def _field(f: dataclasses.Field[Any], kind: Any, path: str, value: Any) -> FormField:
    base = _plain_kind(kind)
    required = f.default is dataclasses.MISSING and f.default_factory is dataclasses.MISSING
    shown, word = _shown(base, value), "text"
    options: tuple[str, ...] = ()
    if is_price(f.name):
        shown, word = ("" if value is None else price_shown(value)), "number"
    elif base is bool:
        word = "yes"
    elif base is int:
        word = "whole"
    elif base is float:
        word = "number"
    elif base is date:
        word = "date"
    elif isinstance(base, type) and issubclass(base, Enum):
        word, options = "choice", tuple(str(member.value) for member in base)
    parts = [part for part in path.split(".") if not part.isdigit()]
    label = " ".join(label_of(part) for part in parts[-2:]) if _is_spread(parts) else None
    return FormField(
        path=path,
        label=label or label_of(f.name),
        kind=word,
        value=shown,
        options=options,
        unit=unit_of(f.name) or (unit_of("_days") if "days" in parts[-2:] else ""),
        is_required=required,
    )


def _is_spread(parts: list[str]) -> bool:
    return len(parts) > 1 and parts[-1] in {"low", "mode", "high"}


def _shown(base: Any, value: Any) -> str:
    if value is None:
        return ""
    if get_origin(base) is tuple:
        return ", ".join(_plainly(item) for item in value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return _plainly(value)


def _plainly(value: Any) -> str:
    plain = to_plain(value)
    return f"{plain:.12g}" if isinstance(plain, float) else str(plain)


def record_from(cls: type[T], values: Mapping[str, str]) -> T:
    """Return the record that the filled-in values describe.

    Raises
    ------
    InputError
        If a value cannot be read; the field is named by its path.
    """
    tree: dict[str, Any] = {}
    for path, text in values.items():
        if not re.fullmatch(r"[a-z_]+(\.[a-z_0-9]+)*", path):
            raise InputError("field", path, "a field of this record")
        branch = tree
        *way, last = path.split(".")
        for part in way:
            branch = branch.setdefault(part, {})
            if not isinstance(branch, dict):
                raise InputError("field", path, "a field of this record")
        branch[last] = text.strip()
    plain = _read(cls, tree, "")
    return from_plain(cls, plain, path=label_of(cls.__name__.lower()))


def _read(kind: Any, tree: Any, path: str) -> Any:
    base = _plain_kind(kind)
    item = _record_item(base)
    if item is not None:
        return _read_rows(item, tree, path)
    if is_week(base):
        return week_read(tree, path.rstrip("."))
    if dataclasses.is_dataclass(base):
        return _read_fields(base, tree, path)
    return _read_value(base, tree, path)


def _read_fields(cls: Any, tree: Any, path: str) -> dict[str, Any]:
    if not isinstance(tree, dict):
        raise InputError(path, tree, "the fields of a record")
    hints = get_type_hints(cls)
    unknown = sorted(set(tree) - set(hints))
    if unknown:
        raise InputError(f"{path}{unknown[0]}", tree[unknown[0]], "a field of this record")
    found: dict[str, Any] = {}
    for name, value in tree.items():
        if value == "" and _plain_kind(hints[name]) is not bool:
            continue  # left empty: the default holds
        found[name] = _read(hints[name], value, f"{path}{name}.")
    return found


def _read_rows(item: type[Any], tree: Any, path: str) -> list[Any]:
    if not isinstance(tree, dict) or not all(key.isdigit() for key in tree):
        raise InputError(path, tree, "the rows of a table")
    if len(tree) > MOST_ROWS:
        raise InputError(path, len(tree), f"at most {MOST_ROWS} rows")
    rows = []
    for key in sorted(tree, key=int):
        if _is_empty(tree[key]):
            continue
        rows.append(_read_fields(item, tree[key], f"{path}{key}."))
    return rows


def _is_empty(tree: Any) -> bool:
    if isinstance(tree, dict):
        return all(_is_empty(value) for value in tree.values())
    return tree in {"", "no"}


def _read_value(base: Any, text: Any, path: str) -> Any:
    field = path.rstrip(".")
    if not isinstance(text, str):
        raise InputError(field, text, "a single value")
    if get_origin(base) is tuple:
        inner = get_args(base)[0]
        parts = (part.strip() for part in _parted(text, is_number=inner in {int, float}))
        return [_read_value(inner, part, path) for part in parts if part]
    if is_price(field.rsplit(".", 1)[-1]):
        return price_cents(text, field)
    if base is bool:
        return _read_yes(text, field)
    if base is int:
        return _read_whole(text, field)
    if base is float:
        return _read_number(text, field)
    return text


def _parted(text: str, *, is_number: bool) -> list[str]:
    """Return the values of a list: parted by commas; numbers by semicolons or spaces as well.

    A comma within numbers that are parted by spaces is a decimal one: ``1 0,9 0,8``.
    """
    if is_number and ";" in text:
        return text.split(";")
    if is_number and " " in text.strip() and ", " not in text:
        return text.split()
    return text.split(",")


def _read_yes(text: str, field: str) -> bool:
    if text.lower() in TRUE:
        return True
    if text.lower() in FALSE:
        return False
    raise InputError(field, text, "yes or no")


def _read_whole(text: str, field: str) -> int:
    if _ending(field.rsplit(".", 1)[-1]) == "_g" and not BARE.fullmatch(text):
        return grams(text, "g", field)
    try:
        return int(text)
    except ValueError:
        raise InputError(field, text, "a whole number") from None


def _read_number(text: str, field: str) -> float:
    """Return a number; where the field's name tells its unit, another unit may be typed."""
    measured = MEASURED.get(_ending(field.rsplit(".", 1)[-1]))
    if measured and (not BARE.fullmatch(text) or THOUSANDS.fullmatch(text)):
        quantity, unit, places = measured
        value = convert(quantity, parse(quantity, text, unit, field), unit)
        return float(rounded(value, places))
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        raise InputError(field, text, "a number") from None
    if value != value or value in {float("inf"), float("-inf")}:  # noqa: PLR0124  (not a number)
        raise InputError(field, text, "a number")
    return value
