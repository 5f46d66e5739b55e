"""Answers a chore, or what a kept culture asks, as its own page does; all figures are invented."""

from __future__ import annotations

import secrets

from pinset.chain.shelf_life import Asks
from pinset.chain.upkeep import Reads
from pinset.services.answers.lot_actions import Saying
from pinset.services.cultures import renewing, saying
from pinset.services.plans import planning_day
from pinset.services.upkeep import doing
from pinset.services.views import JobView

ON_PAGES = frozenset({"chore", "culture"})
"""Kinds of jobs that are answered on a page of their own, with what was read or seen."""

READ_OFF = {Reads.HOURS: "900", Reads.PRESSURE_DROP: "90"}  # probes, gauges and scales are right


def keep_up(job: JobView, person: str) -> None:
    """Write down that a chore was done, or what became of a tube."""
    client_id = secrets.token_hex(16)
    book, _ = planning_day.farm_book()
    if job.kind == "chore":
        chore = doing.chore_of(job.chore, book)
        read = READ_OFF.get(chore.reads, "0") if chore.reads is not Reads.NOTHING else ""
        doing.done(doing.ChoreTap(job.chore, person, client_id, reading=read, is_changed=True))
        return
    said = Saying(job.from_lots[0].lot, person, client_id, why="invented: it grew well")
    if job.task == Asks.TEST.value:
        saying.woken(said, 2, 2, 2)
    else:
        renewing.renew(said, 2, renewing.shelves(book)[0])
