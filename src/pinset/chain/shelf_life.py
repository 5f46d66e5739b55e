"""What a tube on the cold shelf asks for: a wake-up test, a new tube, or going back to the mother.

How long a tube keeps is the farm's to set, in the step of its route. Half of that time after it was
ready, or after it was last woken, it is woken on a plate to see whether it still grows; at the end
of it the culture goes into a new tube. Each new tube is one transfer further from the mother. Where
the route allows no more, where a tube no longer wakes, or where the culture has slowed, it goes
back to a tube that was moved fewer times.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import StrEnum

from pinset.chain.keeping import is_too_cold
from pinset.chain.living import LivingLot
from pinset.chain.readiness import keeps_until, ready_on
from pinset.chain.stages import Stage
from pinset.chain.vigour import Slower
from pinset.errors import InputError

TEST_SHARE = 0.5
"""Share of its time after which a tube is woken; common practice, no source."""

GOOD_DAYS = 2
"""A woken piece that shows growth within so many days is well; later is a warning. d, common
practice, no source."""

MOST_DAYS = 60
MOST_PIECES = 200


class Asks(StrEnum):
    """What a tube asks for next."""

    TEST = "test"  # wake a piece on a plate
    RENEW = "renew"  # move it into a new tube
    MOTHER = "mother"  # go back to a tube moved fewer times
    NOTHING = "nothing"  # it was renewed, and stands as a reserve


@dataclass(frozen=True, slots=True)
class Woken:
    """A wake-up test: pieces set on plates, how many grew, and after how many days that showed."""

    of: int
    grew: int
    days: int | None = None  # until growth showed; None: nothing grew
    is_clean: bool = True  # nothing else grew beside it
    on: date = date.min  # the day it was written down for; the first of all: not said yet

    def __post_init__(self) -> None:
        """Refuse numbers that cannot be."""
        if not 1 <= self.of <= MOST_PIECES:
            raise InputError("pieces", self.of, f"1 to {MOST_PIECES} pieces set on plates")
        if not 0 <= self.grew <= self.of:
            raise InputError("grew", self.grew, f"0 to {self.of}, of those set on plates")
        if bool(self.grew) != (self.days is not None):
            raise InputError("days", self.days, "days until growth showed, if anything grew")
        if self.days is not None and not 0 <= self.days <= MOST_DAYS:
            raise InputError("days", self.days, f"0 to {MOST_DAYS} days until growth showed")

    @property
    def failed(self) -> bool:
        """Say whether the tube is not to be used: nothing grew, or something else did."""
        return not self.grew or not self.is_clean

    @property
    def was_late(self) -> bool:
        """Say whether it grew, but slowly, or not from every piece."""
        return not self.failed and (
            self.grew < self.of or (self.days is not None and self.days > GOOD_DAYS)
        )


@dataclass(frozen=True, slots=True)
class Tube:
    """A lot of tubes on the shelf, with what was seen of it."""

    lot: LivingLot
    tests: tuple[Woken, ...] = ()
    comes_from: frozenset[str] = frozenset()  # codes of the lots on the shelf it was made from

    @property
    def last(self) -> Woken | None:
        """Return the last wake-up test; of several of one day the one told last."""
        return max(reversed(self.tests), key=lambda test: test.on, default=None)

    @property
    def is_sound(self) -> bool:
        """Say whether nothing speaks against going back to it."""
        return not self.lot.held and (self.last is None or not self.last.failed)


@dataclass(frozen=True, slots=True)
class Gone:
    """A lot of tubes of which none stands any more."""

    code: str
    made_on: date
    on: date  # the day on which the last one went


@dataclass(frozen=True, slots=True)
class Asked:
    """What a lot of tubes asks for, from which day on, and why."""

    asks: Asks
    on: date
    why: str
    back_to: str = ""  # lot code of the tube to go back to; empty: none stands

    def is_due(self, today: date) -> bool:
        """Say whether it is time."""
        return self.asks is not Asks.NOTHING and self.on <= today


def asked_of(
    tube: Tube,
    others: Sequence[Tube],
    today: date,
    slower: Slower | None = None,
    gone: Sequence[Gone] = (),
) -> Asked:
    """Return what a lot of tubes asks for next.

    Parameters
    ----------
    tube : Tube
        Tubes of one lot at one place.
    others : sequence of Tube
        The other tubes of the same culture that live.
    today : date
        The day asked about.
    slower : Slower, optional
        The culture's newest plate held against its earlier ones.
    gone : sequence of Gone, optional
        Tubes of the same culture that stood once.

    Returns
    -------
    Asked
        Going back to the mother comes before a new tube, and that before a test.
    """
    tired = _tired(tube, slower)
    if tired is not None:
        return _back(tube, others, *tired)
    lot, limit = tube.lot, tube.lot.route.transfer_limit
    if lot.transfers > limit:
        why = f"{lot.transfers} transfers since the mother; its route allows {limit}"
        return _back(tube, others, today, why)
    if is_too_cold(lot.now_step(), lot.temperature_c):
        return Asked(Asks.TEST, today, "it stands colder than it bears: dead until it was woken")
    return _by_time(tube, others, gone)


def _by_time(tube: Tube, others: Sequence[Tube], gone: Sequence[Gone]) -> Asked:
    """Return what a sound tube asks for as its time goes by.

    What stood as a reserve asks for nothing before the day on which what took its place went.
    """
    asked = _by_own_time(tube, others)
    since = _second_half(tube.lot)
    went = [each for each in gone if each.made_on >= since]
    went += [
        Gone(each.lot.code, each.lot.made_on, each.last.on)
        for each in others
        if each.last is not None and each.last.failed and each.lot.made_on >= since
    ]
    last = max(went, key=lambda each: each.on, default=None)
    if asked.asks is Asks.NOTHING or last is None or last.on <= asked.on:
        return asked
    why = f"{asked.why}; {last.code}, which took its place, is gone since {_day(last.on)}"
    return replace(asked, on=last.on, why=why)


def _by_own_time(tube: Tube, others: Sequence[Tube]) -> Asked:
    """Return what it asks for by its own days."""
    lot, last = tube.lot, tube.last
    ready, until = ready_on(lot).p50, _until(lot)
    younger = _in_its_place(tube, others, _second_half(lot), until)
    if younger is not None:
        how = f"renewed as {younger.lot.code}" if _is_of(younger, tube) else _beside(younger)
        return Asked(Asks.NOTHING, until, f"{how}; it stands as a reserve")
    renew_on, why = until, "its time ends"
    if last is not None and last.was_late:
        renew_on, why = min(until, last.on), f"it woke late on {_day(last.on)}"
    test_on = max(ready, last.on if last else ready) + _half(ready, until)
    if test_on < renew_on:
        return Asked(Asks.TEST, test_on, _test_words(last))
    if lot.transfers + 1 > lot.route.transfer_limit:
        why = f"{why}, and at {lot.transfers} transfers its route allows no other tube"
        return _back(tube, others, renew_on, why)
    return Asked(Asks.RENEW, renew_on, why)


def mother_of(tube: Tube, others: Iterable[Tube]) -> Tube | None:
    """Return the tubes to go back to: moved fewest times, and of those that keep longest.

    Only tubes moved fewer times than this one, not held back and not failed when they were woken.
    """
    found = [each for each in others if each.is_sound and each.lot.transfers < tube.lot.transfers]
    return min(
        found,
        key=lambda each: (each.lot.transfers, -_until(each.lot).toordinal(), each.lot.code),
        default=None,
    )


def _tired(tube: Tube, slower: Slower | None) -> tuple[date, str] | None:
    """Return since when and why a tube is not to be carried on from; None if it may."""
    last = tube.last
    if last is not None and last.failed:
        what = "nothing grew" if not last.grew else "something else grew beside it"
        return last.on, f"woken on {_day(last.on)}: {what}"
    if slower is None or not slower.is_slower or slower.newest.transfers > tube.lot.transfers:
        return None
    newest = slower.newest
    if last is not None and last.on > newest.at.date() and not last.was_late:
        return None  # woken well since
    return newest.at.date(), (
        f"its plates grow {newest.growth.mm_per_day:.1f} mm a day, {slower.share:.0%} of the "
        f"{slower.usual_mm_per_day:.1f} of {slower.earlier} earlier ones"
    )


def _back(tube: Tube, others: Sequence[Tube], on: date, why: str) -> Asked:
    mother = mother_of(tube, others)
    return Asked(Asks.MOTHER, on, why, mother.lot.code if mother else "")


def _in_its_place(tube: Tube, others: Iterable[Tube], since: date, until: date) -> Tube | None:
    """Return what stands in its place: sound, made in the second half of its time.

    What was made from it comes first; else what was made from another tube of the culture.
    """
    found = [
        each
        for each in others
        if each.is_sound and each.lot.made_on >= since and _until(each.lot) > until
    ]
    return min(
        found,
        key=lambda each: (not _is_of(each, tube), each.lot.made_on, each.lot.code),
        default=None,
    )


def _is_of(younger: Tube, tube: Tube) -> bool:
    return tube.lot.code in younger.comes_from


def _beside(younger: Tube) -> str:
    times = younger.lot.transfers
    moved = f"{times} transfer{'' if times == 1 else 's'}"
    return f"{younger.lot.code} ({moved} since the mother) stands in its place, not made from it"


def _until(lot: LivingLot) -> date:
    """Return the last day of a tube's time; the day it was ready if none is said."""
    return keeps_until(lot) or ready_on(lot).p50


def _second_half(lot: LivingLot) -> date:
    """Return the day on which the second half of a tube's time begins."""
    ready = ready_on(lot).p50
    return ready + _half(ready, _until(lot))


def _half(ready: date, until: date) -> timedelta:
    return timedelta(days=math.ceil(TEST_SHARE * max(0, (until - ready).days)))


def _test_words(last: Woken | None) -> str:
    if last is None:
        return "half of its time is over then, and it was never woken"
    return f"last woken on {_day(last.on)}"


def _day(day: date) -> str:
    return f"{day.day} {day:%B %Y}"


def is_on_shelf(lot: LivingLot) -> bool:
    """Say whether a lot is culture that is kept: in tubes, on plates or in liquid."""
    return lot.stage in {Stage.TUBE, Stage.PLATE, Stage.LIQUID} and not lot.order
