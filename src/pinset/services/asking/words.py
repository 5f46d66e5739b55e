"""The answer to "Can I promise it?" in words: the verdict first, with its number."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from pinset.chain.register import FarmBook, Weekday
from pinset.chain.stages import units_in_words
from pinset.planning.ask.ask import ENDANGERED, ENOUGH, Answer
from pinset.planning.ask.help import LEAST_GAIN, Change, Help
from pinset.planning.plan import Short
from pinset.planning.reading.short_reason import ShortReason
from pinset.planning.reading.shortage_words import worth_a_word
from pinset.services.asking.cost import cost_note, cost_rows, numbers
from pinset.services.asking.promise_asked import Question
from pinset.services.asking.view import (
    DayRow,
    EndangeredRow,
    HelpRow,
    PromiseAnswer,
    Verdict,
)
from pinset.services.book_reader import Reader
from pinset.services.promises.chance_words import HUNDRED, in_seasons, of_hundred
from pinset.services.words import (
    WEEKDAYS,
    kilograms,
    long_day,
    plural,
    short_day,
)

FEW_DAYS = 3
CLEAR = 0.1
"""A delivery so much less sure is told of in the verdict. Two plans of one farm, one of them with
ten grams more promised, differ by up to 4 in 100 at single deliveries (measured on the demo)."""
MOST_REASONS = 4


@dataclass(frozen=True, slots=True)
class Known:
    """What an answer was reckoned from, and how long that took."""

    book: FarmBook
    today: date
    last_entry: int
    register: int
    seconds: float
    ran_out: bool  # before every change was tried


def answer_of(answer: Answer, question: Question, known: Known) -> PromiseAnswer:
    """Return an answer as it is read, in the farm's own units."""
    reader = Reader(known.book, known.today)
    days = tuple(
        DayRow(each.day, each.amount, each.chance, each.expected, _is_enough(each.chance, answer))
        for each in answer.days
    )
    verdict = _verdict(answer)
    endangered = _endangered(answer, reader)
    is_yes = verdict is Verdict.YES
    return PromiseAnswer(
        verdict=verdict,
        sentence=_sentence(answer, verdict, question, reader),
        question=question,
        asked=asked_words(question, reader),
        answered_on=known.today,
        last_entry=known.last_entry,
        register=known.register,
        days=days,
        cost=cost_rows(answer.cost, question, reader),
        cost_note=cost_note(answer.cost),
        numbers=numbers(answer.cost),
        endangered=endangered,
        short=() if is_yes else _short(answer.short, question, reader),
        helps=tuple(_help(each) for each in answer.helps),
        helps_note="" if is_yes else _helps_note(answer, ran_out=known.ran_out),
        method=_method(answer),
        seconds=round(known.seconds, 1),
        warning=_warning(endangered),
        holds_from=answer.holds_from,
        later_day=answer.later_day,
        remarks=_remarks(days, verdict, answer),
    )


def what_words(question: Question, reader: Reader) -> str:
    """Return ``12 kg Lion's mane`` or ``20 grain jars of Lion's mane``."""
    name = reader.name(question.variety)
    if question.measure == "gram":
        return f"{kilograms(question.amount, reader.book.farm.units)} {name}"
    return f"{_units_words(question.amount, question, reader)} of {name}"


def asked_words(question: Question, reader: Reader) -> str:
    """Return the question in words, with the wanted certainty."""
    said = f"{what_words(question, reader)} {_when(question, question.from_date)}"
    if question.until is not None:
        said += f" until {short_day(question.until)}"
    buyers = {each.code: each.name for each in reader.book.buyers}
    if question.buyer:
        said += f" for {buyers.get(question.buyer, question.buyer)}"
    return f"{said}, met in {question.certainty * HUNDRED:.0f} of 100 seasons?"


def _when(question: Question, begins: date | None) -> str:
    if question.weekday is None:
        return f"on {long_day(question.on_date)}" if question.on_date else ""
    every = f"every {WEEKDAYS[question.weekday.number]}"
    return f"{every} from {short_day(begins)}" if begins else every


