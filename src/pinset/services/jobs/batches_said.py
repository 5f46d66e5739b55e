"""Batches of several starts in words: what is the same is counted together and named once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date

from pinset.chain.step_nouns import step_noun, step_units
from pinset.planning.plan import Start
from pinset.services.book_reader import Reader
from pinset.services.words import on_day


def batches_in(fed: Sequence[Start], reader: Reader) -> list[str]:
    """Return what goes into one cook: ``86 blocks (Blue oyster)``, ``14 blocks (Lion's mane)``."""
    counts: dict[tuple[str, str], int] = defaultdict(int)
    for start in fed:
        counts[_sort(start, reader)] += round(start.count)
    steps = {_sort(start, reader): reader.step(start.variety, start.step) for start in fed}
    return [
        f"{step_units(steps[sort], count)} ({reader.name(sort[1])})"
        for sort, count in counts.items()
    ]


def _sort(start: Start, reader: Reader) -> tuple[str, str]:
    """Return what batches are counted together by: what they are called, and the variety."""
    return step_noun(reader.step(start.variety, start.step), 2), start.variety


def batches_by_day(fed: Sequence[Start], reader: Reader) -> list[str]:
    """Return batches with their days: ``14 grain jars of Blue oyster tomorrow, 9 on Thursday``."""
    counts: dict[tuple[str, str], dict[date, int]] = defaultdict(dict)
    steps = {_sort(start, reader): reader.step(start.variety, start.step) for start in fed}
    for start in fed:
        days = counts[_sort(start, reader)]
        days[start.day] = days.get(start.day, 0) + round(start.count)
    said = []
    for sort, days in counts.items():
        first, *later = sorted(days)
        words = f"{step_units(steps[sort], days[first])} of {reader.name(sort[1])}"
        parts = [f"{words} {on_day(first, reader.today)}"]
        parts += [f"{days[day]} {on_day(day, reader.today)}" for day in later]
        said.append(", ".join(parts))
    return said
