"""The cheapest blend as it is asked for, read: what may go in at which price, and its limits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from pinset.errors import InputError
from pinset.science.mixing.limits import Limit, Of, Offer
from pinset.services.mixing import reading
from pinset.services.mixing.asked import Filling, filling_of
from pinset.services.mixing.rows import OTHER, Row, rows_of
from pinset.tables.ingredients import ingredient

LIMITS = {
    "nitrogen-least": (Of.NITROGEN, True),
    "nitrogen-most": (Of.NITROGEN, False),
    "ratio-least": (Of.RATIO, True),
    "ratio-most": (Of.RATIO, False),
    "ash-most": (Of.ASH, False),
    "supplement-most": (Of.SUPPLEMENT, False),
}
"""What may be typed as a limit; empty: none."""
MOST_NITROGEN = 50.0


@dataclass(frozen=True, slots=True)
class CheapAsked:
    """What may go in, and what it must keep to."""

    rows: tuple[Row, ...]
    offers: tuple[Offer, ...]
    limits: tuple[Limit, ...]
    filling: Filling


def cheap_of(given: Mapping[str, str], system: str) -> CheapAsked:
    """Return what was typed, read.

    Parameters
    ----------
    given : mapping of str to str
        By the names of :func:`pinset.services.mixing.rows.rows_of`, with ``least-1``, ``most-1``
        (percent of dry mass) and ``stock-1``; those of ``LIMITS``; and those of a filling.
    system : str
        ``metric`` or ``us``.

    Raises
    ------
    InputError
        If a field is not accepted; its name is the field's.
    """
    filling = filling_of(given, system)
    rows = rows_of(given, system)
    _refuse_crossed(given)
    offers = tuple(_offer(row, given, system) for row in rows)
    limits = tuple(
        Limit(of, _limit(given[name], name, of), is_least)
        for name, (of, is_least) in LIMITS.items()
        if given.get(name, "").strip()
    )
    return CheapAsked(rows, offers, limits, filling)


def usual_most(row: Row) -> float:
    """Return the most of an ingredient where nothing is said: of a mineral its largest dose."""
    if row.key == OTHER:
        return 1.0
    dose = ingredient(row.key).dose
    return 1.0 if dose is None or dose.high is None else dose.high


def _refuse_crossed(given: Mapping[str, str]) -> None:
    for what in ("nitrogen", "ratio"):
        low, high = (given.get(f"{what}-{end}", "").strip() for end in ("least", "most"))
        if low and high:
            of, field = LIMITS[f"{what}-least"][0], f"{what}-most"
            if _limit(low, f"{what}-least", of) > _limit(high, field, of):
                raise InputError(field, high, f"{low} or more, the least that is asked for")


def _limit(text: str, name: str, of: Of) -> float:
    if of is Of.RATIO:
        return reading.number(text, name, "a C:N such as 60, 0 or more")
    return reading.percent(text, name, MOST_NITROGEN if of is Of.NITROGEN else 100.0)


def _offer(row: Row, given: Mapping[str, str], system: str) -> Offer:
    def typed(name: str) -> str:
        return given.get(f"{name}-{row.number}", "").strip()

    if row.price_per_kg is None:
        accepted = f"what {row.name} costs, 0 if nothing"
        raise InputError(f"price-{row.number}", "", accepted)
    least = reading.percent(typed("least") or "0", f"least-{row.number}")
    most = (
        reading.percent(typed("most"), f"most-{row.number}") if typed("most") else usual_most(row)
    )
    if typed("most") and least > most:
        hint = f"At least {100 * least:g} % of it is asked for."
        raise InputError(f"most-{row.number}", typed("most"), f"{100 * least:g} % or more", hint)
    stock = typed("stock")
    return Offer(
        row.ingredient,
        row.moisture_wet,
        row.price_per_kg,
        least,
        max(least, most),
        reading.mass_or_none(stock, f"stock-{row.number}", system) if stock else None,
    )
