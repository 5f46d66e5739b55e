"""Everything that is said of losses, reckoned in one go from the histories of lots."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from pinset.chain.histories import GOES_ON, LotHistory, Shared
from pinset.chain.stages import Stage
from pinset.errors import Finding
from pinset.learning.incidence.fit import Fit, fit
from pinset.learning.incidence.report import confused, suspects
from pinset.learning.losses.alarms import Alarm, alarms
from pinset.learning.losses.by_stage import StageLosses, expected_found, losses_by_stage
from pinset.learning.losses.mended import Helped, helped
from pinset.learning.losses.over import what_goes_on
from pinset.learning.losses.ranking import (
    Ranked,
    costliest,
    ranked,
    recentred,
    short_list,
    with_alike,
)
from pinset.learning.losses.rooms import RoomChart
from pinset.learning.losses.sisters import Sister, sisters
from pinset.learning.losses.told import Level, Work, told
from pinset.learning.showing import Find, Mixed, Usual, mixed

KEPT = 40
"""So many suspects are kept, beside all of the kinds that go on; the rest says little."""

DAYS_KEPT = 120
"""Up to this age it is kept what share has shown."""

MOTHERS_DAYS = 28
"""A find on a culture is told for so many days."""

_CULTURES = frozenset({Stage.TUBE, Stage.PLATE, Stage.LIQUID})

MOST_LOTS = 80
"""Of one suspect so many lots are kept, the newest."""


@dataclass(frozen=True, slots=True)
class SignSeen:
    """A sign that was seen on units of a lot."""

    sign: str  # key of the table of signs
    where: str  # key of a place in the vessel; empty: not said
    units: int


@dataclass(frozen=True, slots=True)
class LotSaid:
    """One lot of a suspect."""

    lot: str
    variety: str
    step: str
    made_at: datetime
    units: int
    standing: int
    found: int
    expected: float  # finds, by its route, as far as they would have shown
    last_seen_days: float
    signs: tuple[SignSeen, ...] = ()


@dataclass(frozen=True, slots=True)
class SuspectLots:
    """The lots of one suspect, the newest first."""

    kind: Shared
    level: str
    lots: tuple[LotSaid, ...]


@dataclass(frozen=True, slots=True)
class Shows:
    """How soon contamination shows in one stage."""

    stage: Stage
    half_days: float  # by which half of it has shown
    most_days: float  # by which nine in ten have
    units: int  # of the farm's own it rests on
    by_day: tuple[float, ...]  # share shown at the age of 0, 1, 2 ... days

    def shown_by(self, days: float) -> float:
        """Return the share that has shown by an age; that of the last day kept beyond it."""
        at = min(max(days, 0.0), len(self.by_day) - 1.0)
        low = int(at)
        high = min(low + 1, len(self.by_day) - 1)
        return self.by_day[low] + (at - low) * (self.by_day[high] - self.by_day[low])


@dataclass(frozen=True, slots=True)
class Mother:
    """A culture or first-generation lot on which contamination was found, with what came of it."""

    lot: str
    variety: str
    step: str
    stage: Stage
    found: int
    found_at: datetime  # of the last find
    standing: int
    children: tuple[str, ...]  # lots made from it that still grow
    children_units: int


@dataclass(frozen=True, slots=True)
class Mended:
    """Something that was found and mended of a suspect."""

    entry: str
    kind: Shared
    level: str
    at: datetime


@dataclass(frozen=True, slots=True)
class WhatHelped:
    """Something that was mended, and losses before and after."""

    mended: Mended
    helped: Helped


@dataclass(frozen=True, slots=True)
class Reckoned:
    """What is said of losses."""

    lots: int
    looked_at: int  # lots that any look tells of
    stages: tuple[StageLosses, ...]
    ranked: tuple[Ranked, ...]  # what stands out most first
    standing_out: tuple[Ranked, ...]  # the short list of what can still be helped
    earlier: tuple[Ranked, ...]  # the short list of what is over
    costly: tuple[Ranked, ...]
    alarms: tuple[Alarm, ...]
    sisters: tuple[Sister, ...]
    mothers: tuple[Mother, ...]
    helped: tuple[WhatHelped, ...]
    of_suspects: tuple[SuspectLots, ...]
    shows: tuple[Shows, ...]
    findings: tuple[Finding, ...]
    rooms: tuple[RoomChart, ...] = ()


def laws_of_showing(
    histories: Sequence[LotHistory], usual: Mapping[Stage, Mapping[str, Usual]]
) -> dict[Stage, Mixed]:
    """Return how soon contamination shows in every stage, re-estimated from the farm's own finds.

    Parameters
    ----------
    histories : sequence of LotHistory
        Of all lots. A find with several signs counts for the first.
    usual : mapping of Stage to mapping of str to Usual
        What is usual of each sign in each stage.
    """
    finds: defaultdict[tuple[Stage, str], list[Find]] = defaultdict(list)
    for lot in histories:
        for seen in lot.seen:
            if seen.found and seen.signs and seen.until_days > 0.0:
                find = Find(seen.after_days, seen.until_days, seen.found, lot.last_seen_days)
                finds[lot.stage, seen.signs[0]].append(find)
    return {
        stage: mixed(signs, {sign: finds[stage, sign] for sign in signs})
        for stage, signs in usual.items()
    }


def reckon(
    histories: Sequence[LotHistory],
    usual: Mapping[Stage, Mapping[str, Usual]],
    expected: Mapping[Work, float],
    *,
    predicted: Mapping[Level, float],
    pointing: Mapping[str, frozenset[Shared]],
    now: datetime,
    mended: Sequence[Mended] = (),
    before: Fit | None = None,
    hold: bool = False,
) -> tuple[Reckoned, Fit]:
    """Return what is said of losses, and the fit it rests on.

    Parameters
    ----------
    histories, expected, predicted
        As of :func:`pinset.learning.losses.told.told`.
    usual : mapping of Stage to mapping of str to Usual
        Days until each sign shows, for every stage among the lots.
    pointing : mapping of str to frozenset of Shared
        By lot, what signs seen on it point to.
    now : datetime
        The moment of which is spoken.
    mended : sequence of Mended
        What was mended, to be followed.
    before, hold
        An earlier fit to begin at, and whether its deviations are held.
    """
    showing = laws_of_showing(histories, usual)
    data = told(histories, showing, expected, predicted)
    result = fit(data.records, before=before, hold=hold)
    everything = ranked(recentred(suspects(result)), confused(result), histories, pointing)
    current = what_goes_on(histories, now)
    of_now = [each for each in everything if (each.kind, each.suspect.level) in current]
    over = [each for each in everything if (each.kind, each.suspect.level) not in current]
    standing_out = with_alike(short_list(of_now), everything, histories)
    earlier = with_alike(short_list(over), everything, histories)
    kept = with_alike(everything[:KEPT], everything, histories)
    going_on = tuple(each for each in everything[KEPT:] if each.kind in GOES_ON)
    costly = with_alike(costliest(everything), everything, histories)
    raised = alarms(data, result, now)
    wanted = {
        (each.kind.value, each.suspect.level) for each in (*kept, *costly, *standing_out, *earlier)
    }
    wanted |= {(each.factor, each.level) for each in raised}
    return (
        Reckoned(
            lots=len(histories),
            looked_at=sum(bool(lot.seen) for lot in histories),
            stages=losses_by_stage(histories, showing, expected, now),
            ranked=(*kept, *going_on),
            standing_out=standing_out,
            earlier=earlier,
            costly=costly,
            alarms=raised,
            sisters=sisters(data, result),
            mothers=mothers_of(histories, now),
            helped=tuple(
                WhatHelped(
                    each,
                    helped(
                        histories, showing, expected, kind=each.kind, level=each.level, at=each.at
                    ),
                )
                for each in mended
            ),
            of_suspects=_lots_of(histories, showing, expected, wanted),
            shows=tuple(_shows(stage, showing[stage]) for stage in Stage if stage in showing),
            findings=result.findings,
        ),
        result,
    )


def _lots_of(
    histories: Sequence[LotHistory],
    showing: Mapping[Stage, Mixed],
    expected: Mapping[Work, float],
    wanted: set[tuple[str, str]],
) -> tuple[SuspectLots, ...]:
    found: defaultdict[tuple[Shared, str], list[LotHistory]] = defaultdict(list)
    for lot in histories:
        for kind, level in lot.shared.items():
            if (kind.value, level) in wanted:
                found[kind, level].append(lot)
    said = []
    for (kind, level), lots in found.items():
        newest = sorted(lots, key=lambda lot: (lot.made_at, lot.lot), reverse=True)[:MOST_LOTS]
        rows = tuple(
            LotSaid(
                lot=lot.lot,
                variety=lot.variety,
                step=lot.step,
                made_at=lot.made_at,
                units=lot.units,
                standing=lot.standing,
                found=lot.found,
                expected=expected_found(
                    lot, showing[lot.stage], expected.get((lot.variety, lot.step), 0.0)
                ),
                last_seen_days=lot.last_seen_days,
                signs=tuple(
                    SignSeen(sign, each.where, each.found)
                    for each in lot.seen
                    if each.found
                    for sign in each.signs
                ),
            )
            for lot in newest
        )
        said.append(SuspectLots(kind, level, rows))
    return tuple(said)


def _shows(stage: Stage, law: Mixed) -> Shows:
    units = sum(each.units for each in law.laws.values())
    by_day = tuple(float(each) for each in law.shown_by(range(DAYS_KEPT + 1)))
    return Shows(stage, law.days_for(0.5), law.days_for(0.9), units, by_day)


def mothers_of(histories: Sequence[LotHistory], now: datetime) -> tuple[Mother, ...]:
    """Return cultures and first-generation lots with a late find, the newest find first.

    One bad unit there is one too many: what is made of its sisters may carry it. Told are tubes,
    plates, liquid cultures, and grain made from them, found within four weeks, as long as they or
    lots made from them still grow.
    """
    by_code = {lot.lot: lot for lot in histories}
    children: defaultdict[str, list[LotHistory]] = defaultdict(list)
    for lot in histories:
        if Shared.PARENT in lot.shared and lot.standing:
            children[lot.shared[Shared.PARENT]].append(lot)
    found = []
    for lot in histories:
        parent = by_code.get(lot.shared.get(Shared.PARENT, ""))
        is_first = lot.stage is Stage.GRAIN and parent is not None and parent.stage in _CULTURES
        last = max((each.until_days for each in lot.seen if each.found), default=None)
        if last is None or not (lot.stage in _CULTURES or is_first):
            continue
        at = lot.made_at + timedelta(days=last)
        own = children[lot.lot]
        if at < now - timedelta(days=MOTHERS_DAYS) or not (lot.standing or own):
            continue
        found.append(
            Mother(
                lot=lot.lot,
                variety=lot.variety,
                step=lot.step,
                stage=lot.stage,
                found=lot.found,
                found_at=at,
                standing=lot.standing,
                children=tuple(each.lot for each in own),
                children_units=sum(each.standing for each in own),
            )
        )
    return tuple(sorted(found, key=lambda each: (each.found_at, each.lot), reverse=True))
