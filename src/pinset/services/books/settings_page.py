"""Settings: everything the farm says of itself, seen and changed record by record."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from pinset.chain.cold_stores import check_cold_stores
from pinset.chain.label_layouts import LabelLayout
from pinset.chain.register import Instrument
from pinset.errors import InputError, RefusedError
from pinset.farm import register_store
from pinset.farm.models.register import RegisterKind
from pinset.farm.register_store import CLASSES, Record
from pinset.services.books.priced_forms import by_the_kilogram, priced
from pinset.services.books.record_forms import RecordForm, form_of, record_from
from pinset.services.books.record_words import summary
from pinset.services.books.register_change import records_of, retire, write_record
from pinset.services.clock import now_utc
from pinset.services.cooks.setting import complaint
from pinset.services.plans import planning_day
from pinset.services.upkeep.compared import compared
from pinset.services.words import weighed_in

TITLES = {
    RegisterKind.FARM: "The farm",
    RegisterKind.ROOM: "Rooms",
    RegisterKind.STERILISER: "Sterilisers",
    RegisterKind.BENCH: "Benches",
    RegisterKind.INSTRUMENT: "Probes and gauges",
    RegisterKind.WORKER: "People and their hours",
    RegisterKind.VESSEL: "Vessels",
    RegisterKind.VARIETY: "Varieties",
    RegisterKind.ROUTE: "Routes",
    RegisterKind.CULTURE: "Cultures",
    RegisterKind.BUYER: "Buyers",
    RegisterKind.PROMISE: "Promises",
    RegisterKind.OUTAGE: "Out of use",
    RegisterKind.PIN: "Pins",
    RegisterKind.OUTLET: "Outlets",
    RegisterKind.LABEL: "Label paper",
    RegisterKind.CHORE: "Upkeep",
    RegisterKind.INSTRUCTION: "Instructions",
}
ONLY_ONE = frozenset({RegisterKind.FARM})


@dataclass(frozen=True, slots=True)
class KindLine:
    """One kind of records."""

    kind: str
    title: str
    count: int


@dataclass(frozen=True, slots=True)
class RecordLine:
    """One record in a list."""

    code: str
    name: str
    summary: str


@dataclass(frozen=True, slots=True)
class VersionLine:
    """One version of a record."""

    version: int
    valid_from: str
    by: str
    is_retired: bool


@dataclass(frozen=True, slots=True)
class RecordPage:
    """A record with its form and its versions."""

    kind: str
    title: str
    code: str  # empty for a new one
    name: str
    form: RecordForm
    versions: tuple[VersionLine, ...]
    can_retire: bool


def kind_of(word: str) -> RegisterKind:
    """Return a kind of records by its word.

    Raises
    ------
    InputError
        If there is no such kind.
    """
    try:
        return RegisterKind(word)
    except ValueError:
        raise InputError("kind", word, ", ".join(kind.value for kind in TITLES)) from None


def kinds(now: datetime | None = None) -> tuple[KindLine, ...]:
    """Return the kinds of records with how many there are."""
    book, _ = planning_day.farm_book(now)
    return tuple(
        KindLine(kind.value, title, len(records_of(book, kind))) for kind, title in TITLES.items()
    )


def remarks(now: datetime | None = None) -> tuple[str, ...]:
    """Return what somebody should know of the farm as it is described, in sentences."""
    book, _ = planning_day.farm_book(now)
    names = {f"varieties {variety.code}": variety.name for variety in book.varieties}
    return tuple(
        f"{names[found.record]}: {found.sentence} {found.hint}" for found in check_cold_stores(book)
    )


def records(word: str, now: datetime | None = None) -> tuple[str, tuple[RecordLine, ...]]:
    """Return the title of a kind and its records."""
    kind = kind_of(word)
    book, today = planning_day.farm_book(now)
    if kind is RegisterKind.INSTRUMENT:
        book = compared(book)
    return TITLES[kind], tuple(
        RecordLine(
            record.code,
            str(getattr(record, "name", "") or record.code),
            _line(record, book.farm.units, today),
        )
        for record in records_of(book, kind)
    )


def _line(record: Record, units: str, today: date) -> str:
    """Return what a list says of a record; of an instrument also that its calibration is over."""
    said = record.words if isinstance(record, LabelLayout) else summary(record, units)
    over = complaint(record, today) if isinstance(record, Instrument) else ""
    return " ".join(filter(None, (f"{said}." if said and over else said, over)))


def record_form(word: str, code: str = "", now: datetime | None = None) -> RecordPage:
    """Return a record with its form, or an empty form for a new record.

    Raises
    ------
    InputError
        If the kind is unknown.
    RefusedError
        If there is no record of that code.
    """
    kind = kind_of(word)
    book, _ = planning_day.farm_book(now)
    found = next((r for r in records_of(book, kind) if r.code == code), None)
    if kind in ONLY_ONE:  # whatever code it was written down under
        found, code = book.farm, book.farm.code
    if code and found is None:
        raise RefusedError(f"There is no {kind.value} {code}.")
    return RecordPage(
        kind=kind.value,
        title=TITLES[kind],
        code=code,
        name=str(getattr(found, "name", "") or code),
        form=priced(form_of(CLASSES[kind], found), book.farm.currency, weighed_in(book.farm.units)),
        versions=tuple(
            VersionLine(v.version, v.valid_from.isoformat(), v.recorded_by, v.is_retired)
            for v in register_store.versions(kind, code)
        )
        if code
        else (),
        can_retire=found is not None and kind not in ONLY_ONE,
    )


def save_record(
    word: str, code: str, values: Mapping[str, str], person: str, now: datetime | None = None
) -> str:
    """Write a record, or the next version of it, from today on, and return its code.

    Raises
    ------
    InputError
        If a value cannot be read.
    RefusedError
        If the farm's book would not hold with it; the sentences say why.
    """
    kind = kind_of(word)
    moment = now or now_utc()
    book, _ = planning_day.farm_book(moment)
    old = next((each for each in records_of(book, kind) if each.code == code), None)
    values = by_the_kilogram(CLASSES[kind], values, old, weighed_in(book.farm.units))
    record: Record = record_from(CLASSES[kind], values)
    if code and record.code != code:
        raise InputError("code", record.code, f"{code}: a code does not change")
    if not code and any(each.code == record.code for each in records_of(book, kind)):
        raise InputError("code", record.code, "a code that is not taken")
    write_record(record, person, moment)
    return record.code


def retire_record(word: str, code: str, person: str, now: datetime | None = None) -> None:
    """End a record from today on; it stays in the books of the past.

    Raises
    ------
    RefusedError
        If something else still needs it.
    """
    retire(kind_of(word), code, person, now or now_utc())
