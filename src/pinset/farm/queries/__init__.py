"""Reading the ledger. Every question takes a few statements, however many lots it is about."""

from __future__ import annotations

from pinset.farm.queries.alive import PreparedLot, living, prepared, vessel_of, vessels_in_use
from pinset.farm.queries.lineage import (
    Edge,
    Relative,
    ancestors,
    children,
    descendants,
    edges,
    parents,
)
from pinset.farm.queries.lots import (
    Counts,
    KnownCodes,
    LotRow,
    counts,
    find_lots,
    lot_by_code,
    rows_of,
    standing_on_places,
)
from pinset.farm.queries.sales import (
    Delivery,
    InStore,
    deliveries,
    in_store,
    picks,
    store_by_variety,
    totals,
)
from pinset.farm.queries.story import (
    Happened,
    answers,
    entry,
    happened_between,
    last_entry_number,
    life,
    rooms_worked_in,
)

__all__ = [
    "Counts",
    "Delivery",
    "Edge",
    "Happened",
    "InStore",
    "KnownCodes",
    "LotRow",
    "PreparedLot",
    "Relative",
    "ancestors",
    "answers",
    "children",
    "counts",
    "deliveries",
    "descendants",
    "edges",
    "entry",
    "find_lots",
    "happened_between",
    "in_store",
    "last_entry_number",
    "life",
    "living",
    "lot_by_code",
    "parents",
    "picks",
    "prepared",
    "rooms_worked_in",
    "rows_of",
    "standing_on_places",
    "store_by_variety",
    "totals",
    "vessel_of",
    "vessels_in_use",
]
