"""Dates against today: what lies ahead cannot have happened, what is past is not planned."""

from __future__ import annotations

from datetime import date

from pinset.files.description.farm_file import Premises
from pinset.files.description.place import Report
from pinset.files.description.rows import Row

_HAPPENED = {
    "lots": ("made_on", "opened_on", "in_room_since"),
    "cultures": ("mother_on",),
    "upkeep": ("since",),
}
_COMING = {
    "promises": ("on_date", "until"),
    "outlets": ("until",),
    "outages": ("until",),
    "pins": ("day",),
}
_OVER = {
    "promises": "nothing more is planned for this promise",
    "outlets": "nothing more is planned for this outlet",
    "outages": "it is over",
    "pins": "it pins nothing any more",
}
_OLDEST_LOT_DAYS = 3650


def check_dates(
    premises: Premises | None, rows: dict[str, list[Row]], today: date, report: Report
) -> None:
    """Report dates that cannot be, and dates that may be a slip."""
    for table, names in _HAPPENED.items():
        for row in rows.get(table, ()):
            for name in names:
                _happened(row, name, today, report)
    for table, names in _COMING.items():
        for row in rows.get(table, ()):
            for name in names:
                _coming(row, name, today, report, _OVER[table])
    for row in premises.rows["farm"] if premises else ():
        for day in row.get("days_off", ()):
            if day.year < today.year - 1:
                report.warn(
                    "date-past",
                    row.at("days_off"),
                    f"the day off {day.isoformat()} is long past; today is {today.isoformat()}.",
                    "Look at the year.",
                )


def _happened(row: Row, name: str, today: date, report: Report) -> None:
    day = row.get(name)
    if day is None:
        return
    if day > today:
        row.bad.add(name)
        report.wrong(
            "date-future",
            row.at(name),
            f"{day.isoformat()} lies ahead; accepted is a date up to today, {today.isoformat()}.",
            "Look at day, month and year.",
        )
    elif name == "made_on" and (today - day).days > _OLDEST_LOT_DAYS:
        report.warn(
            "date-past",
            row.at(name),
            f"the lot would be {(today - day).days // 365} years old.",
            "Look at the year.",
        )


def _coming(row: Row, name: str, today: date, report: Report, over: str) -> None:
    day = row.get(name)
    if day is not None and day < today:
        report.warn(
            "date-past",
            row.at(name),
            f"{day.isoformat()} is past; today is {today.isoformat()}: {over}.",
            "Mend the date or delete the row.",
        )
