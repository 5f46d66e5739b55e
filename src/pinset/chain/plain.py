"""Records to plain values and back, for JSON columns, TOML and program output.

Works on the frozen dataclasses of this package: str, int, float, bool, None, date, datetime,
enums, tuples and nested records. Nothing is guessed: an unknown name or a wrong type is an error
that names the path.
"""

from __future__ import annotations

import dataclasses
import types
from collections.abc import Callable, Sequence
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


def from_plain(cls: type[T], data: Any, *, path: str = "") -> T:
    """Return the record that :func:`to_plain` wrote.

    Raises
    ------
    InputError
        If a name is unknown, a required one is missing, or a value has the wrong type; the field
        names the path, such as ``steps[2].days.low``.
    """
    try:
        reader: Reader = _reader(cls)  # type: ignore[arg-type]  # a class is hashable
        record: T = reader(data)
    except _Unfit as unfit:
        where = f"{path or cls.__name__}{unfit.where}"
        raise InputError(where, unfit.given, unfit.accepted) from None
    return record


Reader = Callable[[Any], Any]


class _Unfit(Exception):  # noqa: N818  (never leaves this module)
    """A value that does not fit, with the way to it, built up only when it is needed."""

    def __init__(self, given: Any, accepted: str, where: str = "") -> None:
        self.given = given
        self.accepted = accepted
        self.where = where
        super().__init__(accepted)


@cache
def _reader(kind: Any) -> Reader:
    """Return the function that reads one kind of value; made once for each kind."""
    origin = get_origin(kind)
    if origin in (Union, types.UnionType):
        return _optional_reader(kind)
    if origin is tuple:
        return _tuple_reader(get_args(kind)[0])
    if dataclasses.is_dataclass(kind):
        return _record_reader(kind)
    return _scalar_reader(kind)


def _optional_reader(kind: Any) -> Reader:
    kinds = [option for option in get_args(kind) if option is not type(None)]
    inner = _reader(kinds[0]) if len(kinds) == 1 else _either_reader(kinds)
    allows_none = type(None) in get_args(kind)

    def read(data: Any) -> Any:
        return None if data is None and allows_none else inner(data)

    return read


def _either_reader(kinds: Sequence[Any]) -> Reader:
    """Return what reads a value that may be of one or another plain kind."""
    readers = [_reader(kind) for kind in kinds]

    def read(data: Any) -> Any:
        accepted: list[str] = []
        for each in readers:
            try:
                return each(data)
            except _Unfit as unfit:
                accepted.append(unfit.accepted)
        raise _Unfit(data, " or ".join(accepted))

    return read


def _tuple_reader(item: Any) -> Reader:
    inner = _reader(item)

    def read(data: Any) -> Any:
        if not isinstance(data, (list, tuple)):
            raise _Unfit(data, "a list")
        found = []
        for i, each in enumerate(data):
            try:
                found.append(inner(each))
            except _Unfit as unfit:
                unfit.where = f"[{i}]{unfit.where}"
                raise
        return tuple(found)

    return read


def _record_reader(kind: Any) -> Reader:
    hints = get_type_hints(kind)
    # Readers of the fields are looked up when first needed: a record may hold its own kind.
    required = tuple(
        f.name
        for f in dataclasses.fields(kind)
        if f.default is dataclasses.MISSING and f.default_factory is dataclasses.MISSING
    )
    readers: dict[str, Reader] = {}

    def read(data: Any) -> Any:
        if not isinstance(data, dict):
            raise _Unfit(data, "a table of named values")
        values = {}
        for name, item in data.items():
            reader = readers.get(name)
            if reader is None:
                if name not in hints:
                    raise _Unfit(item, f"one of {', '.join(hints)}", f".{name}")
                reader = readers[name] = _reader(hints[name])
            try:
                values[name] = reader(item)
            except _Unfit as unfit:
                unfit.where = f".{name}{unfit.where}"
                raise
        for name in required:
            if name not in values:
                raise _Unfit(None, "a value: it is required", f".{name}")
        return kind(**values)

    return read


def _scalar_reader(kind: Any) -> Reader:
    if kind is float:
        return _float
    if kind in (date, datetime):
        return _moment_reader(kind)
    if isinstance(kind, type) and issubclass(kind, Enum):
        return _enum_reader(kind)
    accepted = {str: "text", int: "a whole number"}.get(kind, kind.__name__)

    def read(data: Any) -> Any:
        if type(data) is not kind:
            raise _Unfit(data, accepted)
        return data

    return read


def _float(data: Any) -> float:
    if type(data) is float:
        return data
    if type(data) is int:
        return float(data)
    raise _Unfit(data, "float")


def _moment_reader(kind: Any) -> Reader:
    def read(data: Any) -> Any:
        if isinstance(data, str):
            try:
                return kind.fromisoformat(data)
            except ValueError:
                raise _Unfit(data, "a date such as 2026-03-12") from None
        if type(data) is kind:
            return data
        raise _Unfit(data, kind.__name__)

    return read


def _enum_reader(kind: type[Enum]) -> Reader:
    members: dict[Any, Enum] = {member.value: member for member in kind}

    def read(data: Any) -> Any:
        try:
            return members[data]
        except (KeyError, TypeError):
            accepted = ", ".join(str(value) for value in members)
            raise _Unfit(data, f"one of {accepted}") from None

    return read
