"""The first sentences of what is said of losses: how old it is, how much, and what stands out."""

from __future__ import annotations

from collections.abc import Sequence
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
    much = _much(found.stages)
    worse = [_name(each) for each in found.stages if each.is_worse]
    trend = [f"Losses of {joined(worse)} have got worse."] if worse else []
    return " ".join([*_since(found, now, zone), *much, *trend, _stands_out(found, bool(much))])


def _since(found: Reckoned, now: datetime, zone: str) -> list[str]:
    """Return that all of it is old, where it is."""
    if found.last_look is None or now - found.last_look < timedelta(days=LATELY_DAYS):
        return []
    day = words.day_words(found.last_look, zone)
    return [f"Nothing was looked at since {day}; what follows speaks of then."]


def _much(stages: Sequence[StageLosses]) -> list[str]:
    """Return of which stages clearly more is lost than their routes expect."""
    much = [each for each in stages if each.lately.low is not None and each.lately.low > 1.0]
    nearly = [each for each in much if each.lately.found >= NEARLY_ALL * each.lately.units]
    said = []
    if nearly:
        of = [
            f"{_name(each)} ({each.lately.found} of {plural(each.lately.units, 'unit')})"
            for each in nearly
        ]
        is_all = all(each.lately.found >= each.lately.units for each in nearly)
        whole = "All" if is_all else "Nearly all"
        said.append(f"{whole} that was made in the last eight weeks is lost of {joined(of)}.")
    return said + [
        f"{first_upper(_name(each))}: more is lost than the routes expect, {each.lately.found} of "
        f"{plural(each.lately.units, 'unit')} made in the last eight weeks where "
        f"{words.few(each.lately.expected)} should have shown."
        for each in much
        if each not in nearly
    ]


def _name(stage: StageLosses) -> str:
    return words.STAGES.get(stage.stage, stage.stage.value)


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
