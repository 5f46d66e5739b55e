"""Grain generation and plate transfers of lots, computed from what they came from."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from django.db import connection

from pinset.chain.lineage import moved_on
from pinset.chain.stages import FRUITING_STAGES, Stage
from pinset.farm.lineage_walk import above
from pinset.farm.rows import select_in

_CARRIED = frozenset({Stage.TUBE, Stage.PLATE, Stage.LIQUID})
_FRUITS = FRUITING_STAGES | {Stage.FRUIT}


@dataclass(frozen=True, slots=True)
class Age:
    """How far a lot is from its mother."""

    generation: int = 0  # grain generation; master grain is 1
    transfers: int = 0  # plate transfers since the mother


@dataclass(frozen=True, slots=True)
class _Known:
    stage: str
    generation: int | None
    transfers: int | None


def ages(lots: Iterable[int]) -> dict[int, Age]:
    """Return generation and transfers of lots, by their numbers.

    A grain lot counts one more than its grain parents; a plate or tube one more than the agar it
    was taken from, unless a stored tube was woken; every other lot carries its parents' largest
    figure on. A culture taken from a fruit is
    a new mother and begins at zero. A lot without known parents has what was stated.
    """
    family = above(lots)
    known: dict[int, _Known] = {}
    parents: defaultdict[int, list[int]] = defaultdict(list)
    with connection.cursor() as cursor:
        select = "SELECT id, stage, generation, transfers FROM farm_lot WHERE id"
        for lot, *facts in select_in(cursor, select, family):
            known[lot] = _Known(*facts)
        select = "SELECT child_id, parent_id FROM farm_link WHERE NOT is_cancelled AND child_id"
        for child, parent in select_in(cursor, select, family):
            parents[child].append(parent)
    return _computed(known, parents)


def _computed(known: dict[int, _Known], parents: dict[int, list[int]]) -> dict[int, Age]:
    """Work from the oldest down, without recursion: a lineage may be hundreds of lots deep."""
    found: dict[int, Age] = {}
    opened: set[int] = set()  # guards against a loop in a ledger that was tampered with
    for start in known:
        todo = [start]
        while todo:
            lot = todo[-1]
            living = [p for p in parents.get(lot, ()) if known[p].stage != Stage.PREPARED.value]
            missing = [p for p in living if p not in opened]
            opened.add(lot)
            if missing:
                todo.extend(missing)
                continue
            todo.pop()
            ready = [(known[p].stage, found[p]) for p in living if p in found]
            found.setdefault(lot, _age(known[lot], ready))
    return found


def _age(lot: _Known, parents: list[tuple[str, Age]]) -> Age:
    if not parents:
        return Age(lot.generation or 0, lot.transfers or 0)
    generation = max(age.generation for _, age in parents)
    if lot.stage in _CARRIED and all(stage in _FRUITS for stage, _ in parents):
        return Age()  # a new mother
    if lot.stage == Stage.GRAIN.value:
        generation += 1
    stage = _stage(lot.stage)
    transfers = max(moved_on(stage, _stage(parent), age.transfers) for parent, age in parents)
    return Age(generation, transfers)


def _stage(known: str) -> Stage | None:
    """Return a stage; None of a lot that was named by its code before it was written down."""
    return Stage(known) if known else None