def _is_enough(chance: float, answer: Answer) -> bool:
    return chance >= answer.wanted - ENOUGH


def _verdict(answer: Answer) -> Verdict:
    if answer.is_yes:
        return Verdict.YES
    return Verdict.LATER if answer.holds_from or answer.later_day else Verdict.NO


def _sentence(answer: Answer, verdict: Verdict, question: Question, reader: Reader) -> str:
    what = what_words(question, reader)
    if not answer.days:
        return f"No: {what} falls due on no day that a plan sees."
    first, last = answer.days[0], answer.days[-1]
    worst = min(each.chance for each in answer.days)
    wanted = f"{answer.wanted * HUNDRED:.0f}"
    least = " on the least sure day" if len(answer.days) > 1 else ""
    is_one = question.measure == "gram" or question.amount == 1
    met, it_met = ("is met", "it is met") if is_one else ("are met", "they are met")
    if verdict is Verdict.YES:
        said = f"Yes: {what} {_when(question, first.day)}, met {in_seasons(worst)}{least}"
    elif verdict is Verdict.LATER and answer.holds_from is not None:
        later = min(each.chance for each in answer.days if each.day >= answer.holds_from)
        before = [each for each in answer.days if each.day < answer.holds_from]
        weak = min(before or answer.days, key=lambda each: (each.chance, each.day))
        said = (
            f"Not yet: {what} {_when(question, answer.holds_from)} on, met {in_seasons(later)}; "
            f"before that {it_met} {in_seasons(weak.chance)} on {short_day(weak.day)}"
        )
    elif verdict is Verdict.LATER and answer.later_day is not None:
        said = (
            f"Not yet: {what} on {long_day(answer.later_day)}, met as surely as wanted "
            f"({wanted} of 100 seasons); on {short_day(first.day)} {it_met} "
            f"{in_seasons(first.chance)}"
        )
    elif question.on_date is not None:
        said = (
            f"No: {what} on {long_day(first.day)} {met} {in_seasons(first.chance)}; wanted are "
            f"{wanted}, and the same weekday is no surer in the weeks after it that were looked at"
        )
    else:
        said = (
            f"No: {what} {_when(question, first.day)} {met} {in_seasons(worst)}{least} "
            f"until {short_day(last.day)}; wanted are {wanted}"
        )
    return f"{said}."


def _warning(endangered: Sequence[EndangeredRow]) -> str:
    clear = [each for each in endangered if each.is_clear]
    if not clear:
        return ""
    worst = clear[0]
    return (
        f"It makes {plural(len(clear), 'delivery', 'deliveries')} promised already clearly less "
        f"sure, {worst.variety} for {worst.buyer} on {short_day(worst.day)} most: from "
        f"{of_hundred(worst.before)} to {of_hundred(worst.after)} of 100 seasons."
    )


def _endangered(answer: Answer, reader: Reader) -> tuple[EndangeredRow, ...]:
    promises = {promise.code: promise for promise in reader.book.promises}
    buyers = {buyer.code: buyer.name for buyer in reader.book.buyers}
    found = []
    for each in answer.endangered:
        code = each.promise.split("@")[0]
        promise = promises.get(code)
        buyer = buyers.get(promise.buyer, promise.buyer) if promise else code
        variety = reader.name(promise.variety) if promise else ""
        is_clear = each.before - each.after >= CLEAR
        row = EndangeredRow(code, buyer, variety, each.day, each.before, each.after, is_clear)
        found.append(row)
    return tuple(found)


def _short(shorts: Sequence[Short], question: Question, reader: Reader) -> tuple[str, ...]:
    """Return why it is short, each kind of reason once with its days, the soonest first."""
    groups: dict[tuple[ShortReason | str, tuple[str, ...]], list[Short]] = defaultdict(list)
    for short in sorted(worth_a_word(shorts), key=lambda each: each.day):
        groups[short.reason_code or short.reason, short.about].append(short)
    if not groups:
        return (
            (
                "The plan has enough for it on every day: it is the spread of days, losses and "
                "yields that makes it unsure."
            ),
        )
    said = []
    for group in list(groups.values())[:MOST_REASONS]:
        days = sorted({short.day for short in group})
        more = f" and {plural(len(days) - 1, 'later day')}" if len(days) > 1 else ""
        in_all = " in all" if len(days) > 1 else ""
        total = _amount_short(sum(short.amount for short in group), question, reader)
        said.append(f"On {short_day(days[0])}{more} short by {total}{in_all}. {group[0].reason}")
    return tuple(said)


