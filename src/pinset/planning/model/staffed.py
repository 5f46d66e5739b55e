"""The hours at which somebody is on the farm: to load and open sterilisers, to transfer."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta

from pinset.chain.in_use import hours_on, loading_minutes, unloading_minutes
from pinset.chain.register import FarmBook, Steriliser

LAST_TRANSFER_HOURS = 1.0
"""A transfer begins at least so long before work ends; common practice, no source."""

LONGEST_PAUSE_DAYS = 31
DAY_HOURS = 24.0


@dataclass(frozen=True, slots=True)
class Staffed:
    """The hours at which somebody is on the farm."""

    book: FarmBook
    open_on: frozenset[int] = field(init=False)

    def __post_init__(self) -> None:
        days = frozenset(each.number for each in self.book.farm.working_days)
        object.__setattr__(self, "open_on", days)

    def begins(self, day: date) -> datetime:
        """Return when work begins on a day."""
        return moment_at(day, clock_hours(self.book.farm.day_starts))

    def ends(self, day: date, *, in_laboratory: bool = False) -> datetime:
        """Return when the last person leaves, of all or of those who may work in the laboratory.

        Midnight where no person's hours are listed.
        """
        workers = self.book.workers
        if not workers:
            return moment_at(day, DAY_HOURS)
        able = [worker for worker in workers if worker.laboratory or not in_laboratory]
        here = max((hours_on(self.book, worker, day) for worker in able), default=0.0)
        return self.begins(day) + timedelta(hours=here)

    def works_on(self, day: date) -> bool:
        """Say whether anybody works on a day."""
        farm = self.book.farm
        is_open = day.weekday() in self.open_on and day not in farm.days_off
        return is_open and self.ends(day) > self.begins(day)

    def first_from(
        self, moment: datetime, minutes: float = 0.0, *, in_laboratory: bool = False
    ) -> datetime | None:
        """Return the first moment from this one on at which somebody is here; None in a month.

        Work of so many minutes is done before they leave; longer than a day, it begins with one.
        ``in_laboratory`` asks for somebody who may work there.
        """
        for ahead in range(LONGEST_PAUSE_DAYS + 1):
            day = moment.date() + timedelta(days=ahead)
            begins, ends = self.begins(day), self.ends(day, in_laboratory=in_laboratory)
            found = max(moment, begins)
            latest = max(begins, ends - timedelta(minutes=minutes))
            if self.works_on(day) and found < ends and found <= latest:
                return found
        return None

    def opened(self, steriliser: Steriliser, ended: datetime) -> datetime | None:
        """Return when a steriliser is opened whose cook has ended; None: within a month never.

        Whoever opens it also unloads it before they leave.

        Parameters
        ----------
        steriliser : Steriliser
            Somebody who worked on a day comes to it after work until its ``opened_until``; where
            that is not described, it is opened only while somebody works.
        ended : datetime
            The end of the cook.
        """
        day = ended.date()
        if steriliser.opened_until and self.works_on(day):
            until = moment_at(day, clock_hours(steriliser.opened_until))
            if self.begins(day) <= ended <= until:
                return ended
        return self.first_from(ended, unloading_minutes(steriliser))

    def loads_until(self, steriliser: Steriliser, day: date) -> datetime:
        """Return until when a load may go in that follows another of a day.

        Whoever is here has loaded it before they leave; whoever comes after work to open the one
        before puts it in then.
        """
        latest = self.ends(day)
        if self.book.workers:
            latest -= timedelta(minutes=loading_minutes(steriliser))
        if not steriliser.opened_until:
            return latest
        return max(latest, moment_at(day, clock_hours(steriliser.opened_until)))

    def usable_on(
        self, opened: datetime | None, cooling: float, transfer: float = LAST_TRANSFER_HOURS
    ) -> date | None:
        """Return the first day on which what was opened is cool with time left for a transfer.

        Cooling and the transfer take so many hours; where a transfer takes longer than a day has,
        it begins with the day.
        """
        if opened is None:
            return None
        cool = opened + timedelta(hours=cooling)
        for ahead in range(LONGEST_PAUSE_DAYS + 1):
            day = cool.date() + timedelta(days=ahead)
            latest = self.ends(day) - timedelta(hours=transfer)
            if self.works_on(day) and cool <= max(latest, self.begins(day)):
                return day
        return None


def clock_hours(clock: str) -> float:
    """Return the hours from midnight of a clock time such as ``10:30``. [h]."""
    hour, minute = (int(part) for part in clock.split(":"))
    return hour + minute / 60.0


def moment_at(day: date, hours: float) -> datetime:
    """Return the moment so many hours from midnight of a day."""
    return datetime.combine(day, time(0)) + timedelta(hours=hours)
