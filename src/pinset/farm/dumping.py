"""The ledger as lines of JSON, which either database can write and read.

The first line says what it is and which database changes it has seen, the second names every
table's columns; then comes one line a row, table by table; the last line holds the number of rows
and the SHA-256 of everything before it, so that a file cut short is known at once.
"""

# ruff: noqa: SLF001 - Django names what is said of a model `_meta`, and documents it

from __future__ import annotations

import base64
import hashlib
import json
from datetime import date, datetime
from pathlib import Path
from typing import IO, Any

from django.apps import apps
from django.core.management.color import no_style
from django.db import connections, models, transaction

from pinset.errors import PinsetError, RefusedError
from pinset.farm import versions
from pinset.farm.models import ChainHead, Person, RegisterRow
from pinset.farm.seals import seal_everything

MARK = "pinset ledger"
FORMAT = 1
AT_ONCE = 1_000
FILES_AT_ONCE = 20
"""Rows that hold a photo or a log are read so many at once, so that they fit into memory."""


def is_dump(path: Path) -> bool:
    """Say whether a file begins as a dump does."""
    with path.open("rb") as file:
        return file.read(len(MARK) + 10).startswith(f'{{"is":"{MARK}"'.encode())


def tables() -> list[type[models.Model]]:
    """Return the farm's tables in a fixed order."""
    return sorted(apps.get_app_config("farm").get_models(), key=lambda model: model._meta.db_table)


def at_once(model: type[models.Model]) -> int:
    """Return how many rows of a table are held in memory together."""
    is_file = any(isinstance(field, models.BinaryField) for field in model._meta.concrete_fields)
    return FILES_AT_ONCE if is_file else AT_ONCE


def _line(value: Any) -> bytes:
    return json.dumps(value, separators=(",", ":"), ensure_ascii=False).encode() + b"\n"


def _plain(value: Any) -> Any:
    if isinstance(value, (bytes, memoryview)):
        return base64.b64encode(value).decode()
    return value.isoformat() if isinstance(value, (date, datetime)) else value


def dump(path: Path, *, using: str) -> int:
    """Write the whole ledger as it stands at one moment into a file; return the rows written."""
    connection = connections[using]
    digest, rows = hashlib.sha256(), 0
    with path.open("wb") as file, transaction.atomic(using=using):
        if connection.vendor == "postgresql" and len(connection.savepoint_ids) == 0:
            _one_moment(using)

        def put(value: Any) -> None:
            line = _line(value)
            digest.update(line)
            file.write(line)

        put({"is": MARK, "format": FORMAT, "changes": versions.applied_changes(using)})
        put({model._meta.db_table: _columns(model) for model in tables()})
        for model in tables():
            name, columns = model._meta.db_table, _columns(model)
            found = model._default_manager.using(using).order_by("pk").values_list(*columns)
            for row in found.iterator(at_once(model)):
                put([name, *(_plain(value) for value in row)])
                rows += 1
        file.write(_line({"rows": rows, "sha256": digest.hexdigest()}))
    return rows


def _one_moment(using: str) -> None:
    """Let the transaction see one moment only, however long it reads."""
    with connections[using].cursor() as cursor:
        cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ")


def _columns(model: type[models.Model]) -> list[str]:
    return [field.attname for field in model._meta.concrete_fields]


def verify(path: Path) -> tuple[str, ...]:
    """Return the database changes a dump has seen, after reading it to the end.

    Raises
    ------
    PinsetError
        If it is no dump, is cut short or was changed, or comes from a newer version.
    """
    digest, rows, last = hashlib.sha256(), -2, b""
    first: dict[str, Any] = {}
    with path.open("rb") as file:
        for line in file:
            if rows == -1:
                first = _first(last, path)
            if last:
                digest.update(last)
            last, rows = line, rows + 1
    rows -= 1  # the last line is no row
    end = _parsed(last)
    if not first or not isinstance(end, dict) or "sha256" not in end:
        raise PinsetError(f"{path} is cut short: its last line is missing. Take another backup.")
    if end["sha256"] != digest.hexdigest() or end["rows"] != rows:
        raise PinsetError(f"{path} was changed after it was written. Take another backup.")
    changes = tuple(first["changes"])
    judged = versions.judge(changes)
    if judged is not None and judged.id == "ledger.newer-version":
        raise RefusedError(judged.sentence, judged.hint)
    return changes


