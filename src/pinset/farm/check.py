"""`pinset check`: rebuild what can be rebuilt, compare, and say everything that is not right."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from django.db import DEFAULT_DB_ALIAS, DatabaseError, connections

from pinset.errors import Finding, Severity
from pinset.farm import versions
from pinset.farm.checks.counters import check_counters
from pinset.farm.checks.families import check_families
from pinset.farm.checks.hashes import check_hashes
from pinset.farm.checks.logs import check_logs
from pinset.farm.checks.notes import check_notes
from pinset.farm.checks.photos import check_photos
from pinset.farm.checks.registers import check_registers
from pinset.farm.checks.sums import check_sums
from pinset.farm.trouble import in_plain_words

Progress = Callable[[str], None]


def check(
    *, using: str = DEFAULT_DB_ALIAS, progress: Progress | None = None
) -> tuple[Finding, ...]:
    """Return everything that is not right in the ledger; nothing, if it holds.

    It reads every row once, a few thousand entries at a time, and writes nothing.

    Parameters
    ----------
    using : str
        Name of the database connection.
    progress : callable, optional
        Is told in words what is being looked at.
    """
    say = progress or (lambda _: None)
    found: list[Finding] = []
    try:
        found.extend(_fit_to_read(using))
        if found:
            return tuple(found)
        for words, part in (
            ("the chain of entries", check_hashes),
            ("notes", check_notes),
            ("logs of cooks", check_logs),
            ("photos", check_photos),
            ("the registers", check_registers),
            ("sums and balances", check_sums),
            ("the counters", check_counters),
            ("lots and what they came from", check_families),
        ):
            say(words)
            found.extend(part(using))
    except DatabaseError as problem:
        found.append(
            Finding("ledger.unreadable", Severity.WRONG, "database", in_plain_words(problem))
        )
    return tuple(found)


def _fit_to_read(using: str) -> Iterator[Finding]:
    connection = connections[using]
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA quick_check(1)")
            said = cursor.fetchone()[0]
        if said != "ok":
            yield Finding(
                "ledger.damaged",
                Severity.WRONG,
                "database",
                f"The database file is damaged: {said}.",
                "Keep the file, then take the last backup: pinset restore FILE.",
            )
            return
    judged = versions.judge(versions.applied_changes(using))
    if judged is not None:
        yield judged
