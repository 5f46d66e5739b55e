"""Routes to start from: the published values of a species, put together into a chain.

Days, losses, keeping times, units per parent and yields come from the packaged tables with their
sources. Minutes, lead hours, vessels and cooks are common practice without source. All are start
values: the strain owns its numbers, and the farm's own records take over.
"""

from __future__ import annotations

from dataclasses import replace

from pinset.chain.register import (
    Flush,
    Parent,
    RateBasis,
    RoomKind,
    Route,
    Spread,
    Step,
    StepKind,
)
from pinset.chain.spawn_rates import units_per_parent, yield_grams
from pinset.chain.stages import Stage
from pinset.chain.start_values import NOTHING, bare_step, code_of, prepared, spread, usual_fill
from pinset.errors import InputError
from pinset.tables.defaults import SpeciesDefaults, StepDefaults, defaults_for, practice
from pinset.tables.loader import table

STARTS = ("tube", "spawn")
ENDS = ("picked", "grain", "grain-2", "sawdust", "block")
SUBSTRATES = ("straw", "sawdust", "compost")


def default_route(
    species: str,
    substrate: str = "",
    *,
    code: str = "",
    starts_at: str = "tube",
    ends_at: str = "picked",
    grain_passes: int = 1,
    uses_sawdust_spawn: bool | None = None,
    block_g: int = 0,
    flushes: int | None = None,
) -> Route:
    """Return a route built from the published values of a species.

    Parameters
    ----------
    species : str
        Key, trade name or Latin name.
    substrate : str
        ``straw``, ``sawdust`` or ``compost``; empty takes what its yields are published for.
    code : str
        Code of the route; from the trade name if empty.
    starts_at : str
        ``tube`` for a laboratory of one's own, ``spawn`` for bought grain spawn.
    ends_at : str
        ``picked``, or the step that is sold: ``grain``, ``grain-2``, ``sawdust``, ``block``.
    grain_passes : int
        1 for master grain alone, 2 for one grain-to-grain step.
    uses_sawdust_spawn : bool, optional
        Whether blocks are started from sawdust spawn; by default on sawdust, not on straw.
    block_g : int
        Wet mass of one block or bag; 0 takes the usual one. [g]
    flushes : int, optional
        How many flushes are taken; all the table has if None. Shares stay fractions of the whole
        yield, so with fewer flushes they add up to less than 1.

    Returns
    -------
    Route
        Its note says what the numbers are worth.

    Raises
    ------
    InputError
        If the species is unknown, or the choices do not fit together.

    Examples
    --------
    >>> [step.code for step in default_route("king oyster").steps]
    ['tube', 'plate', 'grain', 'sawdust', 'block', 'ripening', 'fruiting']
    >>> [step.code for step in default_route("golden oyster", starts_at="spawn").steps]
    ['spawn', 'block', 'fruiting']
    """
    found = defaults_for(species)
    on = substrate or found.substrate
    _refuse_bad_choices(found, on, starts_at, ends_at, grain_passes, block_g, flushes)
    through_sawdust = on == "sawdust" if uses_sawdust_spawn is None else uses_sawdust_spawn
    steps = _spawn_steps(found, starts_at, ends_at, grain_passes, through_sawdust=through_sawdust)
    if ends_at in {"picked", "block"}:
        block = _block(found, on, steps[-1], block_g)
        steps.append(block)
        if ends_at == "picked":
            steps += _after_block(found, block, flushes)
    given = code or code_of(found)
    return Route(
        code=given,
        steps=tuple(steps),
        generation_limit=round(
            table("expansion.csv").one("grain-to-grain", "generation_limit").value
        ),
        transfer_limit=round(
            table("expansion.csv").one("generation-limit", "transfer_limit").value
        ),
        note=_note(found, on),
    )


def _refuse_bad_choices(
    found: SpeciesDefaults,
    on: str,
    starts_at: str,
    ends_at: str,
    grain_passes: int,
    block_g: int,
    flushes: int | None,
) -> None:
    name = found.species.name
    fitting = ("compost",) if found.substrate == "compost" else ("straw", "sawdust")
    if on not in fitting:
        raise InputError("substrate", on, f"{' or '.join(fitting)} for {name}")
    if starts_at not in STARTS:
        raise InputError("start of the route", starts_at, f"one of {', '.join(STARTS)}")
    ends = ENDS if starts_at == "tube" else ("picked", "block")
    if ends_at not in ends or (ends_at == "sawdust" and "sawdust" not in found.steps):
        raise InputError("end of the route", ends_at, f"one of {', '.join(ends)} for {name}")
    if grain_passes not in {1, 2}:
        raise InputError("grain passes", grain_passes, "1 or 2")
    if block_g < 0:
        raise InputError("block weight", block_g, "a whole number of grams, or 0 for the usual")
    if flushes is not None and not 1 <= flushes <= len(found.flushes):
        raise InputError("flushes", flushes, f"1 to {len(found.flushes)} for {name}")


