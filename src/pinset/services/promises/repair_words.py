"""What would make a weak promise surer as far as that was tried, and what the buyer can be told."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from pinset.chain.stages import units_in_words
from pinset.errors import RefusedError
from pinset.planning.reading.in_vain import InVain, Vain
from pinset.planning.reading.repair_trials import Parents, Repair, Touched
from pinset.planning.season.chances import SURE, OrderChance
from pinset.services.book_reader import Reader
from pinset.services.promises.chance_words import in_seasons, is_weak
from pinset.services.words import amount, short_day
from pinset.units import POUND_KG

HUNDRED = 100
NOTHING_FOUND = "No new batch was found that would make it surer"
NOT_CLEARLY = "No new batch was found that would make it clearly surer"
NOT_TRIED = "Moving what is alive on other days was not tried; pin a move to see what it does."
AT_A_COST = "What was found would make it surer at the cost of another promise"
LEAST_LESS = 0.01  # of what is promised: a weight not even so much less is no other
GRAMS_STEP = 100.0  # a lesser weight is said in whole steps, rounded down
POUND_STEP = 0.1 * POUND_KG * 1000.0  # the same in the other units. [g]


@dataclass(frozen=True, slots=True)
class Tried:
    """What the newest plan found for weak promises, by promise and day."""

    found: Mapping[tuple[str, date], Repair] = field(default_factory=dict)
    in_vain: Mapping[tuple[str, date], InVain] = field(default_factory=dict)

    @classmethod
    def of(cls, found: tuple[Repair, ...], in_vain: tuple[InVain, ...], today: date) -> Tried:
        """Return what still holds today: a batch of a day that is over is none any more."""
        return cls(
            {(each.promise.split("@")[0], each.due): each for each in found if each.on >= today},
            {
                (each.promise.split("@")[0], each.due): each
                for each in in_vain
                if each.on is None or each.on >= today
            },
        )


def what_helps(
    tried: Tried,
    key: tuple[str, date],
    chance: OrderChance,
    promised: float,
    handed: float,
    reader: Reader,
    *,
    is_short: bool,
) -> str:
    """Return what would make a promise surer, and what of it can be relied on, in sentences.

    Parameters
    ----------
    tried : Tried
        What the plan found.
    key : tuple
        The promise and its day.
    chance : OrderChance
        How sure it is.
    promised, handed : float
        In all, and what of it is handed over already. [g or units]
    reader : Reader
        Of the farm's book.
    is_short : bool
        Its reason says already why no more can be there.
    """
    if not is_weak(chance):
        return ""
    repair, vain = tried.found.get(key), tried.in_vain.get(key)
    said = repair_in_words(repair, reader) if repair is not None else ""
    is_told = vain is not None and vain.cause is not Vain.NOT_YET
    if not said and vain is not None and not (is_short and vain.cause in {Vain.LATE, Vain.FULL}):
        said = in_vain_words(vain, reader)
        said = f"{said} {NOT_TRIED}" if said and is_told else said
    lesser = "" if chance.sure is None else lesser_words(chance, promised, handed, reader)
    if lesser:
        lesser = f"Else tell the buyer early: {lesser}" if is_told and repair is None else lesser
        lesser = lesser[0].upper() + lesser[1:]
    return " ".join(each for each in (said, lesser) if each)


def repair_in_words(repair: Repair, reader: Reader) -> str:
    """Return the one more batch that makes a promise surer, with its cook, in a sentence or two.

    Empty if the farm does not know its step any more, and of a plan that did not try it by
    planning anew.
    """
    if not repair.is_planned_anew:
        return ""
    try:
        what = _batch(repair.variety, repair, reader)
        parents = [_batch(repair.variety, each, reader) for each in repair.parents]
    except RefusedError:
        return ""  # the route has no such step any more; the next plan looks anew
    source = f" (made from {', those from '.join(parents)})" if parents else ""
    comma = "," if repair.cook_on is not None else ""
    then = in_seasons(repair.after).removeprefix("in ")
    said = (
        f"{what}{source}{comma} would make it {then} instead of {round(HUNDRED * repair.before)}, "
        "pinned and planned anew."
    )
    if repair.weaker is None:
        return said
    return f"{said} {_touched(repair.weaker, reader)}, so weigh that against it."


def _touched(other: Touched, reader: Reader) -> str:
    """Return what becomes of another promise: ``Shiitake for the market on 3 April would ...``."""
    words = reader.promise_words([other.promise.split("@")[0]]) or (other.promise,)
    then = in_seasons(other.after).removeprefix("in ")
    return (
        f"{words[0]} on {short_day(other.due)} would then be met in {then} instead of "
        f"{round(HUNDRED * other.before)}"
    )


def _batch(variety: str, batch: Repair | Parents, reader: Reader) -> str:
    """Return a batch with its day and its cook: ``14 blocks more on Friday``."""
    stage = reader.step(variety, batch.step).stage
    is_bought = reader.is_bought(variety, batch.step)
    ordered = " ordered" if is_bought else ""
    units = units_in_words(stage, batch.units, is_bought=is_bought)
    what = f"{units} more{ordered} on {short_day(batch.on)}"
    if batch.cook_on is None:
        return what
    when = short_day(batch.cook_on)
    if batch.is_more_cook:
        return f"{what}, with one more {batch.cook} cook on {when}"
    return f"{what}, for which the {batch.cook} cook of {when} has room"


def in_vain_words(vain: InVain, reader: Reader) -> str:
    """Return why nothing was found that makes a promise surer, as far as it was reckoned."""
    if vain.cause is Vain.NOT_YET:
        if vain.on is None:
            return ""
        return (
            f"What serves it is started from {short_day(vain.on)} on; whether one more batch makes "
            "it surer is tried when that day is nearer."
        )
    said = _hindrance(vain, reader)
    if vain.after > vain.before and vain.weaker is not None:
        return f"{AT_A_COST}: {said}. {_touched(vain.weaker, reader)}."
    said = f"{NOT_CLEARLY if vain.units else NOTHING_FOUND}: {said}."
    return f"{said} {_touched(vain.surer, reader)}." if vain.surer is not None else said


def _hindrance(vain: InVain, reader: Reader) -> str:
    if vain.cause is Vain.LATE:
        return "nothing started from now on can be there in time"
    if vain.cause is Vain.FULL:
        return vain.because
    try:
        step = reader.step(vain.variety, vain.step) if vain.step else None
    except RefusedError:
        step = None
    if step is not None and vain.on is not None and vain.units:
        batch = f"{units_in_words(step.stage, vain.units)} more on {short_day(vain.on)}"
        if vain.is_hopeless:
            return f"{batch} were tried and do next to nothing for it"
        then = in_seasons(vain.after).removeprefix("in ")
        return (
            f"with {batch}, pinned and planned anew, it would be {then} instead of "
            f"{round(HUNDRED * vain.before)}"
        )
    if vain.because:
        return f"one more batch was tried, but {vain.because}"
    return "no further batch of the next weeks fits in and is there in time"


def lesser_words(chance: OrderChance, promised: float, handed: float, reader: Reader) -> str:
    """Return the part of a promise that holds with the wanted chance, rounded down.

    Empty if that is all of it but a rounding, or if nothing is known of it.
    """
    system = reader.book.farm.units
    rest = chance.sure or 0.0
    holds = _rounded_down(handed + rest, chance.measure, system)
    if holds >= (1.0 - LEAST_LESS) * promised:
        return ""
    often = in_seasons(SURE)
    whole = amount(promised, chance.measure, system=system)
    if holds <= handed:
        return f"as it stands, nothing {'more ' if handed else ''}of the {whole} holds {often}."
    less = amount(holds, chance.measure, system=system)
    return f"as it stands, {less} instead of {whole} would hold {often}."


def _rounded_down(quantity: float, measure: str, system: str) -> float:
    step = 1.0
    if measure == "gram":
        step = POUND_STEP if system == "us" else GRAMS_STEP
    return step * (quantity // step)
