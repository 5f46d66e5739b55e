"""Losses as a page and the terminal show them: in words first, then in numbers."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from pinset.chain.histories import Shared
from pinset.chain.register import FarmBook
from pinset.learning.losses.ranking import Ranked
from pinset.learning.losses.records import SuspectLots
from pinset.services.clock import farm_time, now_utc
from pinset.services.losses import reckoning, words
from pinset.services.losses.alarm_lines import AlarmLine, alarm_line
from pinset.services.losses.first_words import first_sentence
from pinset.services.losses.mending import MendedLine, mended_lines
from pinset.services.losses.mother_lines import MotherLine, mother_line
from pinset.services.losses.names import KINDS, name_of
from pinset.services.losses.room_lines import RoomLine, room_lines, rooms_sentence
from pinset.services.losses.sister_lines import SisterLine, sister_lines
from pinset.services.losses.week_lines import WeeksLine, weeks_line
from pinset.services.losses.without_people import without_people
from pinset.services.plans import planning_day
from pinset.services.words import first_upper, plural
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
        "What happened once, a cook or a session, and was far worse than all others is drawn "
        "towards the usual: of eight drawn ones six times the usual the range held the truth in "
        "two. Read its range as at least so much."
    ),
    (
        "Of every cook's F0 and every session's open minutes it is reckoned beforehand what they "
        "let one expect. A prediction is never a proof."
    ),
    (
        "What is counted in a room is held against its own counts before; the first four only "
        "teach what is usual. Few or clumped counts keep an alarm back until they say enough."
    ),
)
CAUTION = caution("mouldy-units").sentence


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
    weeks: WeeksLine | None  # None: no week of which enough would have shown


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
class LossesView:
    """What is said of losses."""

    sentence: str
    as_of: str
    stages: tuple[StageLine, ...]
    suspects: tuple[SuspectLine, ...]
    earlier: tuple[SuspectLine, ...]  # they stood out once and are over
    costly: tuple[SuspectLine, ...]
    alarms: tuple[AlarmLine, ...]
    mothers: tuple[MotherLine, ...]
    mended: tuple[MendedLine, ...]
    sisters: tuple[SisterLine, ...]
    rooms: tuple[RoomLine, ...]
    rooms_sentence: str  # in which rooms an alarm goes on; empty: in none
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
    found = kept.reckoned if with_people else without_people(kept.reckoned)
    of_suspect = {(each.kind, each.level): each for each in found.of_suspects}
    weeks = {each.stage: weeks_line(each, book.farm.time_zone, kept.at) for each in found.weeks}
    rooms = room_lines(found.rooms, book, now or now_utc())
    return LossesView(
        sentence=first_sentence(found, now or now_utc(), book.farm.time_zone),
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
                weeks=weeks.get(each.stage),
            )
            for each in found.stages
        ),
        suspects=tuple(suspect_line(each, book, of_suspect) for each in found.standing_out),
        earlier=tuple(suspect_line(each, book, of_suspect) for each in found.earlier),
        costly=tuple(suspect_line(each, book, of_suspect) for each in found.costly),
        alarms=tuple(alarm_line(each, book, of_suspect) for each in found.alarms),
        mothers=tuple(mother_line(each, book) for each in found.mothers),
        mended=mended_lines(found, book, with_people=with_people),
        sisters=sister_lines(found, book),
        rooms=rooms,
        rooms_sentence=rooms_sentence(rooms),
        shows=tuple(
            f"{first_upper(words.STAGES.get(each.stage, each.stage.value))}: half shows within "
            f"{each.half_days:.0f} days, nine in ten within {each.most_days:.0f}, "
            f"from {plural(each.units, 'unit')} of your own and what is usual."
            for each in found.shows
        ),
        notes=tuple(each.sentence for each in found.findings),
    )


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