def _note(found: SpeciesDefaults, on: str) -> str:
    words = "Published start values; minutes, lead hours and losses are common practice, no source."
    if on != found.substrate:
        words += f" Yields are those published for {found.substrate}."
    if found.species.key == "pleurotus-djamor":
        words += " Dies below 8 to 10 °C: keep cultures, spawn and bags at 10 to 12 °C."
    return words


def _spawn_steps(
    found: SpeciesDefaults,
    starts_at: str,
    ends_at: str,
    grain_passes: int,
    *,
    through_sawdust: bool,
) -> list[Step]:
    """Return the steps up to the spawn that is sold or goes into blocks."""
    if starts_at == "spawn":
        steps = [_bought(found)]
    else:
        steps = [_tube(found), _plate(found), _grain(found, "grain", "plate")]
        if ends_at == "grain":
            return steps
        if grain_passes == 2 or ends_at == "grain-2":  # noqa: PLR2004 - the second pass
            steps.append(_grain(found, "grain-2", "grain"))
        if ends_at == "grain-2":
            return steps
    has_sawdust = "sawdust" in found.steps and (ends_at == "sawdust" or through_sawdust)
    if has_sawdust and starts_at == "tube":
        steps.append(_sawdust(found, steps[-1]))
    return steps


def _planned(found: StepDefaults) -> float:
    if found.units_per_parent is None:
        raise InputError(f"{found.code} units per parent", None, "a value in route_steps.csv")
    return found.units_per_parent.value


def _tube(found: SpeciesDefaults) -> Step:
    step = bare_step(found.steps["tube"], *usual_fill("tube"))
    return replace(
        step, stage=Stage.TUBE, mix="malt agar", cook="agar", preparations=prepared("agar")
    )


def _plate(found: SpeciesDefaults) -> Step:
    step = bare_step(found.steps["plate"], *usual_fill("plate"))
    return replace(
        step,
        stage=Stage.PLATE,
        parents=(Parent("tube", _planned(found.steps["plate"]), part_use=True),),
        mix="malt agar",
        cook="agar",
        preparations=prepared("agar"),
    )


def _grain(found: SpeciesDefaults, code: str, parent: str) -> Step:
    step = bare_step(found.steps[code], *usual_fill("jar"))
    return replace(
        step,
        stage=Stage.GRAIN,
        parents=(Parent(parent, _planned(found.steps[code])),),
        mix="rye",
        cook="grain",
        preparations=prepared("grain"),
    )


def _by_rate(parent: Step, step: Step, rate: float) -> Step:
    """Return the step with its parent reckoned from a wet on wet spawn rate."""
    units = units_per_parent(
        parent.fill_g,
        step.fill_g,
        rate,
        RateBasis.WET_ON_WET,
        spawn_moisture=parent.fill_moisture,
        substrate_moisture=step.fill_moisture,
    )
    link = Parent(parent.code, units, spawn_rate=rate, spawn_rate_basis=RateBasis.WET_ON_WET)
    return replace(step, parents=(link,))


def _sawdust(found: SpeciesDefaults, parent: Step) -> Step:
    step = replace(
        bare_step(found.steps["sawdust"], *usual_fill("spawn-bag")),
        stage=Stage.SAWDUST,
        mix="sawdust",
        cook="block",
        preparations=prepared("block"),
    )
    return _by_rate(parent, step, practice("rate.sawdust", "spawn_rate").value)


