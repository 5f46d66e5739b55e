"""What is read off when a chore is done: typed with its unit, and what cannot be refused."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from pinset.chain.upkeep import MOST_READ, WEARS, Chore, Reads
from pinset.errors import InputError, RefusedError
from pinset.farm.queries.upkeep import ChoreDone
from pinset.services.clock import at_clock, farm_day
from pinset.services.upkeep.words import INCH_OF_WATER_PA, KELVIN_PER_FAHRENHEIT
from pinset.services.words import short_day
from pinset.units import Quantity, parse

SECONDS, KILO = 3600.0, 1000.0
SECONDS_SLACK = 3600.0
"""A counter is read to the hour, so that it may be one ahead of the clock. [s]"""

FELL_TO = 2.0 / 3.0
"""A pressure drop that fell below this share of the last one is asked about: was the filter
changed, or the fan slower? Our own choice."""

_INCHES = re.compile(
    r"([0-9]+(?:[.,][0-9]+)?)\s*(?:in|inch|inches)\s*(?:wg|wc|h2o|of water)", re.IGNORECASE
)
_DEGREES = re.compile(r"\s*([+-]?[0-9]+(?:[.,][0-9]+)?)\s*(?:°|deg)?\s*([ckf]?)\s*", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class _Read:
    """A reading of before."""

    at: datetime
    reading: float


class UnlikelyReadingError(RefusedError):
    """A reading that does not go with those before it; with a reason it is written down."""


SAYS = {
    Reads.HOURS: "the hours on the counter, such as 1240 h",
    Reads.PRESSURE_DROP: "a pressure drop, such as 180 Pa or 0.7 in wg",
    Reads.OFF_DEGREES: "by how much it is off, such as 0.3 °C",
    Reads.OFF_PRESSURE: "by how much it is off, such as 2 kPa",
    Reads.OFF_GRAMS: "by how much it is off, such as 2 g",
}
"""What is accepted of each reading."""


def reading_of(text: str, reads: Reads, system: str = "metric") -> float | None:
    """Return a typed reading in its unit; None if nothing is typed.

    Parameters
    ----------
    text : str
        A number, with a unit or without: then it is in the unit of the reading, on a farm that
        reads US units in °F and inches of water.
    reads : Reads
        What is read off.
    system : str
        The farm's choice of units, ``metric`` or ``us``.

    Raises
    ------
    InputError
        If it is no such reading, has another unit, or cannot be.
    """
    if not text.strip():
        return None
    if reads is Reads.NOTHING:
        raise InputError("reading", text, "nothing: this chore reads nothing off")
    try:
        value = _value(text, reads, system)
    except InputError as problem:
        raise InputError("reading", text, SAYS[reads], problem.hint) from None
    most = MOST_READ[reads]
    if reads in WEARS and value < 0.0:
        raise InputError("reading", text, f"{SAYS[reads]}, 0 or more")
    if abs(value) > most:
        accepted = f"at most {most:,.0f} {reads.value}"
        raise InputError("reading", text, accepted, "Look at the number and its unit.")
    return value


def _value(text: str, reads: Reads, system: str) -> float:
    bare = text.strip().replace("±", "").strip()
    if reads is Reads.HOURS:
        return parse(Quantity.TIME, bare, "h", "reading") / SECONDS
    if reads is Reads.OFF_GRAMS:
        return parse(Quantity.MASS, bare, "g", "reading") * KILO
    if reads is Reads.OFF_PRESSURE:
        return parse(Quantity.GAUGE_PRESSURE, bare, "kPa", "reading") / KILO
    if reads is Reads.PRESSURE_DROP:
        inches = _INCHES.fullmatch(f"{bare} in wg" if system == "us" and _is_bare(bare) else bare)
        if inches:
            return float(inches[1].replace(",", ".")) * INCH_OF_WATER_PA
        return parse(Quantity.GAUGE_PRESSURE, bare, "Pa", "reading")
    found = _DEGREES.fullmatch(bare)
    if found is None:
        raise InputError("reading", text, SAYS[reads])
    unit = found[2].lower() or ("f" if system == "us" else "c")
    number = float(found[1].replace(",", "."))
    return number * KELVIN_PER_FAHRENHEIT if unit == "f" else number


def _is_bare(text: str) -> bool:
    return all(sign.isdigit() or sign in "., " for sign in text)


def refuse_nonsense(
    chore: Chore,
    value: float,
    before: Sequence[ChoreDone],
    at: datetime,
    zone: str,
    *,
    is_changed: bool,
    why: str,
) -> None:
    """Refuse a reading that does not go with those before it.

    Parameters
    ----------
    chore : Chore
        What was done.
    value : float
        In the unit of its reading.
    before : sequence of ChoreDone
        What was done of it, oldest first.
    at : datetime
        When it was read.
    zone : str
        The farm's time zone.
    is_changed : bool
        A new one was put in, so that what was read before is of the old one.
    why : str
        Why it is right all the same; only what is unlikely asks for it.

    Raises
    ------
    InputError
        If a counter went back, or ran faster than the clock.
    UnlikelyReadingError
        If a pressure drop fell by more than a third and no reason is given.
    """
    if is_changed or chore.reads not in WEARS:
        return
    last = _last_read(chore, before, at, zone)
    if last is None:
        return
    day = short_day(farm_day(last.at, zone))
    if chore.reads is Reads.HOURS:
        if value < last.reading:
            raise InputError(
                "reading",
                f"{value:,.0f} h",
                f"{last.reading:,.0f} h or more, as on {day}",
                "If the lamp or its counter was changed, say that it was changed.",
            )
        most = ((at - last.at).total_seconds() + SECONDS_SLACK) / SECONDS
        if value - last.reading > most:
            raise InputError(
                "reading",
                f"{value:,.0f} h",
                f"at most {last.reading + most:,.0f} h: no more hours went by since {day}",
                "Look at the counter once more.",
            )
    elif value < FELL_TO * last.reading and not why:
        raise UnlikelyReadingError(
            f"{value:.0f} Pa is far below the {last.reading:.0f} Pa of {day}.",
            "If the filter was changed, say so; else look whether the fan runs as fast, "
            "or give a reason.",
        )


def _last_read(chore: Chore, before: Sequence[ChoreDone], at: datetime, zone: str) -> _Read | None:
    """Return the last reading before a moment; that of before the books, if there is none in them.

    Of the latter only the day is known: it may have been read when the day began.
    """
    read = [_Read(each.at, each.reading) for each in before if each.reading is not None]
    if chore.last_reading is not None and chore.since is not None:
        read.append(_Read(at_clock(chore.since, "00:00", zone), chore.last_reading))
    return max((each for each in read if each.at <= at), key=lambda each: each.at, default=None)
