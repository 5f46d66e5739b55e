"""Losses as a page and the terminal show them: in words first, then in numbers."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from pinset.chain.histories import Shared
from pinset.chain.register import FarmBook
from pinset.learning.losses.alarms import STAGE, Alarm
from pinset.learning.losses.ranking import SHORT_LIST, Ranked
from pinset.learning.losses.reckoned import Mother, Reckoned, SuspectLots
from pinset.services.clock import farm_time
from pinset.services.losses import reckoning, words
from pinset.services.losses.mending import MendedLine, mended_lines
from pinset.services.losses.names import KINDS, name_of
from pinset.services.plans import planning_day
from pinset.services.words import first_upper, joined, plural
from pinset.tables.cautions import caution

METHOD = (
    (
        "A young lot on which nothing was seen is not called clean: only the share that would have "
        "shown by now counts. How soon it shows is learnt from your own finds."
    ),
    (
        "All suspects are weighed together, lots differ among themselves beyond them, and what "
        "rests on few lots is drawn towards the usual."
    ),
    (
        "This is an order in which to look into things, not a verdict. On simulated farms whose "
        "truth is known the true cause stands first in a third to a half of all outbreaks."
    ),
    (
        "Of every cook's F0 and every session's open minutes it is reckoned beforehand what they "
        "let one expect. A prediction is never a proof."
    ),
)
CAUTION = caution("mouldy-units").sentence
MOST_SISTERS = 30


@dataclass(frozen=True, slots=True)
class StageLine:
    """One stage."""

    stage: str
    name: str
    sentence: str
    units: int
    found: int
    expected: float
    before_ratio: float | None
    trend: str  # worse, better, or empty


@dataclass(frozen=True, slots=True)
class SuspectLine:
    """One suspect."""

    kind: str
    level: str
    kind_name: str
    name: str
    effect: str
    chance: str
    alike: str
    signs: str
    physics: str
    ratio: float
    low: float
    high: float
    lots: int
    units: int
    found: int
    excess: float
    raised: float
    too_few_lots: bool


@dataclass(frozen=True, slots=True)
class AlarmLine:
    """One alarm."""

    kind: str
    level: str
    name: str
    day: str
    sentence: str
    often: str
    lots: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SisterLine:
    """One lot that still grows, with what may come of it."""

    lot: str
    name: str  # variety and step
    standing: int
    chance: float
    expected_lost: float
    shown: float
    shares: tuple[str, ...]  # names of suspects that stand out and that it shares


@dataclass(frozen=True, slots=True)
class MotherLine:
    """A culture or first-generation lot on which contamination was found."""

    lot: str
    sentence: str
    children: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LossesView:
    """What is said of losses."""

    sentence: str
    as_of: str
    stages: tuple[StageLine, ...]
    suspects: tuple[SuspectLine, ...]
    costly: tuple[SuspectLine, ...]
    alarms: tuple[AlarmLine, ...]
    mothers: tuple[MotherLine, ...]
    mended: tuple[MendedLine, ...]
    sisters: tuple[SisterLine, ...]
    shows: tuple[str, ...]
    notes: tuple[str, ...]
    method: tuple[str, ...] = METHOD
    caution: str = CAUTION


def losses_view(
    *, anew: bool = False, with_people: bool = True, now: datetime | None = None
) -> LossesView | None:
    """Return what is said of losses; None if nothing was reckoned yet.

    Parameters
    ----------
    anew : bool
        Reckons now if anything was written down since; else the last reckoning is shown.
    with_people : bool
        Whether people are named among the suspects: a matter of whoever leads them.
    """
    book, _today = planning_day.farm_book(now)
    kept = reckoning.up_to_date(now) if anew else reckoning.latest()
    if kept is None:
        return None
    found = kept.reckoned
    of_suspect = _lots_by_suspect(found)
    hidden = () if with_people else (Shared.PERSON,)
    standing_out = [each for each in found.ranked if each.stands_out][: found.named]
    named = tuple(suspect_line(e, book, of_suspect) for e in standing_out if e.kind not in hidden)
    return LossesView(
        sentence=_sentence(found),
        as_of=_as_of(kept, book),
        stages=tuple(
            StageLine(
                stage=each.stage.value,
                name=words.STAGES.get(each.stage, each.stage.value),
                sentence=words.stage_sentence(each),
                units=each.lately.units,
                found=each.lately.found,
                expected=each.lately.expected,
                before_ratio=each.before.ratio,
                trend="worse" if each.is_worse else "better" if each.is_better else "",
            )
            for each in found.stages
        ),
        suspects=named,
        costly=tuple(
            suspect_line(each, book, of_suspect) for each in found.costly if each.kind not in hidden
        ),
        alarms=tuple(
            _alarm_line(each, book, of_suspect)
            for each in found.alarms
            if each.factor not in {kind.value for kind in hidden}
        ),
        mothers=tuple(_mother_line(each, book) for each in found.mothers),
        mended=mended_lines(found, book, with_people=with_people),
        sisters=_sisters(found, book, of_suspect),
        shows=tuple(
            f"{first_upper(words.STAGES.get(each.stage, each.stage.value))}: half shows within "
            f"{each.half_days:.0f} days, nine in ten within {each.most_days:.0f}, "
            f"from {plural(each.units, 'unit')} of your own and what is usual."
            for each in found.shows
        ),
        notes=tuple(each.sentence for each in found.findings),
    )


def _sentence(found: Reckoned) -> str:
    if not found.looked_at:
        return "No lot has been looked at yet, so nothing can be said of losses."
    worse = [words.STAGES.get(s.stage, s.stage.value) for s in found.stages if s.is_worse]
    trend = f"Losses of {joined(worse)} have got worse." if worse else ""
    if not found.named:
        return f"{trend} Nothing your lots share stands out.".strip()
    if found.named == SHORT_LIST:
        said = f"These {SHORT_LIST} things your lots share stand out most"
    else:
        stand = "stands" if found.named == 1 else "stand"
        said = f"{plural(found.named, 'thing')} your lots share {stand} out"
    return f"{trend} {said}; look into the first first.".strip()


def _as_of(kept: reckoning.Kept, book: FarmBook) -> str:
    at = farm_time(kept.at, book.farm.time_zone)
    said = f"Reckoned on {words.day_words(kept.at, book.farm.time_zone)} at {at:%H:%M} from "
    said += f"{plural(kept.reckoned.lots, 'lot')}."
    if kept.entries_since:
        said += (
            f" {plural(kept.entries_since, 'entry', 'entries')} since; while pinset serves it is "
            "reckoned anew every ten minutes."
        )
    return said


def _lots_by_suspect(found: Reckoned) -> dict[tuple[Shared, str], SuspectLots]:
    return {(each.kind, each.level): each for each in found.of_suspects}


def suspect_line(
    found: Ranked, book: FarmBook, lots: dict[tuple[Shared, str], SuspectLots]
) -> SuspectLine:
    """Return a suspect in words and numbers."""
    suspect = found.suspect
    names = [
        name_of(each.kind, each.level, book, lots.get((each.kind, each.level)))
        for each in found.alike
    ]
    return SuspectLine(
        kind=found.kind.value,
        level=suspect.level,
        kind_name=KINDS[found.kind],
        name=first_upper(
            name_of(found.kind, suspect.level, book, lots.get((found.kind, suspect.level)))
        ),
        effect=first_upper(words.effect_sentence(found)),
        chance=words.chance_words(found),
        alike=words.alike_words(found, names),
        signs=words.signs_words(found),
        physics=words.physics_words(found),
        ratio=suspect.ratio,
        low=suspect.low,
        high=suspect.high,
        lots=suspect.lots,
        units=suspect.vessels,
        found=suspect.lost,
        excess=suspect.excess,
        raised=suspect.raised,
        too_few_lots=suspect.too_few_lots,
    )


def _alarm_line(
    alarm: Alarm, book: FarmBook, lots: dict[tuple[Shared, str], SuspectLots]
) -> AlarmLine:
    if alarm.factor == STAGE:
        names = {stage.value: name for stage, name in words.STAGES.items()}
        name = f"all {names.get(alarm.level, alarm.level)}"
    else:
        kind = Shared(alarm.factor)
        name = name_of(kind, alarm.level, book, lots.get((kind, alarm.level)))
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
        lots=alarm.names,
    )


def _mother_line(mother: Mother, book: FarmBook) -> MotherLine:
    names = {each.code: each.name for each in book.varieties}
    day = words.day_words(mother.found_at, book.farm.time_zone)
    what = f"{names.get(mother.variety, mother.variety)}, {mother.step}"
    rest = f"{plural(mother.standing, 'unit')} of it still stand" if mother.standing else ""
    made = (
        f"{plural(mother.children_units, 'unit')} in {plural(len(mother.children), 'lot')} made "
        "from it still grow"
        if mother.children
        else ""
    )
    return MotherLine(
        lot=mother.lot,
        sentence=f"{what}: {mother.found} found contaminated, the last on {day}. "
        f"{first_upper(joined([each for each in (rest, made) if each]))}.",
        children=mother.children,
    )


def _often(alarm: Alarm) -> str:
    if alarm.chance is not None:
        return (
            f"On a quiet farm about one in {alarm.lots_between:,.0f} cooks, sessions and parent "
            "lots raises such an alarm."
        )
    return f"On a quiet farm such an alarm comes once in about {alarm.lots_between:,.0f} lots."


def _sisters(
    found: Reckoned, book: FarmBook, lots: dict[tuple[Shared, str], SuspectLots]
) -> tuple[SisterLine, ...]:
    shares: dict[str, list[str]] = {}
    facts: dict[str, str] = {}
    names = {each.code: each.name for each in book.varieties}
    for each in found.ranked[: found.named]:
        its = lots.get((each.kind, each.suspect.level))
        for lot in its.lots if its else ():
            name = name_of(each.kind, each.suspect.level, book, its)
            shares.setdefault(lot.lot, []).append(name)
            facts[lot.lot] = f"{names.get(lot.variety, lot.variety)}, {lot.step}"
    return tuple(
        SisterLine(
            lot=each.lot,
            name=facts.get(each.lot, ""),
            standing=each.standing,
            chance=each.chance,
            expected_lost=each.expected_lost,
            shown=each.shown,
            shares=tuple(shares.get(each.lot, ())),
        )
        for each in found.sisters
        if each.lot in shares
    )[:MOST_SISTERS]
