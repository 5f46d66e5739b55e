"""Say whether every unit is accounted for and whether the farm's book holds together."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from pinset.chain.cold_stores import check_cold_stores
from pinset.chain.route_rules import check_book
from pinset.errors import Finding, RefusedError, Severity
from pinset.farm.check import check
from pinset.farm.queries.story import last_entry_number
from pinset.services.https import own_certificate
from pinset.services.plans import planning_day
from pinset.services.words import joined, plural


@dataclass(frozen=True, slots=True)
class CheckReport:
    """What was found, gravest first, with one sentence above it."""

    sentence: str
    entries: int
    findings: tuple[Finding, ...]


def check_farm(now: datetime | None = None, folder: Path | None = None) -> CheckReport:
    """Rebuild the ledger's balances and chain, compare, and check the farm's book.

    With the farm's folder its certificate is looked at as well.
    """
    findings = list(check())
    if folder is not None:
        findings += own_certificate.findings(folder)
    try:
        book, today = planning_day.farm_book(now)
        findings += [*check_book(book, today), *check_cold_stores(book)]
    except RefusedError as refused:
        findings.append(
            Finding("farm.not-described", Severity.WARNING, "farm", refused.sentence, refused.hint)
        )
    order = list(Severity)
    findings.sort(key=lambda finding: order.index(finding.severity))
    number = last_entry_number()
    counts = [
        plural(sum(f.severity is severity for f in findings), word, several)
        for severity, word, several in (
            (Severity.WRONG, "thing is wrong", "things are wrong"),
            (Severity.WARNING, "warning", None),
            (Severity.NOTE, "note", None),
        )
        if any(f.severity is severity for f in findings)
    ]
    entries = plural(number, "entry", "entries")
    verdict = joined(counts) if counts else "every unit is accounted for"
    return CheckReport(f"{entries} checked: {verdict}.", number, tuple(findings))
