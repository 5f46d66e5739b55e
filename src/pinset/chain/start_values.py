"""Single start values of a route: spreads, vessels, cooks, preparations, the bare step.

Taken from the packaged tables. What has no source is common practice and says so there.
"""

from __future__ import annotations

from pinset.chain.register import (
    CookKind,
    Preparation,
    RoomKind,
    Spread,
    Step,
    StepKind,
    Variety,
    Vessel,
)
from pinset.chain.stages import Stage
from pinset.errors import InputError
from pinset.tables.defaults import (
    SpeciesDefaults,
    StepDefaults,
    all_species,
    defaults_for,
    practice,
)
from pinset.tables.loader import Value, table

NOTHING = Spread(0.0, 0.0, 0.0)

PREPARATIONS: dict[str, tuple[tuple[str, RoomKind, str], ...]] = {
    "agar": (
        ("mix", RoomKind.PREPARATION, ""),
        ("cook", RoomKind.STERILISER, "pressure"),
        ("pour", RoomKind.LABORATORY, "hot-agar"),
    ),
    "grain": (
        ("soak", RoomKind.PREPARATION, "dust"),
        ("boil", RoomKind.PREPARATION, "scald"),
        ("fill", RoomKind.PREPARATION, "lifting"),
        ("cook", RoomKind.STERILISER, "pressure"),
        ("cool", RoomKind.STERILISER, "hot-glass"),
    ),
    "block": (
        ("mix", RoomKind.PREPARATION, "dust"),
        ("fill", RoomKind.PREPARATION, "lifting"),
        ("cook", RoomKind.STERILISER, "pressure"),
        ("cool", RoomKind.STERILISER, "hot-glass"),
    ),
    "straw": (
        ("chop", RoomKind.PREPARATION, "dust"),
        ("soak", RoomKind.PREPARATION, "lifting"),
        ("cook", RoomKind.STERILISER, "steam"),
        ("cool", RoomKind.PREPARATION, "scald"),
    ),
    "bed": (("fill", RoomKind.PREPARATION, "lifting"),),
}
"""What is done to new vessels, by the kind of cook they need, with the caution shown beside it."""

_VESSEL_NAMES = {
    "tube": "Culture tube",
    "plate": "90 mm plate",
    "jar": "1 L jar",
    "spawn-bag": "Spawn bag, 2.5 kg",
    "block-bag": "Block bag, 2.5 kg",
    "straw-bag": "Straw bag, 5 kg",
    "bed": "Bed, 1 m²",
}


def spread(value: Value) -> Spread:
    """Return a published value as a triangular distribution; a lone figure has no width."""
    low = value.value if value.low is None else value.low
    high = value.value if value.high is None else value.high
    return Spread(low, value.value, high)


def default_vessels() -> tuple[Vessel, ...]:
    """Return the kinds of vessel the default routes use. Common practice, no source."""
    return tuple(
        Vessel(code, name, practice(f"vessel.{code}", "litres").value)
        for code, name in _VESSEL_NAMES.items()
    )


def default_cook(kind: str, litres: float) -> CookKind:
    """Return what a kind of cook does to a steriliser's day. Common practice, no source.

    Parameters
    ----------
    kind : str
        ``agar``, ``grain``, ``block`` or ``straw``.
    litres : float
        What the steriliser holds of it. [L]

    Returns
    -------
    CookKind
        Hours, hands and the holding time growers use: no proof that anything is dead.

    Raises
    ------
    InputError
        If there is no such kind.
    """
    kinds = [name for name in PREPARATIONS if name != "bed"]
    if kind not in kinds:
        raise InputError("cook", kind, f"one of {', '.join(kinds)}")
    key = f"cook.{kind}"
    return CookKind(
        code=kind,
        hours=practice(key, "hours").value,
        hands_minutes=round(practice(key, "hands_minutes").value),
        hold_minutes=round(practice(key, "hold_minutes").value),
        litres=litres,
    )


def default_variety(species: str, *, code: str = "", route: str = "") -> Variety:
    """Return a species as a variety to sell, under its trade name.

    Raises
    ------
    InputError
        If the tables do not know the species.
    """
    found = defaults_for(species)
    cold = found.steps["picked"].keeps_days_cold
    given = code or code_of(found)
    return Variety(
        code=given,
        name=found.species.name,
        species=found.species.latin,
        route=route or given,
        picked_keeps_days=6.0 if cold is None else cold.value,
        trim_loss=found.steps["picked"].loss.value,
    )


def published_species() -> dict[str, str]:
    """Return the Latin name of each species of the tables by every way to name it, in lower case.

    Examples
    --------
    >>> published_species()["king oyster"]
    'Pleurotus eryngii'
    """
    return {
        name.casefold(): each.latin
        for each in all_species().values()
        for name in (each.latin, each.name, each.key)
    }


def code_of(found: SpeciesDefaults) -> str:
    """Return a code made from the trade name: ``lions-mane``."""
    return found.species.name.lower().replace("'", "").replace(" ", "-")


def bare_step(found: StepDefaults, vessel: str, fill_g: float, moisture: float) -> Step:
    """Return a step with what every made unit has; the caller replaces the rest."""
    keeps = found.keeps_days_warm
    cold, floor = found.keeps_days_cold, found.cold_min_c
    key = f"step.{found.code}"
    rows = table("practice.csv")
    shake = rows.get(key, "first_shake_days")
    opened = rows.get(key, "opened_keeps_days")
    looks = (rows.get(key, "first_look_days"), rows.get(key, "second_look_days"))
    return Step(
        code=found.code,
        kind=StepKind.TRANSFER,
        stage=Stage.GRAIN,
        days=NOTHING if found.days is None else spread(found.days),
        loss=spread(found.loss),
        temperature_c=found.temperature_c.value,
        vessel=vessel,
        fill_g=round(fill_g),
        fill_moisture=moisture,
        keeps_days_warm=0.0 if keeps is None else keeps.value,
        keeps_days_cold=None if cold is None else cold.value,
        cold_min_c=None if floor is None else floor.value,
        opened_keeps_days=None if opened is None else opened.value,
        places=practice(f"vessel.{vessel}", "places").value,
        bench_minutes=practice(key, "bench_minutes").value,
        bench_setup_minutes=practice(key, "bench_setup_minutes").value,
        hands_minutes=practice(key, "hands_minutes").value,
        shake_days=() if shake is None else (round(shake.value),),
        look_days=tuple(round(look.value) for look in looks if look is not None),
    )


def usual_fill(code: str) -> tuple[str, float, float]:
    """Return a vessel's code, its usual wet fill [g] and the moisture of that."""
    key = f"vessel.{code}"
    return code, practice(key, "fill_g").value, practice(key, "fill_moisture").value


def prepared(cook: str) -> tuple[Preparation, ...]:
    """Return what is done to new vessels that need a kind of cook."""
    found = []
    for task, room, caution in PREPARATIONS[cook]:
        key = f"preparation.{cook}.{task}"
        found.append(
            Preparation(
                task=task,
                lead_hours=practice(key, "lead_hours").value,
                minutes_per_unit=practice(key, "minutes_per_unit").value,
                minutes_fixed=practice(key, "minutes_fixed").value,
                room=room,
                caution=caution,
            )
        )
    return tuple(found)
