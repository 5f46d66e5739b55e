"""Records to plain values and back, for JSON columns, TOML and program output.

Works on the frozen dataclasses of this package: str, int, float, bool, None, date, datetime,
enums, tuples and nested records. Nothing is guessed: an unknown name or a wrong type is an error
that names the path.
"""

from __future__ import annotations

import dataclasses
import types
from datetime import date, datetime
from enum import Enum
from functools import cache
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

from pinset.errors import InputError

T = TypeVar("T")


def to_plain(value: Any, *, every_field: bool = False) -> Any:
    """Return a record (or tuple of them) as dicts, lists, strings and numbers.

    Fields that equal their default are left out, so that documents stay short and a later version
    with a better default is not held to the old one by accident of storage. With ``every_field``
    all are written: that is the form programs read.
    """
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {
            f.name: to_plain(getattr(value, f.name), every_field=every_field)
            for f in dataclasses.fields(value)
            if every_field or not _is_default(f, getattr(value, f.name))
        }
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, (date, datetime)):
        return value.isoformat()
    if isinstance(value, (list, tuple)):
        return [to_plain(item, every_field=every_field) for item in value]
    if isinstance(value, dict):
        return {str(key): to_plain(item, every_field=every_field) for key, item in value.items()}
    return value


def _is_default(f: dataclasses.Field[Any], value: Any) -> bool:
    if f.default is not dataclasses.MISSING:
        return bool(value == f.default) and type(value) is type(f.default)
    if f.default_factory is not dataclasses.MISSING:
        return bool(value == f.default_factory())
    return False


@cache
def _hints(cls: type) -> dict[str, Any]:
    return get_type_hints(cls)


def from_plain(cls: type[T], data: Any, *, path: str = "") -> T:
    """Return the record that :func:`to_plain` wrote.

    Raises
    ------
    InputError
        If a name is unknown, a required one is missing, or a value has the wrong type; the field
        names the path, such as ``steps[2].days.low``.
    """
    record: T = _read(cls, data, path or cls.__name__)
    return record


def _read(kind: Any, data: Any, path: str) -> Any:
    origin = get_origin(kind)
    if origin in (Union, types.UnionType):
        options = get_args(kind)
        if data is None and type(None) in options:
            return None
        inner = next(option for option in options if option is not type(None))
        return _read(inner, data, path)
    if origin is tuple:
        if not isinstance(data, (list, tuple)):
            raise InputError(path, data, "a list")
        item = get_args(kind)[0]
        return tuple(_read(item, each, f"{path}[{i}]") for i, each in enumerate(data))
    if dataclasses.is_dataclass(kind):
        return _read_record(kind, data, path)
    return _read_scalar(kind, data, path)


def _read_record(kind: Any, data: Any, path: str) -> Any:
    if not isinstance(data, dict):
        raise InputError(path, data, "a table of named values")
    hints = _hints(kind)
    unknown = sorted(set(data) - set(hints))
    if unknown:
        raise InputError(f"{path}.{unknown[0]}", data[unknown[0]], f"one of {', '.join(hints)}")
    values = {name: _read(hints[name], item, f"{path}.{name}") for name, item in data.items()}
    for f in dataclasses.fields(kind):
        has_default = (
            f.default is not dataclasses.MISSING or f.default_factory is not dataclasses.MISSING
        )
        if f.name not in values and not has_default:
            raise InputError(f"{path}.{f.name}", None, "a value: it is required")
    return kind(**values)


def _read_scalar(kind: Any, data: Any, path: str) -> Any:
    if kind is float and isinstance(data, (int, float)) and not isinstance(data, bool):
        return float(data)
    if kind in (date, datetime) and isinstance(data, str):
        try:
            return kind.fromisoformat(data)
        except ValueError:
            raise InputError(path, data, "a date such as 2026-03-12") from None
    if isinstance(kind, type) and issubclass(kind, Enum):
        try:
            return kind(data)
        except ValueError:
            accepted = ", ".join(str(member.value) for member in kind)
            raise InputError(path, data, f"one of {accepted}") from None
    if type(data) is kind:
        return data
    raise InputError(path, data, {str: "text", int: "a whole number"}.get(kind, kind.__name__))