def _parsed(line: bytes) -> Any:
    try:
        return json.loads(line)
    except ValueError:
        return None


def _first(line: bytes, path: Path) -> dict[str, Any]:
    found = _parsed(line)
    if not isinstance(found, dict) or found.get("is") != MARK:
        raise PinsetError(f"{path} is no backup of a pinset ledger.")
    if found.get("format") != FORMAT:
        raise PinsetError(
            f"{path} has format {found.get('format')}; this pinset reads format {FORMAT}. "
            "Use the version that wrote it, or a newer one."
        )
    return found


def load(path: Path, *, using: str) -> int:
    """Fill an empty ledger from a dump, all or nothing; return the rows read."""
    with path.open("rb") as file, transaction.atomic(using=using):
        return _load_rows(file, using)


def _load_rows(file: IO[bytes], using: str) -> int:
    file.readline()
    given: dict[str, list[str]] = json.loads(file.readline())
    known = {model._meta.db_table: model for model in tables()}
    rows, name = 0, ""
    batch: list[dict[str, Any]] = []
    for line in file:
        row = json.loads(line)
        if isinstance(row, dict):
            break
        if row[0] != name or len(batch) >= (at_once(known[name]) if name in known else AT_ONCE):
            _insert(known.get(name), batch, using)
            name, batch = row[0], []
        batch.append(dict(zip(given[name], row[1:], strict=True)))
        rows += 1
    _insert(known.get(name), batch, using)
    reset_counters(using)
    if "seal" not in given[RegisterRow._meta.db_table]:
        seal_everything(*(each.objects.using(using) for each in (RegisterRow, Person, ChainHead)))
    return rows


def _insert(model: type[models.Model] | None, rows: list[dict[str, Any]], using: str) -> None:
    if model is None or not rows:
        return
    fields = {field.attname: field for field in model._meta.concrete_fields}
    made = [
        model(**{name: _read(fields[name], value) for name, value in row.items() if name in fields})
        for row in rows
    ]
    model._default_manager.using(using).bulk_create(made, batch_size=500)


def _read(field: models.Field[Any, Any], value: Any) -> Any:
    if value is None or isinstance(field, models.JSONField):
        return value
    if isinstance(field, models.BinaryField):
        return base64.b64decode(value)
    return field.to_python(value) if isinstance(field, models.DateField) else value


def copy_rows(source: str, target: str) -> int:
    """Put every row of one ledger into another, emptied one; return how many."""
    rows = 0
    for model in tables():
        found = model._default_manager.using(source).order_by("pk")
        batch: list[models.Model] = []
        for row in found.iterator(at_once(model)):
            batch.append(row)
            rows += 1
            if len(batch) >= at_once(model):
                model._default_manager.using(target).bulk_create(batch)
                batch = []
        model._default_manager.using(target).bulk_create(batch)
    reset_counters(target)
    return rows


def empty(using: str) -> None:
    """Delete every row of the farm's tables."""
    names = [connections[using].ops.quote_name(model._meta.db_table) for model in tables()]
    with connections[using].cursor() as cursor:
        if connections[using].vendor == "postgresql":
            cursor.execute(f"TRUNCATE {', '.join(names)}")
            return
        cursor.execute("PRAGMA defer_foreign_keys = ON")
        for name in names:
            cursor.execute(f"DELETE FROM {name}")  # noqa: S608 - our own names


def reset_counters(using: str) -> None:
    """Let numbers given by the database go on after the highest that stands."""
    connection = connections[using]
    with connection.cursor() as cursor:
        for statement in connection.ops.sequence_reset_sql(no_style(), tables()):
            cursor.execute(statement)
