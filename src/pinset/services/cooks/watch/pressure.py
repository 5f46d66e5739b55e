"""What a watched vessel's pressure asks for: heat off above the plate, before anything else."""

from __future__ import annotations

from dataclasses import dataclass

from pinset.errors import Finding, Severity
from pinset.science.steam.steam import saturation_pressure
from pinset.science.watching.watching import Watching
from pinset.services.cooks.loads import Heat, LoadPlan
from pinset.services.cooks.watch.records import WatchErrors
from pinset.services.cooks.watch.speech import BAR_KPA, Speech

NEAR_PLATE = 0.95
OPEN_BAR = 0.05  # more than this on a gauge is pressure


@dataclass(frozen=True, slots=True)
class Pressure:
    """What is said of the pressure."""

    findings: tuple[Finding, ...] = ()
    danger: str = ""  # why heat goes off now; empty: it need not


def pressure_of(
    watched: Watching,
    load: LoadPlan,
    errors: WatchErrors,
    *,
    gauge_bar: float | None,
    atmosphere_kpa: float,
    speech: Speech,
) -> Pressure:
    """Return what the pressure asks for.

    Parameters
    ----------
    watched : Watching
        The cook; where no gauge was read, steam as hot as its chamber is taken.
    load : LoadPlan
        Its vessel.
    errors : WatchErrors
        A pressure above the plate by less than its gauge may err asks for less heat, one further
        above for none.
    gauge_bar : float or None
        Last reading, if it is new. [bar]
    atmosphere_kpa : float
        Outside. [kPa]
    speech : Speech
        Units of what is said.
    """
    bar, by, above = gauge_bar, "The gauge shows", ""
    error_bar = errors.gauge_kpa / BAR_KPA
    if bar is None and watched.chamber is not None and load.heat is Heat.PRESSURE_STEAM:
        here_c = watched.chamber.now_c
        steam = float(saturation_pressure(here_c))
        bar, by = (steam - atmosphere_kpa) / BAR_KPA, "Steam as hot as the chamber has"
        above = " above the air outside"
        error_bar = (
            steam - float(saturation_pressure(max(0.0, here_c - errors.chamber_k)))
        ) / BAR_KPA
    if bar is None:
        return Pressure()
    said = f"{speech.bar(bar)}{above}"
    by_now = f"{by[0].lower()}{by[1:]} {said}"
    if load.heat is not Heat.PRESSURE_STEAM:
        if bar <= OPEN_BAR:
            return Pressure()
        code = "watch.pressure-in-open-vessel"
        sentence = f"{by} {said}, and this is no pressure vessel."
        hint = "Heat off, and keep away until it is at zero; then find out what closed it."
        danger = f"Heat off now: {by_now}, and this is no pressure vessel."
        return Pressure((_finding(code, Severity.WRONG, sentence, hint),), danger)
    return _of_plate(bar, error_bar, f"{by} {said}", by_now, load.rating_bar, speech)


def _of_plate(
    bar: float, error_bar: float, shows: str, by_now: str, rating_bar: float, speech: Speech
) -> Pressure:
    plate = speech.bar(rating_bar)
    if bar > rating_bar + error_bar:
        hint = (
            "Heat off now, keep everybody away, let it fall by itself. Somebody licensed looks at "
            "valve and gauge before it is used again."
        )
        sentence = f"{shows}, above the plate's {plate}."
        danger = f"Heat off now: {by_now}, and the plate allows {plate}."
        return Pressure((_finding("watch.above-plate", Severity.WRONG, sentence, hint),), danger)
    if bar > rating_bar:
        sentence = f"{shows}, above the plate's {plate} by no more than it may err."
        hint = "Turn the heat down now, until it is below."
        return Pressure((_finding("watch.near-plate", Severity.WARNING, sentence, hint),))
    if bar >= NEAR_PLATE * rating_bar:
        sentence = f"{shows}, near the plate's {plate}."
        hint = "Turn the heat down; the plate comes before the time."
        return Pressure((_finding("watch.near-plate", Severity.WARNING, sentence, hint),))
    return Pressure()


def _finding(code: str, severity: Severity, sentence: str, hint: str) -> Finding:
    return Finding(code, severity, "gauge", sentence, hint)
