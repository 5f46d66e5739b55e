"""How the limits of a blend are said, and that nothing keeps to them."""

from __future__ import annotations

from collections.abc import Sequence

from pinset.science.mixing.cheapest import Costs, Reach
from pinset.science.mixing.limits import Limit, Of
from pinset.services.mixing.words import money, percent
from pinset.services.words import first_upper, weighed_in
from pinset.units import POUND_KG, Quantity, show

_WHAT = {
    Of.NITROGEN: "nitrogen",
    Of.ASH: "ash",
    Of.SUPPLEMENT: "supplement",
}


def value_words(limit: Limit, value: float, system: str) -> str:
    """Return a value of what a limit is on: ``1.2 % nitrogen``."""
    if limit.of is Of.RATIO:
        return f"a C:N of {value:.3g}"
    if limit.of is Of.STOCK:
        return f"{show(Quantity.MASS, value, system)} of {limit.name}"
    share = f"{100 * value:.3g} %"
    if limit.of is Of.MOISTURE:
        return f"{share} moisture"
    if limit.of is Of.SHARE:
        return f"{share} {limit.name}"
    return f"{share} {_WHAT[limit.of]}"


def limit_words(limit: Limit, system: str) -> str:
    """Return a limit: ``at least 0.6 % nitrogen``."""
    return f"at {'least' if limit.is_least else 'most'} {value_words(limit, limit.value, system)}"


def no_blend(reaches: Sequence[Reach], limits: Sequence[Limit], system: str) -> str:
    """Return that no mix keeps to the limits, and how far each would have to give."""
    if not reaches:
        return (
            "No mix of these keeps to all limits, and loosening one alone does not help: loosen "
            "two, or offer another ingredient."
        )
    first = min(reaches, key=lambda each: each.limit.of is not Of.NITROGEN)
    others = [each for each in limits if each != first.limit]
    rest = (
        f"Or with the rest kept: {_gives(each)} {value_words(each.limit, each.best, system)}."
        for each in reaches
        if each is not first
    )
    return " ".join([_first(first, others, system), *rest])


def _gives(reach: Reach) -> str:
    return "no more than" if reach.limit.is_least else "up to"


def _first(reach: Reach, others: Sequence[Limit], system: str) -> str:
    limit = reach.limit
    verb = "reaches" if limit.is_least else "stays under"
    wanted = value_words(limit, limit.value, system)
    if len(others) == 1:
        bound = "over" if others[0].is_least else "under"
        within = f" {bound} {value_words(others[0], others[0].value, system)}"
    else:
        within = " within the other limits" if others else ""
    end = "most" if limit.is_least else "least"
    best = f"{reach.best:.3g}" if limit.of is Of.RATIO else f"{100 * reach.best:.2g} %"
    if limit.of is Of.STOCK:
        best = show(Quantity.MASS, reach.best, system)
    return f"No mix of these {verb} {wanted}{within}: the {end} is {best}."


def cost_words(costs: Costs, system: str, currency: str) -> str:
    """Return what a limit costs: ``At least 0.6 % nitrogen: 0.1 points less would save ...``."""
    limit = costs.limit
    saved, step = costs.saved, costs.step
    if limit.of is Of.RATIO:
        by = "1"
    elif limit.of is Of.STOCK:
        by = f"1 {weighed_in(system)}"
        saved *= POUND_KG if system == "us" else 1.0
    else:
        by = "1 point" if step >= 0.01 else f"{percent(step, 1)} points"  # noqa: PLR2004
    way = "less" if limit.is_least else "more"
    said = first_upper(limit_words(limit, system))
    return f"{said}: {by} {way} would save {money(saved, currency)}"
