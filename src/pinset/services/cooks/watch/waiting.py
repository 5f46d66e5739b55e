"""A watched cook of which nothing was read yet: what was planned."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from pinset.errors import Finding
from pinset.services.cooks.ahead.planning import CookPlan
from pinset.services.cooks.judge.judging import plain_findings
from pinset.services.cooks.watch.records import CookNow, Curves, Stage

SPARE = ("opening", "not-proof")


def waiting(plan: CookPlan, now: datetime, more: Sequence[Finding]) -> CookNow:
    """Return how a cook stands of which nothing was read: as it was planned."""
    hold = plan.ruling.hold_min
    return CookNow(
        stage=Stage.WAITING,
        sentence=f"No reading yet. Planned: {plan.sentence}",
        now=now,
        last_at=None,
        rule=plan.rule,
        chamber_c=None,
        chamber_by="",
        wanted_c=plan.chamber_c,
        gauge_bar=None,
        steam_c=None,
        core_c=None,
        core_quick_c=None,
        core_by="",
        f0_min=None,
        f0_low_min=None,
        held_min=None,
        left_min=None,
        left_quick_min=None,
        again_min=hold,
        again_quick_min=plan.cases[-1].hold_min,
        end_at=None,
        latest_at=None,
        likely_at=None,
        unsure=None,
        enough_since=None,
        open_at=None,
        inoculate_at=None,
        findings=plain_findings(more),
        cautions=tuple(dict.fromkeys((*plan.cautions, *SPARE))),
        curves=Curves(),
        readings=0,
    )
