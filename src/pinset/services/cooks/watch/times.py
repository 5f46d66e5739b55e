"""The moments a watched cook comes to: when it is enough, how long still, from when it is hot."""

from __future__ import annotations

from datetime import datetime, timedelta

from pinset.science.watching.core import HOT_K
from pinset.science.watching.going_on import CoreNow
from pinset.science.watching.watching import Watching
from pinset.services.cooks.ahead.planning import CookPlan
from pinset.services.cooks.watch.records import BOUNDS, Stage, Unsure
from pinset.services.cooks.watch.speech import MINUTE, STALE, Times

AGREE = timedelta(minutes=3)  # by which the latest end may lie after the likeliest, and is the end


def times_of(
    watched: Watching,
    plan: CookPlan,
    began: datetime,
    last_at: datetime,
    now: datetime,
    *,
    is_danger: bool = False,
    is_clock_off: bool = False,
) -> tuple[Stage, Times]:
    """Return how far it is, and the moments that follow from the ruling core.

    Where heat has to go off (``is_danger``), the core reads what can't be, or the logger's clock is
    wrong, no hold is offered. Where it is not known since when it is heated the end is a bound.
    """
    ruling = watched.cores[0] if watched.cores else None
    quick = watched.cores[-1] if len(watched.cores) > 1 else None
    since = _enough_since(ruling, began) if ruling else None
    counted = min(now, last_at + STALE)  # nothing counts that no reading shows
    left = _left(ruling, began, counted)
    again = ruling.again_s / MINUTE if ruling and ruling.again_s is not None else None
    heat_up = timedelta(seconds=ruling.heat_up_s if ruling else 0.0)
    chamber = watched.chamber
    has_fallen = chamber is not None and chamber.fell_since_s is not None
    hot_at = (max(now, last_at) if has_fallen else last_at) + heat_up
    end = None if left is None else now + timedelta(minutes=left)
    likely_end = _moment(began, _end_s(ruling, is_likely=True))
    stage = _stage(watched, plan, left)
    if is_danger:
        stage = Stage.TOO_MUCH
    elif since is None and watched.hot_core is not None and watched.hot_core.is_now:
        stage = Stage.DOUBTED
    if again is not None and (stage in {Stage.INTERRUPTED, Stage.COMING_UP} or end is None):
        end = hot_at + timedelta(minutes=again)
        likely_end = _later(hot_at, ruling.likely_again_s if ruling else None)
    unsure = _unsure(watched, since, is_clock_off=is_clock_off)
    if unsure is None and since is None and end and likely_end and end - likely_end > AGREE:
        unsure = Unsure.LAW
    is_offered = stage not in {Stage.TOO_MUCH, Stage.DOUBTED} and unsure is not Unsure.CLOCK
    return stage, Times(
        began=began,
        now=now,
        last_at=last_at,
        left_min=left if is_offered else None,
        left_quick_min=_left(quick, began, counted) if is_offered else None,
        again_min=again if is_offered else None,
        hot_at=hot_at,
        end_at=since or (end if is_offered and unsure is None else None),
        enough_since=since,
        latest_at=end if is_offered and unsure in BOUNDS else None,
        likely_at=likely_end if is_offered and unsure is Unsure.LAW else None,
        unsure=unsure,
    )


def _unsure(watched: Watching, since: datetime | None, *, is_clock_off: bool) -> Unsure | None:
    if since is not None or not watched.cores:
        return None
    if is_clock_off:
        return Unsure.CLOCK
    if watched.chamber is None:
        return Unsure.ALONE
    if watched.once_c is not None:
        return Unsure.ONCE
    if not watched.is_bound:
        return None
    return Unsure.SINCE if watched.was_hot else Unsure.BEFORE


def _stage(watched: Watching, plan: CookPlan, left: float | None) -> Stage:
    if not watched.cores:
        return Stage.WAITING
    ruling, chamber = watched.cores[0], watched.chamber
    if ruling.earned.reached_s is not None:
        return Stage.ENOUGH
    if chamber is not None and chamber.now_c < plan.chamber_c - HOT_K:
        if chamber.fell_since_s is not None and not chamber.is_rising:
            return Stage.INTERRUPTED
        if chamber.is_rising or ruling.rest_s is None:
            return Stage.COMING_UP if ruling.again_s is not None else Stage.TOO_COLD
    if left is None:
        return Stage.TOO_COLD
    return Stage.HOLDING if left > 0.0 else Stage.UNREAD


def _enough_since(core: CoreNow, began: datetime) -> datetime | None:
    """Return the whole minute from which on a reading shows that it is enough, None: not yet."""
    reached = core.earned.reached_s
    if reached is None:
        return None
    seconds = core.core.seconds
    shown = seconds[min(int(seconds.searchsorted(reached)), len(seconds) - 1)]
    at = began + timedelta(seconds=max(float(shown), reached))
    whole = at.replace(second=0, microsecond=0)
    return whole if whole == at else whole + timedelta(minutes=1)


def _end_s(core: CoreNow | None, *, is_likely: bool = False) -> float | None:
    rest_s = None if core is None else core.likely_rest_s if is_likely else core.rest_s
    if core is None or rest_s is None:
        return None
    return float(core.core.seconds[-1]) + rest_s


def _later(moment: datetime, seconds: float | None) -> datetime | None:
    return None if seconds is None else moment + timedelta(seconds=seconds)


def _left(core: CoreNow | None, began: datetime, since: datetime) -> float | None:
    """Return the minutes still to hold from a moment on as it is, None: never so."""
    if core is not None and core.earned.reached_s is not None:
        return 0.0
    end = _moment(began, _end_s(core))
    return None if end is None else max(0.0, (end - since).total_seconds() / MINUTE)


def _moment(began: datetime, seconds: float | None) -> datetime | None:
    return None if seconds is None else began + timedelta(seconds=seconds)
