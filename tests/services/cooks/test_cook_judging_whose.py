"""A log that began long before or after a cook is asked about; one from the same day is not."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import NOW
from pinset.errors import InputError
from pinset.services.cooks.judge.judging import unread
from pinset.services.cooks.judge.keeping import _against
from pinset.services.cooks.judge.verdicts import CookLine

LOADED = NOW - timedelta(days=1)
LINE = CookLine(
    cook="kettle-1", at=LOADED, steriliser="kettle", cook_kind="grain", units=12, lots=(),
    verdict="", words="", sentence="", judged_at=None, judged_by="", by_hand=False,
)  # fmt: skip


@pytest.mark.usefixtures("stock")
@pytest.mark.parametrize(
    ("hours", "lasts", "is_asked"),
    [
        (0.0, 5.0, False),
        (-10.0, 16.0, False),
        (-72.0, 80.0, True),
        (-72.0, 5.0, True),
        (-5.0, 4.0, True),
        (13.0, 5.0, True),
    ],
)
def test_when_a_log_began(hours: float, lasts: float, *, is_asked: bool) -> None:
    judged = replace(
        unread(b"x", "cook.csv", None, InputError("cook.csv", "x", "a log")),
        started=(LOADED + timedelta(hours=hours)).isoformat(),
        minutes=60.0 * lasts,
    )
    found = {each.id for each in _against(LINE, judged)}
    assert ("cook.other-time" in found) is is_asked
