"""What is left of today: from which hour work can be laid, and what each steriliser still holds.

In the morning, before work begins and before anything is loaded, this is the whole day as the farm
describes it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time
from math import ceil

from pinset.chain.day_hours import HOUR, WHOLE_DAY, Span, clock_minute
from pinset.chain.in_use import LOADING_SHARE, can_cook, loaded_on
from pinset.chain.register import CookKind, FarmBook, Steriliser
from pinset.chain.who_is_here import Here, here_on
from pinset.planning.problem import Problem
from pinset.services.day.fitting import clock_of
from pinset.services.loads.loaded import Loaded

STEP_MINUTES = 5
"""Hours of work laid out in the middle of a day begin on such a step."""

ALWAYS = Here((Span(0, WHOLE_DAY),), 0)
"""In the morning it is not asked who loads what: that is seen when the day is laid out."""


@dataclass(frozen=True, slots=True)
class SteriliserLeft:
    """What a steriliser can still do today, in minutes of the day."""

    free_from: int
    ends_by: int  # a cook must have ended
    here: Here  # who loads it
    is_staffed: bool = True  # somebody is here now, or comes
    is_in_use: bool = True  # False: it is down
    comes_until: int = 0  # somebody comes to open a cook after work, and puts in the next
    loads: int = 0  # begun today
    hours: float = 0.0  # that these take
    finished: Counter[str] = field(default_factory=Counter)  # whole loads in, by kind of cook

    def fits(self, kind: CookKind, begin: int, *, follows: bool) -> bool:
        """Say whether a cook that is loaded at that minute is loaded by somebody and ends in time.

        One that ``follows`` another is loaded when that has ended.
        """
        is_loaded = self.here.is_here(begin, loading_minutes(kind))
        is_loaded = is_loaded or (follows and begin <= self.comes_until)
        ends = begin + round(kind.hours * HOUR)
        is_usable = self.is_staffed and self.is_in_use
        return is_usable and is_loaded and ends <= self.ends_by


@dataclass(frozen=True, slots=True)
class HoursLeft:
    """What is left of today."""

    since: time | None = None  # None: the day has not begun
    sterilisers: Mapping[str, SteriliserLeft] = field(default_factory=dict)


def loading_minutes(kind: CookKind) -> int:
    """Return the minutes it takes to load a cook."""
    return round(kind.hands_minutes * LOADING_SHARE)


def laid_from(moment: datetime, book: FarmBook) -> time | None:
    """Return the hour from which work can be laid at a moment of the farm's clock.

    None before the first person comes.
    """
    minute = moment.hour * HOUR + moment.minute + (moment.second > 0)
    if minute <= here_on(book, moment.date()).begins:
        return None
    minute = min(ceil(minute / STEP_MINUTES) * STEP_MINUTES, WHOLE_DAY - 1)
    return time(minute // HOUR, minute % HOUR)


def hours_left(
    book: FarmBook, today: date, since: time | None, loaded: Iterable[Loaded]
) -> HoursLeft:
    """Return what is left of a day.

    Parameters
    ----------
    book, today : FarmBook, date
        The farm and the day.
    since : time or None
        The hour it is now, as :func:`laid_from` gives it.
    loaded : iterable of Loaded
        What was loaded; other days' loads are passed over.
    """
    here = here_on(book, today)
    of_today = [each for each in loaded if each.at.date() == today]
    return HoursLeft(
        since,
        {
            each.code: replace(
                _left(own or each, here, since, of_today),
                is_in_use=can_cook(book, each, today) and own is not None,
            )
            for each in book.sterilisers
            if clock_minute(each.load_at) < WHOLE_DAY
            for own in [loaded_on(book, each, today)]
        },
    )


def _left(
    steriliser: Steriliser, here: Here, since: time | None, loaded: Iterable[Loaded]
) -> SteriliserLeft:
    opens = clock_minute(steriliser.load_at)
    now = since.hour * HOUR + since.minute if since else 0
    hours = {kind.code: kind.hours for kind in steriliser.cooks}
    own = [each for each in loaded if each.job.steriliser == steriliser.code]
    free_from = max(opens, now)
    for each in own:
        is_clock = clock_of(each.job.fixed_at) is not None
        planned = clock_minute(each.job.fixed_at) if is_clock else opens
        # Where the hour is not known, it was loaded as planned.
        began = max(planned, each.at.hour * HOUR + each.at.minute) if since else planned
        free_from = max(free_from, began + ceil(hours.get(each.job.cook_kind, 0.0) * HOUR))
    return SteriliserLeft(
        free_from=free_from,
        ends_by=max(here.ends, opens + ceil(steriliser.hours_per_day * HOUR)),
        here=here if since else ALWAYS,
        is_staffed=now < here.ends,
        comes_until=clock_minute(steriliser.opened_until) if steriliser.opened_until else 0,
        loads=len(own),
        hours=sum(hours.get(each.job.cook_kind, 0.0) for each in own),
        finished=Counter(each.job.cook_kind for each in own if each.is_finished),
    )


def only_what_is_left(problem: Problem, left: HoursLeft, shut: Collection[str] = ()) -> Problem:
    """Return the problem with today's sterilisers cut down to what they can still do.

    ``shut`` names sterilisers in which no cook is to begin today any more.
    """
    cut = []
    for row in problem.resources.sterilisers:
        own = left.sterilisers.get(row.code)
        if own is None or not row.hours:
            cut.append(row)
            continue
        loadable = own.is_staffed and (own.loads > 0 or own.free_from < own.here.ends)
        loadable = loadable and own.is_in_use and row.code not in shut
        still = (own.ends_by - own.free_from) / HOUR if loadable else 0.0
        hours = max(0.0, min(row.hours[0] - own.hours, still))
        count = max(0.0, row.count[0] - own.loads) if loadable else 0.0
        cut.append(replace(row, hours=(hours, *row.hours[1:]), count=(count, *row.count[1:])))
    return replace(problem, resources=replace(problem.resources, sterilisers=tuple(cut)))
