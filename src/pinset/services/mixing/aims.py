"""What is aimed for in a mix, by kind of mushroom, as published."""

from __future__ import annotations

from dataclasses import dataclass

from pinset.errors import InputError
from pinset.science.air.ranges import Range, range_of
from pinset.services.mixing.words import percent
from pinset.tables.ingredients import known_from, mix_value

NAMES = {
    "king-oyster": ("king oyster", "aim_nitrogen"),
    "wood-lovers": ("other mushrooms on wood", "aim_nitrogen"),
    "pleurotus-geesteranus": ("Pleurotus geesteranus", "aim_ratio"),
}


@dataclass(frozen=True, slots=True)
class Aim:
    """An aim, and how a mix stands to it."""

    key: str
    name: str
    aim: str  # 1.5 to 1.8 % nitrogen
    stands: str  # below, within, above
    is_sure: bool  # all of the range says the same
    known: str  # source
    sentence: str


def aim_choices() -> tuple[tuple[str, str], ...]:
    """Return what may be aimed for: key and name."""
    return tuple((key, name) for key, (name, _) in NAMES.items())


def aims(nitrogen: Range, ratio: Range | None) -> tuple[Aim, ...]:
    """Return how a mix stands to every aim."""
    return tuple(_aim(key, nitrogen, ratio) for key in NAMES)


def aim_of(key: str, found: tuple[Aim, ...]) -> Aim | None:
    """Return the aim that was chosen; None if none was.

    Raises
    ------
    InputError
        If there is no such aim.
    """
    if not key:
        return None
    chosen = next((each for each in found if each.key == key), None)
    if chosen is None:
        raise InputError("for", key, f"one of {', '.join(NAMES)}")
    return chosen


def _aim(key: str, nitrogen: Range, ratio: Range | None) -> Aim:
    name, what = NAMES[key]
    value = mix_value(key, what)
    wanted = range_of(value)
    if what == "aim_ratio":
        aim = f"C:N of {wanted.low:g} to {wanted.high:g}"
        own = ratio
    else:
        aim = f"{percent(wanted.low, 1)} to {percent(wanted.high, 1)} % nitrogen"
        own = nitrogen
    if own is None:
        return Aim(key, name, aim, "", is_sure=False, known=known_from(value), sentence="")
    stands = _stands(own.middle, wanted)
    is_sure = {_stands(end, wanted) for end in own.ends} == {stands}
    doubt = "" if is_sure else ", by the middle values: the range reaches beyond"
    sentence = f"That is {stands} the {aim} aimed for with {name}{doubt} ({known_from(value)})."
    return Aim(key, name, aim, stands, is_sure, known_from(value), sentence)


def _stands(value: float, wanted: Range) -> str:
    if value < wanted.low:
        return "below"
    return "above" if value > wanted.high else "within"
