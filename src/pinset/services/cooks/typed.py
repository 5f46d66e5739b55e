"""A load as people type it, on a page or a command line: numbers with their units."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from pinset.errors import InputError
from pinset.science.heating.loads import usual_size
from pinset.services.cooks.loads import BOTTLE_KG, USUAL_MOISTURE, Filling, Heat, LoadPlan
from pinset.tables.organisms import organism
from pinset.units import Quantity, parse

Word = TypeVar("Word", Heat, Filling)
Units = Mapping[Quantity, str]
Reader = Callable[[str, str, Units], dict[str, Any]]

CM, LITRES, PA_PER_BAR, MINUTE = 100.0, 1000.0, 1e5, 60.0
PERCENT = 100.0
METRIC = {
    Quantity.MASS: "kg",
    Quantity.LENGTH: "cm",
    Quantity.TEMPERATURE: "C",
    Quantity.GAUGE_PRESSURE: "bar",
    Quantity.VOLUME: "L",
    Quantity.TIME: "min",
}
US = {
    **METRIC,
    Quantity.MASS: "lb",
    Quantity.LENGTH: "in",
    Quantity.TEMPERATURE: "F",
    Quantity.GAUGE_PRESSURE: "psi",
    Quantity.VOLUME: "qt",
}


def load_of(given: Mapping[str, str], system: str = "metric") -> LoadPlan:
    """Return a load from what was typed.

    Parameters
    ----------
    given : mapping of str to str
        By the names in ``TYPED``. ``size`` is ``15x20cm`` (diameter and height of the filled part)
        or ``18x12x16cm`` (length, width, height); ``moisture`` is ``0.6`` or ``60%``; numbers
        without a unit count in the usual one of the system.
    system : str
        ``metric`` or ``us``.

    Raises
    ------
    InputError
        If something is not accepted; its field is the name in ``TYPED``, where one is at fault.

    Examples
    --------
    >>> load_of({"heat": "open", "mass": "5lb", "size": "6x8in"}).height_cm
    20.32
    """
    usual = US if system == "us" else METRIC
    said: dict[str, Any] = {}
    for name, text in given.items():
        if name in _READERS and text.strip():
            said |= _READERS[name](name, text.strip(), usual)
    said |= _of_filling(said)
    try:
        return LoadPlan(**said)
    except InputError as problem:
        raise InputError(
            typed_name(problem.field), problem.given, problem.accepted, problem.hint
        ) from None


def _of_filling(said: Mapping[str, Any]) -> dict[str, Any]:
    """Return what a filling brings along where nothing else is said of its units."""
    filling = said.get("filling")
    if filling is None:
        return {}
    own: dict[str, Any] = {}
    if "moisture" not in said:
        own["moisture"] = USUAL_MOISTURE[filling]
    if filling is Filling.AGAR and "height_cm" not in said:
        mass_kg = said.get("mass_kg", BOTTLE_KG)
        moisture = said.get("moisture", USUAL_MOISTURE[filling])
        try:
            size = usual_size(filling, mass_kg, moisture)
        except InputError as problem:
            accepted = f"agar and a weight that make a bottle ({problem})"
            raise InputError("moisture", moisture, accepted) from None
        own |= {
            "mass_kg": mass_kg,
            "diameter_cm": 2.0 * CM * size.radius,
            "height_cm": CM * size.height,
        }
    return own


def typed_name(field: str) -> str:
    """Return what a field of a load is called where it is typed; another name stays as it is."""
    return _TYPED_NAMES.get(field, field)


def _dotted(text: str) -> str:
    """Return a number with a decimal comma as one with a point."""
    return re.sub(r"(?<=\d),(?=\d)", ".", text)


def _number(name: str, text: str) -> float:
    try:
        return float(_dotted(text))
    except ValueError:
        raise InputError(name, text, "a number") from None


def _whole(name: str, text: str) -> int:
    if not text.isascii() or not text.isdigit():
        raise InputError(name, text, "a whole number")
    return int(text)


def _share(text: str) -> float:
    bare = text.removesuffix("%").strip()
    try:
        value = float(_dotted(bare))
    except ValueError:
        raise InputError("moisture", text, "water per wet mass, such as 0.6 or 60%") from None
    return value / PERCENT if text.endswith("%") else value


def _word(name: str, text: str, words: type[Word]) -> Word:
    try:
        return words(text)
    except ValueError:
        raise InputError(name, text, f"one of {', '.join(words)}") from None


def _size(text: str, usual: str) -> dict[str, float | None]:
    """Return a size in cm; a unit at the end counts for every number."""
    found = re.fullmatch(r"\s*([\d.,x×*\s]+?)\s*([a-z\"]*)\s*", text.lower())
    parts = re.split(r"[x×*]", found[1]) if found else []
    if found is None or len(parts) not in {2, 3}:
        raise InputError("size", text, "15x20cm (diameter and height) or 18x12x16cm")
    unit = found[2] or usual
    lengths = [CM * parse(Quantity.LENGTH, _dotted(part.strip()), unit, "size") for part in parts]
    if len(lengths) == 2:  # noqa: PLR2004  (a cylinder)
        return {"diameter_cm": lengths[0], "height_cm": lengths[1]}
    return {
        "diameter_cm": None,
        "length_cm": lengths[0],
        "width_cm": lengths[1],
        "height_cm": lengths[2],
    }


def _quantity(
    field: str, what: Quantity, factor: float = 1.0, units: tuple[str, str] | None = None
) -> Reader:
    """Return a reader of a number with a unit; ``units`` are the usual ones, metric and US."""

    def read(name: str, text: str, usual: Units) -> dict[str, Any]:
        unit = usual[what] if units is None else units[usual is US]
        return {field: factor * parse(what, _dotted(text), unit, name)}

    return read


def _plain(field: str, of: Callable[[str, str], Any]) -> Reader:
    return lambda name, text, _: {field: of(name, text)}


_READERS: dict[str, Reader] = {
    "heat": _plain("heat", lambda name, text: _word(name, text, Heat)),
    "filling": _plain("filling", lambda name, text: _word(name, text, Filling)),
    "units": _plain("units", _whole),
    "mass": _quantity("mass_kg", Quantity.MASS),
    "moisture": _plain("moisture", lambda _, text: _share(text)),
    "size": lambda _, text, usual: _size(text, usual[Quantity.LENGTH]),
    "altitude": _quantity("altitude_m", Quantity.LENGTH, units=("m", "ft")),
    "rating": _quantity("rating_bar", Quantity.GAUGE_PRESSURE, 1.0 / PA_PER_BAR),
    "temperature": _quantity("wanted_c", Quantity.TEMPERATURE),
    "start": _quantity("start_c", Quantity.TEMPERATURE),
    "come-up": _quantity("come_up_min", Quantity.TIME, 1.0 / MINUTE),
    "air": _quantity("air_c", Quantity.TEMPERATURE),
    "inoculate": _quantity("inoculate_c", Quantity.TEMPERATURE),
    "vessel": _quantity("vessel_litres", Quantity.VOLUME, LITRES),
    "organism": _plain("organism", lambda _, text: organism(text).key),
    "count": _plain("count_per_unit", _number),
    "conductivity": _plain("conductivity", _number),
    "surface": _plain("surface", _number),
    "free-air": _plain("free_air", _number),
}

TYPED = tuple(_READERS)
"""What may be typed; what is empty or missing keeps its usual value."""

_TYPED_NAMES = {
    "altitude_m": "altitude",
    "rating_bar": "rating",
    "wanted_c": "temperature",
    "start_c": "start",
    "come_up_min": "come-up",
    "mass_kg": "mass",
    "diameter_cm": "size",
    "length_cm": "size",
    "width_cm": "size",
    "height_cm": "size",
    "air_c": "air",
    "inoculate_c": "inoculate",
    "vessel_litres": "vessel",
    "count_per_unit": "count",
    "free_air": "free-air",
    "bulk": "mass",  # weight over volume
}
