"""What logs taught of the farm's loads: read back, and held against newer logs."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from math import hypot, log

from pinset.chain.plain import from_plain
from pinset.errors import Finding, Severity
from pinset.farm.queries.story import Happened
from pinset.farm.stamp import Stamp, stamp
from pinset.files.logger.records import ColumnRole, CookLog, LogColumn
from pinset.science.heating.heating import Shape
from pinset.science.heating.loads import fill_of
from pinset.science.learning.heating_log import took_and_should
from pinset.science.learning.learnt_heat import LEAST_KNOWN
from pinset.services.clock import farm_time
from pinset.services.cooks.learn.fitting import LoadFit, heating_of, is_sound
from pinset.services.cooks.learn.learnt_said import learnt_said
from pinset.services.cooks.loads import LoadPlan
from pinset.services.cooks.typed import load_of
from pinset.services.frame import frame
from pinset.services.memory import remembered

UNLIKE = "cook.unlike-learnt"
SET_ASIDE = "set_aside"
"""Name in the details of an entry by which a newer log does not count against what was learnt."""

SAME_MASS = 0.05  # relative: a unit so much heavier or lighter is the same load
SAME_MOISTURE = 0.03  # of wet mass
SAME_SIZE = 0.05  # relative, of each edge
SAME_TIME = 2.0 * hypot(LEAST_KNOWN, LEAST_KNOWN)  # of a logarithm: two errors of two logs
MUCH_FASTER = 1.25  # times sooner at nine tenths of its way than learnt, a core is not believed


@dataclass(frozen=True, slots=True)
class LearntLoad:
    """A load of the farm, and what a log taught of it."""

    entry: str  # client id, for taking it back
    at: datetime
    by: str  # name of who learnt it
    cook: str  # code of the cook whose log it was
    log_name: str
    typed: dict[str, str]  # filling, mass, moisture, size, as they can be typed
    sentence: str
    fit: LoadFit

    @property
    def load(self) -> LoadPlan:
        """The load, without vessel and surroundings."""
        return load_of({**self.typed, "heat": "open"})

    @property
    def words(self) -> str:
        """What the load is, in a few words."""
        mass, moisture, size = (self.typed[name] for name in ("mass", "moisture", "size"))
        return f"{self.typed['filling']}, {mass} at {moisture}, {size}"

    @property
    def source(self) -> str:
        """Where this was learnt, in a few words."""
        day = farm_time(self.at, frame().time_zone)
        return f"the log of cook {self.cook}, kept {day:%Y-%m-%d}"


def learnt_loads() -> tuple[LearntLoad, ...]:
    """Return the newest of each load, the newest first."""
    return _loads(stamp())


@remembered
def _loads(_stamp: Stamp) -> tuple[LearntLoad, ...]:
    found: list[LearntLoad] = []
    for entry in learnt_said():
        if SET_ASIDE in entry.details:
            continue  # a log that teaches nothing
        each = _read(entry)
        if not any(_is_same_stuff(each.load, other.load) for other in found):
            found.append(each)
    return tuple(found)


def _read(entry: Happened) -> LearntLoad:
    said = entry.details
    return LearntLoad(
        entry=entry.client_id,
        at=entry.happened_at,
        by=entry.person_name,
        cook=str(said["cook"]),
        log_name=str(said.get("log_name", "")),
        typed=dict(said["load"]),
        sentence=str(said["sentence"]),
        fit=from_plain(LoadFit, said["fit"]),
    )


def learnt_of(load: LoadPlan, among: tuple[LearntLoad, ...] | None = None) -> LearntLoad | None:
    """Return what was learnt of units of the same stuff, weight and moisture, of whatever size."""
    known = learnt_loads() if among is None else among
    return next((each for each in known if _is_same_stuff(load, each.load)), None)


def _is_same_stuff(one: LoadPlan, other: LoadPlan) -> bool:
    return (
        one.filling is other.filling
        and abs(log(one.mass_kg / other.mass_kg)) <= SAME_MASS
        and abs(one.moisture - other.moisture) <= SAME_MOISTURE
    )


def is_same_size(one: Shape, other: Shape) -> bool:
    """Return whether two units are of one size, each edge within a few percent."""
    if type(one) is not type(other):
        return False
    edges = zip(_edges(one), _edges(other), strict=True)
    return all(abs(log(a / b)) <= SAME_SIZE for a, b in edges)


def _edges(shape: Shape) -> tuple[float, ...]:
    return tuple(float(getattr(shape, name)) for name in shape.__slots__)


def held_against(known: LearntLoad, read: CookLog, name: str) -> Finding | None:
    """Return how a newer log differs from what was learnt, None if it agrees or can't be told.

    Compared is how long the slowest core took to come nine tenths of the way it came.

    Parameters
    ----------
    known : LearntLoad
        What was learnt.
    read : CookLog
        The newer log, as it was read.
    name : str
        Of its file.
    """
    cores = [each for each in read.of_role(ColumnRole.CORE) if is_sound(each)]
    chambers = [each for each in read.of_role(ColumnRole.CHAMBER) if is_sound(each)]
    if not cores or not chambers:
        return None
    apart = []
    for core in cores:
        compared = _compared(known, read, core, chambers[0])
        if compared is not None:
            apart.append((log(compared[0] / compared[1]), core.name, *compared))
    if not apart:
        return None
    off, core_name, took, should = max(apart)  # the slowest
    if abs(off) <= SAME_TIME:
        return None
    faster = "faster" if off < 0.0 else "slower"
    return Finding(
        UNLIKE,
        Severity.WARNING,
        name,
        f"{core_name} heated {faster} than {known.source}, taught: {took:.0f} min to nine "
        f"tenths of its way instead of {should:.0f}.",
        "Something has changed: size, weight, moisture, packing, air left in the chamber, or where "
        "the probe stood. If it stays so, learn this load again.",
    )


def faster_than(known: LearntLoad, read: CookLog, core: LogColumn, chamber: LogColumn) -> str:
    """Return how much faster a core heated than was learnt of its load; empty: it did not."""
    compared = _compared(known, read, core, chamber)
    if compared is None or compared[1] < MUCH_FASTER * compared[0]:
        return ""
    took, should = compared
    return (
        f"it came nine tenths of its way in {took:.0f} min, and by what {known.source} taught a "
        f"unit of {known.load.mass_kg:.2g} kg of {known.load.filling.value} takes {should:.0f}"
    )


def _compared(
    known: LearntLoad, read: CookLog, core: LogColumn, chamber: LogColumn
) -> tuple[float, float] | None:
    """Return how long a core took to nine tenths of its way, and should have, in min."""
    load = known.load
    seconds, hot, inside = heating_of(read, core, chamber)
    middle = max(0.0, (min(inside) + max(inside)) / 2.0) if len(inside) else 0.0
    fill = fill_of(load.filling, load.shape, load.mass_kg, load.moisture, middle)
    unit = known.fit.learnt.unit(load.shape, fill.heat_capacity, known.fit.pressure_kpa)
    return took_and_should(unit, seconds, hot, inside)


def typed_of(load: LoadPlan) -> dict[str, str]:
    """Return that by which a learnt load is known, as it can be typed, with its units."""
    if load.brick_cm is None:
        size = f"{load.diameter_cm:.4g} x {load.height_cm:.4g} cm"
    else:
        size = f"{load.brick_cm[0]:.4g} x {load.brick_cm[1]:.4g} x {load.height_cm:.4g} cm"
    return {
        "filling": load.filling.value,
        "mass": f"{load.mass_kg:.4g} kg",
        "moisture": f"{100.0 * load.moisture:.3g}%",
        "size": size,
    }
