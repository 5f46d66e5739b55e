"""How own figures are said: shares in percent, days, weights in the farm's units."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp

from pinset.chain.register import Step
from pinset.chain.step_nouns import step_noun
from pinset.learning.figures import Figure, LeftOut, Refusal, StepFigures, What
from pinset.services.words import first_upper, joined, plural, sentences
from pinset.units import show_grams

EIGHT_OF_TEN = 1.2816
"""Standard deviations either side of the mean between which eight of ten normal values lie."""

FEW = 0.0995
"""Below this share percents are said with a decimal."""

GROUPS = {
    What.LOSS: "units lost",
    What.DAYS: "first pick",
    What.YIELD: "yield",
    What.SHARES: "shares of the flushes",
    What.GAPS: "days between flushes",
    What.LOST_BEFORE: "units lost by each flush",
}
"""What is taken over together, in words."""

_REFUSED = {
    Refusal.NO_LOTS: "No lot is old enough yet",
    Refusal.ONE_LOT: "One lot says nothing of how lots differ",
    Refusal.ALL_LOST: "All units were lost: find the cause before you plan with that",
    Refusal.NEVER_PICKED: "None of these lots was picked",
}


@dataclass(frozen=True, slots=True)
class FigureLine:
    """One figure, as it is read; its ranges hold the true figure on 4 of 5 farms."""

    name: str
    route: str
    own: str  # of the farm's own lots
    own_range: str
    planned: str  # of both together
    planned_range: str
    detail: str  # lots and units behind it, and how much they weigh
    figure: Figure


def line_of(figure: Figure, step: Step, units: str) -> FigureLine:
    """Return a figure of a step in words."""

    def value(number: float | None) -> str:
        return "" if number is None else said(figure, number, units)

    def ends(low: float | None, high: float | None) -> str:
        return "" if low is None or high is None else from_to(figure, low, high, units)

    return FigureLine(
        _name(figure, step),
        said(figure, figure.route, units),
        value(figure.own),
        ends(figure.low, figure.high),
        value(figure.planned),
        ends(figure.planned_low, figure.planned_high),
        _detail(figure, step, units),
        figure,
    )


def said(figure: Figure, value: float, units: str) -> str:
    """Return a value of a figure with its unit: ``4.2 %``, ``9.4 days``, ``920 g``."""
    if figure.unit == "fraction":
        return f"{100.0 * value:.{1 if value < FEW else 0}f} %"
    if figure.unit == "d":
        return f"{value:.1f} days"
    return show_grams(round(value), units)


def from_to(figure: Figure, low: float, high: float, units: str) -> str:
    """Return a range with its unit said once, where both ends have the same."""
    first, last = said(figure, low, units), said(figure, high, units)
    number, _, unit = first.partition(" ")
    return f"{number if last.endswith(f' {unit}') else first} to {last}"


def _name(figure: Figure, step: Step) -> str:
    one, many = step_noun(step, 1), step_noun(step, 2)
    match figure.what:
        case What.LOSS:
            return f"{first_upper(many)} lost"
        case What.DAYS:
            return "First pick after moving in"
        case What.YIELD:
            return f"Picked from a standing {one}, middle lot"
        case What.SHARES:
            return f"Share of flush {figure.flush}"
        case What.GAPS:
            return f"From flush {figure.flush - 1} to flush {figure.flush}"
        case What.LOST_BEFORE:
            return f"{first_upper(many)} lost by flush {figure.flush}"


def _detail(figure: Figure, step: Step, units: str) -> str:
    if not figure.lots:
        return ""
    behind = plural(figure.lots, "lot")
    if figure.units:
        behind += f", {figure.units} {step_noun(step, figure.units)}"
    weight = f"weigh {100.0 * figure.weight:.0f} %" if figure.weight else ""
    return "; ".join(filter(None, (behind, _between_lots(figure, units), weight)))


def _between_lots(figure: Figure, units: str) -> str:
    """Return between which values eight of ten lots lie."""
    if figure.own is None or figure.spread is None or figure.what is What.SHARES:
        return ""
    away = EIGHT_OF_TEN * figure.spread
    if figure.what is What.YIELD:
        low, high = figure.own * exp(-away), figure.own * exp(away)
    else:
        low, high = max(0.0, figure.own - away), figure.own + away
    return f"8 of 10 lots {from_to(figure, low, high, units)}"


def rest_words(figures: Sequence[Figure]) -> str:
    """Return why some figures have nothing to plan with."""
    return sentences(
        dict.fromkeys(_REFUSED[each.refusal] for each in figures if each.refusal is not None)
    )


def left_out(found: StepFigures) -> tuple[str, ...]:
    """Return which lots of a step do not count, and what is known of its days."""
    return tuple(part for part in (_left_out(found.left_out), _used(found)) if part)


def _left_out(left: LeftOut) -> str:
    parts = [
        f"{count} {words}"
        for count, words in (
            (left.young, "not old enough yet"),
            (left.unclear, "whose beginning or units are not clear"),
            (left.in_parts, "moved in on several days"),
            (left.unfinished, "still standing"),
        )
        if count
    ]
    return f"Lots left out: {joined(parts)}." if parts else ""


def _used(found: StepFigures) -> str:
    if found.left_after is None:
        return ""
    low, middle, high = found.left_after
    lots = f", 8 of 10 lots after {low:g} to {high:g}" if low < high else ""
    return (
        f"First used, sold or moved on after {middle:g} days{lots}. That is no earlier than they "
        "were ready, so the days stay the route's."
    )
