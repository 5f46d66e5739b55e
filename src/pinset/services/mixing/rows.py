"""The ingredients of a mix as they are typed, row by row, with what is known of each."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from pinset.errors import InputError
from pinset.science.air.ranges import Range, range_of
from pinset.science.mixing.ingredients import Ingredient, carbon_from_ash
from pinset.services.mixing import reading
from pinset.services.words import joined
from pinset.tables.ingredients import Group, Published, ingredient, ingredients, known_from

MOST_ROWS = 30
OTHER = "other"
RICH = 0.01
"""Nitrogen from which another ingredient counts as a supplement; our own choice."""
HALF = 0.5
_Typed = Callable[[str], str]


@dataclass(frozen=True, slots=True)
class Row:
    """One ingredient of a mix, read."""

    number: int  # of its fields: share-3
    key: str  # of the table, or "other"
    ingredient: Ingredient
    moisture_wet: float
    moisture_from: str  # today's, of a sample, as it usually comes
    usual_moisture: str  # where today's is not known; empty
    is_grain: bool
    known: str  # where nitrogen comes from
    usual: str  # a mineral's usual share; empty
    price_per_kg: float | None
    share: float | None = None  # None: the rest
    weighed_kg: float | None = None
    remarks: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """Its name."""
        return self.ingredient.name


def choices() -> tuple[tuple[str, str], ...]:
    """Return what may be chosen as an ingredient: key and name."""
    return tuple((each.key, each.name) for each in ingredients().values())


def rows_of(given: Mapping[str, str], system: str) -> tuple[Row, ...]:
    """Return the rows that name an ingredient.

    Parameters
    ----------
    given : mapping of str to str
        ``what-1``, ``moisture-1``, ``nitrogen-1``, ``carbon-1``, ``ash-1``, ``name-1``,
        ``price-1`` and so on.
    system : str
        ``metric`` or ``us``.

    Raises
    ------
    InputError
        If a field is not accepted (its name is the field's), or there is no row.
    """
    found = []
    names: set[str] = set()
    for number in range(1, MOST_ROWS + 1):
        if not given.get(f"what-{number}", "").strip():
            continue
        row = _row(given, number, system)
        if row.name in names:
            row = replace(row, ingredient=replace(row.ingredient, name=f"{row.name} ({number})"))
        names.add(row.name)
        found.append(row)
    if not found:
        raise InputError("what-1", "", "an ingredient")
    return tuple(found)


def grain_taken_as_base(rows: tuple[Row, ...], dry_shares: tuple[float, ...]) -> tuple[Row, ...]:
    """Return the rows; grain is no supplement where it is more than half of the dry mass."""
    grain = sum(share for row, share in zip(rows, dry_shares, strict=True) if row.is_grain)
    if grain <= HALF:
        return rows
    return tuple(
        replace(row, ingredient=replace(row.ingredient, is_supplement=False))
        if row.is_grain
        else row
        for row in rows
    )


def _row(given: Mapping[str, str], number: int, system: str) -> Row:
    def typed(name: str) -> str:
        return given.get(f"{name}-{number}", "").strip()

    key = typed("what")
    made = (
        _other(typed, number) if key == OTHER else _published(_of_table(key, number), typed, number)
    )
    price = typed("price")
    return replace(
        made, price_per_kg=reading.price(price, f"price-{number}", system) if price else None
    )


def _of_table(key: str, number: int) -> Published:
    try:
        return ingredient(key)
    except InputError as problem:
        raise InputError(f"what-{number}", key, problem.accepted) from None


def _published(own: Published, typed: _Typed, number: int) -> Row:
    remarks: list[str] = []
    wet, how, usual_moisture = own.moisture.value, "as it usually comes", _usual_of(own)
    if text := typed("moisture"):
        wet = reading.moisture(text, f"moisture-{number}")
        how, usual_moisture = _how(text), ""
        if own.key == "gypsum" and "/" in text:
            remarks.append(
                "An oven drives crystal water out of gypsum, which looks like moisture: gypsum "
                "as sold counts as dry."
            )
    amount, known = range_of(own.nitrogen), known_from(own.nitrogen)
    if text := typed("nitrogen"):
        amount, known = reading.nitrogen(text, f"nitrogen-{number}"), "your own analysis"
    carbon = (
        reading.percent(text, f"carbon-{number}", 60.0)
        if (text := typed("carbon"))
        else own.carbon.value
    )
    ash = reading.percent(text, f"ash-{number}") if (text := typed("ash")) else own.ash.value
    usual = ""
    if own.dose is not None and own.dose.low is not None and own.dose.high is not None:
        usual = f"{100 * own.dose.low:g} to {100 * own.dose.high:g} % of dry mass is usual"
    grain = own.group is Group.GRAIN
    return Row(
        number,
        own.key,
        _ingredient(
            number,
            own.name,
            carbon,
            amount,
            ash,
            wet,
            bulk_kg_m3=own.bulk.value,
            is_supplement=grain or own.group is Group.SUPPLEMENT,
        ),
        wet,
        how,
        usual_moisture,
        grain,
        known,
        usual,
        None,
        remarks=tuple(remarks),
    )


def _other(typed: _Typed, number: int) -> Row:
    name = typed("name")
    if not name:
        raise InputError(f"name-{number}", "", "what it is called")
    if not typed("moisture"):
        raise InputError(f"moisture-{number}", "", f"today's moisture of {name}, such as 12 %")
    if not typed("nitrogen"):
        raise InputError(
            f"nitrogen-{number}",
            "",
            "its nitrogen in % of dry mass, such as 2.6, or 16 % protein",
            f"No analysis of {name} is in the table.",
        )
    if not (typed("carbon") or typed("ash")):
        accepted = "its carbon in % of dry mass; or its ash, from which carbon is guessed"
        raise InputError(
            f"carbon-{number}", "", accepted, f"No analysis of {name} is in the table."
        )
    wet = reading.moisture(typed("moisture"), f"moisture-{number}")
    amount = reading.nitrogen(typed("nitrogen"), f"nitrogen-{number}")
    remarks = []
    ash = reading.percent(typed("ash"), f"ash-{number}") if typed("ash") else 0.0
    if not typed("ash"):
        remarks.append(f"The ash of {name} is not known and counts as none.")
    if typed("carbon"):
        carbon = reading.percent(typed("carbon"), f"carbon-{number}", 60.0)
    else:
        carbon = carbon_from_ash(ash)
        remarks.append(
            f"The carbon of {name} is guessed from its ash, right to 2 to 10 percent (Gotaas 1956)."
        )
    return Row(
        number,
        OTHER,
        _ingredient(number, name, carbon, amount, ash, wet, is_supplement=amount.middle >= RICH),
        wet,
        _how(typed("moisture")),
        "",
        is_grain=False,
        known="your own analysis",
        usual="",
        price_per_kg=None,
        remarks=tuple(remarks),
    )


def _how(text: str) -> str:
    return "of a sample" if "/" in text else "today's"


def _usual_of(own: Published) -> str:
    low, high = own.moisture.low, own.moisture.high
    if own.group is Group.MINERAL or low is None or high is None:
        return ""
    return f"{own.name} ({100 * low:g} to {100 * high:g} % is usual)"


def not_measured(rows: Sequence[Row]) -> tuple[str, ...]:
    """Return that moistures were not measured today, as one sentence; nothing if all were."""
    found = [row.usual_moisture for row in rows if row.usual_moisture]
    return (f"Moisture not measured today: {joined(found)}.",) if found else ()


def _ingredient(
    number: int,
    name: str,
    carbon: float,
    amount: Range,
    ash: float,
    wet: float,
    *,
    bulk_kg_m3: float | None = None,
    is_supplement: bool,
) -> Ingredient:
    """Return an ingredient; what cannot be is said of the field it was typed into."""
    try:
        return Ingredient(name, carbon, amount, ash, wet, bulk_kg_m3, is_supplement)
    except InputError as problem:
        field = problem.field.split(" of ")[0]
        raise InputError(
            f"{field}-{number}", problem.given, problem.accepted, problem.hint
        ) from None
