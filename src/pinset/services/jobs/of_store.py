"""Jobs of the cold store: what is past its keeping days is thrown out."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from pinset.chain.register import RoomKind
from pinset.planning.building.from_book import Picked
from pinset.services.book_reader import Reader
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.store.days import is_past, is_worth_saying, keeping_days, past_words
from pinset.services.words import GRAMS

THROW_OUT_MINUTES = 5
"""Minutes to carry out what is past its days and clean its place; common practice, no source."""


def throwing_out(store: Iterable[Picked], reader: Reader) -> tuple[PlannedJob, ...]:
    """Return one job a variety for what in the cold store is past its keeping days.

    Less than is worth a word waits until more has come together.
    """
    keeps = keeping_days(reader.book)
    past: dict[str, list[Picked]] = defaultdict(list)
    for each in store:
        if is_past(each.picked_on, keeps.get(each.variety, 0), reader.today):
            past[each.variety].append(each)
    return tuple(
        _throwing_out(variety, weights, keeps.get(variety, 0), reader)
        for variety, weights in past.items()
        if reader.works_on(reader.today) and is_worth_saying(sum(each.grams for each in weights))
    )


def _throwing_out(
    variety: str, weights: list[Picked], keeps_days: int, reader: Reader
) -> PlannedJob:
    grams = round(sum(each.grams for each in weights))
    name = reader.name(variety)
    return PlannedJob(
        key=f"waste:{variety}:{max(each.picked_on for each in weights)}",
        kind=JobKind.WASTE,
        task=JobKind.WASTE.value,
        day=reader.today,
        count=max(1, round(grams / GRAMS)),
        unit="kg",
        what=f"kg {name} past its days in the store: throw out",
        room_kind=RoomKind.PACKING.value,
        detail=f"{reader.said(grams)}, {past_words([w.picked_on for w in weights], keeps_days)}",
        variety=variety,
        variety_name=name,
        minutes=THROW_OUT_MINUTES,
        why="Picked mushrooms keep no longer than the variety says; the plan and the promises no "
        "longer count on them. A person may judge otherwise, with a reason.",
        grams=grams,
        cautions=("food",),
    )
