"""Names of the columns in which a watched cook is handed on, with the instrument that read it.

The judging knows an instrument by the name of its column. A column that carries an instrument's
name is known to be of it, whatever the column is called in the farm's own logger; what stands in
those brackets says nothing of the place. Of two that share a name each has a number instead, drawn
from its code; so had every instrument once, and logs of then are read on.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence

from pinset.chain.register import Instrument, InstrumentKind
from pinset.services.cooks.watch.records import What

TITLES = {
    What.CHAMBER: ("chamber", "[°C]"),
    What.GAUGE: ("chamber pressure", "[bar gauge]"),
    What.CORE: ("core", "[°C]"),
}
NUMBERS = 10_000
LONGEST_NAME = 40
_SIGNS = re.compile(r"[^\w .:'+&-]+")  # what parts cells, or brackets, in a file of text
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


def title_of(
    what: What, instrument: Instrument | None = None, among: Sequence[Instrument] = ()
) -> str:
    """Return the name of a column; ``among`` are the farm's instruments, by which names are told.

    Examples
    --------
    >>> title_of(What.CORE, Instrument("probe-2", "Second probe", InstrumentKind.PROBE))
    'core (instrument: Second probe) [°C]'
    """
    name, unit = TITLES[what]
    plain = f"{name} {unit}"
    if instrument is None or column_of(instrument) == plain:
        return plain
    said = _name_of(instrument)
    is_shared = any(_name_of(each) == said for each in among if each.code != instrument.code)
    if not said or is_shared:
        return _numbered(what, instrument)
    return f"{name} (instrument: {said}) {unit}"


def _name_of(instrument: Instrument) -> str:
    return " ".join(_SIGNS.sub(" ", instrument.name).split())[:LONGEST_NAME].strip()


def _numbered(what: What, instrument: Instrument) -> str:
    name, unit = TITLES[what]
    return f"{name} (instrument {number_of(instrument)}) {unit}"


def titles_of(instrument: Instrument, among: Sequence[Instrument] = ()) -> tuple[str, ...]:
    """Return every name under which an instrument may stand in a watched cook's readings."""
    own = [what for what in What if KINDS[what] is instrument.kind]
    return (
        *(title_of(what, instrument, among) for what in own),
        *(_numbered(what, instrument) for what in own),
    )
