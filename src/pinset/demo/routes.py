"""The six routes of the demo farm: published start values with the invented farm's own rhythm.

Days, losses, keeping times, yields, minutes and lead hours are those of
:func:`pinset.chain.route_builder.default_route`, each with its source or without one as the tables
say. What the farm lays down itself stands here: weekdays, mixes, climates, flushes taken. One
sawdust block weighs 2.5 kg, a straw bag 5 kg; common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from pinset.chain.register import Route, Weekday
from pinset.chain.route_builder import default_route

BLOCK_G = 2500
STRAW_BAG_G = 5000
MON, TUE, WED, THU, FRI, SAT = list(Weekday)[:6]

TUBE = {"weekdays": (TUE,), "minimum_batch": 6, "opened_keeps_days": None}
"""A slant is cut once here; what is left of it is not kept, so no opened life is stated."""

LABORATORY: dict[str, dict[str, Any]] = {
    "tube": TUBE,
    "plate": {"weekdays": (TUE,)},
    "grain": {"weekdays": (WED,)},
    "grain-2": {"weekdays": (WED,)},
    "sawdust": {"weekdays": (TUE,), "mix": "beech"},
}


def own(route: Route, note: str, **changes: dict[str, Any]) -> Route:
    """Return a route with the farm's own values for some of its steps, by step code."""
    steps = tuple(
        replace(step, **{**LABORATORY.get(step.code, {}), **changes.get(step.code, {})})
        for step in route.steps
    )
    return replace(route, steps=steps, note=f"{route.note} {note}".strip())


GREY_OYSTER = own(
    default_route(
        "Pleurotus ostreatus",
        "straw",
        code="grey-oyster-straw",
        grain_passes=2,
        block_g=STRAW_BAG_G,
        flushes=2,
    ),
    "Two flushes are taken; the third is not worth the room here.",
    block={"weekdays": (TUE, FRI), "mix": "oat straw"},
    fruiting={"weekdays": (MON, FRI), "climate": "mild", "temperature_c": 16.0},
)

GOLDEN_OYSTER = own(
    default_route(
        "Pleurotus citrinopileatus",
        "straw",
        code="golden-oyster-straw",
        starts_at="spawn",
        block_g=STRAW_BAG_G,
    ),
    "Spawn is bought: this strain is not kept in the laboratory.",
    spawn={
        "weekdays": (WED,),
        "vessel": "bought-bag",
        "supplier": "spawn laboratory down the valley (invented)",
        "supplier_days": 9,
        "delivery_weekdays": (TUE,),
        "price_cents": 1450,
    },
    block={"weekdays": (TUE, THU), "mix": "oat straw"},
    fruiting={
        "weekdays": (WED, SAT),
        "climate": "warm",
        "temperature_c": 21.0,
        "pick_minutes_per_kg": 4.0,
    },
)

KING_OYSTER = own(
    default_route("Pleurotus eryngii", "sawdust", code="king-oyster-beech", block_g=BLOCK_G),
    "",
    block={"weekdays": (THU,), "mix": "beech and bran"},
    ripening={"weekdays": (MON, THU), "temperature_c": 20.0},
    fruiting={
        "weekdays": (TUE, FRI),
        "climate": "cool",
        "temperature_c": 14.0,
        "pick_minutes_per_kg": 2.5,
    },
)

SHIITAKE = own(
    default_route("Lentinula edodes", "sawdust", code="shiitake-beech", block_g=BLOCK_G, flushes=3),
    "About a hundred days of ripening; blocks are unwrapped and soaked between flushes.",
    block={"weekdays": (TUE,), "mix": "beech and oak"},
    ripening={"weekdays": (MON, THU), "temperature_c": 20.0},
    fruiting={
        "weekdays": (TUE, THU),
        "climate": "cool",
        "temperature_c": 15.0,
        "hands_minutes": 2.5,
        "pick_minutes_per_kg": 3.5,
    },
)

LIONS_MANE = own(
    default_route(
        "Hericium erinaceus",
        "sawdust",
        code="lions-mane-beech",
        grain_passes=2,
        uses_sawdust_spawn=False,
        block_g=BLOCK_G,
    ),
    "Blocks are started straight from grain.",
    block={"weekdays": (FRI,), "mix": "beech and bran"},
    fruiting={
        "weekdays": (MON, THU),
        "climate": "mild",
        "temperature_c": 17.0,
        "pick_minutes_per_kg": 2.0,
    },
)

PIOPPINO = own(
    default_route("Agrocybe aegerita", "sawdust", code="pioppino-beech", block_g=BLOCK_G),
    "",
    block={"weekdays": (FRI,), "mix": "beech and bran"},
    ripening={"weekdays": (MON, THU), "temperature_c": 20.0},
    fruiting={
        "weekdays": (MON, WED),
        "climate": "cool",
        "temperature_c": 15.0,
        "pick_minutes_per_kg": 4.0,
    },
)

ROUTES = (GREY_OYSTER, GOLDEN_OYSTER, KING_OYSTER, SHIITAKE, LIONS_MANE, PIOPPINO)
