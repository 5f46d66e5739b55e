"""The page on which labels are chosen: how many of which lot, on which paper, from which place."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum

from pinset.farm.queries.lots import find_lots
from pinset.paper.labels.picture import LabelPicture, picture_of
from pinset.services.books.lots import lines
from pinset.services.labels.facts import LotFacts, facts_of
from pinset.services.labels.layouts import layout_of, layouts_of, likely_layout, next_place
from pinset.services.labels.printing import LabelJob, words_of
from pinset.services.labels.wanted import Wanted, checked, without_label
from pinset.services.plans import planning_day
from pinset.services.views import LotLine
from pinset.services.words import near_day

MOST_LOTS = 60
DAYS_BACK = 14


class PlaceState(StrEnum):
    """What becomes of a place on the first sheet."""

    USED = "used"
    OURS = "ours"  # printed now
    FREE = "free"


@dataclass(frozen=True, slots=True)
class LabelLine:
    """One lot on the page."""

    lot: str
    words: str
    made: int
    alive: int
    left: int  # alive and without a label
    first: int
    count: int


@dataclass(frozen=True, slots=True)
class LabelChoice:
    """What was chosen on the page; None where nothing was."""

    lots: tuple[str, ...]
    counts: Mapping[str, int]
    firsts: Mapping[str, int]
    layout: str = ""
    shown_layout: str = ""  # on which the place was chosen
    skip: int | None = None
    is_numbered: bool = True
    is_trial: bool = False


@dataclass(frozen=True, slots=True)
class LabelsView:
    """The page filled."""

    lines: tuple[LabelLine, ...]
    layout: str
    layouts: tuple[tuple[str, str], ...]  # code, words
    rows: tuple[tuple[tuple[int, PlaceState], ...], ...]  # of the first sheet; none of a roll
    skip: int
    is_numbered: bool
    is_trial: bool
    job: LabelJob
    sentence: str
    picture: LabelPicture | None


@dataclass(frozen=True, slots=True)
class LotsOfDay:
    """Lots made on one day, to choose from."""

    title: str
    is_today: bool
    lots: tuple[LotLine, ...]


def labels_view(choice: LabelChoice, person: str, now: datetime | None = None) -> LabelsView:
    """Return the page for lots.

    Raises
    ------
    InputError, RefusedError
        If a code has a slip, there are no such units, or the paper or the place is unknown.
    """
    book, _ = planning_day.farm_book(now)
    facts = tuple(
        {each.lot: each for each in (facts_of(lot, book) for lot in choice.lots)}.values()
    )
    left = without_label(facts)
    found = tuple(_line(each, left[each.lot], choice) for each in facts)
    layout = (
        layout_of(book, choice.layout)
        if choice.layout
        else likely_layout(book, person, {each.stage for each in facts})
    )
    skip = choice.skip
    if skip is None or choice.shown_layout != layout.code:
        skip = next_place(person, layout)
    wanted = tuple(
        checked(each, line.first, line.count, is_numbered=choice.is_numbered)
        for each, line in zip(facts, found, strict=True)
        if line.count
    )
    job = LabelJob(wanted, layout, min(skip, layout.places - 1), choice.is_numbered,
                   choice.is_trial)  # fmt: skip
    return LabelsView(
        lines=found,
        layout=layout.code,
        layouts=tuple(
            (each.code, f"{each.words}{' (tubes)' if each.tubes else ''}")
            for each in layouts_of(book)
        ),
        rows=() if layout.is_roll else _rows(job),
        skip=job.skip,
        is_numbered=choice.is_numbered,
        is_trial=choice.is_trial,
        job=job,
        sentence=job.sentence if wanted else "No label is wanted yet.",
        picture=_picture(facts, wanted, job),
    )


def _line(facts: LotFacts, left: tuple[int, int], choice: LabelChoice) -> LabelLine:
    first = choice.firsts.get(facts.lot, left[0])
    count = choice.counts.get(facts.lot, left[1])
    return LabelLine(facts.lot, facts.words, facts.made, facts.alive, left[1], first, count)


def _picture(
    facts: Sequence[LotFacts], wanted: Sequence[Wanted], job: LabelJob
) -> LabelPicture | None:
    by_lot = {each.lot: each for each in facts}
    first = wanted[0] if wanted else Wanted(facts[0].lot, 1, 1) if facts else None
    if first is None:
        return None
    [said, *_] = words_of(by_lot[first.lot], first, is_numbered=job.is_numbered)
    return picture_of(said, job.layout)


def _rows(job: LabelJob) -> tuple[tuple[tuple[int, PlaceState], ...], ...]:
    layout, filled = job.layout, job.skip + job.labels

    def state(place: int) -> PlaceState:
        if place < job.skip:
            return PlaceState.USED
        return PlaceState.OURS if place < filled else PlaceState.FREE

    return tuple(
        tuple((place, state(place)) for place in range(row, row + layout.columns))
        for row in range(0, layout.places, layout.columns)
    )


def lots_to_label(now: datetime | None = None) -> tuple[LotsOfDay, ...]:
    """Return the lots alive that were made of late, the newest day first."""
    book, today = planning_day.farm_book(now)
    _, rows = find_lots(limit=MOST_LOTS)
    late = [row for row in rows if row.made_on and row.made_on >= today - timedelta(days=DAYS_BACK)]
    by_day: dict[date, list[LotLine]] = {}
    for line in lines(late, book, today):
        by_day.setdefault(line.made_on, []).append(line)
    return tuple(
        LotsOfDay(near_day(day, today), day == today, tuple(found))
        for day, found in sorted(by_day.items(), reverse=True)
    )


def made_today(now: datetime | None = None) -> tuple[str, ...]:
    """Return the codes of the lots alive that were made today, in the order they were made."""
    return tuple(
        lot.lot for day in lots_to_label(now) if day.is_today for lot in reversed(day.lots)
    )
