"""The answer in words: the verdict with its number, what it takes, endangers and would help."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, timedelta

import pytest

from farm.small_farm import TODAY
from pinset.chain.plain import from_plain, to_plain
from pinset.chain.register import Weekday
from pinset.farm.models import Entry, Job, StoredPlan
from pinset.planning.ask.ask import Answer, Endangered
from pinset.planning.ask.costs import Cost
from pinset.planning.ask.help import Change, Help
from pinset.planning.ask.trials import AskedDay
from pinset.planning.plan import Short
from pinset.services.asking import can_promise
from pinset.services.asking.can_promise import BUDGET_S, MARGIN, Stopwatch
from pinset.services.asking.cost import NOTHING
from pinset.services.asking.promise_asked import Question
from pinset.services.asking.view import PromiseAnswer, Verdict
from pinset.services.asking.words import Known, answer_of
from pinset.services.plans import planning_day
from services.conftest import FULL_BOOK

FRIDAY = date(2026, 4, 3)
WEEKLY = Question("grey", 12_000, weekday=Weekday.FRI, from_date=TODAY)
ONCE = Question("grey", 40_000, on_date=FRIDAY)
COST = Cost(
    112, bench_hours=7.5, hands_hours=16.0, cooks=2.0, substrate_kg=320.0,
    started=(("grey block", 336.0), ("grey grain", -0.6)), room_places=201.4,
)  # fmt: skip


def days(*chances: float, amount: float = 12_000.0) -> tuple[AskedDay, ...]:
    return tuple(
        AskedDay(FRIDAY + timedelta(weeks=n), amount, chance, amount * chance)
        for n, chance in enumerate(chances)
    )


def said(answer: Answer, question: Question = WEEKLY, *, ran_out: bool = False) -> PromiseAnswer:
    return answer_of(answer, question, Known(FULL_BOOK, TODAY, 1, 1, 3.21, ran_out))


def plain(found: tuple[AskedDay, ...], holds: date | None, **more: object) -> Answer:
    given: dict[str, object] = {
        "later_day": None, "cost": COST, "endangered": (), "short": (), "helps": (), **more,
    }  # fmt: skip
    return Answer(0.95, found, holds, **given)  # type: ignore[arg-type]


def test_a_yes_says_how_often_it_is_met_on_the_worst_day() -> None:
    view = said(plain(days(0.99, 0.96, 0.98), FRIDAY))
    assert view.verdict is Verdict.YES
    assert view.sentence == (
        "Yes: 12 kg Grey oyster every Friday from 3 April, met in 96 of 100 seasons on the least "
        "sure day."
    )
    assert view.short == view.helps == view.remarks == ()


def test_a_yes_within_what_seasons_can_tell_says_so() -> None:
    view = said(plain(days(0.99, 0.94), FRIDAY))
    assert view.verdict is Verdict.YES
    assert "so near the 95 wanted that 600 seasons cannot tell" in view.remarks[0]
    assert all(row.is_enough for row in view.days)


def test_not_yet_names_the_day_from_which_it_holds() -> None:
    view = said(plain(days(0.4, 0.5, 0.96, 0.97, 0.99), FRIDAY + timedelta(weeks=2)))
    assert view.verdict is Verdict.LATER
    assert view.sentence == (
        "Not yet: 12 kg Grey oyster every Friday from 17 April on, met in 96 of 100 seasons; "
        "before that it is met in 40 of 100 seasons on 3 April."
    )
    assert [row.is_enough for row in view.days] == [False, False, True, True, True]


def test_not_yet_names_the_least_sure_day_before_it_holds() -> None:
    view = said(plain(days(0.99, 0.99, 0.7, 0.96, 0.97, 0.98), FRIDAY + timedelta(weeks=3)))
    assert view.sentence.endswith("before that it is met in 70 of 100 seasons on 17 April.")


def test_not_yet_on_its_last_days_only_is_doubted() -> None:
    view = said(plain(days(0.4, 0.5, 0.97), FRIDAY + timedelta(weeks=2)))
    assert view.remarks == ("Only 1 day of it from then on can be judged: ask again nearer to it.",)


def test_one_day_that_is_too_soon_names_a_later_one() -> None:
    later = FRIDAY + timedelta(weeks=3)
    view = said(plain(days(0.04, amount=40_000.0), None, later_day=later), ONCE)
    assert view.verdict is Verdict.LATER
    assert view.sentence == (
        "Not yet: 40 kg Grey oyster on Friday 24 April, met as surely as wanted (95 of 100 "
        "seasons); on 3 April it is met in 4 of 100 seasons."
    )


def test_a_no_says_how_far_it_is_from_what_is_wanted() -> None:
    view = said(plain(days(0.5, 0.0, 0.3), None))
    assert view.verdict is Verdict.NO
    assert view.sentence == (
        "No: 12 kg Grey oyster every Friday from 3 April is met in fewer than 1 of 100 seasons on "
        "the least sure day until 17 April; wanted are 95."
    )
    assert "spread of days, losses and yields" in view.short[0]


def test_units_are_named_as_growers_do() -> None:
    asked = Question("grey", 20, step="grain", on_date=FRIDAY, certainty=0.8, buyer="market")
    view = said(plain(days(1.0, amount=20.0), FRIDAY), asked)
    assert view.sentence == (
        "Yes: 20 grain jars of Grey oyster on Friday 3 April, met in more than 99 of 100 seasons."
    )
    assert view.asked == (
        "20 grain jars of Grey oyster on Friday 3 April for Market stall, met in 80 of 100 seasons?"
    )


@pytest.mark.parametrize(
    ("amount", "met"), [(1, "1 grain jar of Grey oyster {} is"), (6, "6 grain jars of {} are")]
)
def test_units_that_cannot_be_promised(amount: int, met: str) -> None:
    """One unit is met, several are; what is short is said in the same units."""
    once = Question("grey", amount, step="grain", on_date=FRIDAY)
    no = plain(days(0.5, amount=amount), None)
    begins = met.format("on Friday 3 April" if amount == 1 else "Grey oyster on Friday 3 April")
    assert said(no, once).sentence == (
        f"No: {begins} met in 50 of 100 seasons; wanted are 95, and the same weekday is no surer "
        "in the weeks after it that were looked at."
    )
    every = replace(once, on_date=None, weekday=Weekday.FRI, from_date=TODAY)
    shorts = tuple(
        Short("asked-for", FRIDAY + timedelta(weeks=n), "grey", 1.0 * amount, "unit", amount,
              "All hands are busy.", is_unavoidable=False)
        for n in range(2)
    )  # fmt: skip
    view = said(plain(days(0.5, 0.4, amount=amount), None, short=shorts), every)
    verb = "is" if amount == 1 else "are"
    assert f"every Friday from 3 April {verb} met in 40 of 100 seasons on the" in view.sentence
    assert view.short == (
        f"On 3 April and 1 later day short by {2 * amount} grain jars in all. All hands are busy.",
    )
    [one] = said(plain(days(0.5, amount=amount), None, short=shorts[:1]), once).short
    noun = "1 grain jar" if amount == 1 else "6 grain jars"
    assert one == f"On 3 April short by {noun}. All hands are busy."


def test_what_it_takes_by_the_week_and_in_all() -> None:
    rows = {row.what: (row.a_week, row.in_all) for row in said(plain(days(0.97), FRIDAY)).cost}
    assert rows["At the clean bench"] == ("28 min", "7 h 30 min")  # 450 min over 16 weeks
    assert rows["By hand, with picking"] == ("1 h", "16 h")
    assert rows["Cooks"] == ("0.1", "2.0")
    assert rows["Substrate and grain, wet"] == ("20 kg", "320 kg")
    assert rows["Grow-room places at the most"] == ("", "201")
    assert rows["Grey oyster: blocks begun"] == ("21", "336")
    assert rows["Grey oyster: grain jars begun"] == ("", NOTHING)
    assert "Spawn bought" not in rows


def test_a_small_saving_is_about_nothing_and_a_large_one_is_said() -> None:
    cost = replace(
        COST, bench_hours=-0.5, hands_hours=-8.0, cooks=-0.3, substrate_kg=-9.0, bought_cents=-60
    )
    rows = {row.what: row.in_all for row in said(plain(days(0.97), FRIDAY, cost=cost), ONCE).cost}
    nothing = ("At the clean bench", "Cooks", "Substrate and grain, wet", "Spawn bought")
    assert [rows[what] for what in nothing] == [NOTHING] * 4
    assert rows["By hand, with picking"] == "8 h less"


def test_endangered_promises_are_named_and_large_ones_stand_in_the_verdict() -> None:
    endangered = (
        Endangered("market-grey", FRIDAY, 0.96, 0.6),
        Endangered("market-grey@2", FRIDAY + timedelta(weeks=1), 0.96, 0.92),
    )
    view = said(plain(days(0.97), FRIDAY, endangered=endangered))
    assert view.warning == (
        "It makes 1 delivery promised already clearly less sure, Grey oyster for Market stall on "
        "3 April most: from 96 to 60 of 100 seasons."
    )
    assert [(row.buyer, row.variety, row.is_clear) for row in view.endangered] == [
        ("Market stall", "Grey oyster", True),
        ("Market stall", "Grey oyster", False),
    ]


def test_why_it_is_short_once_for_each_reason() -> None:
    shorts = tuple(
        Short("asked-for", FRIDAY + timedelta(weeks=n), "grey", 1000.0, "gram", 12_000.0,
              "All hands are busy.", is_unavoidable=False)
        for n in range(3)
    )  # fmt: skip
    view = said(plain(days(0.1, 0.2, 0.3), None, short=shorts))
    assert view.short == ("On 3 April and 2 later days short by 3 kg in all. All hands are busy.",)


def test_what_would_help_is_a_sentence_that_says_whether_it_is_enough() -> None:
    helps = (
        Help(Change.PLACES, "", 0.96, is_enough=True),
        Help(Change.DAY, "sat", 0.9, is_enough=False),
        Help(Change.BOUGHT, "grain", 0.8, is_enough=False),
        Help(Change.COOK, "", 0.7, is_enough=False),
        Help(Change.OPEN, "", 0.6, is_enough=False),
    )
    view = said(plain(days(0.5, 0.5), None, helps=helps), ran_out=True)
    assert view.helps[0].sentence == (
        "With a quarter more places in its grow rooms it would be met in 96 of 100 seasons: that "
        "is enough."
    )
    assert "With work on Saturdays, too, it would" in view.helps[1].sentence
    assert view.helps[1].sentence.endswith("in 90 of 100 seasons: better, but not enough.")
    assert len({each.change for each in view.helps}) == len(Change)
    assert view.helps_note == "Time ran out before every change that may help was tried."
    assert "None of the changes" in said(plain(days(0.5), None)).helps_note


def test_an_answer_is_kept_and_read_again_as_it_was() -> None:
    endangered = (Endangered("market-grey", FRIDAY, 0.96, 0.6),)
    view = said(plain(days(0.5, 0.97), FRIDAY + timedelta(weeks=1), endangered=endangered))
    assert from_plain(PromiseAnswer, json.loads(json.dumps(to_plain(view)))) == view


class Hands:
    """A clock that is moved by hand."""

    def __init__(self) -> None:
        self.at = 100.0

    def __call__(self) -> float:
        return self.at


def test_no_change_is_tried_that_would_end_after_the_budget() -> None:
    clock = Hands()
    watch = Stopwatch(lambda _: None, clock)
    for text, takes in (("without", 1.0), ("with", 2.0), ("helps", 0.0)):
        watch.say(text)
        clock.at += takes
    assert watch.goes_on()
    clock.at += 1.0
    assert watch.goes_on()
    assert not watch.ran_out
    clock.at += 3.0  # a change took longer than a plan
    assert not watch.goes_on()  # 7 s are gone: another of 3 s and a margin would end too late
    assert watch.ran_out
    assert watch.seconds + MARGIN * 3.0 > BUDGET_S


def test_the_farm_is_asked_and_nothing_is_written(stock: dict[str, str]) -> None:
    assert stock
    planning_day.replan()
    before = Entry.objects.count(), Job.objects.count(), StoredPlan.objects.count()
    heard: list[str] = []
    typed = {"variety": "grey", "amount": "1", "weekday": "thu", "from_date": "2026-05-07"}
    view = can_promise.can_promise(can_promise.read(typed), say=heard.append)
    assert view.days[0].day == date(2026, 5, 7)
    assert view.sentence.split(":")[0] in {"Yes", "Not yet", "No"}
    assert len(view.days) >= 8
    assert heard[:3] == ["reading the farm", "planning without it", "planning with it"]
    assert (Entry.objects.count(), Job.objects.count(), StoredPlan.objects.count()) == before
    absurd = can_promise.can_promise(can_promise.read({**typed, "amount": "10000"}))
    assert absurd.verdict is Verdict.NO
    assert absurd.short


@pytest.mark.usefixtures("stock")
def test_a_farm_without_a_plan_answers_too() -> None:
    typed = {"variety": "grey", "amount": "3", "step": "grain", "on_date": "2026-03-13"}
    view = can_promise.can_promise(can_promise.read({**typed, "certainty": "60"}))
    assert view.days[0].amount == 3
    assert view.cost[0].a_week == ""
