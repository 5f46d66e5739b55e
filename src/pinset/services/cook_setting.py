"""Where a cook was done: the farm's altitude, the rule for its kind, the instruments that read."""

from __future__ import annotations

from dataclasses import dataclass

from pinset.services import planning_day
from pinset.services.cook_judging import Instrument


@dataclass(frozen=True, slots=True)
class CookSetting:
    """What the farm says of the place a cook was done in."""

    steriliser: str  # name
    rule: str  # the farm's own for this kind; empty: none
    altitude_m: float
    rating_bar: float  # 0: an open steamer, or not known
    instruments: tuple[Instrument, ...]


def setting_of(steriliser: str, cook_kind: str) -> CookSetting:
    """Return where a cook of a kind is done, by the codes of its entry.

    A steriliser or kind that is described no more keeps its code as its name and has no rule.
    """
    book, _today = planning_day.farm_book()
    machine = next((each for each in book.sterilisers if each.code == steriliser), None)
    kinds = machine.cooks if machine else ()
    kind = next((each for each in kinds if each.code == cook_kind), None)
    return CookSetting(
        steriliser=machine.name if machine else steriliser,
        rule=getattr(kind, "rule", ""),
        altitude_m=book.farm.altitude_m,
        rating_bar=machine.rating_bar_gauge if machine else 0.0,
        instruments=(),
    )
