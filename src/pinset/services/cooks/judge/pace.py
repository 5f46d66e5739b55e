"""What is known of the loads in a cook held against how late its cores were in the log."""

from __future__ import annotations

from collections.abc import Sequence

from pinset.errors import InputError
from pinset.farm.queries.lots import lot_by_code
from pinset.files.logger.places import Place, names_water, place_in
from pinset.files.logger.records import ColumnRole, CookLog, LogColumn
from pinset.science.heating.loads import Filling, fill_of
from pinset.science.judging.core_pace import (
    MINUTE,
    MOST_W,
    RISES_K,
    Lateness,
    Values,
    lateness,
    thinned_to,
    would_conduct,
)
from pinset.science.judging.findings import HOT_C
from pinset.science.learning.fit_doubts import bounds_of
from pinset.science.learning.heating_log import FEWEST
from pinset.services.cooks.judge.judged import ToldOfCore
from pinset.services.cooks.judge.verdicts import CookLine
from pinset.services.cooks.learn.fitting import heating_of
from pinset.services.cooks.learn.learning import loads_of_cook
from pinset.services.cooks.learn.learnt import LearntLoad, faster_than, learnt_loads, learnt_of
from pinset.services.cooks.loads import LoadPlan
from pinset.services.cooks.typed import load_of
from pinset.services.cooks.usual import UsualLoad


def told_by_loads(line: CookLine, read: CookLog) -> tuple[ToldOfCore, ...]:
    """Return what is known of a cook's loads, said of each core of a log.

    Without a probe in the chamber, or without a load that can be reckoned, nothing is told.
    """
    chambers = read.of_role(ColumnRole.CHAMBER)
    loads = _reckoned(_in_cook(line))
    if not chambers or not loads:
        return ()
    found = (_told(read, core, chambers[0], loads) for core in read.of_role(ColumnRole.CORE))
    return tuple(each for each in found if each is not None)


def _in_cook(line: CookLine) -> tuple[UsualLoad, ...]:
    """Return the loads of a cook by the steps of its lots; all of its kind, if none is like it."""
    loads = loads_of_cook(line)
    steps = {lot_by_code(code).step for code in line.lots}
    return tuple(each for each in loads if each.code.rpartition(":")[2] in steps) or loads


def _reckoned(usual: Sequence[UsualLoad]) -> list[tuple[LoadPlan, LearntLoad | None]]:
    known = learnt_loads()
    loads = [load_of({**each.typed, "heat": "open"}) for each in usual]
    return [(load, learnt_of(load, known)) for load in loads]


def _told(
    read: CookLog,
    core: LogColumn,
    chamber: LogColumn,
    loads: Sequence[tuple[LoadPlan, LearntLoad | None]],
) -> ToldOfCore | None:
    seconds, hot, inside = thinned_to(*heating_of(read, core, chamber))
    if len(seconds) < FEWEST:
        return None
    curves = (seconds, inside, hot)
    middle = max(0.0, (float(inside.min()) + float(inside.max())) / 2.0)
    said: list[tuple[Lateness, str, str]] = []
    explained: list[str] = []
    for usual, learnt in loads:
        load = learnt.load if learnt else usual
        try:
            fill = fill_of(load.filling, load.shape, load.mass_kg, load.moisture, middle)
        except InputError:
            return None  # of that one nothing can be reckoned, so nothing is sure of the cook
        own = None
        if learnt is not None:
            fit = learnt.fit
            own = fit.learnt.unit(load.shape, fill.heat_capacity, fit.pressure_kpa)
        late = lateness(load.shape, fill, own, curves)
        if late is None:
            return _untold(core, hot)
        words = f"a unit of {load.mass_kg:.2g} kg of {load.filling.value}"
        doubt = ""
        if late.was < late.least:
            conducts = would_conduct(load.shape, fill, late.was, curves)
            most = bounds_of(fill)[1]
            more = "more than " if conducts >= MOST_W else ""
            taught = f"{late.usual / MINUTE:.0f} min by {learnt.source}, and " if learnt else ""
            doubt = (
                f"it comes {late.was / MINUTE:.0f} min behind the chamber; {words} comes {taught}"
                f"{late.least / MINUTE:.0f} min or more behind, and would have to conduct {more}"
                f"{conducts:.2g} W/(m K) where such loads conduct {most:.2g} at most: "
                "it may stand too shallow, or in a smaller unit"
            )
        elif learnt is not None and (faster := faster_than(learnt, read, core, chamber)):
            doubt = f"{faster}: it may stand too shallow, or have moved, or in a smaller unit"
        said.append((late, words, doubt))
        if late.likely <= late.was <= late.most and _may_hold(load.filling, core.name):
            explained.append(words)
    doubt = min(said, key=lambda each: each[0].least)[2]
    if any(not each[2] for each in said):  # one of the loads can be so
        doubt = ""
    return ToldOfCore(core.index, doubt, next(iter(explained), ""))


def _untold(core: LogColumn, hot: Values) -> ToldOfCore | None:
    """Return that a core's pace can't be told where its chamber was hot already; else None."""
    if float(hot.max()) < HOT_C or float(hot.max() - hot.min()) >= RISES_K:
        return None
    why = (
        f"the chamber was at {hot[0]:.0f} °C already when it was first read, and the core rose by "
        f"less than {RISES_K:.0f} K from then on"
    )
    return ToldOfCore(core.index, "", "", why)


def _may_hold(filling: Filling, head: str) -> bool:
    """Return whether a load may explain a lag by what a head says: water only, where it is one."""
    if names_water(head):
        return filling is Filling.AGAR
    return place_in(head) is not Place.UNCLEAR
