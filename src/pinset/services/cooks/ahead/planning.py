"""A cook worked out beforehand: pressure here, how long to hold, when to open and inoculate.

How well a load conducts is not known until a log has been fitted, so there are three cases, and the
cautious one rules. With what a log taught there is that and the ends of its band, of which the slow
one rules.
"""

from __future__ import annotations

from dataclasses import dataclass

from pinset.errors import InputError
from pinset.science.heating.heated_unit import Unit
from pinset.science.heating.heating import Material
from pinset.science.heating.holding import (
    LONGEST_HOLD_S,
    ChamberPlan,
    Hold,
    cooling_time,
    hold_at,
    hold_for,
)
from pinset.science.heating.loads import Fill, fill_of
from pinset.science.heating.vapour import Case
from pinset.science.judging.cook_rules import rule_in_words
from pinset.science.judging.records import Rule
from pinset.science.learning.learnt_heat import Learnt, band_of, certain
from pinset.science.lethality.lethality import f_of_log
from pinset.science.lethality.survival import log10_survivors, units_not_sterile
from pinset.science.steam.gauge import GaugeSetting, atmosphere, boiling_point, gauge_for
from pinset.science.steam.heat import heat_of_condensing
from pinset.services.cooks.ahead.words import (
    LEARNT,
    NEWER_END,
    QUICK_END,
    SAID,
    SAID_QUICK,
    SAID_SLOW,
    SLOW_END,
    cautions_of,
    flags_of,
    remarks_on,
    sentence_of,
)
from pinset.services.cooks.loads import PLANNED_OF_PLATE, Heat, LoadPlan
from pinset.tables.heat_materials import amount
from pinset.tables.organisms import organism, organisms

HOUR, MINUTE = 3600.0, 60.0
BAR_KPA = 100.0
LIQUID_OPEN_C = 80.0
COOLS_OPEN = ((60.0, 60.0), (180.0, 25.0))
MOST_POINTS = 200
KWH_J = 3.6e6
KILO = 1000.0


@dataclass(frozen=True, slots=True)
class PlannedCase:
    """One case of how well the load conducts, and what follows from it."""

    name: str  # cautious, middle, quick; learnt and its slow and quick end
    rules: bool  # whether the advice is this one
    taken_as: Learnt  # how well the load conducts, with or without vapour
    hold_min: float | None  # None: no hold of two days is long enough
    f0_min: float | None  # at steam-off
    f0_with_cooling_min: float | None  # with what is earned after it
    survivors_per_unit: float | None  # None: pasteurising, or no target of this organism
    bad_units: float | None  # to be expected in the load, at the most
    open_after_min: float | None  # from steam-off, liquids only: core below 80 degC, in free air
    inoculate_after_min: float | None  # from steam-off
    core: tuple[tuple[float, float], ...]  # minutes from the start, degC


@dataclass(frozen=True, slots=True)
class CookPlan:
    """A cook worked out beforehand; a prediction, not a proof."""

    sentence: str
    heat: str
    rule: str
    atmosphere_kpa: float
    boiling_c: float  # open steam here
    gauge_bar: float | None  # to set; None: no pressure
    wanted_bar: float | None  # that the wanted temperature would ask for
    chamber_c: float  # what is reached
    inside_kpa: float  # pressure there, absolute
    is_capped: bool  # by the vessel's plate
    time_factor: float  # by how much a hold must grow for the cap
    cases: tuple[PlannedCase, ...]
    load_kwh: float  # into the load, and the vessel's metal where its weight was given
    condensate_kg: float  # steam that turns to water for it; 0 in hot water
    organism: str
    count_per_unit: float  # of it, before the cook
    chamber: tuple[tuple[float, float], ...]  # minutes, degC, of the ruling case
    remarks: tuple[str, ...]
    cautions: tuple[str, ...]
    flags: tuple[str, ...] = ()  # what may make the advice wrong: newer logs that disagree
    air_c: float = 20.0  # still air in which the cooling is reckoned, each unit by itself

    @property
    def ruling(self) -> PlannedCase:
        """The case the advice rests on."""
        return next(case for case in self.cases if case.rules)


def targets() -> tuple[tuple[str, str], ...]:
    """Return what a cook may be reckoned against: key and name with its form."""
    return tuple(
        (key, f"{each.name}, {each.form}")
        for key, each in organisms().items()
        if each.is_target_of_sterilising and each.z is not None
    )


