"""Who is here when: the times of a day at which people work, for everything that asks for them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from pinset.chain.day_hours import WHOLE_DAY, Span, clock_minute, clock_words, hours_count, spans_of
from pinset.chain.outages import OutageOf, is_out
from pinset.chain.register import FarmBook, Weekday, Worker


@dataclass(frozen=True, slots=True)
class Here:
    """The times of one day at which people work, each for itself. All in minutes of the day."""

    spans: tuple[Span, ...]  # of every person, earliest first
    usual: int  # when the farm's day begins, whoever is here

    @property
    def is_anybody(self) -> bool:
        """Say whether anybody is here at all."""
        return bool(self.spans)

    @property
    def begins(self) -> int:
        """When the first one comes; the farm's usual hour where nobody does."""
        return self.spans[0].begins if self.spans else self.usual

    @property
    def begins_at(self) -> str:
        """The clock time at which the first one comes."""
        return clock_words(self.begins)

    @property
    def ends(self) -> int:
        """When the last one leaves; when the day begins where nobody is here."""
        return max((each.ends for each in self.spans), default=self.usual)

    def is_here(self, begin: int, minutes: float) -> bool:
        """Say whether one person is here all through work that begins then."""
        return any(each.holds(begin, minutes) for each in self.spans)

    def first_from(self, minute: int, minutes: float = 0.0) -> int | None:
        """Return the first minute from this one on at which work of that length can begin.

        Work that nobody's time holds begins with the next time at which somebody comes. None: not
        any more on this day.
        """
        found = [
            begin
            for each in self.spans
            if (begin := max(minute, each.begins)) < each.ends and each.holds(begin, minutes)
        ]
        if not found and not any(each.holds(each.begins, minutes) for each in self.spans):
            found = [each.begins for each in self.spans if each.begins >= minute]
        return min(found, default=None)

    def last_begin(self, minutes: float) -> float:
        """Return the last minute at which work of that length can begin; with the longest time."""
        found = [each.ends - minutes for each in self.spans if each.holds(each.begins, minutes)]
        longest = max(self.spans, key=lambda each: each.minutes, default=None)
        return max(found, default=longest.begins if longest else self.usual)

    def last_begin_by(self, minute: int, minutes: float) -> float | None:
        """Return the last minute up to this one at which work can begin; None: not so early."""
        found = [
            begin
            for each in self.spans
            if (begin := min(minute, each.ends - minutes)) >= each.begins
        ]
        return max(found, default=None)

    def after_gap(self, minute: int) -> int:
        """Return the minute itself, or when the next one comes if nobody is here between two."""
        if any(each.begins <= minute < each.ends for each in self.spans):
            return minute
        return min((each.begins for each in self.spans if each.begins > minute), default=minute)

    def worked_by(self, since: int, minutes: int) -> int:
        """Return the minute by which so much time has passed at which somebody was here.

        What no time of the day holds any more goes on after the last one.
        """
        now, left = since, minutes
        for each in self.spans:
            begin = max(now, each.begins)
            if begin >= each.ends:
                continue
            if begin + left <= each.ends:
                return begin + left
            left -= each.ends - begin
            now = each.ends
        return now + left


def is_working_day(book: FarmBook, day: date) -> bool:
    """Say whether the farm works on a day: on its weekday, and it is none of the days off."""
    return Weekday.of(day) in book.farm.working_days and day not in book.farm.days_off


def _is_in(book: FarmBook, worker: Worker, day: date) -> bool:
    is_away = is_out(book.outages, OutageOf.PERSON, worker.code, day)
    return is_working_day(book, day) and not is_away


def hours_on(book: FarmBook, worker: Worker, day: date) -> float:
    """Return the hours of a person on a day: none if away, or on a day the farm does not work."""
    return hours_count(worker.hours[day.weekday()]) if _is_in(book, worker, day) else 0.0


def spans_on(book: FarmBook, worker: Worker, day: date) -> tuple[Span, ...]:
    """Return from when until when a person is here on a day; none: not at all."""
    if not _is_in(book, worker, day):
        return ()
    return spans_of(worker.hours[day.weekday()], clock_minute(book.farm.day_starts))


def here_on(book: FarmBook, day: date, *, in_laboratory: bool = False) -> Here:
    """Return when anybody is here on a day.

    Parameters
    ----------
    book : FarmBook
        The farm. Where it lists nobody, somebody is taken to be here from the beginning of a
        working day until midnight.
    day : date
        The day.
    in_laboratory : bool
        Only of those who may work in the laboratory.
    """
    usual = clock_minute(book.farm.day_starts)
    if not book.workers:
        whole = (Span(usual, WHOLE_DAY),) if is_working_day(book, day) else ()
        return Here(whole, usual)
    able = [worker for worker in book.workers if worker.laboratory or not in_laboratory]
    return Here(tuple(sorted(s for worker in able for s in spans_on(book, worker, day))), usual)


def is_somebody_here(book: FarmBook, day: date) -> bool:
    """Say whether anybody of those listed has hours on a day."""
    return any(hours_on(book, worker, day) > 0 for worker in book.workers)
