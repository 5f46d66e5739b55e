"""How days are said on pages of losses, which look back over years."""

from __future__ import annotations

from datetime import date

from pinset.services.clock import farm_time, now_utc
from pinset.services.words import short_day


def dated(day: date, zone: str) -> str:
    """Return a day, with its year where that is not the farm's present one."""
    is_now = day.year == farm_time(now_utc(), zone).year
    return short_day(day) if is_now else f"{short_day(day)} {day.year}"
