"""Where a cook was done: the farm's altitude, the rule for its kind, the instruments that read."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from pinset.chain.lime import LimeRule, is_lime, read_lime
from pinset.chain.register import FarmBook, InstrumentKind
from pinset.chain.register import Instrument as Registered
from pinset.science.judging.records import UNKNOWN_ERROR_K
from pinset.services.cooks.judge.judged import Instrument
from pinset.services.cooks.watch.columns import column_of, titles_of
from pinset.services.upkeep.compared import compared


@dataclass(frozen=True, slots=True)
class CookSetting:
    """What the farm says of the place a cook was done in."""

    steriliser: str  # name
    rule: str  # the farm's own for this kind; empty: none
    lime: LimeRule | None  # that rule, of a kind that is a lime bath and no heat
    altitude_m: float
    rating_bar: float  # 0: an open steamer, or not known
    instruments: tuple[Instrument, ...]
    is_open: bool = False  # the books have the steriliser, without a rating


def setting_of(steriliser: str, cook_kind: str) -> CookSetting:
    """Return where a cook of a kind is done, by the codes of its entry.

    A steriliser or kind that is described no more keeps its code as its name and has no rule.
    """
    from pinset.services.plans import planning_day  # only on a farm

    book, today = planning_day.farm_book()
    machine = next((each for each in book.sterilisers if each.code == steriliser), None)
    kinds = machine.cooks if machine else ()
    kind = next((each for each in kinds if each.code == cook_kind), None)
    return CookSetting(
        steriliser=machine.name if machine else steriliser,
        rule=kind.rule if kind else "",
        lime=read_lime(kind.rule) if kind and is_lime(kind.rule) else None,
        altitude_m=book.farm.altitude_m,
        rating_bar=machine.rating_bar_gauge if machine else 0.0,
        instruments=known_instruments(compared(book), today),
        is_open=machine is not None and machine.rating_bar_gauge <= 0.0,
    )


def known_instruments(book: FarmBook, today: date) -> tuple[Instrument, ...]:
    """Return what is known of the farm's probes and gauges, by the columns they write.

    Each stands under its own column in the farm's logger and under those of watched cooks.

    Where nobody has written down an error, the judgement's own is taken, and its calibration is
    looked at all the same.
    """
    return tuple(
        as_column(each, column, today)
        for each in book.instruments
        for column in dict.fromkeys((column_of(each), *titles_of(each, book.instruments)))
    )


def as_column(each: Registered, column: str, today: date, why: str = "") -> Instrument:
    """Return what is known of an instrument that wrote a column; ``why`` it is taken for it."""
    said = f"{each.name}, {why}: {_note(each)}" if why else _note(each)
    return Instrument(
        column=column,
        error=_taken(each) if each.error is None else each.error,
        note=said,
        complaint=complaint(each, today),
        is_error_known=each.error is not None,
    )


def complaints() -> tuple[str, ...]:
    """Return what is wrong with the farm's calibrations today."""
    from pinset.services.plans import planning_day  # only on a farm

    book, today = planning_day.farm_book()
    return tuple(said for each in compared(book).instruments if (said := complaint(each, today)))


def _taken(instrument: Registered) -> float:
    """Return the error taken of an instrument of which none is known: none of a gauge."""
    return UNKNOWN_ERROR_K if instrument.kind is InstrumentKind.PROBE else 0.0


def _note(instrument: Registered) -> str:
    if instrument.calibrated_on is None:
        return "never compared with a reference"
    against = f" with {instrument.reference}" if instrument.reference else ""
    return f"compared{against} on {instrument.calibrated_on.isoformat()}"


def complaint(instrument: Registered, today: date) -> str:
    """Return what is wrong with an instrument's calibration today; empty: it holds."""
    if instrument.calibrated_on is None:
        return f"{instrument.name} was never compared with a reference."
    due = instrument.calibrated_on + timedelta(days=instrument.every_days)
    if today <= due:
        return ""
    return (
        f"The calibration of {instrument.name} is overdue since {due.isoformat()}: it was last "
        f"compared on {instrument.calibrated_on.isoformat()}."
    )
