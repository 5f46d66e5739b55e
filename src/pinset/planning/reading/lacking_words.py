"""Which resource is lacking on which days, and how much more of it would mend it, in words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from pinset.planning.model.columns import LEAST_CAPACITY, Model
from pinset.planning.reading.explain import day_in_words
from pinset.planning.reading.pegging import Key
from pinset.planning.reading.room_climates import RoomClimates, climate_words
from pinset.planning.reading.short_reason import ShortReason
from pinset.planning.reading.shortfall import Lack

NAMED_DAYS = 3
NAMED_RESOURCES = 2
MINOR = 0.25  # of the worth of the resource that mends most: less is not named
UNIT_WORDS = {
    "h": "h more",
    "cooks": "more cooks",
    "L": "L more of prepared vessels",
    "min": "min more",
    "places": "more places",
    "vessels": "more vessels",
}


@dataclass(frozen=True, slots=True)
class Lacking:
    """What stands in the way, and what would mend it."""

    because: str
    mend: str
    code: ShortReason
    about: tuple[str, ...]  # the resources


def lacking_of(
    model: Model, key: Key, lacks: Iterable[Lack], climates: RoomClimates | None
) -> Lacking | None:
    """Return what of the resources that can serve a promise stands in its way; None: nothing."""
    problem = model.problem
    lacks = _without_places_held(list(lacks))
    if not lacks:
        return None
    worth: dict[str, float] = {}
    for lack in lacks:
        worth[lack.resource] = worth.get(lack.resource, 0.0) + lack.worth
    ranked = sorted(worth, key=lambda resource: -worth[resource])[:NAMED_RESOURCES]
    named = [resource for resource in ranked if worth[resource] >= MINOR * worth[ranked[0]]]
    parts, mends = [], []
    for resource in named:
        own = [lack for lack in lacks if lack.resource == resource]
        if climates is not None and own[0].capacity.climate:
            part, mend = _climate(model, key, own, climates)
            parts.append(part)
            mends.append(mend)
            continue
        days = sorted({lack.day for lack in own})
        said = ", ".join(day_in_words(problem.date_of(day)) for day in days[:NAMED_DAYS])
        rest = len(days) - NAMED_DAYS
        more = f" and {rest} more day{'s' if rest > 1 else ''}" if rest > 0 else ""
        is_gone = all(lack.capacity.capacity < LEAST_CAPACITY for lack in own)
        full = "nobody has time left" if is_gone and resource == "hands" else full_words(resource)
        parts.append(f"{full} on {said}{more}")
        mends.append(_mend(own))
    is_climate = next(lack for lack in lacks if lack.resource == named[0]).capacity.climate
    code = ShortReason.CLIMATE if is_climate else ShortReason.FULL
    return Lacking(" and ".join(parts), " and ".join(mends), code, tuple(sorted(named)))


def _without_places_held(lacks: list[Lack]) -> list[Lack]:
    """Return the lacks without the places of a room on days when it is kept for another climate.

    Those are wanted as well, but more of them would not mend it.
    """
    held = {(f"grow room {each.capacity.room}", each.day) for each in lacks if each.capacity.room}
    return [each for each in lacks if (each.resource, each.day) not in held]


def _climate(model: Model, key: Key, lacks: list[Lack], climates: RoomClimates) -> tuple[str, str]:
    """Return what a room is kept for instead, and the room that would mend it."""
    recipe = model.problem.recipes[key[0]]
    first = min(lacks, key=lambda lack: lack.day)
    capacity = first.capacity
    spell = climates.against(capacity.room, capacity.climate, first.day, first.day + 1)
    why = full_words(first.resource) if spell is None else climates.why(spell, recipe.variety)
    words = climate_words(recipe.fruiting) if recipe.fruiting is not None else capacity.climate
    places = max(1, round(max(lack.amount for lack in lacks)))
    since = day_in_words(model.problem.date_of(first.day))
    room = "a room of about 1 place" if places == 1 else f"a room of about {places} places"
    return why, f"{room} kept {words} from {since}"


def _mend(lacks: list[Lack]) -> str:
    """Return how much more of one resource is wanted; places are the most on any one day."""
    units = {lack.unit for lack in lacks}
    unit = "cooks" if "cooks" in units else lacks[0].unit
    amounts = [lack.amount for lack in lacks if lack.unit == unit]
    amount = max(amounts) if unit in {"places", "vessels"} else sum(amounts)
    number = f"{amount:.1f}" if unit in {"h", "cooks"} else str(max(1, round(amount)))
    words = UNIT_WORDS[unit]
    if number == "1" and unit in {"places", "vessels"}:
        words = words.removesuffix("s")
    return f"about {number} {words}"


def full_words(resource: str) -> str:
    """Return that a resource is full, in words."""
    kind, _, rest = resource.partition(" of kind ")
    room, _, climate = resource.partition(" in climate ")
    if rest:
        said = {
            "cooks": f"the steriliser has no time for {rest} cooks",
            "prepared vessels": f"no more {rest} vessels stand prepared",
        }[kind]
    elif climate:
        said = f"the {room} cannot be {climate} as well"
    elif resource == "hands":
        said = "all hands are busy"
    elif resource == "laboratory hands":
        said = "everybody who may work in the laboratory is busy"
    elif resource.startswith("places "):
        said = f"all {resource} are taken"
    elif resource.startswith("vessels "):
        said = f"all {resource.removeprefix('vessels ')} are in use"
    else:
        said = f"the {resource} is full"
    return said
