"""What was promised on which day: as the promise stood then, however it was changed since."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from pinset.chain.due import due_days
from pinset.chain.register import FarmBook, Promise
from pinset.farm import register_store
from pinset.farm.models.register import RegisterKind
from pinset.farm.register_store import Version


@dataclass(frozen=True, slots=True)
class _Stood:
    """A promise as it stood for a time."""

    promise: Promise
    first: date
    last: date


@dataclass(frozen=True, slots=True)
class PromisedThen:
    """Every promise as it stood on each day: a day that is over keeps what it was."""

    today: date
    now: tuple[Promise, ...]  # in force today, for today and all days to come
    before: Mapping[str, tuple[_Stood, ...]] = field(default_factory=dict)  # by code, until today

    def on(self, day: date) -> tuple[Promise, ...]:
        """Return the promises as they stood on a day, whether they were due on it or not."""
        if day >= self.today:
            return self.now
        stood = (each for times in self.before.values() for each in times)
        return tuple(each.promise for each in stood if each.first <= day <= each.last)

    def due(self, first: date, last: date) -> Iterator[tuple[Promise, date]]:
        """Yield each promise with each of its days from the first to the last, both included."""
        for times in self.before.values():
            for each in times:
                for day in due_days(each.promise, max(first, each.first), min(last, each.last)):
                    yield each.promise, day
        for promise in self.now:
            for day in due_days(promise, max(first, self.today), last):
                yield promise, day


def promised_then(book: FarmBook, today: date) -> PromisedThen:
    """Return what was promised on the days before today, and what is promised now.

    The first version of a promise stands for the days before it was written down, too: what fell
    due then is left out by :func:`~pinset.services.promises.counted.counted_from`.
    """
    histories = register_store.versions_of(RegisterKind.PROMISE)
    before = {code: _stood(versions, today) for code, versions in histories.items()}
    return PromisedThen(today, book.promises, before)


def _stood(versions: Sequence[Version], today: date) -> tuple[_Stood, ...]:
    """Return how a promise stood until yesterday; of versions of one day the last holds."""
    found = []
    in_turn = sorted(versions, key=lambda each: (each.valid_from, each.version))
    for place, each in enumerate(in_turn):
        first = each.valid_from if place else date.min
        ends = in_turn[place + 1].valid_from if place + 1 < len(in_turn) else today
        last = min(ends, today) - timedelta(days=1)
        if not each.is_retired and first <= last and isinstance(each.record, Promise):
            found.append(_Stood(each.record, first, last))
    return tuple(found)
