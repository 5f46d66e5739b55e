"""What was made in the vessels of a cook, for paper: what was decided on it, why, and by whom."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from pinset.chain.stages import Stage
from pinset.farm.queries import story
from pinset.farm.queries.decisions import decisions
from pinset.farm.queries.lineage import children
from pinset.services.cooks.judge.short_cooks import HELD, KEPT, short_cooks
from pinset.services.cooks.judge.verdicts import CookView

DECIDED = {HELD: "held back", KEPT: "kept all the same"}


def made_in_words(view: CookView, zone: ZoneInfo) -> str:
    """Return the lots made in its vessels, each with the reason it was made or kept for, if any.

    A lot that was made with a reason says that one, and a decision after a verdict of too short
    its own.
    """
    entries: dict[str, list[str]] = {}
    for vessels in view.line.lots:
        for child in children(vessels):
            if child.stage != Stage.PREPARED.value:
                entries.setdefault(child.lot, []).append(child.entry)
    marked = {each.lot: each for each in short_cooks((view.line.cook,)) if not each.through}
    said = decisions(entries)
    found = []
    for lot, made in entries.items():
        parts = [
            part for entry in dict.fromkeys(made) if (part := _used(entry, view.line.cook, zone))
        ]
        mark, decision = marked.get(lot), said.get(lot)
        if mark and decision and mark.decided in DECIDED:
            why = _because(DECIDED[mark.decided], decision.reason)
            parts.append(_by(why, decision.by, decision.at, zone))
        elif mark and not mark.decided:
            parts.append("nobody has decided on it")
        found.append(f"{lot} ({'; '.join(parts)})" if parts else lot)
    return ", ".join(found)


def _used(client_id: str, cook: str, zone: ZoneInfo) -> str:
    """Return why vessels were used that nobody had judged, or that were too short; else empty."""
    entry = story.entry(client_id)
    reason = story.why_used(entry.details, cook) if entry else ""
    if entry is None or not reason:
        return ""
    return _by(_because("used all the same", reason), entry.person_name, entry.happened_at, zone)


def _because(words: str, reason: str) -> str:
    return f"{words}: {reason}" if reason else words


def _by(words: str, who: str, at: datetime, zone: ZoneInfo) -> str:
    moment = f"{at.astimezone(zone):%Y-%m-%d %H:%M}"
    return f"{words}, {who}, {moment}" if who else f"{words}, {moment}"
