"""Which outage that was set, moved or ended since a plan touches a job of the next one."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta

from pinset.chain.outages import Outage, OutageOf
from pinset.chain.plain import from_plain
from pinset.chain.register import FarmBook, Steriliser
from pinset.farm import since
from pinset.services.day.out_of_use import name_of, state_words
from pinset.services.jobs.records import JobKind, PlannedJob

FILLED_WITHIN = timedelta(days=3)
"""Vessels are filled so long after the cook that a steriliser could not do; common practice, no
source."""


class OutagesChanged:
    """The outages that were set, moved or ended since a moment, to find the work they touch."""

    def __init__(self, made_at: datetime, book: FarmBook, today: date) -> None:
        """Read them."""
        self._book, self._today = book, today
        self._cook_of = {
            (route.code, step.code): step.cook for route in book.routes for step in route.steps
        }
        self._route_of = {variety.code: variety.route for variety in book.varieties}
        self._changed = [
            ([from_plain(Outage, body) for body in each.bodies], each.is_ended)
            for each in since.outages_changed_since(made_at)
        ]

    def touching(self, jobs: Sequence[PlannedJob]) -> list[str]:
        """Return in words what touches a job, given as it is now and as it was before.

        Where an outage was moved or ended, the days that it had before count, too.
        """
        return [
            self._words(versions[-1], is_ended=is_ended)
            for versions, is_ended in self._changed
            if any(self._touches(outage, job) for outage in versions for job in jobs)
        ]

    def _words(self, outage: Outage, *, is_ended: bool) -> str:
        if not is_ended:
            return state_words(self._book, outage, self._today)
        back = "back" if outage.what is OutageOf.PERSON else "in use again"
        return f"{name_of(self._book, outage)} is {back}"

    def _touches(self, outage: Outage, job: PlannedJob) -> bool:
        if outage.what is OutageOf.PERSON:  # whose minutes every kind of work shares
            return outage.covers(job.day)
        if outage.what is OutageOf.BENCH:
            return job.kind is JobKind.TRANSFER and outage.covers(job.day)
        if outage.what is OutageOf.ROOM:
            return self._is_at_room(job, outage) or any(
                self._needs(job, each, outage)
                for each in self._book.sterilisers
                if each.room == outage.which
            )
        return any(
            self._needs(job, each, outage)
            for each in self._book.sterilisers
            if each.code == outage.which
        )

    def _is_at_room(self, job: PlannedJob, outage: Outage) -> bool:
        """Say whether a job is in a room that is out of use, or sends units to one of its kind."""
        if not outage.covers(job.day):
            return False
        if job.kind is JobKind.TRANSFER:
            return any(bench.room == outage.which for bench in self._book.benches)
        kinds = {room.code: room.kind for room in self._book.rooms}
        if job.kind is JobKind.MOVE and job.to_room:
            return kinds.get(job.to_room) is kinds.get(outage.which)
        return outage.which in {job.room, job.to_room}

    def _needs(self, job: PlannedJob, steriliser: Steriliser, outage: Outage) -> bool:
        """Say whether a job is a cook that a steriliser can do, or fills vessels of one."""
        last = outage.until
        if job.kind is JobKind.TRANSFER:
            cook = self._cook_of.get((self._route_of.get(job.variety, ""), job.step), "")
            last += FILLED_WITHIN
        else:
            cook = job.cook_kind
        can = {kind.code for kind in steriliser.cooks}
        return outage.from_date <= job.day <= last and cook in can
