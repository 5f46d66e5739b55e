"""What a log says of a load: how well it conducts and takes heat in, and how sure that is."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from math import hypot, log

from pinset.errors import InputError
from pinset.files.logger_corrections import corrected
from pinset.files.logger_reader import UNKNOWN, read_log
from pinset.files.logger_records import ColumnRole, CookLog, LogColumn
from pinset.science.gauge import atmosphere
from pinset.science.loads import Fill, fill_of
from pinset.science.penetration import Fit, fitted_core
from pinset.services.cook_judged import JudgedFinding
from pinset.services.cook_judging import plain_findings
from pinset.services.cook_loads import LoadPlan

MOST_READINGS = 1000
STEAM_ON_K = 3.0  # below its hottest the chamber is hot so long as it is no more than this
FITS_K = 2.0  # a core followed within this (root of the mean square) is followed well
APART = 2.0  # standard errors by which two logs of one load differ before it is said
LEAST_KNOWN = 0.05  # relative: no fit is surer than weighing, measuring and placing a probe


@dataclass(frozen=True, slots=True)
class LoadFit:
    """What one core says of a load."""

    probe: str
    chamber: str
    sentence: str
    conductivity: float  # W/(m K)
    conductivity_factor: float  # true value within / or x this, two times in three
    surface: float  # W/(m2 K)
    surface_factor: float
    is_only_their_pair: bool  # the log tells the two together, neither alone
    correlation: float
    heat_capacity: float  # of a volume, from weight and moisture [J/(m3 K)]
    start_c: float
    fh_min: float
    jh: float
    scatter_k: float  # root of the mean square of what is left
    largest_k: float
    follows: bool  # whether the series follows the core
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
    cores = [each for each in log_.of_role(ColumnRole.CORE) if _is_sound(each)]
    chambers = [each for each in log_.of_role(ColumnRole.CHAMBER) if _is_sound(each)]
    if not cores or not chambers:
        missing = "a chamber's probe" if cores else "a core's probe"
        raise InputError(
            name,
            f"a log without {missing} that can be used",
            "one with a probe in the middle of a unit and one in the chamber",
            "If a column was taken for something else, say so with column.N.role.",
        )
    fits = [_fit(log_, core, chambers[0], load) for core in cores]
    return LearntLoad(
        file=name,
        digest=hashlib.sha256(data).hexdigest(),
        started=log_.start.isoformat() if log_.start else "",
        fits=tuple(sorted(fits, key=lambda each: -each.fh_min)),
        findings=plain_findings(log_.findings),
    )


def _is_sound(column: LogColumn) -> bool:
    return not set(column.doubts) - {"log.text-in-numbers", "log.unplugged"}


def _fit(log_: CookLog, core: LogColumn, chamber: LogColumn, load: LoadPlan) -> LoadFit:
    known = log_.known([core, chamber])
    seconds, hot, inside = log_.seconds[known], chamber.values[known], core.values[known]
    if len(hot):  # a unit gives heat off otherwise than it takes it from steam
        off = int((hot >= float(hot.max()) - STEAM_ON_K).nonzero()[0][-1]) + 1
        seconds, hot, inside = seconds[:off], hot[:off], inside[:off]
    step = max(1, -(-len(seconds) // MOST_READINGS))
    middle = (float(inside.min()) + float(inside.max())) / 2.0 if len(inside) else 0.0
    fill = fill_of(load.filling, load.shape, load.mass_kg, load.moisture, max(middle, 0.0))
    found = fitted_core(
        load.shape, fill.heat_capacity, seconds[::step], hot[::step], inside[::step]
    )
    return _said(found, core.name, chamber.name, fill, len(seconds[::step]))


def _said(found: Fit, core: str, chamber: str, fill: Fill, readings: int) -> LoadFit:
    conductivity = found.material.conductivity
    follows = found.scatter_k <= FITS_K and not found.at_bound
    return LoadFit(
        probe=core,
        chamber=chamber,
        sentence=_followed(core, found) if follows else _not_followed(core, found),
        conductivity=conductivity,
        conductivity_factor=found.conductivity_factor,
        surface=found.material.surface,
        surface_factor=found.surface_factor,
        is_only_their_pair=found.is_only_their_pair,
        correlation=found.correlation,
        heat_capacity=fill.heat_capacity,
        start_c=found.start_c,
        fh_min=found.line.fh,
        jh=found.line.jh,
        scatter_k=found.scatter_k,
        largest_k=found.largest_k,
        follows=follows,
        is_in_measured_range=fill.low <= conductivity <= fill.high,
        readings=readings,
    )


def _followed(core: str, found: Fit) -> str:
    said = (
        f"{core} heats as if its unit conducted {found.material.conductivity:.2f} W/(m K) "
        f"(within / or x {found.conductivity_factor:.2f}); {found.scatter_k:.2f} K are left on "
        f"average. fh {found.line.fh:.0f} min, jh {found.line.jh:.2f}."
    )
    if found.is_only_their_pair:
        said += " The log tells this only together with the surface; take both, never one."
    return said


def _not_followed(core: str, found: Fit) -> str:
    return (
        f"{core} does not heat like one body of that size and weight in this chamber: "
        f"{found.scatter_k:.1f} K are left on average, {found.largest_k:.1f} K at most. Are size, "
        "weight and probe right? It is not planned by."
    )


def disagreement(before: LoadFit, now: LoadFit) -> str:
    """Return in what two logs of the same load differ beyond their errors; empty: they agree.

    Compared are the times fh of a tenfold approach, which a log tells surely even where it tells
    conductivity and surface only together.
    """
    apart = abs(log(now.fh_min / before.fh_min))
    errors = [
        max(LEAST_KNOWN, log(each.conductivity_factor)) if not each.is_only_their_pair
        else LEAST_KNOWN
        for each in (before, now)
    ]  # fmt: skip
    if apart <= APART * hypot(*errors):
        return ""
    faster = "faster" if now.fh_min < before.fh_min else "slower"
    return (
        f"This load heated {faster} than the log it was learnt from: fh {now.fh_min:.0f} min "
        f"instead of {before.fh_min:.0f}. Something has changed: size, weight, moisture, packing, "
        "air left in the chamber, or where the probe stood."
    )
