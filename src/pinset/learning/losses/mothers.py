"""Cultures and first-generation lots that were not clean."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import datetime, timedelta

from pinset.chain.histories import LotHistory, Shared
from pinset.chain.stages import Stage
from pinset.learning.losses.records import Mother

MOTHERS_DAYS = 28
"""A find on a culture is told for so many days."""

_CULTURES = frozenset({Stage.TUBE, Stage.PLATE, Stage.LIQUID})


def mothers_of(histories: Sequence[LotHistory], now: datetime) -> tuple[Mother, ...]:
    """Return cultures and first-generation lots with a late find, the newest find first.

    One bad unit there is one too many: what is made of its sisters may carry it. Told are tubes,
    plates, liquid cultures, and grain made from them, found within four weeks, as long as they or
    lots made from them still grow.
    """
    by_code = {lot.lot: lot for lot in histories}
    children: defaultdict[str, list[LotHistory]] = defaultdict(list)
    for lot in histories:
        if Shared.PARENT in lot.shared and lot.standing:
            children[lot.shared[Shared.PARENT]].append(lot)
    found = []
    for lot in histories:
        parent = by_code.get(lot.shared.get(Shared.PARENT, ""))
        is_first = lot.stage is Stage.GRAIN and parent is not None and parent.stage in _CULTURES
        last = max((each.until_days for each in lot.seen if each.found), default=None)
        if last is None or not (lot.stage in _CULTURES or is_first):
            continue
        at = lot.made_at + timedelta(days=last)
        own = children[lot.lot]
        if at < now - timedelta(days=MOTHERS_DAYS) or not (lot.standing or own):
            continue
        found.append(
            Mother(
                lot=lot.lot,
                variety=lot.variety,
                step=lot.step,
                stage=lot.stage,
                found=lot.found,
                found_at=at,
                standing=lot.standing,
                children=tuple(each.lot for each in own),
                children_units=sum(each.standing for each in own),
            )
        )
    return tuple(sorted(found, key=lambda each: (each.found_at, each.lot), reverse=True))
