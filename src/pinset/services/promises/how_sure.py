"""How much more than promised the plan aims at, and when that is tried anew."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta

from pinset.chain.stages import noun_of
from pinset.errors import RefusedError
from pinset.farm.stamp import described_stamp
from pinset.planning.problem import Problem
from pinset.planning.season.chances import JUDGED_DAYS
from pinset.planning.season.odds import Odds
from pinset.planning.season.tuning import PICKED, SHARES, WANTED, Tuned, Tuning, tune
from pinset.services.book_reader import Reader
from pinset.services.promises.chance_words import in_seasons

HOLDS_DAYS = 7
"""So long it is kept while promises, routes and rooms stay as they are: the plan stays calm."""


@dataclass(frozen=True, slots=True)
class Aim:
    """A tuning with what it was made for."""

    tuning: Tuning
    on: date
    register: int  # stamp of what the farm described itself as


def aim_for(
    before: Aim | None, problem: Problem, odds: Odds, today: date, say: Callable[[str], None]
) -> Aim:
    """Return what the plan is to aim at; what was tried in the last days for the same farm holds.

    Parameters
    ----------
    before : Aim or None
        Of the plan before.
    problem, odds : Problem, Odds
        The farm as it stands.
    today : date
        The farm's day.
    say : callable
        Takes what is being done, in words.
    """
    stamp = described_stamp()
    if (
        before is not None
        and before.register == stamp
        and today - before.on < timedelta(days=HOLDS_DAYS)
    ):
        return before
    say("trying how much more than promised to aim at")
    tuning = tune(problem, odds, wanted=WANTED, seed=today.toordinal(), days=JUDGED_DAYS)
    return Aim(tuning, today, stamp)


def _named(tuned: Tuned, reader: Reader) -> str:
    """Return what is promised: a variety, or units of one of its steps."""
    name = reader.name(tuned.variety)
    if tuned.step == PICKED or tuned.variety not in reader.varieties:
        return name
    try:
        stage = reader.step(tuned.variety, tuned.step).stage
    except RefusedError:
        return name  # the route has no such step any more; the next plan aims anew
    is_bought = reader.is_bought(tuned.variety, tuned.step)
    return f"{name} {noun_of(stage, 2, is_bought=is_bought)}"


def aims_in_words(aim: Aim | None, reader: Reader) -> tuple[str, ...]:
    """Return how much more than promised the plan aims at, and where no share is enough."""
    if aim is None:
        return ()
    tuning, said = aim.tuning, []
    for each in tuning.varieties:
        name = _named(each, reader)
        more = f"{each.share:.0%} more {name} than is promised" if each.share else ""
        if each.is_reached and more:
            said.append(f"The plan aims at {more}, so that its promises are met as wanted.")
        elif not each.is_reached:
            aims = f"the plan aims at {more}; no" if more else "no"
            said.append(
                f"{name} is not as sure as wanted ({tuning.wanted:.0%}): {aims} share that was "
                f"tried, up to {max(SHARES):.0%}, does it. Those that a new batch can still "
                f"serve are met {in_seasons(each.chance)}."
            )
    return tuple(sentence[0].upper() + sentence[1:] for sentence in said)
