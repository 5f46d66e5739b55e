"""When somebody opens a steriliser whose cook has ended, as the day and the hour of its job."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime

from pinset.chain.register import FarmBook
from pinset.planning.model.staffed import Staffed
from pinset.services.day.fitting import NEXT_DAY
from pinset.services.jobs.records import PlannedJob
from pinset.services.words import near_day

LIME = "lime"
VACUUM = "vacuum"


@dataclass(frozen=True, slots=True)
class Opening:
    """When a cook is opened; of a cook that nobody comes to within a month, when it ends."""

    loaded: date
    ended: datetime  # from when on it may be opened, by the farm's clock
    at: datetime  # when somebody is there to do it

    @property
    def day(self) -> date:
        """Return the day of its job: that of the load, or its own where that is days later."""
        days = (self.at.date() - self.loaded).days
        return self.loaded if days <= 1 else self.at.date()

    @property
    def stays_closed(self) -> bool:
        """Say whether it stands closed for a while because nobody is there at its end."""
        return self.at > self.ended

    def hour(self, shown: date) -> str:
        """Return the hour in words, on the page of a day: ``07:00``, ``07:00 next day``."""
        return f"{self.at:%H:%M}{NEXT_DAY if self.at.date() > shown else ''}"

    def given_to(self, job: PlannedJob, shown: date | None = None) -> PlannedJob:
        """Return the job of the opening at this hour, saying from when on it may be opened.

        ``shown`` is the day whose page it stands on, if that is not its own.
        """
        hour = self.hour(shown or job.day)
        told = replace(job, fixed_at=hour, due=f"after {hour}")
        return self.told_by(told)

    def told_by(self, job: PlannedJob) -> PlannedJob:
        """Return a job of the cook that knows whether its load stays closed, with its caution."""
        usual = tuple(each for each in job.cautions if each != VACUUM)
        if not self.stays_closed:
            return replace(job, may_open=None, cautions=usual)
        sucks = () if LIME in usual else (VACUUM,)
        return replace(job, may_open=self.ended, cautions=(*usual, *sucks))


def opening_of_cook(book: FarmBook, steriliser: str, loaded: date, ended: datetime) -> Opening:
    """Return when somebody opens a cook: its end, or the first hour after it with somebody there.

    Parameters
    ----------
    book : FarmBook
        The farm.
    steriliser : str
        Code.
    loaded : date
        Day of the load.
    ended : datetime
        The end of the cook, by the farm's clock.
    """
    return Opening(loaded, ended, will_open(book, steriliser, ended) or ended)


def will_open(book: FarmBook, steriliser: str, ended: datetime) -> datetime | None:
    """Return when somebody is there to open a cook that has ended; None: within a month nobody."""
    staffed = Staffed(book)
    machine = next((each for each in book.sterilisers if each.code == steriliser), None)
    return staffed.first_from(ended) if machine is None else staffed.opened(machine, ended)


def closed_words(job: PlannedJob, today: date) -> str:
    """Return that an opening waits for somebody to be there; nothing where it does not."""
    if job.may_open is None:
        return ""
    ended = f"{job.may_open:%H:%M} {near_day(job.may_open.date(), today)}"
    if not job.fixed_at:  # its hour has passed
        return f"could be opened from {ended}"
    return f"may be opened from {ended}, but nobody is there until {job.fixed_at}"
