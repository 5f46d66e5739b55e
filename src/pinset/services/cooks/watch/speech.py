"""In which units and by which clock a watched cook is spoken of, and the moments spoken of."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from pinset.services.clock import farm_time
from pinset.services.cooks.watch.records import Unsure
from pinset.services.words import WEEKDAYS
from pinset.units import Quantity, show

BAR_KPA, BAR_PA, MINUTE = 100.0, 1e5, 60.0
STALE = timedelta(minutes=5)


@dataclass(frozen=True, slots=True)
class Speech:
    """In which units and by which clock things are said."""

    system: str = "metric"
    zone: str = "UTC"

    def degrees(self, celsius: float) -> str:
        """Return a temperature with its unit."""
        return show(Quantity.TEMPERATURE, celsius, self.system)

    def bar(self, bar: float) -> str:
        """Return a gauge pressure with its unit."""
        return show(Quantity.GAUGE_PRESSURE, bar * BAR_PA, self.system)

    def clock(self, moment: datetime, now: datetime) -> str:
        """Return the time by the farm's clock, with the day if it is not today."""
        local, today = farm_time(moment, self.zone), farm_time(now, self.zone).date()
        if local.date() == today:
            return f"{local:%H:%M}"
        return f"{WEEKDAYS[local.weekday()]} {local:%H:%M}"


@dataclass(frozen=True, slots=True)
class Times:
    """The moments and minutes a sentence speaks of."""

    began: datetime  # of the first reading
    now: datetime
    last_at: datetime
    left_min: float | None
    left_quick_min: float | None
    again_min: float | None
    hot_at: datetime
    end_at: datetime | None
    enough_since: datetime | None
    latest_at: datetime | None = None  # instead of an end
    likely_at: datetime | None = None  # beside the latest
    unsure: Unsure | None = None
