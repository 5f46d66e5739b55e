"""When somebody opens a steriliser whose cook has ended, as the hour of its job."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from pinset.chain.register import FarmBook
from pinset.planning.model.staffed import Staffed


def opening_hour(book: FarmBook, steriliser: str, loaded: date, ended: datetime) -> datetime:
    """Return from when on a cook is to be opened, by the farm's clock.

    That is its end. Where it ends on its own day and everybody has left, it is when work begins on
    the next; over a day off it is the end all the same, for an hour two days ahead has no place on
    a day's page.

    Parameters
    ----------
    book : FarmBook
        The farm.
    steriliser : str
        Code.
    loaded : date
        Day of the load.
    ended : datetime
        The end of the cook.
    """
    opened = will_open(book, steriliser, ended)
    is_next_day = opened is not None and opened.date() == loaded + timedelta(days=1)
    return opened if opened and is_next_day and ended.date() == loaded else ended


def will_open(book: FarmBook, steriliser: str, ended: datetime) -> datetime | None:
    """Return when somebody is there to open a cook that has ended; None: within a month nobody."""
    staffed = Staffed(book)
    machine = next((each for each in book.sterilisers if each.code == steriliser), None)
    return staffed.first_from(ended) if machine is None else staffed.opened(machine, ended)
