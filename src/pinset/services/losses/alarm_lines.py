"""Alarms in words: what was seen, how often such an alarm is false, and what to do."""

from __future__ import annotations

from dataclasses import dataclass

from pinset.chain.histories import Shared
from pinset.chain.register import FarmBook
from pinset.learning.losses.alarms import Alarm
from pinset.learning.losses.alarms_going import STAGE
from pinset.learning.losses.records import SuspectLots
from pinset.services.losses import words
from pinset.services.losses.names import name_of
from pinset.services.words import first_upper, joined, plural

TO_DO = {
    STAGE: "Look at what all of them share: water, grain or sawdust, the room's air, the season. "
    "Look over the lots of the last weeks again.",
    Shared.COOK.value: "Read its record: seal, drain, probe, how full it was. Look over what is "
    "left of it, and hold back what is not used yet.",
    Shared.SESSION.value: "Look over what was made in it before it is opened again. Filter, wipe, "
    "flame, who went by: what was different?",
    Shared.PARENT.value: "Hold back what is left of it, and look over all that was made from it.",
    Shared.LINE.value: "Make nothing new of it until a kept tube of it was woken and stayed clean.",
    Shared.MIX.value: "Ask how long it stood wet before its cook, how moist it was, and whether it "
    "came from a new delivery.",
    Shared.PERSON.value: "Make transfers together once, slowly: tools, flame, how long vessels "
    "stand open. It may as well be the hour or the bench.",
    Shared.PLACE.value: "Look there for wet, draught, dust and flies; look over what stands there, "
    "then clean it.",
}
"""What to do first after an alarm; common practice, no source."""


@dataclass(frozen=True, slots=True)
class AlarmLine:
    """One alarm."""

    kind: str
    level: str
    name: str
    day: str
    sentence: str
    often: str
    to_do: str
    alike: str  # what rests on the same finds; empty: nothing else
    lots: tuple[str, ...]


def alarm_line(
    alarm: Alarm, book: FarmBook, lots: dict[tuple[Shared, str], SuspectLots]
) -> AlarmLine:
    """Return an alarm in words."""
    name = _name(alarm.factor, alarm.level, book, lots)
    others = joined([_name(*each, book, lots) for each in alarm.alike])
    usual = "under 1" if alarm.expected < 1.0 else f"about {alarm.expected:.0f}"
    how = "" if alarm.chance is not None else " one after the other"
    return AlarmLine(
        kind=alarm.factor,
        level=alarm.level,
        name=first_upper(name),
        day=words.day_words(alarm.at, book.farm.time_zone),
        sentence=f"{alarm.found} lost in {plural(alarm.lots, 'lot')}{how}, where {usual} would be "
        "usual.",
        often=_often(alarm),
        to_do=TO_DO[alarm.factor],
        alike=f"These finds, or part of them, speak against {others} as well: told once."
        if others
        else "",
        lots=alarm.names,
    )


def _name(
    factor: str, level: str, book: FarmBook, lots: dict[tuple[Shared, str], SuspectLots]
) -> str:
    if factor == STAGE:
        names = {stage.value: name for stage, name in words.STAGES.items()}
        return f"all {names.get(level, level)}"
    kind = Shared(factor)
    return name_of(kind, level, book, lots.get((kind, level)))


def _often(alarm: Alarm) -> str:
    if alarm.chance is not None:
        return (
            "While nothing is wrong, cooks, sessions and parent lots together raise such an alarm "
            f"{_rate_words(alarm.a_year)}."
        )
    return f"While nothing is wrong, this one is raised {_rate_words(alarm.a_year)}."


def _rate_words(a_year: float) -> str:
    """Return how often something comes, in words.

    Examples
    --------
    >>> _rate_words(1.4), _rate_words(0.24), _rate_words(0.002)
    ('about once or twice a year', 'about once in 4 years', 'less than once in 20 years')
    """
    if a_year < 0.05:  # noqa: PLR2004
        return "less than once in 20 years"
    if a_year < 0.8:  # noqa: PLR2004
        years = round(1.0 / a_year)
        return "about once in a year or two" if years == 1 else f"about once in {years} years"
    if a_year < 1.2:  # noqa: PLR2004
        return "about once a year"
    if a_year < 1.8:  # noqa: PLR2004
        return "about once or twice a year"
    return f"about {a_year:.0f} times a year"
