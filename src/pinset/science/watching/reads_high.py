"""Whether a watched core that has enough by its readings has it too if they are too high.

The checks are those of a log afterwards (:mod:`~pinset.science.judging.rest`): a core above every
other probe at rest, and a chamber above the steam of its gauge through the hold.
"""

from __future__ import annotations

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from pinset.science.judging.findings import Given
from pinset.science.judging.records import Probe, Role, Rule
from pinset.science.judging.rest import is_lower_short, said_of_rest, with_rest
from pinset.science.steam.check import SteamCheck, check_steam
from pinset.science.watching.going_on import MEASURED, WatchedLoad
from pinset.science.watching.readings import Readings

Values = NDArray[float64]

FEWEST = 2  # readings of a probe
LEAST_KPA = 1.0


def short_if_high(read: Readings, load: WatchedLoad, rule: Rule) -> str:
    """Return why a core may have too little by what its log will be held against; empty: no.

    Parameters
    ----------
    read : Readings
        So far, without leaps.
    load : WatchedLoad
        What is cooked, with the errors of its instruments.
    rule : Rule
        What the core is to reach.
    """
    core = _given(read.seconds, read.core_c, load.core_error_k, Role.CORE)
    chamber = _given(read.seconds, read.probe_c, load.probe_error_k, Role.CHAMBER)
    if core is None or chamber is None:
        return ""
    [found, _] = with_rest(read.seconds, [core, chamber], _steam(read, load))
    return said_of_rest(found, rule) if is_lower_short(found, rule) else ""


def _given(t: Values, celsius: Values, error_k: float, role: Role) -> Given | None:
    known = ~np.isnan(celsius)
    if np.sum(known) < FEWEST:
        return None
    return Given(Probe(MEASURED, role, celsius, error_k), t[known], celsius[known])


def _steam(read: Readings, load: WatchedLoad) -> SteamCheck | None:
    known = ~np.isnan(read.probe_c) & (read.pressure_kpa >= LEAST_KPA)
    if np.sum(known) < FEWEST:
        return None
    return check_steam(
        read.seconds[known],
        read.probe_c[known],
        read.pressure_kpa[known],
        error_k=load.probe_error_k,
        error_kpa=load.gauge_error_kpa,
        atmosphere_kpa=load.atmosphere_kpa,
    )
