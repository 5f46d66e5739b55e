"""Promises: where goes what is expected beyond them, by week and outlet."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from pinset.chain.outlets import NO_SOURCE
from pinset.chain.register import FarmBook
from pinset.farm import since
from pinset.planning.outlets.seasons import OutletRange
from pinset.planning.outlets.surplus import NotTaken, OutletShare, WhyLeft
from pinset.services.book_reader import Reader
from pinset.services.bounds import MOST_WEEKS, within
from pinset.services.plans import planning_day
from pinset.services.words import WEEKDAYS, first_upper, joined, money, sentences, short_day

WEEKS = 8
LEAST_SAID = 50.0
"""Less of a variety in a week is not worth a word. [g]"""

CHANGED = "Outlets were changed since this plan was made; the next plan reckons with it."

WHY_LEFT = {
    WhyLeft.NOBODY: "no outlet takes it",
    WhyLeft.CLOSED: "no outlet that takes it is open while it keeps",
    WhyLeft.LEAST: "less than the least of the outlets that are open",
    WhyLeft.FULL: "the outlets that are open have their most",
}


@dataclass(frozen=True, slots=True)
class SurplusLine:
    """What one outlet is to get in one week."""

    outlet: str  # code
    name: str
    what: str  # "Saturday: 4 kg Grey oyster and 2 kg King oyster"; empty: nothing is planned
    grams: float  # planned
    cents: float  # what that brings, in hundredths of the farm's currency
    money: str
    low: float | None = None  # g: one season in ten brings less; None: not known so far ahead
    high: float | None = None  # g: one in ten brings more
    expected: float | None = None  # g, the mean of the seasons
    expected_cents: float | None = None
    expected_money: str = ""


@dataclass(frozen=True, slots=True)
class SurplusWeek:
    """One week of what is expected beyond the promises."""

    monday: date
    lines: tuple[SurplusLine, ...]
    rest: tuple[str, ...]  # what no outlet takes and why, in sentences
    grams: float  # to outlets, planned
    money: str
    expected: float | None = None  # g, the mean of the seasons; None: not known of every outlet
    expected_money: str = ""


@dataclass(frozen=True, slots=True)
class SurplusView:
    """What is expected beyond the promises, and where it goes."""

    sentence: str
    weeks: tuple[SurplusWeek, ...] = ()
    notes: tuple[str, ...] = ()  # what somebody should know first
    remarks: tuple[str, ...] = ()  # what the money hangs on
    gap: float = 0.0


def surplus_view(weeks: int = WEEKS, now: datetime | None = None) -> SurplusView:
    """Return where the newest plan's surplus goes, for so many weeks from this one on.

    Raises
    ------
    InputError
        If the number of weeks is out of bounds.
    """
    within("weeks", weeks, 1, MOST_WEEKS)
    book, today = planning_day.farm_book(now)
    newest = planning_day.latest()
    if newest is None:
        return SurplusView("There is no plan yet.")
    reader = Reader(book, today)
    first = today - timedelta(days=today.weekday())
    end = first + timedelta(weeks=weeks)
    shares = [each for each in newest.surplus.shares if today <= each.day < end]
    left = [each for each in newest.surplus.not_taken if today <= each.last_day < end]
    ranges = {
        (each.outlet, each.monday): each
        for each in newest.chances.outlets
        if first <= each.monday < end
    }
    told = {
        monday
        for (_, monday), each in ranges.items()
        if each.expected >= LEAST_SAID and each.cents is not None
    }
    mondays = sorted({_monday(s.day) for s in shares} | {_monday(n.last_day) for n in left} | told)
    by_week = tuple(
        _week(
            monday,
            [each for each in shares if _monday(each.day) == monday],
            [each for each in left if _monday(each.last_day) == monday],
            {code: each for (code, when), each in ranges.items() if when == monday},
            reader,
        )
        for monday in mondays
    )
    return SurplusView(
        sentence=_sentence(shares, left, by_week, reader, weeks),
        weeks=by_week,
        notes=(CHANGED,) if since.are_outlets_changed_since(newest.made_at) else (),
        remarks=_ratios(book, {share.outlet for share in shares}),
        gap=newest.surplus.gap,
    )


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())


def _sentence(
    shares: Sequence[OutletShare],
    left: Sequence[NotTaken],
    by_week: Sequence[SurplusWeek],
    reader: Reader,
    weeks: int,
) -> str:
    taken, rest = sum(each.grams for each in shares), sum(each.grams for each in left)
    if taken + rest < LEAST_SAID:
        return f"Nothing is expected beyond the promises of the next {weeks} weeks."
    begin = f"About {reader.about(taken + rest)} are expected beyond the promises of {weeks} weeks"
    if not reader.book.outlets:
        return sentences([begin, "No outlet is described yet that could take it"])
    if taken < LEAST_SAID:
        return sentences([begin, "No outlet takes any of it"])
    brings = _rounded(sum(each.cents for each in shares), reader)
    goes = f"{reader.about(taken)} go to outlets and bring about {brings} if all comes as planned"
    on_average = _on_average(by_week, reader)
    if rest < LEAST_SAID:
        goes = f"{first_upper(goes)}; all of it has a place"
        return sentences([begin, goes, *on_average])
    return sentences([begin, goes, *on_average, f"For {reader.about(rest)} there is no outlet"])


def _on_average(by_week: Sequence[SurplusWeek], reader: Reader) -> tuple[str, ...]:
    """Return what the seasons bring, as far ahead as each week is known of every outlet."""
    known = [week for week in by_week if week.expected is not None]
    lines = [line for week in known for line in week.lines]
    if not lines:
        return ()
    mean = sum(line.expected or 0.0 for line in lines)
    brings = _rounded(sum(line.expected_cents or 0.0 for line in lines), reader)
    said = f"the seasons bring about {brings} for {reader.about(mean)} on average"
    if len(known) < len(by_week):
        alone = _rounded(sum(line.cents for line in lines), reader)
        last = short_day(known[-1].monday)
        said += f" until the week of {last}, for which the plan alone says {alone}"
    return (first_upper(said),)


def _rounded(cents: float, reader: Reader) -> str:
    """Return money that is expected: no more than whole units."""
    return money(round(cents, -2), reader.book.farm.currency).removesuffix(".00")


def _week(
    monday: date,
    shares: Sequence[OutletShare],
    left: Sequence[NotTaken],
    ranges: dict[str, OutletRange],
    reader: Reader,
) -> SurplusWeek:
    currency = reader.book.farm.currency
    by_outlet: dict[str, list[OutletShare]] = defaultdict(list)
    for share in shares:
        by_outlet[share.outlet].append(share)
    for code, each in ranges.items():
        if each.expected >= LEAST_SAID and each.cents is not None:
            by_outlet.setdefault(code, [])  # nothing is planned for it; chance leaves something
    lines = []
    for code, mine in by_outlet.items():
        cents = sum(each.cents for each in mine)
        chance = ranges.get(code)
        mean = chance.cents if chance else None
        lines.append(
            SurplusLine(
                outlet=code,
                name=_name(reader.book, code),
                what="; ".join(_days(mine, reader)),
                grams=sum(each.grams for each in mine),
                cents=cents,
                money=money(cents, currency),
                low=chance.low if chance else None,
                high=chance.high if chance else None,
                expected=chance.expected if chance else None,
                expected_cents=mean,
                expected_money=money(mean, currency) if mean is not None else "",
            )
        )
    lines.sort(key=lambda line: (-line.cents, line.name))
    is_known = bool(lines) and all(line.expected_cents is not None for line in lines)
    mean = sum(line.expected_cents or 0.0 for line in lines)
    return SurplusWeek(
        monday,
        tuple(lines),
        _rest(left, reader),
        sum(line.grams for line in lines),
        money(sum(line.cents for line in lines), currency),
        sum(line.expected or 0.0 for line in lines) if is_known else None,
        money(mean, currency) if is_known else "",
    )


def _name(book: FarmBook, code: str) -> str:
    return next((each.name for each in book.outlets if each.code == code), code)


def _days(shares: Iterable[OutletShare], reader: Reader) -> list[str]:
    """Return a line for each day: ``Saturday: 4 kg Grey oyster and 2 kg King oyster``."""
    by_day: dict[date, list[str]] = defaultdict(list)
    for each in shares:
        if each.grams >= LEAST_SAID:
            by_day[each.day].append(f"{reader.about(each.grams)} {reader.name(each.variety)}")
    return [f"{WEEKDAYS[day.weekday()]}: {joined(said)}" for day, said in sorted(by_day.items())]


def _rest(left: Iterable[NotTaken], reader: Reader) -> tuple[str, ...]:
    grams: dict[tuple[WhyLeft, str], float] = defaultdict(float)
    for each in left:
        grams[each.why, each.variety] += each.grams
    found = []
    for why in WhyLeft:
        said = [
            f"{reader.about(g)} {reader.name(variety)}"
            for (reason, variety), g in grams.items()
            if reason is why and g >= LEAST_SAID
        ]
        if said:
            found.append(f"No place for about {joined(said)}: {WHY_LEFT[why]}.")
    return tuple(found)


def _ratios(book: FarmBook, codes: set[str]) -> tuple[str, ...]:
    return tuple(
        f"{outlet.name}: {outlet.fresh_per_dry:g} kg fresh for 1 kg dry "
        f"({outlet.ratio_source or NO_SOURCE}); the work of drying is not taken off."
        for outlet in book.outlets
        if outlet.code in codes and outlet.fresh_per_dry is not None
    )
