"""A core that was read, on the safe side of every way its load may conduct heat.

Until its readings tell how it conducts, it takes no less than the slowest case planned with; where
it was hot when it was first read, no less than any beginning gives that explains it. After an
interruption it likeliest goes on as the units do that its readings show, and takes no less either.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pinset.science.heating.heated_unit import Conducting, Moist, Unit
from pinset.science.judging.core_match import as_it_is, tells
from pinset.science.judging.findings import SECONDS_BETWEEN
from pinset.science.judging.records import Rule
from pinset.science.watching.before import is_hot_already
from pinset.science.watching.chamber import ChamberSoFar
from pinset.science.watching.core import Core, earned
from pinset.science.watching.going_on import (
    MEASURED,
    CoreNow,
    WatchedLoad,
    followed,
    from_hot,
    longest,
    now_of,
)
from pinset.science.watching.late_start import heated_before
from pinset.science.watching.laws.span import Coming, likely_laws, longest_span
from pinset.science.watching.laws.values import Load

INTERRUPTED_MARGIN = 0.2
"""So much more of what is left is taken after an interruption: just hot again a core hardly tells
its laws apart, and of ten loads the latest was up to 17 % of what was left too early."""


def by_every_law(
    chamber: ChamberSoFar, read: Core, load: WatchedLoad, rule: Rule
) -> tuple[CoreNow, bool]:
    """Return a core with the longest it may take, and whether its beginning makes that a bound.

    Parameters
    ----------
    chamber : ChamberSoFar
        Since its first reading.
    read : Core
        By its probe.
    load, rule : WatchedLoad, Rule
        What is cooked, and what it is to reach.
    """
    if is_hot_already(chamber, load.start_c):
        now, is_bound = heated_before(chamber, read, load, rule)
        start_c = min(load.start_c, float(read.celsius[0]))
        before_s = max(0.0, float(chamber.seconds[0]) - (load.since_s or 0.0))
        known = _known(replace(load, start_c=start_c), before_s)
        return _longest(now, known, chamber, read, load, rule), is_bound
    if abs(read.seconds[0] - chamber.seconds[0]) <= SECONDS_BETWEEN:
        load = replace(load, start_c=float(read.celsius[0]))
    if earned(read, rule).reached_s is not None:  # only how it cools is reckoned still
        return followed(chamber, read, load, rule)[1][0], False
    if chamber.was_interrupted:
        shown = max(followed(chamber, read, load, rule)[1], key=longest)
        latest = _longest(shown, _known(load, None), chamber, read, load, rule)
        found = replace(
            latest, rest_s=_with_margin(latest.rest_s), again_s=_with_margin(latest.again_s)
        )
        return replace(found, likely_rest_s=shown.rest_s, likely_again_s=shown.again_s), False
    slowest = load.cases[0][1]
    around, inside = (chamber.seconds, chamber.celsius), (read.seconds, read.celsius)
    cautious = as_it_is(slowest, around, inside, load.start_c)
    now = now_of(MEASURED, cautious, read, chamber, load, rule)
    known = _known(load, None)
    is_telling = tells(around[1], inside[1], load.start_c)
    return _longest(now, known, chamber, read, load, rule, is_least=not is_telling), False


def _known(load: WatchedLoad, before_s: float | None) -> list[Load]:
    """Return where its law may walk from: an even one, and one with what vapour carries."""
    units = [unit for _, unit in load.cases]
    slowest = units[0]
    even = next((each for each in units if isinstance(each, Conducting)), None)
    moist = next((each for each in units if isinstance(each, Moist)), None)
    kinds: list[Unit] = [
        even or Conducting(slowest.shape, slowest.material),
        *([moist] if moist else []),
    ]
    return [
        Load(each, load.start_c, load.wanted_c, before_s, is_said=load.since_s is not None)
        for each in kinds
    ]


def _longest(
    now: CoreNow,
    known: Sequence[Load],
    chamber: ChamberSoFar,
    read: Core,
    load: WatchedLoad,
    rule: Rule,
    *,
    is_least: bool = True,
) -> CoreNow:
    """Return a core by the slowest law it allows; no sooner than as it is, if that counts."""
    if now.earned.reached_s is not None:
        return now
    laws = likely_laws(chamber, read, known)
    rest, again = (now.rest_s, now.again_s) if is_least else (0.0, 0.0)
    found = now
    if now.rest_s is not None:
        stays = longest_span(laws, rule, now.earned, Coming())
        found = replace(found, rest_s=_longer(rest, stays.latest_s), likely_rest_s=stays.likely_s)
    if now.again_s is not None:
        comes = longest_span(laws, rule, now.earned, Coming(load.wanted_c, load.k_per_s))
        latest, likely = (
            from_hot(each, chamber, load) for each in (comes.latest_s, comes.likely_s)
        )
        found = replace(found, again_s=_longer(again, latest), likely_again_s=likely)
    return found


def _with_margin(seconds: float | None) -> float | None:
    return None if seconds is None else seconds * (1.0 + INTERRUPTED_MARGIN)


def _longer(one: float | None, other: float | None) -> float | None:
    """Return the longer of two times; None lasts for ever."""
    return None if one is None or other is None else max(one, other)
