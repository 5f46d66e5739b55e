"""The job of a tube that a tap on its page answers, and the day's list afterwards."""

from __future__ import annotations

from dataclasses import replace

from pinset.chain.shelf_life import Asks
from pinset.farm.trade import Tap
from pinset.services.clock import now_utc
from pinset.services.plans import planning_day
from pinset.services.upkeep.in_step import bring_in_step, open_job
from pinset.services.upkeep.jobs import tube_key
from pinset.services.views import Done


def answering(tap: Tap, lot: str, asks: Asks) -> Tap:
    """Return the tap, for the job that asks this of a lot of tubes, if it is on the list."""
    row = open_job(tube_key(lot, asks.value))
    return replace(tap, job=row.code) if row is not None else tap


def in_step_after(done: Done) -> Done:
    """Bring the day's list in step with what the shelf asks for now, and return what was said."""
    if done.entry and not done.already:
        book, _ = planning_day.farm_book()
        bring_in_step(book, now_utc())
    return done
