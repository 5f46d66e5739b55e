"""Which lots count for own figures: only those begun long enough ago, so none looks too clean.

A lot counts by the day it began and not by whether it is over: of young lots those that are over
already are the ones that were lost.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from math import ceil

from pinset.chain.register import Step, StepKind
from pinset.chain.season_days import days_from
from pinset.chain.spells import Spell
from pinset.learning.figures import LeftOut

SHOWS_DAYS = 14.0
"""Days by which nearly all contamination has shown; common practice, no source. Half of it shows
within some 5 days, with a log standard deviation of 0.6 (an assumption) 96 of 100 within 14."""


@dataclass(frozen=True, slots=True)
class Counted:
    """The spells of a step that count, and how many do not."""

    spells: tuple[Spell, ...]
    left_out: LeftOut


def old_enough_days(step: Step) -> int:
    """Return after how many days a lot counts: when it is known what became of it.

    Parameters
    ----------
    step : Step
        A growing step counts after the most days its route gives, and two weeks at least; a
        fruiting step after the most days of all its flushes; in its slowest month, where its days
        follow the months. [d]
    """
    most = step.days.high
    if step.kind is StepKind.FRUIT:
        most += sum(flush.gap_days.high for flush in step.flushes[1:])
        most += sum(flush.pick_days for flush in step.flushes)
    return ceil(max(most * max(step.days_by_month, default=1.0), SHOWS_DAYS))


def counted(spells: Iterable[Spell], step: Step, today: date) -> Counted:
    """Return the spells of one step that count on a day.

    Parameters
    ----------
    spells : iterable of Spell
        Of one variety, in this step.
    step : Step
        As the route in force describes it.
    today : date
        The farm's day.
    """
    days = old_enough_days(step)
    kept: list[Spell] = []
    young = unclear = in_parts = 0
    for spell in spells:
        if (today - spell.since).days < days:
            young += 1
        elif not spell.is_whole:
            unclear += 1
        elif step.kind is StepKind.FRUIT and not spell.is_together:
            in_parts += 1
        else:
            kept.append(spell)
    unfinished = 0
    if step.kind is StepKind.FRUIT:
        unfinished = sum(not spell.is_over for spell in kept)
        kept = [spell for spell in kept if spell.is_over]
    return Counted(tuple(kept), LeftOut(young, unclear, in_parts, unfinished))


def lost_units(spell: Spell, step: Step) -> int:
    """Return the units of a lot that were lost in a growing step.

    Contaminated units always; units taken out for another cause only while the lot was growing:
    before any of it was used, sold or moved on, and within the most days its route gives. What is
    taken out later was sound and is too old or not wanted.
    """
    latest = ceil(days_from(step, spell.since).high)
    if spell.left_after is not None:
        latest = min(latest, spell.left_after)
    return spell.lost + sum(units for days, units in spell.culled if days <= latest)


def left_after(spells: Sequence[Spell]) -> tuple[float, float, float] | None:
    """Return after how many days lots were first used, sold or moved on; None of fewer than two.

    That is no earlier than they were ready, and says no more: nobody writes down the day on which
    spawn became ready.
    """
    days = sorted(spell.left_after for spell in spells if spell.left_after is not None)
    count = len(days)
    if count < 2:  # noqa: PLR2004 - a range needs two
        return None
    p10, p50, p90 = (days[min(count - 1, int(chance * count))] for chance in (0.1, 0.5, 0.9))
    return float(p10), float(p50), float(p90)
