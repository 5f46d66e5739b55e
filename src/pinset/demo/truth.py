"""What is really wrong on the demo farm: known to the simulation, hidden from its people.

The truths are kept beside the farm as ``hidden-truth.json``, so that what is estimated from the
ledger can be held against what was put in. Each multiplies the odds of losing a unit (losses are
drawn from the route's spread first), and some the days or the yield.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from pinset.chain.plain import from_plain, to_plain

FILE_NAME = "hidden-truth.json"


HISTORY_DAYS = 546
"""Eighteen months of history, in whole weeks."""

APART_DAYS = 30
"""The truths lie at least so many days from one another and from the ends of the history."""


@dataclass(frozen=True, slots=True)
class SealFailure:
    """A steriliser whose door seal leaks: its cooks are colder than they look."""

    steriliser: str
    since: date
    until: date  # last day
    odds: float  # of losing a unit, times those of a sound cook
    cooks: tuple[str, ...] = ()
    lots: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class TiredCulture:
    """A culture transferred too often: slow, weak, poor in yield."""

    culture: str
    since: date
    until: date  # the day fresh tubes replaced it
    odds: float
    days: float  # times the days of a sound culture
    yields: float  # times the yield of a sound culture
    growth: float  # times the growth of a sound culture on a plate
    lots: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CarelessSession:
    """One bench session in which the work was not clean."""

    session: str
    person: str
    day: date
    odds: float
    lots: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class HotFortnight:
    """Two weeks in which the incubation room ran hot."""

    room: str
    since: date
    until: date  # last day
    temperature_c: float
    odds: float  # for a lot that incubated wholly within the fortnight
    lots: tuple[str, ...] = ()  # those that incubated in it for a third of their days or more


@dataclass(frozen=True, slots=True)
class PlateGrowth:
    """How fast a plate that was measured truly grew."""

    lot: str
    culture: str
    mm_per_day: float


@dataclass(frozen=True, slots=True)
class HiddenTruth:
    """Everything the simulation knows and the ledger does not say."""

    seed: int
    start: date
    today: date
    seal: SealFailure
    tired: TiredCulture
    careless: CarelessSession
    hot: HotFortnight
    cook_log_sd: float = 0.25  # standard deviation of the log odds between sound cooks
    session_log_sd: float = 0.25  # between sound bench sessions
    parent_log_sd: float = 0.25  # between parent lots
    plates: tuple[PlateGrowth, ...] = ()  # those that were measured twice
    remark: str = "Invented. Made by simulation; no real farm."


def planned_truth(seed: int, today: date) -> HiddenTruth:
    """Return the truths with their dates, before the simulation adds whom they touched.

    The history begins ``HISTORY_DAYS`` before today.

    The hot fortnight lies in July, at least a month from either end of the history; the seal fails
    in two whole weeks well away from it.
    """
    start = today - timedelta(days=HISTORY_DAYS)
    hot_since = next(
        day
        for day in (date(year, 7, 14) for year in range(start.year, today.year + 1))
        if start + timedelta(days=APART_DAYS) <= day <= today - timedelta(days=APART_DAYS + 14)
    )
    monday = start + timedelta(days=(7 - start.weekday()) % 7)
    offsets = (40, 30, 46, 24)
    seal_since = next(
        day
        for day in (monday + timedelta(weeks=weeks) for weeks in offsets)
        if abs((day - hot_since).days) > APART_DAYS + 14
    )
    careless_day = next(
        day
        for day in (monday + timedelta(weeks=weeks, days=2) for weeks in (60, 54, 50))
        if abs((day - hot_since).days) > APART_DAYS
    )
    tired_since = start + timedelta(days=150)
    return HiddenTruth(
        seed=seed,
        start=start,
        today=today,
        seal=SealFailure("kettle", seal_since, seal_since + timedelta(days=13), 7.0),
        tired=TiredCulture(
            "lion-a", tired_since, tired_since + timedelta(days=170), 2.0, 1.2, 0.7, 0.6
        ),
        careless=CarelessSession("", "jori", careless_day, 12.0),
        hot=HotFortnight("incubation", hot_since, hot_since + timedelta(days=13), 29.0, 4.0),
    )


def with_touched(
    truth: HiddenTruth,
    *,
    cooks: tuple[str, ...],
    session: str,
    lots: dict[str, tuple[str, ...]],
    plates: tuple[PlateGrowth, ...],
) -> HiddenTruth:
    """Return the truth with the cooks, the session and the lots it touched, and grown plates."""
    return replace(
        truth,
        seal=replace(truth.seal, cooks=cooks, lots=lots["seal"]),
        tired=replace(truth.tired, lots=lots["tired"]),
        careless=replace(truth.careless, session=session, lots=lots["careless"]),
        hot=replace(truth.hot, lots=lots["hot"]),
        plates=plates,
    )


def write_truth(truth: HiddenTruth, folder: Path) -> Path:
    """Write the truth beside the farm and return the file."""
    path = folder / FILE_NAME
    text = json.dumps(to_plain(truth), indent=2, sort_keys=True, ensure_ascii=False)
    path.write_text(text + "\n", encoding="utf-8")
    return path


def read_truth(folder: Path) -> HiddenTruth:
    """Read the truth kept beside a demo farm.

    Raises
    ------
    InputError
        If the file says something else than a truth.
    """
    data: Any = json.loads((folder / FILE_NAME).read_text(encoding="utf-8"))
    return from_plain(HiddenTruth, data)
