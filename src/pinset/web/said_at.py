"""Where on its page something is said of a log by hand, in place of the terminal's options."""

from __future__ import annotations

import re
from collections.abc import Sequence

from django.utils.translation import gettext as _

from pinset.services.cooks.judge.layout import LayoutLine
from pinset.services.words import joined

_OPTIONS = re.compile(r"[;.]?\s*\b[Aa]t the terminal: --.*$")
"""What findings kept with older verdicts say of options."""


def without_options(hint: str) -> str:
    """Return a hint without what it says of options of the terminal.

    Examples
    --------
    >>> without_options("Say so; at the terminal: --read column.2.role=core.")
    'Say so.'
    """
    shorter = _OPTIONS.sub(".", hint)
    return shorter if shorter != "." else ""


def said_at(say: Sequence[str], layout: Sequence[LayoutLine]) -> str:
    """Return by which fields of the page a finding is settled.

    Parameters
    ----------
    say : sequence of str
        Keys of the layout with a value: ``column.2.role=core``.
    layout : sequence of LayoutLine
        The fields that stand on the page; empty: none of them does.
    """
    if not layout:
        return str(_("It is said on the page on which the file is handed in."))
    labels = {line.key: line.label for line in layout}
    named = [
        f"\u201c{_capital(labels[key])}\u201d: {_spelled(key, value)}"
        for key, _equals, value in (each.partition("=") for each in say)
        if key in labels
    ]
    if not named:
        return ""
    return str(_("Say it below, at %(fields)s.") % {"fields": joined(named)})


def _capital(label: str) -> str:
    return label[:1].upper() + label[1:]


def _spelled(key: str, value: str) -> str:
    if key.endswith(".fine"):
        return str(_("why"))
    return f"\u00b0{value}" if key.endswith(".unit") and value in {"C", "F"} else value
