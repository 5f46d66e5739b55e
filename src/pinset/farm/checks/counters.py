"""The counters kept with the end of the chain, compared with what they count.

How many lot codes were issued cannot be recounted: a code may stand on a label and not be used yet,
and a lot may have come with a code of the farm's own. Codes in use are passed over in any case.
"""

from __future__ import annotations

from collections.abc import Iterator

from django.db import connections

from pinset.errors import Finding, Severity
from pinset.farm.models import ChainHead

_HINT = "Keep the file as it is and take the last backup that checks: pinset restore FILE."
_COUNTED = """
SELECT
  (SELECT COUNT(*) FROM farm_lot),
  (SELECT COALESCE(MAX(id), 0) FROM farm_lot),
  (SELECT COUNT(*) FROM farm_entry c LEFT JOIN farm_entry e ON e.client_id = c.corrects_client
    WHERE c.corrects_client <> '' AND e.id IS NULL)
"""


def check_counters(using: str) -> Iterator[Finding]:
    """Yield the counters that say otherwise than the rows."""
    head = ChainHead.objects.using(using).filter(pk=1).first() or ChainHead()
    with connections[using].cursor() as cursor:
        cursor.execute(_COUNTED)
        lots, last, waiting = cursor.fetchone()
    if not head.lots == lots == last:
        yield _wrong(
            f"{head.lots} lots were written down, {lots} are there, the last has number {last}."
        )
    if head.waiting != waiting:
        yield _wrong(f"{head.waiting} takings back are said to wait for their entry; {waiting} do.")
    if head.codes < 0:
        yield _wrong(f"{head.codes} lot codes are said to be issued, which cannot be.")


def _wrong(sentence: str) -> Finding:
    return Finding("ledger.counter-wrong", Severity.WRONG, "counters", sentence, _HINT)
