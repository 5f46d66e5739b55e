"""What was typed into a record's form: only the fields that were shown are believed."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace

from django.utils.translation import gettext as _

from pinset.errors import InputError, PinsetError
from pinset.services.books.record_forms import FormField, RecordForm
from pinset.web.formats import first_upper

LONGEST = 4000


def fields_of(form: RecordForm) -> Iterator[FormField]:
    """Return every field of the form, those in tables too."""
    yield from form.fields
    for table in form.tables:
        for row in table.rows:
            yield from row


def typed_values(form: RecordForm, typed: Mapping[str, str]) -> dict[str, str]:
    """Return what was typed for each field shown.

    Raises
    ------
    InputError
        If one is longer than any value can be.
    """
    values = {}
    for field in fields_of(form):
        value = typed.get(field.path, "")
        if len(value) > LONGEST:
            raise InputError(
                field.label, f"{value[:40]}…", _("at most %(count)s signs") % {"count": LONGEST}
            )
        values[field.path] = value
    return values


def path_of(field: str, kind: str) -> str:
    """Return the path of the field a message names: ``room.shelves[0].holds`` is in a table."""
    path = re.sub(r"\[(\d+)\]", r".\1", field)
    return path.removeprefix(f"{kind}.")


def label_at(form: RecordForm, path: str) -> str:
    """Return what the field at a path is called on the page, with its table and row."""
    for field in form.fields:
        if field.path == path:
            return first_upper(field.label)
    for table in form.tables:
        for number, row in enumerate(table.rows, start=1):
            for field in row:
                if field.path == path:
                    words = {"table": table.title, "row": number, "field": field.label}
                    return first_upper(_("%(table)s, row %(row)s, %(field)s") % words)
    return ""


def with_typed(form: RecordForm, typed: Mapping[str, str], problem: PinsetError) -> RecordForm:
    """Return the form with what was typed, so that nothing has to be typed twice."""
    if isinstance(problem, InputError) and any(
        len(typed.get(field.path, "")) > LONGEST for field in fields_of(form)
    ):
        return form

    def filled(field: FormField) -> FormField:
        return replace(field, value=typed.get(field.path, ""))

    return RecordForm(
        tuple(filled(field) for field in form.fields),
        tuple(
            replace(table, rows=tuple(tuple(filled(f) for f in row) for row in table.rows))
            for table in form.tables
        ),
    )
