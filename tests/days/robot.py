"""Somebody who lives through a farm's days: does what Today says, in its order, at its hours."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from kept_up import ON_PAGES, keep_up
from pinset.chain.register import FarmBook
from pinset.errors import PinsetError
from pinset.farm import job_store
from pinset.farm.queries.alive import living
from pinset.services import clock, memory
from pinset.services.answers import lot_actions, off_plan, putting_off, recording
from pinset.services.answers.lot_actions import Saying
from pinset.services.day.today import day_view
from pinset.services.farms import checking
from pinset.services.plans import planning_day
from pinset.services.plans.planning_day import Planned
from pinset.services.views import DayView, JobState, JobView

WAITING = frozenset({JobState.OPEN, JobState.PART})
NIGHT = time(5, 0)
"""When a new day is planned: before anybody comes."""

NEXT_DAY = " next day"


def jobs_of(view: DayView) -> list[JobView]:
    """Return all jobs of a day."""
    return [job for section in view.sections for job in section.jobs] + list(view.later)


def is_today(hour: str) -> bool:
    """Say whether an hour in words is one of today."""
    return bool(hour) and not hour.endswith(NEXT_DAY)


@dataclass
class Habits:
    """On which days, counted from the first, something goes other than told; each once a day."""

    in_part: tuple[int, ...] = ()  # half of a larger job, the rest at the end of the day
    not_today: tuple[int, ...] = ()  # one job is put off
    late: tuple[int, ...] = ()  # everything from the second job on is done so much later
    losses: tuple[int, ...] = ()  # one unit of a lot on the shelves is lost
    again: tuple[int, ...] = ()  # planned anew after a third of the jobs
    evening: tuple[int, ...] = ()  # planned anew when all is done
    late_minutes: int = 40


@dataclass
class Lived:
    """What a day was: planned, told, done."""

    day: date
    number: int
    told: Planned  # in the night
    planned: Planned  # the newest of the day
    morning: DayView
    done: list[JobView] = field(default_factory=list)
    put_off: list[JobView] = field(default_factory=list)
    left: list[JobView] = field(default_factory=list)  # no hours were left for them
    lost: int = 0
    refused: list[str] = field(default_factory=list)

    @property
    def is_as_told(self) -> bool:
        """Say whether everything was done as it was told."""
        return not (self.put_off or self.lost or self.left)


Look = Callable[["Robot", DayView, Planned], None]


class Robot:
    """Lives on one farm; looks at every page of Today with ``look``."""

    def __init__(
        self, monkeypatch: pytest.MonkeyPatch, habits: Habits, look: Look, person: str = "ada"
    ) -> None:
        self.monkeypatch, self.habits, self.look, self.person = monkeypatch, habits, look, person
        self.now = datetime(2026, 1, 1, tzinfo=ZoneInfo("UTC"))
        self.days: list[Lived] = []
        self.book: FarmBook | None = None

    @property
    def farm(self) -> FarmBook:
        """Return the farm's book as it is today."""
        if self.book is None:
            self.book, _ = planning_day.farm_book()
        return self.book

    def set_clock(self, day: date, hour: time) -> None:
        """Set the farm's clock, never back."""
        moment = datetime.combine(day, hour, ZoneInfo(self.farm.farm.time_zone))
        self.now = max(self.now, moment)
        self._show()

    def wait(self, minutes: int) -> None:
        """Let time pass."""
        self.now += timedelta(minutes=minutes)
        self._show()

    def _show(self) -> None:
        self.monkeypatch.setenv(clock.PRETENDED, self.now.isoformat())
        memory.forget_all()

    def plan(self) -> Planned:
        """Plan the farm as it stands, and look at Today."""
        planned = planning_day.replan()
        self.look(self, day_view(self.person), planned)
        return planned

    def live(self, day: date) -> Lived:
        """Live through a day, from the plan of the night to the evening."""
        number = len(self.days)
        self.set_clock(day, NIGHT)
        planned = self.plan()
        here = Lived(day, number, planned, planned, day_view(self.person))
        self.days.append(here)
        seen: set[str] = set()
        halves: list[str] = []
        while (job := self._next(seen)) is not None:
            seen.add(job.job)
            hour = clock_time(job.at)
            is_behind = number in self.habits.late and len(seen) > 1
            self.set_clock(day, hour)
            if is_behind and len(seen) == 2:
                self.wait(self.habits.late_minutes)
            if self._put_off(here, job):
                continue
            self._do(here, job, halves)
            if number in self.habits.losses and not here.lost:
                self._lose(here)
            if number in self.habits.again and len(here.done) == 2:
                here.planned = self.plan()
        for code in halves:
            self._rest(here, code)
        here.left = [j for j in jobs_of(day_view(self.person)) if _is_left(j, seen)]
        if number in self.habits.evening:
            self.plan()
        return here

    def _next(self, seen: set[str]) -> JobView | None:
        """Return the open job that Today has first, of those that have an hour today."""
        waiting = [
            job
            for job in jobs_of(day_view(self.person))
            if job.state in WAITING and is_today(job.at) and job.job not in seen
        ]
        return min(waiting, key=lambda job: (job.at, job.job), default=None)

    def _put_off(self, here: Lived, job: JobView) -> bool:
        if here.number not in self.habits.not_today or here.put_off:
            return False
        if job.kind not in {"look", "move", "transfer", "shake"}:
            return False
        putting_off.not_today(
            job.job, person=self.person, client_id=secrets.token_hex(16), reason="no time for it"
        )
        here.put_off.append(job)
        return True

    def _do(self, here: Lived, job: JobView, halves: list[str]) -> None:
        half = job.left // 2
        is_counted = job.unit == "units" and job.kind in {"transfer", "move", "prepare", "look"}
        if here.number in self.habits.in_part and not halves and half and is_counted:
            if self._record(here, job, recording.part_done, count=half):
                halves.append(job.job)
            if job.kind != "prepare":  # others wait for it
                return
            halves.clear()
        if job.kind == "deliver" and job.unit in {"kg", "lb"} and not self.in_store(job):
            putting_off.not_at_all(
                job.job, person=self.person, client_id=secrets.token_hex(16), reason="none there"
            )
        elif job.kind in ON_PAGES:
            if self._record(here, job, lambda _code, **who: keep_up(job, who["person"])):
                here.done.append(job)
        elif self._record(here, job, recording.done, **self._answer(job)):
            here.done.append(job)

    def _rest(self, here: Lived, code: str) -> None:
        found = [job for job in jobs_of(day_view(self.person)) if job.job == code]
        for job in found:
            if job.state in WAITING and self._record(here, job, recording.done):
                here.done.append(job)

    def _record(self, here: Lived, job: JobView, how: Callable[..., Any], **said: Any) -> bool:
        try:
            how(job.job, person=self.person, client_id=secrets.token_hex(16), **said)
        except PinsetError as problem:
            here.refused.append(f"{self.now:%d %H:%M} {job.kind} {job.count} {job.what}: {problem}")
            return False
        return True

    def _answer(self, job: JobView) -> dict[str, Any]:
        if job.kind == "judge":
            return {"reason": "invented: gauge and clock watched all through"}
        if job.kind == "move" and any(use.alive < use.units for use in job.from_lots):
            return {"count": sum(min(use.alive, use.units) for use in job.from_lots)}
        if job.unit not in {"kg", "lb"} or job.kind == "waste":
            return {}
        if job.kind == "pick":
            return {"grams": max(1, self.expected(job))}
        if job.kind == "deliver":
            return {"grams": min(self.in_store(job), self.promised(job))}
        return {}

    def in_store(self, job: JobView) -> int:
        """Return the grams of its variety in the store that a delivery may take."""
        return sum(s.grams - s.past_g for s in off_plan.store() if s.variety == job.variety_code)

    def promised(self, job: JobView) -> int:
        """Return the grams that are still to be handed over by a job."""
        row = job_store.job_by_code(job.job)
        assert row is not None
        return int(row.body["grams"])

    def expected(self, job: JobView) -> int:
        """Return the grams the plan expects of a pick job."""
        newest = planning_day.latest()
        assert newest is not None
        alike = [j for j in jobs_of(day_view(self.person)) if _is_alike(j, job)]
        grams = sum(
            pick.grams
            for pick in newest.plan.picks
            if pick.day == newest.plan.start and pick.variety == job.variety_code
        )
        return round(grams * job.count / max(1, sum(each.count for each in alike)))

    def _lose(self, here: Lived) -> None:
        """Lose one unit of the largest lot on the shelves."""
        shelved = [lot for lot in living(here.day) if lot.alive > 4 and not lot.order]
        shelved = [lot for lot in shelved if lot.stage.value in {"grain", "block", "sawdust"}]
        lot = max(shelved, key=lambda each: (each.alive, each.code), default=None)
        if lot is not None:
            lot_actions.lose(Saying(lot.code, self.person, secrets.token_hex(16)), 1, "green dust")
            here.lost += 1


def _is_alike(one: JobView, other: JobView) -> bool:
    return (one.kind, one.variety) == (other.kind, other.variety)


def _is_left(job: JobView, seen: set[str]) -> bool:
    is_ahead = job.at.endswith(NEXT_DAY)
    return job.state in WAITING and job.job not in seen and not is_ahead


def clock_time(hour: str) -> time:
    """Return a clock time in words as one."""
    hours, minutes = (int(part) for part in hour.split(":"))
    return time(hours, minutes)


def is_whole() -> list[str]:
    """Return everything that is wrong with the ledger and the farm's book."""
    return [str(finding) for finding in checking.check_farm().findings]