def _amount_short(amount: float, question: Question, reader: Reader) -> str:
    """Return ``3 kg`` or ``72 blocks``, as it is asked for."""
    if question.measure == "gram":
        return reader.about(amount, question.measure)
    return _units_words(max(1, round(amount)), question, reader)


def _units_words(count: int, question: Question, reader: Reader) -> str:
    stage = reader.step(question.variety, question.step).stage
    is_bought = reader.is_bought(question.variety, question.step)
    return units_in_words(stage, count, is_bought=is_bought)


def _change_words(each: Help) -> str:
    if each.change is Change.PLACES:
        return "With a quarter more places in its grow rooms"
    if each.change is Change.COOK:
        return "With one more cook a day in every steriliser"
    if each.change is Change.DAY:
        return f"With work on {WEEKDAYS[Weekday(each.what).number]}s, too,"
    if each.change is Change.BOUGHT:
        return f"With bought spawn in place of the farm's own {each.what}, there within a week,"
    return "With starts and moves on any day of the week"


def _help(each: Help) -> HelpRow:
    tail = "that is enough" if each.is_enough else "better, but not enough"
    said = f"{_change_words(each)} it would be met {in_seasons(each.chance)}: {tail}."
    return HelpRow(each.change.name.lower(), said, each.chance, each.is_enough)


def _helps_note(answer: Answer, *, ran_out: bool) -> str:
    if ran_out:
        return "Time ran out before every change that may help was tried."
    if not answer.helps:
        return (
            f"None of the changes that were tried makes it surer by {LEAST_GAIN * HUNDRED:.0f} in "
            "100: more places, more cooks, another working day, bought spawn, any day for starts."
        )
    return ""


def _remarks(days: Sequence[DayRow], verdict: Verdict, answer: Answer) -> tuple[str, ...]:
    found = []
    good = [each for each in days if answer.holds_from and each.day >= answer.holds_from]
    if good and min(each.chance for each in good) < answer.wanted:
        found.append(
            f"That is so near the {answer.wanted * HUNDRED:.0f} wanted that {answer.seasons} "
            "seasons cannot tell it apart."
        )
    if verdict is Verdict.LATER and good and len(good) < FEW_DAYS:
        found.append(
            f"Only {plural(len(good), 'day')} of it from then on can be judged: ask again nearer "
            "to it."
        )
    return tuple(found)


def _method(answer: Answer) -> tuple[str, ...]:
    return (
        (
            f"The farm was planned {answer.cost.days} days ahead without the promise and with it, "
            "from what is alive, prepared, ordered, in store and promised now. Both are plans in "
            "parts of units and batches, without whole numbers, so they are a little too good."
        ),
        (
            f"Both plans were carried out in the same {answer.seasons} seasons that chance might "
            "bring: every lot's days, losses and yield come from the spreads of its route, and "
            "people answer what they see. A chance is the share of seasons in which all of it (99 "
            "parts of 100) is there on its day."
        ),
        (
            f"A day is sure enough if it is at most {ENOUGH * HUNDRED:.0f} in 100 below what is "
            "wanted: nearer, so many seasons cannot tell. A promise made already is endangered if "
            f"it is met in {ENDANGERED * HUNDRED:.0f} of 100 seasons less; less than "
            f"{CLEAR * HUNDRED:.0f} may be no more than one plan differing from the other."
        ),
        (
            "What would help was planned and carried out in the same way, one change at a time, "
            "and is judged on the least sure day of the later half."
        ),
        "A chance is no proof: it is as good as the days, losses and yields the routes say.",
    )
