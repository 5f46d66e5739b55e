"""Names of the columns in which a watched cook is handed on, with the instrument that read it.

The judging knows an instrument by the name of its column. A column that carries an instrument's
number is known to be of it, whatever the column is called in the farm's own logger. The number is
drawn from its code: a code may hold words, such as core, that speak of another place.
"""

from __future__ import annotations

import hashlib

from pinset.chain.register import Instrument, InstrumentKind
from pinset.services.cooks.watch.records import What

TITLES = {
    What.CHAMBER: ("chamber", "[°C]"),
    What.GAUGE: ("chamber pressure", "[bar gauge]"),
    What.CORE: ("core", "[°C]"),
}
NUMBERS = 10_000
KINDS = {
    What.CHAMBER: InstrumentKind.PROBE,
    What.GAUGE: InstrumentKind.GAUGE,
    What.CORE: InstrumentKind.PROBE,
}


def column_of(instrument: Instrument) -> str:
    """Return the column an instrument writes in the farm's own logger."""
    return instrument.reads or instrument.name


def number_of(instrument: Instrument) -> str:
    """Return a number of four digits that stays as long as the code does."""
    digest = hashlib.sha256(instrument.code.encode()).hexdigest()
    return f"{int(digest[:8], 16) % NUMBERS:04d}"


def title_of(what: What, instrument: Instrument | None = None) -> str:
    """Return the name of a column.

    Examples
    --------
    >>> title_of(What.CORE, Instrument("probe-2", "Second probe", InstrumentKind.PROBE))
    'core (instrument 6236) [°C]'
    """
    name, unit = TITLES[what]
    plain = f"{name} {unit}"
    if instrument is None or column_of(instrument) == plain:
        return plain
    return f"{name} (instrument {number_of(instrument)}) {unit}"


def titles_of(instrument: Instrument) -> tuple[str, ...]:
    """Return every name under which an instrument may stand in a watched cook's readings."""
    return tuple(title_of(what, instrument) for what in What if KINDS[what] is instrument.kind)