def plan_cook(load: LoadPlan, rule: Rule) -> CookPlan:
    """Return a cook worked out beforehand.

    Parameters
    ----------
    load : LoadPlan
        Vessel, load and surroundings.
    rule : Rule
        What the slowest core is to reach: F0, a hold at a temperature, or both.

    Raises
    ------
    InputError
        If a value is out of range, the chamber is too cold for the rule, or a load cannot be.
    """
    outside = float(atmosphere(load.altitude_m))
    boiling = float(boiling_point(load.altitude_m))
    setting = _setting(load, outside)
    reached = setting.reached_c if setting else min(load.wanted_c, boiling)
    if load.heat is Heat.OPEN_STEAM:
        reached = boiling
    if load.heat is Heat.HOT_WATER and load.wanted_c >= boiling:
        raise InputError("wanted_c", load.wanted_c, f"below {boiling:.1f} °C, where water boils")
    if rule.hold_c is not None and rule.hold_c >= reached:
        accepted = f"a hold below {reached:.1f} °C, which is what the chamber is planned to reach"
        hint = "Ask for less heat and a longer hold, or for F0."
        raise InputError("rule", rule_in_words(rule), accepted, hint)
    middle = (load.start_c + reached) / 2.0
    fill = fill_of(load.filling, load.shape, load.mass_kg, load.moisture, middle)
    inside = outside + (setting.gauge_kpa if setting else 0.0)
    chamber = ChamberPlan(
        load.start_c,
        reached,
        ((load.come_up_min, reached),),
        _cool_down(load, reached),
    )
    cooked = _Cooked(load, rule, fill, chamber)
    cases = tuple(
        _case(cooked, name, learnt, inside, rules=rules)
        for name, learnt, rules in _taken_as(cooked, inside)
    )
    if cases[0].hold_min is None:
        raise InputError(
            "rule",
            rule_in_words(rule),
            f"what a core can reach within two days at {reached:.1f} °C",
            "A hotter chamber, a smaller unit or another rule is needed.",
        )
    heat_j = load.units * fill.heat_capacity * load.shape.volume * (reached - load.start_c)
    heat_j += load.vessel_kg * amount("vessel", "heat_capacity") * KILO * (reached - load.start_c)
    ruling = cases[0]
    return CookPlan(
        sentence=sentence_of(load, rule, ruling.name, ruling.hold_min or 0.0, setting, reached),
        heat=load.heat.value,
        rule=rule_in_words(rule),
        atmosphere_kpa=outside,
        boiling_c=boiling,
        gauge_bar=setting.gauge_kpa / BAR_KPA if setting else None,
        wanted_bar=setting.wanted_kpa / BAR_KPA if setting else None,
        chamber_c=reached,
        inside_kpa=inside,
        is_capped=bool(setting and setting.is_capped),
        time_factor=setting.time_factor if setting else 1.0,
        cases=cases,
        load_kwh=heat_j / KWH_J,
        condensate_kg=_condensate(load, heat_j, reached),
        organism=organism(load.organism).name,
        count_per_unit=load.count_per_unit,
        chamber=_chamber_points(chamber, ruling.hold_min or 0.0),
        remarks=remarks_on(
            load,
            rule,
            fill,
            setting,
            ruling.hold_min or 0.0,
            has_chance=ruling.survivors_per_unit is not None,
        ),
        cautions=cautions_of(load),
        flags=flags_of(load),
        air_c=load.air_c,
    )


def _condensate(load: LoadPlan, heat_j: float, reached: float) -> float:
    if load.heat is Heat.HOT_WATER:
        return 0.0
    return heat_j / float(heat_of_condensing(reached))


def _setting(load: LoadPlan, outside: float) -> GaugeSetting | None:
    if load.heat is not Heat.PRESSURE_STEAM:
        return None
    return gauge_for(load.wanted_c, outside, PLANNED_OF_PLATE * load.rating_bar * BAR_KPA)


def _cool_down(load: LoadPlan, reached: float) -> tuple[tuple[float, float], ...]:
    """Return how the chamber falls: pressure first to boiling, then to the room."""
    room = max(load.air_c, 0.0)
    if load.heat is Heat.PRESSURE_STEAM:
        boiling = float(boiling_point(load.altitude_m))
        return ((20.0, min(boiling, reached - 0.1)), (90.0, min(40.0, max(room, 35.0))))
    return tuple((minutes, min(celsius, reached - 0.1)) for minutes, celsius in COOLS_OPEN)


@dataclass(frozen=True, slots=True)
class _Cooked:
    """What is cooked, and how the chamber is meant to go."""

    load: LoadPlan
    rule: Rule
    fill: Fill
    chamber: ChamberPlan

    def unit(self, learnt: Learnt, pressure_kpa: float) -> Unit:
        return learnt.unit(self.load.shape, self.fill.heat_capacity, pressure_kpa)

    def held(self, unit: Unit) -> Hold | None:
        """Return the longer of the holds that F0 and the rule's own hold ask for, None: never."""
        found, rule = [], self.rule
        try:
            if rule.f0 is not None:
                found.append(hold_for(unit, self.chamber, rule.f0, count_cooling=False))
            if rule.hold_c is not None and rule.hold_minutes is not None:
                found.append(hold_at(unit, self.chamber, rule.hold_c, rule.hold_minutes))
        except InputError as problem:
            if "within" in problem.accepted:
                return None
            raise
        return max(found, key=lambda each: each.hold_s)


