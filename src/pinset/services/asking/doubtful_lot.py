"""What to do with a lot that may have caught something: asked, worked out, read when answered."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from math import ceil

from pinset.chain.living import LivingLot
from pinset.chain.lotcode import read_code
from pinset.chain.plain import from_plain, to_plain
from pinset.chain.readiness import keeps_until, ready_on
from pinset.chain.seen_contaminated import sound_of
from pinset.errors import InputError
from pinset.farm import question_store
from pinset.farm.queries.lots import KnownCodes
from pinset.farm.queries.story import last_entry_number
from pinset.farm.question_store import QuestionRow
from pinset.farm.stamp import register_stamp
from pinset.learning.losses.records import Shows
from pinset.learning.losses.sisters import Sister
from pinset.planning.ask.lot_choices import DoubtfulLot, outcomes_of
from pinset.planning.ask.trials import SEASONS
from pinset.services.asking.can_promise import PLAN_LIMIT_S, farm_now
from pinset.services.asking.doubtful_words import Line, Lot, lines_of, proposed_of
from pinset.services.asking.last_of_line import last_of_line
from pinset.services.asking.line import put_in_line
from pinset.services.book_reader import Reader
from pinset.services.clock import hour_is_known, now_utc
from pinset.services.losses import reckoning
from pinset.services.plans import planning_day

KEY = "doubtful lot"
"""Key of the question's body, which holds the lot's code."""

SHOWN_ENOUGH_AFTER_DAYS = 3
"""A lot old enough for nearly all to have shown is looked at again after so many days; our own
choice."""

FIRST_WITHIN_DAYS = 7
"""What is used first is used within so many days of being ready; our own choice."""


@dataclass(frozen=True, slots=True)
class LotAnswer:
    """What every choice costs, and which one is proposed."""

    lot: str
    sentence: str
    proposed: str  # key of a line
    why: str
    lines: tuple[Line, ...]
    remarks: tuple[str, ...]
    last_entry: int
    register: int


@dataclass(frozen=True, slots=True)
class AskedOfLot:
    """The newest question about a lot, and how far it has come."""

    number: int
    asked_at: datetime
    is_ended: bool
    progress: str
    problem: str
    answer: LotAnswer | None
    is_outdated: bool


def is_of_lot(body: dict[str, object]) -> bool:
    """Say whether a question of the line is about a doubtful lot."""
    return KEY in body


def ask_about_lot(code: str, person: str, now: datetime | None = None) -> int:
    """Put the question in line and return its number; one that waits already is shared.

    Raises
    ------
    InputError
        If it is not the code of a lot.
    RefusedError
        If so many questions wait that one more would only keep the plan from its turn.
    """
    return put_in_line({KEY: read_code(code, known=KnownCodes()).lot}, person, now)


def newest_about(code: str) -> AskedOfLot | None:
    """Return the newest question about a lot that nobody gave up; None if there was none."""
    rows = question_store.newest(question_store.KEPT)
    row = next((each for each in rows if each.question == {KEY: code}), None)
    return _asked(row) if row is not None else None


def _asked(row: QuestionRow) -> AskedOfLot:
    answer, problem = None, row.problem
    if row.answer is not None:
        try:
            answer = from_plain(LotAnswer, row.answer)
        except InputError:
            problem = "An older pinset wrote this answer; it cannot be read any more. Ask again."
    is_outdated = answer is not None and (
        answer.last_entry != last_entry_number() or answer.register != register_stamp()
    )
    return AskedOfLot(
        row.number, row.asked_at, row.is_ended, row.progress, problem, answer, is_outdated
    )


def answered_of_lot(
    body: dict[str, object], now: datetime | None, say: Callable[[str], None]
) -> dict[str, object]:
    """Work out the answer to a question about a lot, as it is stored."""
    found: dict[str, object] = to_plain(what_to_do(str(body[KEY]), now, say=say))
    return found


def what_to_do(
    code: str, now: datetime | None = None, *, say: Callable[[str], None] = lambda _: None
) -> LotAnswer:
    """Return what every choice about a lot costs, reckoned from the ledger as it is.

    Nothing is written.

    Parameters
    ----------
    code : str
        Of a lot that grows.
    now : datetime, optional
        The present moment if None.
    say : callable
        Takes what is being done; what it raises ends the work.

    Raises
    ------
    InputError
        If no such lot grows, or all of it was seen contaminated.
    """
    say("reading the farm")
    moment = now or now_utc()
    book, today = planning_day.farm_book(moment)
    entry, stamp = last_entry_number(), register_stamp()
    farm = farm_now(book, today, moment if now or hour_is_known() else None)
    wanted = read_code(code, known=KnownCodes()).lot
    parts = sound_of([each for each in farm.living if each.code == wanted])
    sister = _sister(wanted, now)
    if not parts or sister is None:
        raise InputError("lot", code, "the code of a lot that grows")
    lot = replace(_lot(parts, sister, today, now), last_of=last_of_line(wanted, farm.living))
    outcomes = outcomes_of(
        farm,
        DoubtfulLot(wanted, _beyond_its_route(sister), lot.shown_on),
        seed=today.toordinal(),
        time_limit_s=PLAN_LIMIT_S,
        say=say,
    )
    reader = Reader(book, today)
    proposed, why = proposed_of(lot, outcomes)
    return LotAnswer(
        lot=wanted,
        sentence=lot.sentence(reader),
        proposed=proposed.value,
        why=why,
        lines=lines_of(lot, outcomes, reader),
        remarks=(
            _method(reader.name(lot.variety), outcomes.days // 7),
            "Proposed by numbers that rest on what was looked at and written down. You decide.",
        ),
        last_entry=entry,
        register=stamp,
    )


def _method(variety: str, weeks: int) -> str:
    return (
        f"Each is planned anew and carried out in the same {SEASONS} seasons; promises of "
        f"{variety} in {weeks} weeks count. Two plans of one farm differ by a little in themselves."
    )


def _sister(code: str, now: datetime | None) -> Sister | None:
    found = reckoning.up_to_date(now).reckoned.sisters
    return next((each for each in found if each.lot == code), None)


def _beyond_its_route(sister: Sister) -> float:
    """Return the units to be lost; none to speak of where only its route is known."""
    return 0.0 if sister.by_route else sister.expected_lost


def _lot(parts: list[LivingLot], sister: Sister, today: date, now: datetime | None) -> Lot:
    first = parts[0]
    shows = next(
        each
        for each in reckoning.up_to_date(now).reckoned.shows
        if each.stage.value == first.stage.value
    )
    return Lot(
        code=first.code,
        variety=first.variety,
        step=first.step,
        stage=first.stage,
        generation=first.generation,
        standing=sum(part.alive for part in parts),
        chance=sister.chance,
        shown=sister.shown,
        expected_lost=sister.expected_lost,
        shown_on=_shown_on(first, shows, today),
        use_by=_use_by(first, today),
        by_route=sister.by_route,
        found=sister.found,
        is_looked_at=sister.is_looked_at,
    )


def _shown_on(lot: LivingLot, shows: Shows, today: date) -> date:
    """Return the day by which nine in ten of what it may have would show."""
    shown = lot.made_on + timedelta(days=ceil(shows.most_days))
    return max(shown, today + timedelta(days=SHOWN_ENOUGH_AFTER_DAYS))


def _use_by(lot: LivingLot, today: date) -> date:
    by = max(ready_on(lot).p50, today) + timedelta(days=FIRST_WITHIN_DAYS)
    keeps = keeps_until(lot)
    return by if keeps is None else max(today, min(by, keeps))
