"""The first sentences of what is said of losses: how old it is, how much, and what stands out."""

from __future__ import annotations

from datetime import datetime, timedelta

from pinset.learning.losses.by_stage import LATELY_DAYS, StageLosses
from pinset.learning.losses.ranking import SHORT_LIST
from pinset.learning.losses.records import Reckoned
from pinset.services.losses import words
from pinset.services.words import first_upper, joined, plural

NEARLY_ALL = 0.9
"""Lost of what was made lately, from which on it is called nearly all; our own choice."""


def first_sentence(found: Reckoned, now: datetime, zone: str) -> str:
    """Return what a reader should know first.

    Parameters
    ----------
    found : Reckoned
        What is said.
    now : datetime
        The moment at which it is read.
    zone : str
        The farm's time zone.
    """
    if not found.looked_at:
        return "No lot has been looked at yet, so nothing can be said of losses."
    much = [said for each in found.stages if (said := _much(each))]
    worse = [words.STAGES.get(s.stage, s.stage.value) for s in found.stages if s.is_worse]
    trend = [f"Losses of {joined(worse)} have got worse."] if worse else []
    return " ".join([*_since(found, now, zone), *much, *trend, _stands_out(found, bool(much))])


def _since(found: Reckoned, now: datetime, zone: str) -> list[str]:
    """Return that all of it is old, where it is."""
    if found.last_look is None or now - found.last_look < timedelta(days=LATELY_DAYS):
        return []
    day = words.day_words(found.last_look, zone)
    return [f"Nothing was looked at since {day}; what follows speaks of then."]


def _much(stage: StageLosses) -> str:
    """Return that clearly more of a stage is lost than its routes expect; empty: it is not."""
    lately = stage.lately
    if lately.low is None or lately.low <= 1.0:
        return ""
    name = words.STAGES.get(stage.stage, stage.stage.value)
    of = f"{lately.found} of {plural(lately.units, 'unit')}"
    if lately.found >= NEARLY_ALL * lately.units:
        whole = "All" if lately.found >= lately.units else "Nearly all"
        return f"{whole} units of {name} made in the last eight weeks are lost: {of}."
    return (
        f"{first_upper(name)}: more is lost than the routes expect, {of} made in the last eight "
        f"weeks where {words.few(lately.expected)} should have shown."
    )


def _stands_out(found: Reckoned, is_much: bool) -> str:  # noqa: FBT001 - private
    named = len(found.standing_out)
    if not named and is_much:
        return (
            "Nothing stands out among what lots share: look at what all of them have in common, "
            "such as water, grain or sawdust, the cook and the room's air."
        )
    if not named:
        return "Nothing your lots share stands out."
    if named == 1:
        return "1 thing your lots share stands out; look into it."
    if named == SHORT_LIST:
        return f"These {SHORT_LIST} things your lots share stand out most; begin with the first."
    return f"{plural(named, 'thing')} your lots share stand out; begin with the first."
