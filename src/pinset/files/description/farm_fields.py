"""Which names `farm.toml` has: the one place that reader, writer, templates and guide share."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from zoneinfo import ZoneInfo, available_timezones

from pinset.chain.register import InstrumentKind, RoomKind, Weekday
from pinset.files.description.cells import (
    CellError,
    Choice,
    Code,
    Several,
    Text,
    YesNo,
    cell_text,
    choice,
)
from pinset.files.description.columns import Column
from pinset.files.description.day_cells import Clock, Day, HoursOfDay, WeekdayKind
from pinset.files.description.number_cells import Number
from pinset.files.description.place import nearest
from pinset.files.description.sheet import Raw

FARM_FILE = "farm.toml"


@cache
def _zones() -> frozenset[str]:
    return frozenset(available_timezones())


@dataclass(frozen=True, slots=True)
class TimeZone:
    """An IANA time zone."""

    accepted: str = "the IANA name of a time zone, such as Europe/Vienna"
    none: str = ""

    def read(self, cell: Raw, *, comma_is_decimal: bool = False) -> str:
        """Return the name if there is such a zone."""
        del comma_is_decimal
        text = cell_text(cell)
        zones = _zones()
        if text not in zones:
            close = nearest(text, (zone.casefold() for zone in zones))
            found = next((zone for zone in zones if zone.casefold() == close), "")
            raise CellError(
                "time-zone", text, self.accepted, f"Did you mean {found}?" if found else ""
            )
        return ZoneInfo(text).key

    def show(self, value: str) -> str:
        """Return the name."""
        return value


@dataclass(frozen=True, slots=True)
class Currency:
    """An ISO 4217 code by its form."""

    accepted: str = "the three letters of a currency, such as EUR or USD"
    none: str = ""

    def read(self, cell: Raw, *, comma_is_decimal: bool = False) -> str:
        """Return the letters in upper case."""
        del comma_is_decimal
        text = cell_text(cell).upper()
        if len(text) != len("EUR") or not (text.isascii() and text.isalpha()):
            raise CellError("currency", cell_text(cell), self.accepted)
        return text

    def show(self, value: str) -> str:
        """Return the letters."""
        return value


@dataclass(frozen=True, slots=True)
class Section:
    """One table, or one kind of repeated table, of `farm.toml`."""

    name: str
    title: str
    columns: tuple[Column, ...]
    many: bool = True  # written as [[name]]
    inside: str = ""  # the section it stands in

    def column(self, name: str) -> Column:
        """Return the column of that name."""
        return next(column for column in self.columns if column.name == name)


_HOURS = Number(0, 24, "hours", "time")

FARM = Section(
    "farm",
    "The farm as a whole.",
    (
        Column("name", Text(200), "name of the farm", required=True),
        Column("code", Code(), "short name of the farm", empty="farm"),
        Column("country", Text(100), "country"),
        Column(
            "altitude_m",
            Number(-430, 6000, "m", "length"),
            "height above sea level: steam is cooler up there",
            required=True,
        ),
        Column("latitude", Number(-90, 90, none=None), "degrees north", empty="not said"),
        Column("longitude", Number(-180, 180, none=None), "degrees east", empty="not said"),
        Column("time_zone", TimeZone(), "whose clock the farm follows", required=True),
        Column(
            "units", Choice(("metric", "us")), "units in which results are shown", empty="metric"
        ),
        Column("currency", Currency(), "currency of all prices", empty="EUR"),
        Column("working_days", Several(WeekdayKind(Weekday)), "working days", empty="mon to fri"),
        Column("days_off", Several(Day()), "dates on which nobody works"),
        Column("day_starts", Clock(), "when the day begins", empty="07:30"),
        Column("van_at", Clock(), "when the van leaves", empty="14:00"),
        Column(
            "morning_round_minutes",
            Number(0, 600, "minutes", "time", whole=True),
            "morning round, per grow room",
            empty="15",
        ),
    ),
    many=False,
)

ROOMS = Section(
    "rooms",
    "Rooms with their shelves.",
    (
        Column("code", Code(), "short name", required=True),
        Column("name", Text(200), "name on the door", required=True),
        Column("kind", choice(RoomKind), "what the room is for", required=True),
        Column(
            "temperature_c",
            Number(-30, 60, "°C", "temperature"),
            "temperature it is kept at",
            required=True,
        ),
        Column("climates", Several(Text(100)), "grow rooms: climates it can give"),
    ),
)

SHELVES = Section(
    "shelves",
    "Places where units stand; inside a room.",
    (
        Column("code", Code(), "short name, unique on the farm", required=True),
        Column("holds", Number(0, 1_000_000, whole=True), "places on it", required=True),
    ),
    inside="rooms",
)

STERILISERS = Section(
    "sterilisers",
    "Autoclaves and steamers.",
    (
        Column("code", Code(), "short name", required=True),
        Column("name", Text(200), "name", required=True),
        Column("room", Code(), "room it stands in", required=True, refers="rooms"),
        Column(
            "hours_per_day",
            _HOURS,
            "hours it can be used in a day, whether or not somebody is there",
            required=True,
        ),
        Column("cooks_per_day", Number(0, 48, whole=True), "cooks in a day at most", required=True),
        Column(
            "rating_bar_gauge",
            Number(0, 10, "bar", "gauge pressure"),
            "pressure on the maker's plate, above the air's; 0 for an open steamer",
            empty="0",
        ),
        Column("load_at", Clock(), "clock time of loading", empty="10:30"),
        Column(
            "opened_until",
            Clock(),
            "clock time until which somebody comes to open it after work, on days when somebody "
            "works",
            empty="it is opened only while somebody works, else on the next such morning",
        ),
    ),
)

COOKS = Section(
    "cooks",
    "Kinds of cook; inside a steriliser. Kinds do not mix in one cook.",
    (
        Column("code", Code(), "agar, grain, block, straw ...", required=True),
        Column("hours", _HOURS, "from loading to empty and ready again", required=True),
        Column(
            "hands_minutes",
            Number(0, 1440, "minutes", "time", whole=True),
            "a person's time to load, watch and unload",
            required=True,
        ),
        Column(
            "hold_minutes",
            Number(0, 2880, "minutes", "time", whole=True),
            "holding time the farm uses",
            required=True,
        ),
        Column("litres", Number(0, 100_000, "L", "volume"), "what fits of it", required=True),
        Column(
            "rule",
            Text(60),
            "what a core is to reach: f0=15, or hold=70C/120; of a lime bath lime=12h/pH12",
            empty="nothing is passed or failed",
        ),
        Column(
            "keeps_days",
            Number(0, 365, "days", "time", whole=True, none=None),
            "days its closed vessels keep until they are inoculated, from the cook's day on",
            empty="14; pasteurised, in lime or straw: 1",
        ),
    ),
    inside="sterilisers",
)

BENCHES = Section(
    "benches",
    "Clean benches, where transfers are made.",
    (
        Column("code", Code(), "short name", required=True),
        Column("name", Text(200), "name", required=True),
        Column("room", Code(), "room it stands in", required=True, refers="rooms"),
        Column(
            "minutes_per_day",
            Number(0, 1440, "minutes", "time", whole=True),
            "minutes it can be used in a day",
            required=True,
        ),
    ),
)

INSTRUMENTS = Section(
    "instruments",
    "Probes and gauges by which cooks are judged.",
    (
        Column("code", Code(), "short name", required=True),
        Column("name", Text(200), "name", required=True),
        Column("kind", choice(InstrumentKind), "what it reads", required=True),
        Column("reads", Text(120), "its column in the logger's file", empty="its name"),
        Column(
            "error",
            Number(0, 50, none=None),
            "largest error either way: kelvin of a probe, kilopascal of a gauge",
            empty="not known",
        ),
        Column("calibrated_on", Day(), "when it was last compared", empty="never"),
        Column("reference", Text(200), "what it was compared with"),
        Column(
            "every_days",
            Number(1, 3650, "days", "time", whole=True),
            "a calibration holds so long",
            empty="365",
        ),
    ),
)

PEOPLE = Section(
    "people",
    "Who works here, and the hours of each weekday.",
    (
        Column("code", Code(), "short name", required=True),
        Column("name", Text(120), "name", required=True),
        Column("laboratory", YesNo(), "may work in the laboratory", empty="true"),
        Column("role", Choice(("worker", "owner")), "worker or owner", empty="worker"),
    ),
)

HOURS = Section(
    "hours",
    "Working hours of a person; a day that is left out has none. A number counts from day_starts; "
    'other times stand in quotation marks: "17:00-20:30".',
    tuple(Column(day.value, HoursOfDay(), f"hours on {day.value}", empty="0") for day in Weekday),
    many=False,
    inside="people",
)

_MM = Number(0, 1200, "mm", "length")
_LABELS_BESIDE = Number(1, 20, whole=True, none=1)
_LABELS_BELOW = Number(1, 60, whole=True, none=1)

LABELS = Section(
    "labels",
    "Label paper of your own, beside the common sizes that stand ready.",
    (
        Column("code", Code(), "short name", required=True),
        Column("page_width_mm", _MM, "width of the page, or of the roll's label", required=True),
        Column("page_height_mm", _MM, "height of the page", required=True),
        Column("label_width_mm", _MM, "width of one label", required=True),
        Column("label_height_mm", _MM, "height of one label", required=True),
        Column("columns", _LABELS_BESIDE, "labels beside each other", empty="1"),
        Column("rows", _LABELS_BELOW, "labels below each other", empty="1"),
        Column("left_mm", _MM, "from the left edge of the page to the first label", empty="0"),
        Column("top_mm", _MM, "from the upper edge of the page to the first label", empty="0"),
        Column("column_gap_mm", _MM, "gap between labels beside each other", empty="0"),
        Column("row_gap_mm", _MM, "gap between labels below each other", empty="0"),
        Column("tubes", YesNo(), "meant to go round a tube", empty="no"),
        Column("note", Text(200), "where it is bought, what it is for"),
    ),
)

SECTIONS = (
    FARM,
    ROOMS,
    SHELVES,
    STERILISERS,
    COOKS,
    BENCHES,
    INSTRUMENTS,
    PEOPLE,
    HOURS,
    LABELS,
)


def inner(section: Section) -> Section | None:
    """Return the section that stands inside another one."""
    return next((each for each in SECTIONS if each.inside == section.name), None)
