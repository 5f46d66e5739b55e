"""Invented answers to "Can I promise it?", and questions that wait or were answered."""

from __future__ import annotations

from datetime import date, timedelta

from pinset.chain.plain import to_plain
from pinset.chain.register import Weekday
from pinset.farm import plan_requests
from pinset.services.asking import questions
from pinset.services.asking.promise_asked import Question
from pinset.services.asking.view import (
    CostRow,
    DayRow,
    EndangeredRow,
    HelpRow,
    Numbers,
    PromiseAnswer,
    Verdict,
)
from pinset.services.clock import now_utc


def answer(today: date, verdict: Verdict = Verdict.YES, **more: object) -> PromiseAnswer:
    first = today + timedelta(days=40)
    given: dict[str, object] = {
        "verdict": verdict,
        "sentence": "Yes: 2.5 kg Grey oyster, met in 96 of 100 seasons.",
        "question": Question("oyster", 2500, weekday=Weekday.WED, from_date=first, certainty=0.9),
        "asked": "2.5 kg Grey oyster every Wednesday, met in 90 of 100 seasons?",
        "answered_on": today,
        "last_entry": -1,
        "register": -1,
        "days": (DayRow(first, 2500.0, 0.96, 2400.0, is_enough=True),),
        "cost": (
            CostRow("Cooks", "0.1", "2.0"),
            CostRow("At the clean bench", "", "about nothing"),
        ),
        "cost_note": "Counted over the next 16 weeks.",
        "numbers": Numbers(112, 0.0, 1.0, 2.0, 10.0, 4.0, 0),
        "endangered": (),
        "short": (),
        "helps": (),
        "helps_note": "",
        "method": ("The farm was planned twice.",),
        "seconds": 3.2,
        "holds_from": first,
        **more,
    }
    return PromiseAnswer(**given)  # type: ignore[arg-type]


def answered_and_waiting(today: date) -> dict[str, str]:
    """Ask two questions, answer one with all there is to say; return both numbers."""
    first = today + timedelta(days=40)
    often = tuple(
        DayRow(first + timedelta(weeks=n), 2500.0, 0.6 + 0.05 * n, 2300.0, is_enough=n > 5)
        for n in range(9)
    )
    rows = tuple(
        EndangeredRow("kitchen-friday", "A kitchen", "Grey oyster", each.day, 0.96, 0.6, n < 3)
        for n, each in enumerate(often)
    )
    helps = (
        HelpRow("places", "With a quarter more places it would be met.", 0.96, is_enough=True),
        HelpRow("cook", "With one more cook it would be better.", 0.9, is_enough=False),
    )
    found = answer(
        today,
        Verdict.LATER,
        days=often,
        endangered=rows,
        helps=helps,
        short=("On 3 April and 4 later days short by 2 kg in all. All hands are busy.",),
        warning="It makes 3 deliveries promised already clearly less sure.",
        helps_note="Time ran out before every change that may help was tried.",
        remarks=("Only 2 days of it from then on can be judged: ask again nearer to it.",),
    )
    number = questions.ask_question(found.question, "ada")
    plan_requests.take(now_utc())
    plan_requests.end(number, now_utc(), answer=to_plain(found))
    waits = questions.ask_question(Question("oyster", 9000, on_date=first), "ada")
    plan_requests.take(now_utc() + timedelta(days=2))  # and its lease does not run out meanwhile
    plan_requests.tell(waits, "planning with it")
    return {"answered": str(number), "waiting": str(waits)}
