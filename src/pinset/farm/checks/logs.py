"""Logs: each one a verdict speaks of is there as it was handed in; no others."""

from __future__ import annotations

from collections.abc import Iterator

from pinset.errors import Finding, Severity
from pinset.farm import log_store
from pinset.farm.entries import Kind
from pinset.farm.models import Entry

_HINT = "Keep the file as it is and take the last backup that checks: pinset restore FILE."


def check_logs(using: str) -> Iterator[Finding]:
    """Yield what is wrong with the logs that cooks were judged by."""
    named: dict[str, list[int]] = {}
    verdicts = Entry.objects.using(using).filter(kind=Kind.VERDICT).order_by("id")
    for number, details in verdicts.values_list("id", "details").iterator():
        if digest := str(details.get("log", "")):
            named.setdefault(digest, []).append(number)
    kept: set[str] = set()
    for digest, is_whole in log_store.digests(using):
        kept.add(digest)
        if not is_whole:
            yield Finding(
                "ledger.log-changed",
                Severity.WRONG,
                f"log {digest[:12]}",
                "This log was changed after a cook was judged by it.",
                _HINT,
            )
        if digest not in named:
            yield Finding(
                "ledger.log-foreign",
                Severity.WRONG,
                f"log {digest[:12]}",
                "No verdict was written with this log; it was put in or exchanged.",
                _HINT,
            )
    for digest, numbers in named.items():
        if digest not in kept:
            for number in numbers:
                yield Finding(
                    "ledger.log-lost",
                    Severity.WRONG,
                    f"entry {number}",
                    f"The log that the verdict of entry {number} rests on is missing.",
                    _HINT,
                )
