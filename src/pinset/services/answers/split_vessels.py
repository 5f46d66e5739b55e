"""Prepared vessels that split while they were filled: taken out with the transfer that left them.

Otherwise the books would go on offering them as good to the next transfer.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace

from pinset.farm import trade
from pinset.farm.entries import Account, NewEntry
from pinset.farm.queries.alive import PreparedLot, prepared
from pinset.farm.trade import Taken, Tap
from pinset.services.answers.gone_missing import TIED, GoneMissing, missing_id
from pinset.services.building import Answer
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.texts import LONGEST_REASON, written
from pinset.services.words import joined, plural

NUMBERS = {"a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6}
DAMAGED = re.compile(
    r"(?:\b(?P<number>\d+|" + "|".join(NUMBERS) + r")\s+(?:\w+\s+){0,2}?)?"
    r"\b(?:split|splits|burst|tore|torn|broke|broken|cracked|leaks|leaked|leaking|damaged)\b",
    re.IGNORECASE,
)
"""Words of a vessel that is no good any more, with how many are said; our own list."""


def split_vessels(
    job: PlannedJob, entry: NewEntry, answer: Answer, tap: Tap, left: int
) -> GoneMissing | None:
    """Return what takes the vessels out of the books that a finished transfer says are damaged.

    None where as many were made as asked, where no damage is said, or where no such vessels stand.

    Parameters
    ----------
    job : PlannedJob
        The transfer.
    entry : NewEntry
        What was made of it, and of which vessels.
    answer : Answer
        What was said: its reason names the damage and, if not all that are missing, how many.
    tap : Tap
        Who and when.
    left : int
        Units of the job that were not done before. [unit]
    """
    found = DAMAGED.search(answer.reason or "")
    standing = left_standing(job, entry)
    most = min(left - int(entry.details.get("count", 0)), sum(units for _, units in standing))
    if found is None or most < 1:
        return None
    number = (found["number"] or "").lower()
    missing = min(most, NUMBERS.get(number) or int(number or most))
    cause = written("reason", answer.reason, LONGEST_REASON)
    own = replace(tap, client_id=missing_id(tap.client_id), job="", note="")
    taken = list[Taken]()
    for lot, units in standing:
        out = min(units, missing - sum(each.quantity for each in taken))
        if out > 0:
            taken.append(Taken(lot.code, out, lot.place))
    culls = [trade.cull(own, each, cause=cause) for each in taken]
    of_each = joined([f"{each.quantity} of {each.lot}" for each in taken])
    return GoneMissing(
        replace(
            culls[0],
            postings=tuple(posting for cull in culls for posting in cull.postings),
            details={**culls[0].details, TIED: tap.client_id},
        ),
        f"{of_each} taken out of the books.",
    )


def left_as_good(job: PlannedJob, entry: NewEntry, left: int) -> tuple[str, ...]:
    """Return what is said where a transfer left vessels of which no damage was said."""
    standing = left_standing(job, entry)
    missing = min(left - int(entry.details.get("count", 0)), sum(units for _, units in standing))
    if missing < 1:
        return ()
    lots = joined([lot.code for lot, _ in standing])
    stays = "stays" if missing == 1 else "stay"
    said = (
        f"{plural(missing, 'vessel')} of {lots} {stays} in the books as good: what is split or "
        "leaks is lost, to be said on the lot's page."
    )
    return (said,)


def left_standing(job: PlannedJob, entry: NewEntry) -> list[tuple[PreparedLot, int]]:
    """Return the prepared lots a transfer used or was laid for, with what it leaves of each."""
    if job.kind is not JobKind.TRANSFER:
        return []
    used: Counter[str] = Counter()
    for posting in entry.postings:
        if posting.account is Account.USED:
            used[posting.lot] += posting.quantity
    return [
        (lot, lot.alive - used[lot.code])
        for lot in prepared()
        if (lot.code in used or lot.code in job.vessels) and lot.alive > used[lot.code]
    ]
