"""The cheapest blend that keeps to its limits, what they cost, and what if something runs out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from urllib.parse import urlencode

from pinset.science.air.ranges import Range
from pinset.science.mixing.cheapest import Cheapest, NoBlendError, cheapest, without
from pinset.science.mixing.limits import Limit, Of
from pinset.services import cautions
from pinset.services.mixing.card import METHOD, measure_first
from pinset.services.mixing.cheap_asked import CheapAsked, cheap_of, usual_most
from pinset.services.mixing.limit_words import cost_words, no_blend
from pinset.services.mixing.lines import (
    Costing,
    WeighLine,
    cautions_of,
    costing,
    fine_words,
    lines_of,
    weigh_out,
    weighed_batch,
)
from pinset.services.mixing.rows import Row, not_measured
from pinset.services.mixing.words import money, nitrogen, percent, ratio, water

SHARE_DIGITS = 4
KEPT = ("moisture", "name", "nitrogen", "carbon", "ash", "price")
FILLED = ("units", "vessel", "fill", "moisture", "gain", "step", "water-step")
ALSO = (
    "A linear programme over shares of dry mass at middle nitrogens, solved by HiGHS.",
    "A limit on C:N is multiplied out, so that it stays linear.",
    "What a limit costs holds for small steps.",
    *METHOD,
)


@dataclass(frozen=True, slots=True)
class RunsOut:
    """The cheapest blend without one ingredient."""

    name: str
    sentence: str
    extra: float | None  # money more for the batch; None: nothing fits


@dataclass(frozen=True, slots=True)
class LimitCost:
    """What one limit costs."""

    of: str
    name: str  # of an ingredient; empty
    saved: float  # money of the batch for one step
    sentence: str


@dataclass(frozen=True, slots=True)
class CheapBlend:
    """The cheapest blend, or why there is none."""

    sentence: str
    fits: bool
    weigh: str = ""
    lines: tuple[WeighLine, ...] = ()
    water_kg: float = 0.0
    water: str = ""
    costing: Costing | None = None
    nitrogen: Range | None = None
    nitrogen_said: str = ""
    ratio_said: str = ""
    ash: float = 0.0
    supplement: float = 0.0
    moisture_at_filling: float = 0.0
    costs: tuple[LimitCost, ...] = ()
    runs_out: tuple[RunsOut, ...] = ()
    measure_first: str = ""
    too_fine: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    method: tuple[str, ...] = ALSO
    as_mix: str = ""  # the same as a mixing card: what follows the question mark


def cheap_blend(given: Mapping[str, str], system: str = "metric", currency: str = "") -> CheapBlend:
    """Return the cheapest blend of what was typed.

    Parameters
    ----------
    given : mapping of str to str
        By the names of :func:`pinset.services.mixing.cheap_asked.cheap_of`.
    system : str
        ``metric`` or ``us``.
    currency : str
        Before prices; may be empty.

    Raises
    ------
    InputError
        If something is not accepted; its field is the one it was typed into.
    """
    asked = cheap_of(given, system)
    filling = asked.filling
    try:
        found = cheapest(asked.offers, asked.limits, filling.mass_kg, filling.at_filling)
    except NoBlendError as problem:
        return CheapBlend(_nothing(problem, asked, system), fits=False)
    return _said(asked, found, given, system, currency)


def _nothing(problem: NoBlendError, asked: CheapAsked, system: str) -> str:
    return no_blend(problem.reaches, _all_limits(asked), system)


def _all_limits(asked: CheapAsked) -> tuple[Limit, ...]:
    """Return the limits that were typed, those of single ingredients among them."""
    found = list(asked.limits)
    for offer in asked.offers:
        name = offer.ingredient.name
        if offer.least_share > 0.0:
            found.append(Limit(Of.SHARE, offer.least_share, is_least=True, name=name))
        if offer.most_share < 1.0:
            found.append(Limit(Of.SHARE, offer.most_share, is_least=False, name=name))
        if offer.stock_kg is not None:
            found.append(Limit(Of.STOCK, offer.stock_kg, is_least=False, name=name))
    return tuple(found)


def _said(
    asked: CheapAsked, found: Cheapest, given: Mapping[str, str], system: str, currency: str
) -> CheapBlend:
    filling = asked.filling
    used = tuple(
        replace(row, share=share)
        for row, share in zip(asked.rows, found.shares, strict=True)
        if share > 0.0
    )
    batch = weighed_batch(found.batch, filling)
    blend = batch.blend
    lines = lines_of(batch, found.batch, used, filling, system, currency)
    each = found.cost / filling.units
    return CheapBlend(
        sentence=f"{money(found.cost, currency)} for {filling.counted}, "
        f"{money(each, currency)} each.",
        fits=True,
        weigh=weigh_out(lines, batch, filling, system),
        lines=lines,
        water_kg=batch.water_kg,
        water=water(batch.water_kg, filling.water_step_kg, system),
        costing=costing(lines, filling, currency),
        nitrogen=blend.nitrogen,
        nitrogen_said=nitrogen(blend.nitrogen),
        ratio_said=ratio(blend.carbon_to_nitrogen),
        ash=blend.ash,
        supplement=blend.supplement,
        moisture_at_filling=blend.moisture_wet,
        costs=tuple(
            LimitCost(
                one.limit.of.value, one.limit.name, one.saved, cost_words(one, system, currency)
            )
            for one in found.costs
        ),
        runs_out=tuple(_runs_out(asked, found, row, system, currency) for row in used),
        measure_first=measure_first(blend),
        too_fine=fine_words(lines, filling, system),
        remarks=_remarks(asked, used, blend.nitrogen),
        cautions=cautions.sentences(cautions_of([row.key for row in used], blend.mass_kg)),
        as_mix=_as_mix(used, given),
    )


def _runs_out(asked: CheapAsked, found: Cheapest, row: Row, system: str, currency: str) -> RunsOut:
    filling = asked.filling
    if len(asked.offers) == 1:
        return RunsOut(row.name, f"Without {row.name} nothing is left.", None)
    try:
        other = without(asked.offers, asked.limits, filling.mass_kg, filling.at_filling, row.name)
    except NoBlendError as problem:
        limits = [each for each in _all_limits(asked) if each.name != row.name]
        why = no_blend(problem.reaches, limits, system)
        return RunsOut(row.name, f"Without {row.name}: {why}", None)
    extra = other.cost - found.cost
    names = [each.ingredient.name for each in asked.offers if each.ingredient.name != row.name]
    parts = ", ".join(
        f"{percent(share, 1)} % {name}"
        for name, share in zip(names, other.shares, strict=True)
        if share > 0.0
    )
    way = f"{money(extra, currency)} more" if extra > 0 else f"{money(-extra, currency)} less"
    sentence = f"Without {row.name}: {way}, with {parts} of dry mass."
    return RunsOut(row.name, sentence, extra)


def _remarks(asked: CheapAsked, used: tuple[Row, ...], known: Range) -> tuple[str, ...]:
    found = [*not_measured(used)]
    found += [remark for row in used for remark in row.remarks]
    for limit in asked.limits:
        beyond = known.low < limit.value if limit.is_least else known.high > limit.value
        if limit.of is Of.NITROGEN and beyond:
            found.append(
                f"Limits hold for middle values: nitrogen may be {percent(known.low)} to "
                f"{percent(known.high)} %."
            )
            break
    found += [
        f"No more than {percent(usual_most(row), 1)} % {row.name} is taken, the usual most, unless "
        "you say how much."
        for row, offer in zip(asked.rows, asked.offers, strict=True)
        if offer.most_share == usual_most(row) < 1.0
    ]
    least = [o.ingredient.name for o in asked.offers if o.least_share > 0.0]
    if least:
        found.append(
            f"If {' or '.join(least)} runs out, the least that is asked of it falls away too."
        )
    return tuple(found)


def _as_mix(used: tuple[Row, ...], given: Mapping[str, str]) -> str:
    asked = {name: given[name] for name in FILLED if given.get(name, "").strip()}
    asked["basis"] = "dry-parts"
    for number, row in enumerate(used, start=1):
        asked[f"what-{number}"] = row.key
        asked[f"share-{number}"] = f"{100.0 * (row.share or 0.0):.{SHARE_DIGITS}g}"
        for name in KEPT:
            text = given.get(f"{name}-{row.number}", "").strip()
            if text:
                asked[f"{name}-{number}"] = text
    return urlencode(asked)
