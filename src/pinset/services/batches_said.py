"""Batches of several starts in words: what is the same is counted together and named once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date

from pinset.chain.stages import Stage, units_in_words
from pinset.planning.plan import Start
from pinset.services.book_reader import Reader
from pinset.services.words import on_day


def batches_in(fed: Sequence[Start], reader: Reader) -> list[str]:
    """Return what goes into one cook: ``86 blocks (Blue oyster)``, ``14 blocks (Lion's mane)``."""
    counts: dict[tuple[Stage, str], int] = defaultdict(int)
    for start in fed:
        counts[start.stage, start.variety] += round(start.count)
    return [
        f"{units_in_words(stage, count)} ({reader.name(variety)})"
        for (stage, variety), count in counts.items()
    ]


def batches_by_day(fed: Sequence[Start], reader: Reader) -> list[str]:
    """Return batches with their days: ``14 grain jars of Blue oyster tomorrow, 9 on Thursday``."""
    counts: dict[tuple[Stage, str], dict[date, int]] = defaultdict(dict)
    for start in fed:
        days = counts[start.stage, start.variety]
        days[start.day] = days.get(start.day, 0) + round(start.count)
    said = []
    for (stage, variety), days in counts.items():
        first, *later = sorted(days)
        words = f"{units_in_words(stage, days[first])} of {reader.name(variety)}"
        parts = [f"{words} {on_day(first, reader.today)}"]
        parts += [f"{days[day]} {on_day(day, reader.today)}" for day in later]
        said.append(", ".join(parts))
    return said
