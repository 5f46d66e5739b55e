"""Builders refuse what is no event, and every event balances."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest

from farm.small_farm import CODES, NOW, Taps, lot
from pinset.chain.stages import Stage
from pinset.errors import InputError
from pinset.farm import trade
from pinset.farm.entries import Kind, NewEntry
from pinset.farm.trade import ParentShare, Taken, Tap
from pinset.farm.trade.benchwork import Word
from pinset.farm.trade.looking import Verdict
from pinset.farm.validation import check_entry

A, B, C = CODES[:3]
NEW = lot(B, Stage.BLOCK, "block")
JARS = lot(C, Stage.PREPARED, "grain")
SIX = Taken(A, 6, "inc-1")

EVENTS: dict[str, Callable[[Tap], NewEntry]] = {
    "opening": lambda tap: trade.opening(tap, NEW, 5, "inc-1", made=9, picked_g=700, flush=1),
    "receive": lambda tap: trade.receive(tap, NEW, 5, "inc-1"),
    "prepare": lambda tap: trade.prepare(tap, "soak", 24),
    "cook": lambda tap: trade.cook(
        tap, "c1", [(JARS, 24)], "inc-1", steriliser="kettle", cook_kind="grain"
    ),
    "verdict": lambda tap: trade.verdict(tap, cook="c1", lots=[C], verdict="fail"),
    "learnt": lambda tap: trade.learnt(tap, cook="c1", load={"size": "9 x 14 cm"}, details={}),
    "inoculate": lambda tap: trade.inoculate(
        tap, [ParentShare(A, 2, "inc-1")], NEW, 20, "inc-1", vessels=[Taken(C, 20, "inc-1")]
    ),
    "chore": lambda tap: trade.chore_done(tap, "wipe-shelves"),
    "read": lambda tap: trade.instruction_read(replace(tap, person="ada"), "transfer", 1),
    "clone": lambda tap: trade.clone(tap, A, NEW, 3, "lab-1"),
    "shake": lambda tap: trade.shake(tap, SIX),
    "look": lambda tap: trade.look(tap, [SIX]),
    "lose": lambda tap: trade.lose(tap, SIX, cause="green mould"),
    "cull": lambda tap: trade.cull(tap, SIX),
    "spend": lambda tap: trade.spend(tap, SIX),
    "move": lambda tap: trade.move(tap, SIX, "grow-1", step="fruiting"),
    "stand": lambda tap: trade.move(tap, SIX, "inc-1", step="fruiting"),
    "recount up": lambda tap: trade.recount(tap, A, "inc-1", 2),
    "recount down": lambda tap: trade.recount(tap, A, "inc-1", -2),
    "pick": lambda tap: trade.pick(tap, A, 900, 2, "cold-1"),
    "pack": lambda tap: trade.pack(tap, [Taken(A, 900, "cold-1")], to_place="van"),
    "deliver": lambda tap: trade.deliver(tap, [Taken(A, 900, "cold-1")], buyer="weir"),
    "sell": lambda tap: trade.sell(tap, [SIX], buyer="weir", price_cents=12_000),
    "waste": lambda tap: trade.waste(tap, [Taken(A, 90, "cold-1")]),
    "dry": lambda tap: trade.dry(tap, [Taken(A, 90, "cold-1")]),
    "order": lambda tap: trade.order(tap, "spawn", 4),
    "round": lambda tap: trade.rounds(tap, ["grow"]),
    "session": lambda tap: trade.session(tap, Word.BEGUN, "hood-1", "hood"),
    "judge": lambda tap: trade.judge(tap, A, Verdict.READY, day=date(2026, 3, 20)),
    "put off": lambda tap: trade.put_off(replace(tap, job="J1"), "no jars"),
    "drop": lambda tap: trade.drop(replace(tap, job="J1"), "no jars"),
    "note": lambda tap: trade.note(replace(tap, note="x"), [A]),
}


@pytest.mark.parametrize("name", EVENTS)
def test_every_event_has_the_form_the_door_wants(name: str, tap: Taps) -> None:
    entry = EVENTS[name](tap())
    check_entry(entry, NOW)


@pytest.mark.parametrize("name", EVENTS)
def test_taking_back_brings_every_sum_to_zero(name: str, tap: Taps) -> None:
    entry = EVENTS[name](tap())
    undo = trade.correct(tap(), entry)
    check_entry(undo, NOW)
    sums: defaultdict[tuple[str, str, str], int] = defaultdict(int)
    for posting in (*entry.postings, *undo.postings):
        sums[posting.lot, posting.account, posting.place] += posting.quantity
    assert not any(sums.values())
    assert undo.corrects == entry.client_id


def test_units_of_one_lot_from_two_shelves_are_one_link(tap: Taps) -> None:
    shares = [ParentShare(A, 2, "inc-1"), ParentShare(A, 3, "lab-1")]
    entry = trade.inoculate(tap(), shares, NEW, 20, "inc-1")
    check_entry(entry, NOW)
    assert [(link.parent, link.units) for link in entry.links] == [(A, 5)]


def test_a_session_has_a_code(tap: Taps) -> None:
    with pytest.raises(InputError, match="bench session"):
        trade.session(tap(), Word.ENDED, "", "hood")


def test_every_kind_of_entry_has_a_builder(tap: Taps) -> None:
    assert {EVENTS[name](tap()).kind for name in EVENTS} == set(Kind)


REFUSED: dict[str, tuple[Callable[[Tap], NewEntry], str]] = {
    "learnt of no cook": (
        lambda tap: trade.learnt(tap, cook="", load={"a": "b"}, details={}),
        "cook",
    ),
    "learnt of no load": (lambda tap: trade.learnt(tap, cook="c1", load={}, details={}), "load"),
    "nothing lost": (lambda tap: trade.lose(tap, Taken(A, 0)), "quantity"),
    "nothing made": (lambda tap: trade.receive(tap, NEW, 0, "inc-1"), "quantity"),
    "less made than alive": (
        lambda tap: trade.opening(tap, NEW, 5, "inc-1", made=4),
        "at least the 5 units",
    ),
    "a move to where it stands": (lambda tap: trade.move(tap, SIX, "inc-1"), "another place"),
    "flush nought": (lambda tap: trade.pick(tap, A, 900, 0, "cold-1"), "flush"),
    "ready without a date": (lambda tap: trade.judge(tap, A, Verdict.READY), "day"),
    "putting off no job": (lambda tap: trade.put_off(tap, "no jars"), "code of the job"),
    "an empty note": (trade.note, "some text"),
    "cooking living lots": (
        lambda tap: trade.cook(
            tap, "c", [(NEW, 2)], "inc-1", steriliser="kettle", cook_kind="block"
        ),
        "prepared",
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_is_no_event_is_refused(name: str, tap: Taps) -> None:
    build, words = REFUSED[name]
    with pytest.raises(InputError, match=words):
        build(tap())
