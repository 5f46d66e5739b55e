"""What a log says of a load: how well it conducts and takes heat in, and how sure that is."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import inf

from pinset.errors import InputError
from pinset.files.logger.corrections import corrected
from pinset.files.logger.reader import UNKNOWN, read_log
from pinset.files.logger.records import ColumnRole, CookLog, LogColumn
from pinset.science.heating.heating import Material, Shape, Values
from pinset.science.heating.loads import Fill, fill_of
from pinset.science.judging.records import UNKNOWN_ERROR_K
from pinset.science.judging.rest_offset import above_at_rest
from pinset.science.learning.fit_doubts import doubt_of_fit
from pinset.science.learning.heating_log import held_c, minutes_to_hot, while_heating
from pinset.science.learning.learnt_heat import Learnt, by_series
from pinset.science.learning.penetration import Fit, Line, fitted_core
from pinset.science.learning.vapour_fit import MoistFit, fitted_moist
from pinset.science.steam.gauge import atmosphere
from pinset.science.steam.steam import saturation_pressure
from pinset.services.cooks.judge.judged import JudgedFinding
from pinset.services.cooks.judge.judging import plain_findings
from pinset.services.cooks.loads import LoadPlan

MOST_READINGS = 1000
FITS_K = 2.0  # a core followed within this (root of the mean square) is followed well
GOOD_K = 0.5  # followed so well by conduction alone, vapour is not looked for
MANY = 2.0  # a factor from which on a percentage tells nothing
CLEARLY = 0.7  # vapour is believed if it leaves less than this share of what conduction leaves
LEAST_FACTOR = 1.2  # what is known beforehand of a conductivity is no surer than this


@dataclass(frozen=True, slots=True)
class LoadFit:
    """What one core says of a load."""

    probe: str
    chamber: str
    sentence: str
    learnt: Learnt
    conductivity_factor: float  # true value within / or x this, two times in three
    free_air_factor: float
    surface_factor: float
    is_only_their_pair: bool  # the log tells conductivity and surface together, neither alone
    heat_capacity: float  # of a volume, from weight and moisture [J/(m3 K)]
    pressure_kpa: float  # of the chamber while it held, absolute
    start_c: float
    fh_min: float | None  # of a tenfold approach; None: vapour bends the line
    jh: float | None
    hot_min: float | None  # until the core was within a tenth of its way to the chamber
    scatter_k: float  # root of the mean square of what is left
    largest_k: float
    follows: bool  # whether the core is followed well enough to plan by
    is_in_measured_range: bool  # conductivity between the published bounds of such a load
    readings: int


@dataclass(frozen=True, slots=True)
class LearntLoad:
    """Every core of a log, the slowest first."""

    file: str
    digest: str  # SHA-256
    started: str  # ISO 8601 or empty
    fits: tuple[LoadFit, ...]
    findings: tuple[JudgedFinding, ...]

    @property
    def slowest(self) -> LoadFit:
        """The core to plan by."""
        return self.fits[0]


def fit_file(
    data: bytes, name: str, load: LoadPlan, *, changes: Mapping[str, str] | None = None
) -> LearntLoad:
    """Return what the heating in a log with a probe in a unit says of that load.

    Parameters
    ----------
    data, name : bytes, str
        The logger's file.
    load : LoadPlan
        Size, weight, moisture and filling of the unit the probe stood in, and the altitude.
    changes : mapping, optional
        What is said of the file by hand.

    Raises
    ------
    InputError
        If the file has no core and chamber to learn from, or a value is out of range.
    """
    layout = corrected(UNKNOWN, changes or {})
    log_ = read_log(data, name, atmosphere_kpa=float(atmosphere(load.altitude_m)), layout=layout)
    several = next((each for each in log_.findings if each.id == "log.several-cooks"), None)
    if several is not None:
        raise InputError(name, several.sentence.rstrip("."), "one cook", several.hint)
    cores = [each for each in log_.of_role(ColumnRole.CORE) if is_sound(each)]
    chambers = [each for each in log_.of_role(ColumnRole.CHAMBER) if is_sound(each)]
    if not cores or not chambers:
        missing = "a chamber's probe" if cores else "a core's probe"
        raise InputError(
            name,
            f"a log without {missing} that can be used",
            "one with a probe in the middle of a unit and one in the chamber",
            "If a column was taken for something else, say so with column.N.role.",
        )
    fits = [
        _fit(log_, core, chambers[0], load, _above(log_, core, chambers, cores)) for core in cores
    ]
    return LearntLoad(
        file=name,
        digest=hashlib.sha256(data).hexdigest(),
        started=log_.start.isoformat() if log_.start else "",
        fits=tuple(sorted(fits, key=_slowness, reverse=True)),
        findings=plain_findings(log_.findings),
    )


def is_sound(column: LogColumn) -> bool:
    """Return whether a column can be learnt from as it was read."""
    return not set(column.doubts) - {"log.text-in-numbers", "log.unplugged"}


def _above(
    log_: CookLog, core: LogColumn, chambers: Sequence[LogColumn], cores: Sequence[LogColumn]
) -> float:
    """Return by how much a core begins above every other probe at rest, in K; 0: it does not."""
    return above_at_rest(
        log_.seconds,
        (core.values, UNKNOWN_ERROR_K),
        [(each.values, UNKNOWN_ERROR_K) for each in chambers],
        [(each.values, UNKNOWN_ERROR_K) for each in cores if each is not core],
    )


def _fit(
    log_: CookLog, core: LogColumn, chamber: LogColumn, load: LoadPlan, above_k: float
) -> LoadFit:
    seconds, hot, inside = heating_of(log_, core, chamber)
    middle = (float(inside.min()) + float(inside.max())) / 2.0 if len(inside) else 0.0
    fill = fill_of(load.filling, load.shape, load.mass_kg, load.moisture, max(middle, 0.0))
    step = max(1, -(-len(seconds) // MOST_READINGS))
    seconds, hot, inside = seconds[::step], hot[::step], inside[::step]
    series = fitted_core(load.shape, fill.heat_capacity, seconds, hot, inside)
    pressure = max(float(atmosphere(load.altitude_m)), float(saturation_pressure(held_c(hot))))
    said = _Said(
        core.name, chamber.name, load.shape, fill, pressure, (seconds, hot, inside), above_k
    )
    if fill.has_vapour and series.scatter_k > GOOD_K:
        before = Material(fill.conductivity, fill.heat_capacity, fill.surface)
        factor = max(LEAST_FACTOR, (fill.high / fill.low) ** 0.5)
        moist = fitted_moist(load.shape, before, factor, pressure, seconds, hot, inside)
        if moist.scatter_k < CLEARLY * series.scatter_k:
            return said.moist(moist)
    return said.plain(series)


def heating_of(log_: CookLog, core: LogColumn, chamber: LogColumn) -> tuple[Values, Values, Values]:
    """Return times [s], chamber and core [degC] up to steam-off, where both were read."""
    known = log_.known([core, chamber])
    return while_heating(log_.seconds[known], chamber.values[known], core.values[known])


def _slowness(fit: LoadFit) -> float:
    return inf if fit.hot_min is None else fit.hot_min


@dataclass(frozen=True, slots=True)
class _Said:
    """What stands in a fit whichever way the core was followed."""

    core: str
    chamber: str
    shape: Shape
    fill: Fill
    pressure_kpa: float
    curves: tuple[Values, Values, Values]  # times [s], chamber and core [degC]
    above_k: float  # by which the core begins above every other probe at rest

    def plain(self, found: Fit) -> LoadFit:
        """Return what conduction alone says."""
        learnt = by_series(found)
        against = self._against(learnt, found)
        return self._fit(
            learnt, against or _followed(self.core, found), found, found.line,
            follows=not against, is_only_their_pair=found.is_only_their_pair,
        )  # fmt: skip

    def moist(self, found: MoistFit) -> LoadFit:
        """Return what conduction and vapour together say."""
        against = self._against(found.learnt, found)
        return self._fit(
            found.learnt, against or _moist(self.core, found), found, None,
            follows=not against, is_only_their_pair=False,
        )  # fmt: skip

    def _against(self, learnt: Learnt, found: Fit | MoistFit) -> str:
        """Return why a core is not planned by; empty: it is."""
        if self.above_k:
            return (
                f"{self.core} begins {self.above_k:.1f} K above every other probe while all are at "
                "rest: it may read too high, and then the load heats slower than this. Compare the "
                "probes in the same water, or learn from a load that begins as warm as its "
                "chamber. It is not planned by."
            )
        seconds, hot, inside = self.curves
        unit = learnt.unit(self.shape, self.fill.heat_capacity, self.pressure_kpa)
        reckoned = unit.core(seconds, hot, found.start_c)
        doubt = doubt_of_fit(learnt, self.fill, seconds, reckoned, inside)
        if found.scatter_k <= FITS_K and doubt:
            end = "" if doubt.endswith("?") else "."
            return (
                f"{self.core} is followed within {found.scatter_k:.2f} K on average, but {doubt}"
                f"{end} It is not planned by."
            )
        if found.scatter_k <= FITS_K and not found.at_bound:
            return ""
        return self._lost(found.scatter_k, found.largest_k)

    def _lost(self, scatter_k: float, largest_k: float) -> str:
        return (
            f"{self.core} does not heat like one body of that size and weight in this chamber: "
            f"{scatter_k:.1f} K are left on average, {largest_k:.1f} K at most. Are size, weight "
            "and probe right? It is not planned by."
        )

    def _fit(
        self,
        learnt: Learnt,
        sentence: str,
        found: Fit | MoistFit,
        line: Line | None,
        *,
        follows: bool,
        is_only_their_pair: bool,
    ) -> LoadFit:
        factors = learnt.factors
        return LoadFit(
            probe=self.core,
            chamber=self.chamber,
            sentence=sentence,
            learnt=learnt,
            conductivity_factor=factors[0],
            free_air_factor=factors[1],
            surface_factor=factors[2],
            is_only_their_pair=is_only_their_pair,
            heat_capacity=self.fill.heat_capacity,
            pressure_kpa=self.pressure_kpa,
            start_c=found.start_c,
            fh_min=line.fh if line else None,
            jh=line.jh if line else None,
            hot_min=minutes_to_hot(*self.curves),
            scatter_k=found.scatter_k,
            largest_k=found.largest_k,
            follows=follows,
            is_in_measured_range=self.fill.low <= learnt.conductivity <= self.fill.high,
            readings=len(self.curves[0]),
        )


def _followed(core: str, found: Fit) -> str:
    said = (
        f"{core} heats as if its unit conducted {found.material.conductivity:.2f} W/(m K) "
        f"({_give(by_series(found).factors[0])}); {found.scatter_k:.2f} K are left on average. "
        f"fh {found.line.fh:.0f} min, jh {found.line.jh:.2f}."
    )
    if found.is_only_their_pair:
        said += " The log tells this only together with the surface; take both, never one."
    return said


def _give(factor: float) -> str:
    """Return how sure a value is that holds within / or x a factor, two times in three."""
    if factor > MANY:
        return f"anything from a {factor:.1f}th of it to {factor:.1f} times it"
    return f"give or take {100.0 * (factor - 1.0):.0f} %"


def _moist(core: str, found: MoistFit) -> str:
    conductivity, free_air, _ = found.learnt.factors
    return (
        f"{core} heats as if its unit conducted {found.learnt.conductivity:.2f} W/(m K) "
        f"({_give(conductivity)}) and vapour carried heat through {found.learnt.free_air:.2f} of "
        f"free air ({_give(free_air)}); {found.scatter_k:.2f} K are left on average. Conduction "
        "alone does not follow it, so there is no straight line, no fh."
    )
