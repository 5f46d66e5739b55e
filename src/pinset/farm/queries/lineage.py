"""What came from what: parents and children, and the whole family up and down."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date

from pinset.farm.lineage_walk import above, below
from pinset.farm.models import Link, Lot


@dataclass(frozen=True, slots=True)
class Relative:
    """A parent or a child, with how much of the parent went into the child."""

    lot: str
    stage: str
    variety: str
    step: str
    made_on: date | None
    units: int
    amount: int
    measure: str
    entry: str  # client id of the entry that says so


@dataclass(frozen=True, slots=True)
class Edge:
    """One link between two lots, by code."""

    parent: str
    child: str
    units: int


def parents(code: str) -> tuple[Relative, ...]:
    """Return the parents of a lot, prepared vessels among them."""
    links = Link.objects.filter(child__code=code, is_cancelled=False).order_by("id")
    return tuple(_relative(link, link.parent) for link in links.select_related("parent", "entry"))


def children(code: str) -> tuple[Relative, ...]:
    """Return what was made from a lot, the first first."""
    links = Link.objects.filter(parent__code=code, is_cancelled=False).order_by("id")
    return tuple(_relative(link, link.child) for link in links.select_related("child", "entry"))


def _relative(link: Link, lot: Lot) -> Relative:
    return Relative(
        lot=lot.code,
        stage=lot.stage,
        variety=lot.variety,
        step=lot.step,
        made_on=lot.made_on,
        units=link.units,
        amount=link.amount,
        measure=link.measure,
        entry=link.entry.client_id,
    )


def _numbers(codes: Iterable[str]) -> list[int]:
    return list(Lot.objects.filter(code__in=list(codes)).values_list("id", flat=True))


def _codes(numbers: Iterable[int], without: set[int]) -> tuple[str, ...]:
    wanted = sorted(set(numbers) - without)
    found: dict[int, str] = {}
    for i in range(0, len(wanted), 10_000):
        part = wanted[i : i + 10_000]
        found |= dict(Lot.objects.filter(id__in=part).values_list("id", "code"))
    return tuple(found[number] for number in wanted)


def ancestors(codes: Iterable[str]) -> tuple[str, ...]:
    """Return everything the lots came from, without the lots themselves."""
    start = _numbers(codes)
    return _codes(above(start), set(start))


def descendants(codes: Iterable[str]) -> tuple[str, ...]:
    """Return everything made from the lots, without the lots themselves."""
    start = _numbers(codes)
    return _codes(below(start), set(start))


def came_from_of(codes: Collection[str]) -> dict[str, frozenset[str]]:
    """Return from which others of these lots each was made, whatever stood between them."""
    known = dict(Lot.objects.filter(code__in=codes).values_list("id", "code"))
    links = Link.objects.filter(child_id__in=above(known), is_cancelled=False)
    parents_of: defaultdict[int, set[int]] = defaultdict(set)
    for child, parent in links.values_list("child_id", "parent_id"):
        parents_of[child].add(parent)
    found = {}
    for number, code in known.items():
        seen, left = set[int](), [number]
        while left:
            new = parents_of[left.pop()] - seen
            seen |= new
            left += new
        found[code] = frozenset(known[each] for each in seen if each in known)
    return found


def edges(codes: Iterable[str]) -> tuple[Edge, ...]:
    """Return the links between lots of a family, both ends among the codes."""
    numbers = _numbers(codes)
    rows = Link.objects.filter(child_id__in=numbers, parent_id__in=numbers, is_cancelled=False)
    return tuple(
        Edge(*row)
        for row in rows.order_by("id").values_list("parent__code", "child__code", "units")
    )
