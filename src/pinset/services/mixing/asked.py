"""A mix as it is asked for, read: its rows with their shares, the units and what is wanted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import isclose

from pinset.errors import InputError
from pinset.science.air.ranges import Range
from pinset.science.mixing.batch import Part
from pinset.services.mixing import reading
from pinset.services.mixing.rows import Row, grain_taken_as_base, rows_of
from pinset.services.words import plural

BASES = ("dry", "weighed", "dry-parts", "weighed-parts")
VESSELS = {
    "bags": ("bag", "bags"),
    "jars": ("jar", "jars"),
    "bottles": ("bottle", "bottles"),
    "beds": ("bed", "beds"),
    "plates": ("plate", "plates"),
}
USUAL = {
    "metric": {"units": "40", "fill": "3 kg", "step": "50 g", "water-step": "0.1 L"},
    "us": {"units": "40", "fill": "6 lb", "step": "0.1 lb", "water-step": "0.1 gal"},
}
"""What stands in a fresh form."""
USUAL_MOISTURE = "62 %"
SUM_WITHIN = 0.005
"""Half a point: shares are typed rounded."""
MOST_GAIN = 10.0


@dataclass(frozen=True, slots=True)
class Filling:
    """What is filled, and how it is weighed."""

    units: int
    vessel: str  # a key of VESSELS
    fill_kg: float
    moisture_wet: float  # after the cook
    gain: Range  # points that the cook adds
    step_kg: float
    water_step_kg: float

    @property
    def mass_kg(self) -> float:
        """Of the whole batch when it is filled."""
        return self.units * self.fill_kg

    @property
    def at_filling(self) -> float:
        """Moisture before the cook, at the middle of what it adds."""
        return self.moisture_wet - self.gain.middle

    @property
    def counted(self) -> str:
        """How many of what: ``40 bags``."""
        return plural(self.units, *VESSELS[self.vessel])


@dataclass(frozen=True, slots=True)
class MixAsked:
    """A mix with shares."""

    rows: tuple[Row, ...]
    dry_shares: tuple[float, ...]
    filling: Filling

    @property
    def parts(self) -> tuple[Part, ...]:
        """Return it as the sums want it."""
        return tuple(
            Part(row.ingredient, share, row.moisture_wet)
            for row, share in zip(self.rows, self.dry_shares, strict=True)
        )


def filling_of(given: Mapping[str, str], system: str) -> Filling:
    """Return what is filled, read; what is empty keeps its usual value.

    Raises
    ------
    InputError
        If a field is not accepted.
    """
    usual = USUAL[system]

    def typed(name: str) -> str:
        return given.get(name, "").strip() or usual.get(name, "")

    vessel = typed("vessel") or "bags"
    if vessel not in VESSELS:
        raise InputError("vessel", vessel, f"one of {', '.join(VESSELS)}")
    wanted = reading.moisture(typed("moisture") or USUAL_MOISTURE, "moisture")
    accepted = f"points of moisture from 0 to {MOST_GAIN:g}, such as 2, or 1-4"
    gain = reading.span(typed("gain") or "0", "gain", MOST_GAIN, accepted)
    if not gain.high < wanted:
        raise InputError("gain", typed("gain"), "less than the moisture wanted")
    step = reading.mass(typed("step"), "step", system)
    water_step = reading.water(typed("water-step"), "water-step", system)
    if not water_step > 0.0:
        raise InputError("water-step", typed("water-step"), "more than 0")
    return Filling(
        reading.whole(typed("units"), "units"),
        vessel,
        reading.mass(typed("fill"), "fill", system),
        wanted,
        gain,
        step,
        water_step,
    )


def mix_of(given: Mapping[str, str], system: str) -> MixAsked:
    """Return a mix from what was typed.

    Parameters
    ----------
    given : mapping of str to str
        By the names of :func:`pinset.services.mixing.rows.rows_of`, with ``share-1`` and so on,
        ``basis`` (of ``BASES``), ``units``, ``vessel``, ``fill``, ``moisture``, ``gain``,
        ``step``, ``water-step``.
    system : str
        ``metric`` or ``us``: how bare numbers count.

    Raises
    ------
    InputError
        If a field is not accepted; its name is the field's.
    """
    basis = given.get("basis", "").strip() or BASES[0]
    if basis not in BASES:
        raise InputError("basis", basis, f"one of {', '.join(BASES)}")
    filling = filling_of(given, system)
    rows = _with_shares(rows_of(given, system), given, basis)
    rows = tuple(_with_weighed(row, given, system) for row in rows)
    amounts = [
        (row.share or 0.0) * ((1.0 - row.moisture_wet) if basis.startswith("weighed") else 1.0)
        for row in rows
    ]
    total = sum(amounts)
    if not total > 0.0:
        raise InputError(f"share-{rows[0].number}", "", "a share above 0 of something dry")
    shares = tuple(each / total for each in amounts)
    return MixAsked(grain_taken_as_base(rows, shares), shares, filling)


def _with_weighed(row: Row, given: Mapping[str, str], system: str) -> Row:
    field = f"weighed-{row.number}"
    text = given.get(field, "").strip()
    return replace(row, weighed_kg=reading.mass_or_none(text, field, system)) if text else row


def _with_shares(rows: tuple[Row, ...], given: Mapping[str, str], basis: str) -> tuple[Row, ...]:
    read = tuple(_share(row, given, basis) for row in rows)
    open_rows = [row for row in read if row.share is None]
    known = sum(row.share or 0.0 for row in read)
    if basis.endswith("parts"):
        if open_rows:
            raise InputError(f"share-{open_rows[0].number}", "", f"parts of {open_rows[0].name}")
        return read
    if len(open_rows) > 1:
        hint = "One share may stay empty: it gets the rest."
        raise InputError(f"share-{open_rows[1].number}", "", "a share in %", hint)
    last = open_rows[0] if open_rows else read[-1]
    field, said = f"share-{last.number}", f"{100 * known:g} %"
    if open_rows:
        if not known < 1.0:
            raise InputError(field, "", "shares of the others below 100 %", f"They make {said}.")
        return tuple(replace(row, share=1.0 - known) if row is last else row for row in read)
    if not isclose(known, 1.0, abs_tol=SUM_WITHIN):
        hint = f"{_lack(known)} Leave one share empty for the rest, or choose parts."
        raise InputError("shares", said, "shares that add up to 100 %", hint)
    return read


def _lack(known: float) -> str:
    points = 100.0 * (1.0 - known)
    return f"{points:.4g} % is missing." if points > 0 else f"{-points:.4g} % is too much."


def _share(row: Row, given: Mapping[str, str], basis: str) -> Row:
    field = f"share-{row.number}"
    text = given.get(field, "").strip()
    if not text:
        return row
    if basis.endswith("parts"):
        return replace(row, share=reading.number(text, field, "parts, 0 or more"))
    return replace(row, share=reading.percent(text, field))
