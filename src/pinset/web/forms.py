"""What a form on a page asks for, shown the same way everywhere."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from markupsafe import Markup, escape

from pinset.errors import InputError
from pinset.web.wording import said


@dataclass(frozen=True, slots=True)
class Field:
    """One thing a form asks for."""

    name: str
    label: str
    kind: str = "text"  # text, number, whole, date, time, choice, ticks, yes, long, rows, password
    value: str = ""
    values: tuple[str, ...] = ()  # of ticks
    choices: tuple[tuple[str, str], ...] = ()  # value, word
    unit: str = ""
    help: str = ""
    required: bool = False
    fixed: bool = False  # shown, not to be changed
    autocomplete: str = ""
    rows: int = 4
    wrong: str = ""


def marked(fields: Iterable[Field], problem: InputError) -> tuple[Field, ...]:
    """Return the fields with the sentence at the one that was refused."""
    return tuple(
        replace(field, wrong=said(problem, str(field.label)))
        if problem.field in {field.name, field.label}
        else field
        for field in fields
    )


def refused(
    fields: tuple[Field, ...], typed: Mapping[str, str], problem: InputError, name: str
) -> tuple[tuple[Field, ...], str]:
    """Return the fields with the sentence at the refused one, and the sentence.

    ``name`` is the field it was typed into; what was given is said as it was ``typed``.
    """
    given = typed[name].strip() if name in typed else problem.given
    named = InputError(name, given, problem.accepted, problem.hint)
    label = next((str(each.label) for each in fields if each.name == name), "")
    return marked(fields, named), said(named, label)


def attributes(field: Field, described: str) -> Markup:
    """Return what a control carries: whether it is required, fixed or wrong, and what tells why."""
    parts = [
        " required" if field.required else "",
        " readonly" if field.fixed else "",
        ' aria-invalid="true"' if field.wrong else "",
    ]
    if described:
        parts.append(f' aria-describedby="{escape(described)}"')
    return Markup("".join(parts))  # noqa: S704  (fixed words and an escaped id)