def _bought(found: SpeciesDefaults) -> Step:
    """Return bought grain spawn: it arrives ready and keeps as grain does."""
    grain = found.steps["grain"]
    keeps, cold, floor = grain.keeps_days_warm, grain.keeps_days_cold, grain.cold_min_c
    at_c = 4.0 if floor is None else max(4.0, floor.value)
    return Step(
        code="spawn",
        kind=StepKind.BUY,
        stage=Stage.GRAIN,
        days=NOTHING,
        loss=spread(practice("spawn", "loss")),
        temperature_c=at_c,
        vessel="spawn-bag",
        mix="grain",
        fill_g=round(practice("spawn", "fill_g").value),
        fill_moisture=practice("spawn", "fill_moisture").value,
        keeps_days_warm=0.0 if keeps is None else keeps.value,
        keeps_days_cold=None if cold is None else cold.value,
        cold_min_c=None if floor is None else floor.value,
        opened_keeps_days=practice("step.grain", "opened_keeps_days").value,
        room=RoomKind.COLD,
        supplier_days=round(practice("spawn", "supplier_days").value),
    )


def _block(found: SpeciesDefaults, on: str, parent: Step, block_g: int) -> Step:
    vessel = {"straw": "straw-bag", "sawdust": "block-bag", "compost": "bed"}[on]
    key = {"straw": "straw-block", "sawdust": "block", "compost": "bed"}[on]
    _, usual_g, usual_moisture = usual_fill(vessel)
    moisture = found.fill_moisture.value if on == found.substrate else usual_moisture
    fill_g = block_g or usual_g
    share = fill_g / usual_g  # a block twice as heavy takes twice the room
    step = bare_step(replace(found.steps["block"], code=key), vessel, fill_g, moisture)
    cook = {"straw": "straw", "sawdust": "block", "compost": ""}[on]
    step = replace(
        step,
        code="block",
        stage=Stage.BED if on == "compost" else Stage.BLOCK,
        mix={"straw": "straw", "sawdust": "supplemented sawdust", "compost": "compost"}[on],
        places=round(step.places * share, 3),
        cook=cook,
        preparations=prepared(cook or "bed"),
    )
    if on != "compost":
        step = replace(step, loss=spread(practice(f"loss.{cook}", "loss")))
    rate = {"straw": "rate.straw", "sawdust": "rate.block", "compost": "rate.bed"}[on]
    return _by_rate(parent, step, practice(rate, "spawn_rate").value)


def _after_block(found: SpeciesDefaults, block: Step, flushes: int | None) -> list[Step]:
    """Return the phases the same units go through after the spawn run."""
    ripening, pinning, fruiting = (found.steps[c] for c in ("ripening", "pinning", "fruiting"))
    steps: list[Step] = []
    if ripening.days is not None and ripening.days.value > 0.0:
        same = bare_step(ripening, block.vessel, block.fill_g, block.fill_moisture)
        steps.append(
            replace(same, kind=StepKind.STAND, stage=block.stage, vessel="", places=block.places)
        )
    if pinning.days is None or fruiting.days is None:
        raise InputError("days to the first pick", None, "values in route_steps.csv")
    pins, growth = spread(pinning.days), spread(fruiting.days)
    lost, late = spread(pinning.loss), spread(fruiting.loss)
    warm = fruiting.keeps_days_warm
    taken = found.flushes[:flushes]
    whole = yield_grams(found.biological_efficiency.value, float(block.fill_g), block.fill_moisture)
    key = "step.fruiting"
    steps.append(
        Step(
            code="fruiting",
            kind=StepKind.FRUIT,
            stage=block.stage,
            days=Spread(pins.low + growth.low, pins.mode + growth.mode, pins.high + growth.high),
            loss=Spread(
                _either(lost.low, late.low),
                _either(lost.mode, late.mode),
                _either(lost.high, late.high),
            ),
            temperature_c=fruiting.temperature_c.value,
            fill_g=block.fill_g,
            fill_moisture=block.fill_moisture,
            keeps_days_warm=0.0 if warm is None else warm.value,
            places=block.places,
            room=RoomKind.GROWING,
            hands_minutes=practice(key, "hands_minutes").value,
            yield_g=round(whole, 1),
            yield_spread=practice(key, "yield_spread").value,
            flushes=tuple(
                Flush(
                    gap_days=spread(flush.gap_days),
                    share=flush.share.value,
                    pick_days=round(practice(key, "pick_days").value),
                    lost_before=flush.lost_before.value,
                )
                for flush in taken
            ),
            pick_minutes_per_kg=practice(key, "pick_minutes_per_kg").value,
            climate=found.species.climate,
        )
    )
    return steps


def _either(first: float, second: float) -> float:
    """Return the chance of one loss or the other."""
    return round(1.0 - (1.0 - first) * (1.0 - second), 6)
