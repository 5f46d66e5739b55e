"""The hours at which somebody is on the farm: to load and open sterilisers, to transfer."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from math import ceil

from pinset.chain.in_use import loading_minutes, unloading_minutes
from pinset.chain.register import FarmBook, Steriliser
from pinset.chain.who_is_here import Here, here_on

LAST_TRANSFER_HOURS = 1.0
"""A transfer begins at least so long before work ends; common practice, no source."""

LONGEST_PAUSE_DAYS = 31


@dataclass(frozen=True, slots=True)
class Staffed:
    """The hours at which somebody is on the farm."""

    book: FarmBook
    _here: dict[tuple[date, bool], Here] = field(init=False, default_factory=dict, compare=False)

    def here(self, day: date, *, in_laboratory: bool = False) -> Here:
        """Return when anybody is here on a day, of all or of those who may work in the laboratory.

        Until midnight where no person's hours are listed.
        """
        key = (day, in_laboratory)
        if key not in self._here:
            self._here[key] = here_on(self.book, day, in_laboratory=in_laboratory)
        return self._here[key]

    def begins(self, day: date) -> datetime:
        """Return when work begins on a day: when the first person comes."""
        return _at_minute(day, self.here(day).begins)

    def ends(self, day: date) -> datetime:
        """Return when the last person leaves."""
        return _at_minute(day, self.here(day).ends)

    def works_on(self, day: date) -> bool:
        """Say whether anybody works on a day."""
        return self.here(day).is_anybody

    def last_begin(self, day: date, minutes: float, *, in_laboratory: bool = False) -> datetime:
        """Return the last moment of a day at which work of that length can begin."""
        here = self.here(day, in_laboratory=in_laboratory)
        return _at_minute(day, here.last_begin(minutes))

    def first_from(
        self, moment: datetime, minutes: float = 0.0, *, in_laboratory: bool = False
    ) -> datetime | None:
        """Return the first moment from this one on at which somebody is here; None in a month.

        Work of so many minutes is done before they leave; longer than a day, it begins with one.
        ``in_laboratory`` asks for somebody who may work there.
        """
        for ahead in range(LONGEST_PAUSE_DAYS + 1):
            day = moment.date() + timedelta(days=ahead)
            since = 0 if ahead else ceil((moment - moment_at(day, 0.0)).total_seconds() / 60.0)
            found = self.here(day, in_laboratory=in_laboratory).first_from(since, minutes)
            if found is not None:
                is_now = not ahead and found == since
                return moment if is_now else _at_minute(day, found)
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
        minutes = loading_minutes(steriliser) if self.book.workers else 0.0
        latest = self.last_begin(day, minutes)
        if not steriliser.opened_until:
            return latest
        return max(latest, moment_at(day, clock_hours(steriliser.opened_until)))

    def usable_on(
        self,
        opened: datetime | None,
        cooling: float,
        transfer: float = LAST_TRANSFER_HOURS,
        *,
        in_laboratory: bool = False,
    ) -> date | None:
        """Return the first day on which what was opened is cool with time left for a transfer.

        Cooling and the transfer take so many hours; where a transfer takes longer than a day has,
        it begins with the day. ``in_laboratory``: it is for somebody who may work there.
        """
        if opened is None:
            return None
        cool = opened + timedelta(hours=cooling)
        for ahead in range(LONGEST_PAUSE_DAYS + 1):
            day = cool.date() + timedelta(days=ahead)
            here = self.here(day, in_laboratory=in_laboratory)
            last = self.last_begin(day, 60.0 * transfer, in_laboratory=in_laboratory)
            if here.is_anybody and cool <= last:
                return day
        return None


def clock_hours(clock: str) -> float:
    """Return the hours from midnight of a clock time such as ``10:30``. [h]."""
    hour, minute = (int(part) for part in clock.split(":"))
    return hour + minute / 60.0


def _at_minute(day: date, minute: float) -> datetime:
    return datetime.combine(day, time(0)) + timedelta(minutes=minute)


def moment_at(day: date, hours: float) -> datetime:
    """Return the moment so many hours from midnight of a day."""
    return datetime.combine(day, time(0)) + timedelta(hours=hours)
