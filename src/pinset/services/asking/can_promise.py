"""Can I promise it? From the farm as it stands and a question to an answer in words."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from datetime import date, datetime

from pinset.chain.register import FarmBook
from pinset.errors import RefusedError
from pinset.farm.queries.story import last_entry_number
from pinset.farm.stamp import register_stamp
from pinset.planning.ask.ask import ask
from pinset.planning.ask.trials import Farm
from pinset.planning.building.from_book import Delivered
from pinset.services.asking.promise_asked import Question, read_question
from pinset.services.asking.view import PromiseAnswer
from pinset.services.asking.words import Known, answer_of
from pinset.services.clock import farm_time, hour_is_known, now_utc
from pinset.services.day.day_now import day_now
from pinset.services.day.hours_left import laid_from
from pinset.services.loads.begun import begun_vessels, since_hours
from pinset.services.plans import planning_day
from pinset.services.plans.problem_now import late_starts, owed_now

BUDGET_S = 8.5
"""No change is begun that would not be tried by then: words take time too, and 10 s are wanted."""

PLAN_LIMIT_S = 4.0
"""Of each plan; on a farm of six varieties one takes less than a second."""

MARGIN = 1.3  # a change may take so many times as long as the longest of those before it


class Stopwatch:
    """Passes on what is being done, and says whether there is time for one change more."""

    def __init__(self, say: Callable[[str], None], clock: Callable[[], float]) -> None:
        """Start now; ``clock`` counts seconds."""
        self._say, self._clock = say, clock
        self._began = self._turn = clock()
        self._plans: list[float] = []  # how long those took that are like the next one [s]
        self._said = self._tried = 0
        self.ran_out = False

    def say(self, text: str) -> None:
        """Take what is being done; between the first and the second the first plan is made."""
        self._said += 1
        if self._said == 2:  # noqa: PLR2004  (the second)
            self._plans.append(self._clock() - self._turn)
        self._turn = self._clock()
        self._say(text)

    @property
    def seconds(self) -> float:
        """Seconds since the start."""
        return self._clock() - self._began

    def goes_on(self) -> bool:
        """Say whether another change can be tried within the budget."""
        if self._tried:
            self._plans.append(self._clock() - self._turn)
        self._tried += 1
        self.say("trying what would help")
        has_time = self.seconds + MARGIN * max(self._plans, default=0.0) <= BUDGET_S
        self.ran_out = self.ran_out or not has_time
        return has_time


def read(typed: Mapping[str, str], now: datetime | None = None) -> Question:
    """Return the question that was typed, checked against the farm as it is now.

    Raises
    ------
    InputError
        As :func:`pinset.services.asking.promise_asked.read_question`.
    """
    return read_question(typed, *planning_day.farm_book(now))


def can_promise(
    question: Question,
    now: datetime | None = None,
    *,
    say: Callable[[str], None] = lambda _: None,
    clock: Callable[[], float] = time.monotonic,
) -> PromiseAnswer:
    """Return whether something can be promised, reckoned from the ledger as it is.

    Nothing is written: no plan is stored and no job changes.

    Parameters
    ----------
    question : Question
        Read and checked.
    now : datetime, optional
        The present moment if None.
    say : callable
        Takes what is being done, in words; what it raises ends the work.
    clock : callable
        Counts seconds, for the budget of the whole answer. [s]

    Raises
    ------
    RefusedError
        If the farm no longer grows the variety.
    """
    watch = Stopwatch(say, clock)
    say("reading the farm")
    moment = now or now_utc()
    book, today = planning_day.farm_book(moment)
    if question.variety not in {each.code for each in book.varieties}:
        raise RefusedError(
            f"The farm does not grow {question.variety} any more.", "Ask for another variety."
        )
    entry, stamp = last_entry_number(), register_stamp()
    answer = ask(
        farm_now(book, today, moment if now or hour_is_known() else None),
        question.as_promise(),
        wanted=question.certainty,
        seed=today.toordinal(),
        time_limit_s=PLAN_LIMIT_S,
        say=watch.say,
        goes_on=watch.goes_on,
    )
    known = Known(book, today, entry, stamp, watch.seconds, watch.ran_out)
    return answer_of(answer, question, known)


def farm_now(book: FarmBook, today: date, moment: datetime | None) -> Farm:
    """Return the farm as a plan of this moment would find it; None: as the day begins."""
    hour = farm_time(moment, book.farm.time_zone) if moment else None
    day = day_now(book, today, laid_from(hour, book) if hour else None)
    newest = planning_day.latest()
    aim = newest.aim if newest else None
    delivered = tuple(
        Delivered(code, due, amount)
        for (code, due), amount in day.delivered.items()
        if due >= today
    )
    return Farm(
        book=book,
        living=day.living,
        today=today,
        delivered=delivered,
        owed=owed_now(day),
        store=tuple(day.store),
        shares=aim.tuning.shares if aim else None,
        not_before=day.warm,
        not_carried=day.declined,
        taken=day.upkeep,
        begun=begun_vessels(book, today, day.waiting, since_hours(day.left.since)),
        since_hours=since_hours(day.left.since),
        late=late_starts(day),
        assumes_prepared=False,
    )
