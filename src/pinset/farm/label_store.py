"""Labels that were printed: how far the units of a lot have one, and where a sheet goes on.

Working papers: labels may be printed again at will, and nothing in the ledger hangs on them.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from pinset.farm.models import LabelPrint
from pinset.farm.trouble import plain_words


@dataclass(frozen=True, slots=True)
class PrintRow:
    """Labels of one lot."""

    lot: str
    first: int  # number of the first unit; 0: the labels carry no numbers
    count: int


@dataclass(frozen=True, slots=True)
class LastSheet:
    """The paper somebody used last."""

    layout: str
    next_place: int  # the first free place of its last sheet; 0: a new sheet


def note(
    rows: Sequence[PrintRow], layout: str, next_place: int, *, tap: str, person: str, now: datetime
) -> None:
    """Note labels that are printed together; a tap that is known already changes nothing."""
    with plain_words(), transaction.atomic():
        if LabelPrint.objects.filter(tap=tap).exists():
            return
        LabelPrint.objects.bulk_create(
            (
                LabelPrint(
                    tap=tap,
                    lot=row.lot,
                    first=row.first,
                    count=row.count,
                    layout=layout,
                    next_place=next_place,
                    person=person,
                    at=now,
                )
                for row in rows
            ),
            ignore_conflicts=True,  # of two who send one tap at once, one counts
        )


def labelled(lots: Iterable[str]) -> dict[str, int]:
    """Return up to which unit each lot has labels; labels without numbers count by their number."""
    numbered: defaultdict[str, int] = defaultdict(int)
    plain: defaultdict[str, int] = defaultdict(int)
    rows = LabelPrint.objects.filter(lot__in=list(lots)).values_list("lot", "first", "count")
    for lot, first, count in rows:
        if first:
            numbered[lot] = max(numbered[lot], first + count - 1)
        else:
            plain[lot] += count
    return {lot: max(numbered[lot], plain[lot]) for lot in numbered.keys() | plain.keys()}


def last_sheet(person: str, layout: str = "") -> LastSheet | None:
    """Return the paper a person used last, or where that person's last sheet of a layout ended."""
    rows = LabelPrint.objects.filter(person=person)
    if layout:
        rows = rows.filter(layout=layout)
    last = rows.order_by("-id").first()
    return LastSheet(last.layout, last.next_place) if last else None