def _taken_as(cooked: _Cooked, pressure_kpa: float) -> list[tuple[str, Learnt, bool]]:
    """Return what the load is taken to be in each case, the ruling one first."""
    load, fill = cooked.load, cooked.fill
    surface = load.surface or fill.surface
    learnt, names = load.learnt, (SLOW_END, LEARNT, QUICK_END)
    if learnt is None and load.conductivity is not None:
        learnt = certain(load.conductivity, surface, load.free_air or 0.0)
        names = (SAID_SLOW, SAID, SAID_QUICK)
    if learnt is not None:

        def whole_s(taken: Learnt) -> float:
            held = cooked.held(cooked.unit(taken, pressure_kpa))
            return cooked.chamber.come_up_s + (LONGEST_HOLD_S if held is None else held.hold_s)

        band = band_of(learnt, whole_s)
        cases_ = list(zip(names, (band.slow, learnt, band.quick), strict=True))
        if load.is_doubted:
            newer = [band_of(each, whole_s).slow for each in load.slower]
            cases_ += [(NEWER_END, max(newer, key=whole_s))] if newer else []
            named = certain(fill.conductivity, fill.surface, Case.CAUTIOUS.free_air)
            cases_.append((Case.CAUTIOUS.value, named))
            cases_.sort(key=lambda each: whole_s(each[1]), reverse=True)
        return [(name, taken, number == 0) for number, (name, taken) in enumerate(cases_)]
    cases = tuple(Case) if fill.has_vapour else (Case.CAUTIOUS,)
    return [
        (
            case.value,
            certain(fill.conductivity, surface, case.free_air),
            case is Case.CAUTIOUS,
        )
        for case in cases
    ]


def _case(
    cooked: _Cooked, name: str, learnt: Learnt, pressure_kpa: float, *, rules: bool
) -> PlannedCase:
    load, chamber, rule = cooked.load, cooked.chamber, cooked.rule
    unit = cooked.unit(learnt, pressure_kpa)
    held = cooked.held(unit)
    if held is None:
        return PlannedCase(name, rules, learnt, None, None, None, None, None, None, None, ())
    survivors = bad = None
    target = organism(load.organism)
    if rule.f0 is not None and target.is_target_of_sterilising and target.z is not None:
        is_on = held.seconds <= chamber.come_up_s + held.hold_s
        earned = f_of_log(
            held.seconds[is_on], held.core_c[is_on], reference_c=target.temperature_c, z=target.z
        )
        logs = float(log10_survivors(load.count_per_unit, earned, target.d_minutes))
        survivors = 10.0**logs
        bad = float(units_not_sterile(logs, load.units))
    is_liquid = not cooked.fill.has_vapour
    return PlannedCase(
        name=name,
        rules=rules,
        taken_as=learnt,
        hold_min=held.hold_s / MINUTE,
        f0_min=held.f0_at_steam_off,
        f0_with_cooling_min=f_of_log(held.seconds, held.core_c),
        survivors_per_unit=survivors,
        bad_units=bad,
        open_after_min=_cooled(load, unit.material, chamber, LIQUID_OPEN_C) if is_liquid else None,
        inoculate_after_min=_cooled(load, unit.material, chamber, load.inoculate_c),
        core=_points(held),
    )


def _cooled(load: LoadPlan, material: Material, chamber: ChamberPlan, to_c: float) -> float | None:
    """Return minutes from steam-off until the core is so cool in still air, None: it never is."""
    if to_c <= load.air_c:
        return None
    if to_c >= chamber.hold_c:
        return 0.0
    return cooling_time(load.shape, material, chamber.hold_c, to_c, load.air_c) / MINUTE


def _points(held: Hold) -> tuple[tuple[float, float], ...]:
    step = max(1, len(held.seconds) // MOST_POINTS)
    minutes = (held.seconds[::step] / MINUTE).tolist()
    return tuple(zip(minutes, held.core_c[::step].tolist(), strict=True))


def _chamber_points(chamber: ChamberPlan, hold_min: float) -> tuple[tuple[float, float], ...]:
    off = chamber.come_up[-1][0] + hold_min
    return (
        (0.0, chamber.start_c),
        *chamber.come_up,
        (off, chamber.hold_c),
        *((off + minutes, celsius) for minutes, celsius in chamber.cool_down),
    )
