"""Lime baths written down: hours and pH, held against the farm's rule. No heat, so no lethality."""

from __future__ import annotations

from dataclasses import dataclass

from pinset.chain.lime import (
    LEAST_PH,
    MOST_HOURS,
    MOST_PH,
    LimeRule,
)
from pinset.errors import InputError, RefusedError
from pinset.farm import trade
from pinset.farm.entries import NewEntry
from pinset.farm.trade import CookVerdict, Tap
from pinset.services.building.heat import lots_of
from pinset.services.cooks.judge import verdicts as cook_verdicts
from pinset.services.cooks.judge.standing import NOTHING, Aside, set_aside
from pinset.services.cooks.judge.verdict_entries import write_verdict
from pinset.services.cooks.setting import setting_of
from pinset.services.cooks.words import LIME
from pinset.services.texts import LONGEST_REASON, written
from pinset.services.views import Done

MOST_GRAMS_PER_LITRE = 100.0
HOURS = f"a number of hours above 0, to {MOST_HOURS:g}"
PH = f"a pH from {LEAST_PH:g} to {MOST_PH:g}"
DOSE = f"above 0, to {MOST_GRAMS_PER_LITRE:g} g in a litre of water"


@dataclass(frozen=True, slots=True)
class LimeBath:
    """What somebody measured of a lime bath."""

    hours: float  # from when the straw was under water until it was lifted out
    ph: float | None = None  # of the water at the end; None: not measured
    lime_g_per_l: float | None = None  # hydrated lime put in, per litre of water
    note: str = ""  # which lime, which test strip


def rule_of(cook: str) -> LimeRule:
    """Return the farm's rule for a cook that is a lime bath.

    Raises
    ------
    RefusedError
        If there is no such cook, or the rule of its kind is not of lime.
    """
    line = cook_verdicts.cook_of(cook).line
    rule = setting_of(line.steriliser, line.cook_kind).lime
    if rule is None:
        raise RefusedError(
            f"Cook {cook} is not a lime bath.",
            "A kind of cook is one by its rule, such as lime=12h/pH12, in Settings.",
        )
    return rule


def record_bath(
    client_id: str, worker: str, cook: str, bath: LimeBath, aside: Aside = NOTHING
) -> Done:
    """Write down what a lime bath had, and whether that is what the farm asks for.

    Parameters
    ----------
    client_id : str
        Random id of this tap; the same sent again is the same verdict.
    worker, cook : str
        Codes of who measured, and of the cook.
    bath : LimeBath
        What was measured.
    aside : Aside
        Earlier verdicts that do not count because of it, and why.

    Raises
    ------
    InputError
        If a value is out of range, the rule asks for a pH and none was measured, or nothing such
        can be set aside.
    RefusedError
        If there is no such cook, or it is no lime bath.
    """
    rule = rule_of(cook)
    _check(bath, rule)
    is_enough = bath.hours >= rule.hours and (rule.ph is None or (bath.ph or 0.0) >= rule.ph)
    verdict = CookVerdict.PASS if is_enough else CookVerdict.FAIL
    note = written("note", bath.note, LONGEST_REASON)
    details = {
        "treatment": LIME,
        "hours": bath.hours,
        "ph": bath.ph,
        "lime_g_per_l": bath.lime_g_per_l,
        "rule": rule.words,
        "reason": note,
        "sentence": _sentence(bath, rule, is_enough=is_enough),
    }

    def build(tap: Tap) -> NewEntry:
        lots, given = lots_of(cook), {**details, **set_aside(cook, verdict, aside)}
        return trade.verdict(tap, cook=cook, lots=lots, verdict=verdict, details=given)

    return write_verdict(client_id, worker, cook, build)


def _check(bath: LimeBath, rule: LimeRule) -> None:
    if not 0.0 < bath.hours <= MOST_HOURS:
        raise InputError("hours", bath.hours, HOURS)
    if bath.ph is None and rule.ph is not None:
        raise InputError("ph", "", f"the pH at the end: the rule asks for {rule.ph:g} or more")
    if bath.ph is not None and not LEAST_PH <= bath.ph <= MOST_PH:
        raise InputError("ph", bath.ph, PH)
    if bath.lime_g_per_l is not None and not 0.0 < bath.lime_g_per_l <= MOST_GRAMS_PER_LITRE:
        raise InputError("lime", bath.lime_g_per_l, DOSE)


def _sentence(bath: LimeBath, rule: LimeRule, *, is_enough: bool) -> str:
    at = f" at pH {bath.ph:g}" if bath.ph is not None else ""
    dose = f", {bath.lime_g_per_l:g} g of lime in a litre" if bath.lime_g_per_l else ""
    word = "as the farm asks" if is_enough else "less than the farm asks"
    return (
        f"{bath.hours:g} h in lime water{at}{dose}: {word}, {rule.words}. A chemical treatment: no "
        "lethality is reckoned, and a flora is left on purpose."
    )
