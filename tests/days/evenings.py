"""An invented farm whose only person, not a real one, comes in the evening, on Saturday twice."""

from __future__ import annotations

from days.described import Described
from days.invented import ALONE_AFTER_NOON

ONLY_EVENINGS = Described(
    "only-evenings",
    """
    instruments = []
    [farm]
    name = "Only evenings (invented)"
    code = "farm"
    country = "Austria"
    altitude_m = 520
    time_zone = "Europe/Vienna"
    working_days = ["mon", "tue", "wed", "thu", "fri", "sat"]
    day_starts = "07:30"
    van_at = "14:00"

    [[sterilisers]]
    code = "cooker"
    name = "Pressure cooker"
    room = "cooking"
    hours_per_day = 9
    cooks_per_day = 1
    rating_bar_gauge = 1.0
    load_at = "10:30"
    cooks = [
        {code = "agar", hours = 2, hands_minutes = 20, hold_minutes = 30, litres = 15},
        {code = "grain", hours = 4, hands_minutes = 30, hold_minutes = 90, litres = 24},
        {code = "block", hours = 6, hands_minutes = 40, hold_minutes = 150, litres = 100},
    ]

    [[people]]
    code = "ada"
    name = "Ada"
    laboratory = true
    role = "owner"

    [people.hours]
    mon = "17:00-21:30"
    tue = "17:00-21:30"
    wed = "17:00-21:30"
    thu = "17:00-21:30"
    fri = "17:00-21:30"
    sat = "07:00-11:00, 16:00-18:00"
    """,
    ALONE_AFTER_NOON.tables,
)
