"""Which picked weight leaves the store: the oldest that is still good first, past days last."""

from __future__ import annotations

from collections.abc import Sequence

from pinset.errors import RefusedError
from pinset.farm.queries.store import StoredWeight
from pinset.farm.trade import Taken
from pinset.services import cautions
from pinset.services.building.suitable import settle
from pinset.services.building.task import Task, looked_up
from pinset.services.jobs.records import LotAmount
from pinset.services.store.days import OnStore, keeping_days, on_store, past_words

STILL = "If it is to be handed over all the same, give a reason."


def weight_to_sell(task: Task, grams: int) -> list[Taken]:
    """Return which grams are handed over, from where.

    Raises
    ------
    RefusedError
        If nothing of the variety is in store; if what is asked for is past its keeping days or
        more than is there, and no reason is given.
    """
    store = _in_store(task)
    against = _too_much(task, grams, store, "handed over")
    hint = ""
    if task.answer.lots:
        looked_up(task, [LotAmount(code, 1) for code, _ in task.answer.lots])
        old = [
            _only_past(task, store, code)
            for code, wanted in task.answer.lots
            if wanted > _of(code, store.good) and _of(code, store.past)
        ]
    else:
        old = [_too_few_good(task, store)] if grams > store.good_g and store.past else []
    if old:
        hint = " ".join((STILL, *cautions.sentences(["food"])))
    settle(task, [*against, *old], hint)
    if task.answer.lots:
        return _of_lots(task.answer.lots, [*store.good, *store.past])
    return _in_turn(grams, [*store.good, *store.past])


def as_in_store(task: Task, grams: int) -> int:
    """Return the grams handed over: all there is, where more is said that reads the same.

    A weight planned in grams and shown in tenths may be a few grams above what lies there.
    """
    store = on_store(task.reader.book, task.day, task.job.variety)
    there = store.good_g + store.past_g
    if task.answer.lots or not 0 < there < grams:
        return grams
    return there if task.reader.said(there) == task.reader.said(grams) else grams


def weight_to_throw_out(task: Task, grams: int | None) -> list[Taken]:
    """Return which grams are thrown out, the oldest first; all that is past its days if not said.

    Raises
    ------
    RefusedError
        If nothing is in store or past its days; if more is thrown out than is past its days or in
        store, and no reason is given.
    """
    store = _in_store(task)
    if task.answer.lots:
        looked_up(task, [LotAmount(code, 1) for code, _ in task.answer.lots])
        return _of_lots(task.answer.lots, [*store.past, *store.good])
    if grams is None and not store.past:
        raise RefusedError(
            f"Nothing of {task.job.variety_name} in the cold store is past its days any more.",
            "If something was thrown out all the same, give its weight.",
        )
    wanted = store.past_g if grams is None else grams
    against = _too_much(task, wanted, store, "thrown out")
    said = task.reader.said
    if wanted > store.past_g and said(wanted) == said(store.past_g):
        wanted = store.past_g  # what the scales round off is no other weight
    elif wanted > store.past_g and not against:
        against.append(
            f"{said(store.past_g)} of {task.job.variety_name} are past their days, and "
            f"{said(wanted)} are to be thrown out."
        )
    settle(task, against)
    return _in_turn(wanted, [*store.past, *store.good])


def _in_store(task: Task) -> OnStore:
    store = on_store(task.reader.book, task.day, task.job.variety)
    if not store.good and not store.past:
        raise RefusedError(
            f"Nothing of {task.job.variety_name} is in the cold store.",
            "Record what was picked first, then what was handed over.",
        )
    return store


def _too_much(task: Task, grams: int, store: OnStore, done: str) -> list[str]:
    there = store.good_g + store.past_g
    if grams <= there:
        return []
    said = task.reader.said
    has = f"Only {said(there)} of {task.job.variety_name} are in the cold store"
    return [f"{has}, and {said(grams)} are to be {done}."]


def _too_few_good(task: Task, store: OnStore) -> str:
    said, name = task.reader.said, task.job.variety_name
    past = f"{said(store.past_g)} are past them ({_days(task, store.past)})"
    if not store.good:
        return f"No {name} in the cold store is within its days; {past}."
    return f"Only {said(store.good_g)} of {name} in the cold store are within their days; {past}."


def _only_past(task: Task, store: OnStore, code: str) -> str:
    own = [each for each in store.past if each.lot == code]
    grams = task.reader.said(sum(each.grams for each in own))
    return f"{grams} of lot {code} are past their days ({_days(task, own)})."


def _days(task: Task, past: Sequence[StoredWeight]) -> str:
    keeps = keeping_days(task.reader.book).get(task.job.variety, 0)
    return past_words([each.picked_on for each in past], keeps)


def _of(code: str, weights: Sequence[StoredWeight]) -> int:
    return sum(each.grams for each in weights if each.lot == code)


def _of_lots(lots: Sequence[tuple[str, int]], weights: Sequence[StoredWeight]) -> list[Taken]:
    taken: list[Taken] = []
    for code, grams in lots:
        own = [each for each in weights if each.lot == code]
        taken += _in_turn(grams, own) if own else [Taken(code, grams)]
    return taken


def _in_turn(grams: int, weights: Sequence[StoredWeight]) -> list[Taken]:
    """Return what is taken of weights in their order.

    More than the books know of is put on the last: the ledger asks about it.
    """
    taken: list[Taken] = []
    left = grams
    for each in weights:
        now = min(left, each.grams)
        if now > 0:
            taken.append(Taken(each.lot, now, each.place, each.picked_on))
            left -= now
    if left > 0:
        last = weights[-1]
        taken.append(Taken(last.lot, left, last.place))
    return taken
