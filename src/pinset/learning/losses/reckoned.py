"""Everything that is said of losses, reckoned in one go from the histories of lots."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import datetime

from pinset.chain.histories import GOES_ON, LotHistory, Shared
from pinset.chain.stages import Stage
from pinset.learning.incidence.averaging import averaged
from pinset.learning.incidence.doubts import ALL_LOST
from pinset.learning.incidence.fit import Fit, fit
from pinset.learning.incidence.report import confused, suspects
from pinset.learning.losses.alarms import alarms
from pinset.learning.losses.by_stage import expected_found, losses_by_stage
from pinset.learning.losses.mended import helped
from pinset.learning.losses.mothers import mothers_of
from pinset.learning.losses.over import what_goes_on
from pinset.learning.losses.ranking import (
    costliest,
    ranked,
    recentred,
    short_list,
    with_alike,
    with_doubtful_predictions,
)
from pinset.learning.losses.records import (
    LotSaid,
    Mended,
    Reckoned,
    Shows,
    SignSeen,
    SuspectLots,
    WhatHelped,
)
from pinset.learning.losses.sisters import sisters
from pinset.learning.losses.told import Level, Work, told
from pinset.learning.losses.weeks import losses_by_week
from pinset.learning.showing import Find, Mixed, Usual, mixed

AVERAGED_UP_TO = 5_000
"""With more lots it is known well enough how much cooks, sessions and the like differ; with fewer,
ranges are averaged over what that may be."""

KEPT = 40
"""So many suspects are kept, beside all of the kinds that go on; the rest says little."""

DAYS_KEPT = 120
"""Up to this age it is kept what share has shown."""

MOST_LOTS = 80
"""Of one suspect so many lots are kept, the newest."""


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
    shown = averaged(result) if len(histories) <= AVERAGED_UP_TO else result
    spreads = {
        factor.name: float(sd)
        for factor, sd in zip(data.records.factors, shown.scales.levels, strict=True)
    }
    told_of = recentred(with_doubtful_predictions(suspects(shown), spreads))
    is_all_lost = any(each.id == ALL_LOST for each in result.findings)
    everything = [] if is_all_lost else ranked(told_of, confused(shown), histories, pointing)
    current = what_goes_on(histories, now)
    of_now = [each for each in everything if (each.kind, each.suspect.level) in current]
    over = [each for each in everything if (each.kind, each.suspect.level) not in current]
    standing_out = with_alike(short_list(of_now), everything, histories)
    earlier = with_alike(short_list(over), everything, histories)
    kept = with_alike(everything[:KEPT], everything, histories)
    going_on = tuple(each for each in everything[KEPT:] if each.kind in GOES_ON)
    costly = with_alike(costliest(everything), everything, histories)
    raised = alarms(data, expected, now)
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
            weeks=losses_by_week(histories, showing, now),
            last_look=max((lot.last_seen_at for lot in histories if lot.seen), default=None),
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
