"""The end a watched cook is told, held against loads that conduct in ways of their own.

The cooks are invented (``science/law_cooks``): by finite differences of their own, of laws that are
not built into what is told. ``benchmarks/heat_watching.py`` does the same over hundreds of them.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from functools import lru_cache

import numpy as np
import pytest

from pinset.science.judging.records import Rule
from pinset.services.cooks.watch.records import CookNow, Stage, Unsure, WatchReading
from pinset.services.cooks.watch.state import watch_state
from science.law_cooks import Cook, cook_of

BEGAN = datetime(2026, 3, 12, 7, 0, tzinfo=UTC)
RULE = Rule(f0=15.0)
EARLY_MIN = 3.0  # by which a latest end may lie before the true one
COOKS = (("peak at 80", "steady"), ("fall", "steady"), ("saturation", "steady"),
         ("hump", "cycling"), ("even", "late"), ("peak at 80", "late"))  # fmt: skip


@lru_cache
def cooked(law: str, chamber: str) -> Cook:
    return cook_of(7, law=law, chamber=chamber)


def looked(cook: Cook, share: float) -> CookNow:
    """Return how it stood after such a share of the time from its first reading to its end."""
    rows = [
        WatchReading(BEGAN + timedelta(seconds=float(t)), float(around), None, float(inside))
        for t, around, inside in zip(*cook.read(np.random.default_rng(7)), strict=True)
    ]
    many = int(share * len(rows))
    since = BEGAN if cook.chamber == "late" else None
    return watch_state(cook.load, RULE, rows[:many], rows[many - 1].at, heated_since=since)


def late_min(found: CookNow, cook: Cook) -> float:
    until = found.latest_at or found.end_at
    assert until is not None
    return (until - BEGAN).total_seconds() / 60.0 - cook.end_s / 60.0


@pytest.mark.parametrize(("law", "chamber"), COOKS)
def test_no_latest_end_is_told_too_early_and_the_range_narrows(law: str, chamber: str) -> None:
    cook = cooked(law, chamber)
    late = []
    for share in (0.4, 0.65, 0.9):
        found = looked(cook, share)
        assert found.stage is Stage.HOLDING
        assert found.enough_since is None
        late.append(late_min(found, cook))
    assert min(late) > -EARLY_MIN
    assert late[-1] < max(late[0], EARLY_MIN), "it narrows, or was narrow from the first look on"


@pytest.mark.parametrize("law", ["peak at 80", "fall"])
def test_far_from_its_end_a_core_is_told_a_range_and_no_single_end(law: str) -> None:
    found = looked(cooked(law, "steady"), 0.4)
    assert found.unsure is Unsure.LAW
    assert found.end_at is None
    assert found.likely_at is not None
    assert found.latest_at is not None
    assert found.likely_at < found.latest_at
    assert found.inoculate_at is not None
    assert found.inoculate_at > found.latest_at, "what comes after is planned by the later one"
    assert f"count on {found.latest_at:%H:%M} at the latest" in found.sentence
    assert f"enough at about {found.likely_at:%H:%M}" in found.sentence
    [said] = [each for each in found.findings if each.id == "watch.range"]
    assert said.hint.startswith("Count on the latest.")


def test_hardly_before_its_end_a_core_is_told_one() -> None:
    found = looked(cooked("even", "steady"), 0.98)
    assert found.unsure is None
    assert found.latest_at is None
    assert found.end_at is not None
    assert late_min(found, cooked("even", "steady")) == pytest.approx(0.0, abs=EARLY_MIN)


def test_it_is_enough_by_readings_only() -> None:
    cook = cooked("peak at 80", "steady")
    found = looked(cook, 1.0)
    assert found.enough_since is None, "its last reading lies before the true end"
