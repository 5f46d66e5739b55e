"""Which figures of a route were taken over from own records, and what the route said before.

A figure that was taken over already holds the farm's lots. Reckoning it again from there would
count them twice, so the route's own word is looked up in its earlier versions. What was taken over
stands in the route's note, in words: ``Own records 2026-03-12 (72 lots): fruiting yield.``
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from pinset.chain.register import Route, Step
from pinset.learning.figures import What
from pinset.learning.own_figures import Base

_MARK = re.compile(r"Own records (\d{4}-\d{2}-\d{2}) \((\d+) lots?\): (\S+) (\S+)\.")


@dataclass(frozen=True, slots=True)
class TakenOver:
    """When a figure was taken over, and from how many lots."""

    on: date
    lots: int


def taken_over(route: Route) -> dict[tuple[str, What], TakenOver]:
    """Return what was taken over from own records, by step and figure, as the note says."""
    known = {what.value: what for what in What}
    return {
        (step, known[what]): TakenOver(date.fromisoformat(day), int(lots))
        for day, lots, step, what in _MARK.findall(route.note)
        if what in known
    }


def marked(route: Route, step: str, what: What, taken: TakenOver) -> Route:
    """Return the route with the words for a figure that was taken over in its note."""

    def kept(found: re.Match[str]) -> str:
        return "" if (found[3], found[4]) == (step, what.value) else found[0]

    rest = re.sub(r" {2,}", " ", _MARK.sub(kept, route.note)).strip()
    lots = f"{taken.lots} {'lot' if taken.lots == 1 else 'lots'}"
    mark = f"Own records {taken.on.isoformat()} ({lots}): {step} {what.value}."
    return replace(route, note=f"{rest} {mark}".strip())


def base_of(versions: Sequence[Route], route: Route) -> Base:
    """Return what the route said of each figure before it was taken over.

    Parameters
    ----------
    versions : sequence of Route
        Every version so far, the oldest first.
    route : Route
        In force.

    Returns
    -------
    callable
        Gives the step as it stood in the newest version whose figure was not taken over: before
        it first was, or since somebody changed it by hand again.
    """

    def base(code: str, what: What) -> Step:
        found, mark, held = route.step(code), None, None
        is_found = False
        for version in versions:
            step = next((each for each in version.steps if each.code == code), None)
            if step is None:
                continue
            now, says = taken_over(version).get((code, what)), _held(step, what)
            is_by_hand = now is None or (now == mark and says != held)
            if is_by_hand or not is_found:
                found, is_found = step, True
            mark, held = now, says
        return found

    return base


def _held(step: Step, what: What) -> Any:
    """Return the values of a step that belong to a figure."""
    match what:
        case What.LOSS:
            return step.loss
        case What.DAYS:
            return step.days
        case What.YIELD:
            return (step.yield_g, step.yield_spread)
        case What.SHARES:
            return [flush.share for flush in step.flushes]
        case What.GAPS:
            return [flush.gap_days for flush in step.flushes]
        case What.LOST_BEFORE:
            return [flush.lost_before for flush in step.flushes]
