"""What the door takes, what it refuses, and what it says."""

from __future__ import annotations

import hashlib
from contextlib import suppress
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone
from itertools import permutations

import pytest
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext

from farm.small_farm import CODES, NOW, TODAY, Taps, lot
from pinset.chain.stages import Stage
from pinset.errors import InputError, RefusedError, Severity
from pinset.farm import trade
from pinset.farm.check import check
from pinset.farm.codes import issue_codes
from pinset.farm.corrections import undo_of
from pinset.farm.door import record
from pinset.farm.entries import (
    Account,
    Kind,
    Measure,
    NewEntry,
    NewLink,
    NewMention,
    NewPosting,
)
from pinset.farm.models import Balance, ChainHead, Entry, Link, Lot, Person, Place
from pinset.farm.queries import counts, living, lot_by_code
from pinset.farm.since import taken_out_since
from pinset.farm.standing import split
from pinset.farm.trade import ParentShare, Taken, Tap

pytestmark = pytest.mark.usefixtures("farm")
A, B, C, D = CODES[:4]
CLIENT = "a" * 32


def stands(code: str, place: str, account: str = "alive") -> int:
    found = Balance.objects.filter(lot__code=code, place__code=place, account=account)
    return sum(balance.quantity for balance in found)


def arrived(tap: Taps, code: str = A, count: int = 10, **facts: object) -> NewEntry:
    return trade.receive(tap(), lot(code, Stage.GRAIN, "grain", **facts), count, "inc-1")


# -- what is written -----------------------------------------------------------------------------


def test_the_hash_is_that_of_the_documented_text(tap: Taps) -> None:
    """The text spelled out by hand as the canonical form says, hashed by the standard library."""
    entry = trade.lose(
        Tap(CLIENT, datetime(2026, 3, 12, 8, 30, tzinfo=timezone(timedelta(hours=1))), "ben", "J7"),
        Taken(A, 2, "inc-1"),
        cause="green mould",
    )
    record([arrived(tap)], now=NOW)
    record([entry], now=NOW)
    first, second = Entry.objects.order_by("id")
    assert first.previous_hash == "0" * 64
    key = Person.objects.get(code="ben").key
    text = (
        f'{{"client":"{CLIENT}","corrects":"","details":{{"cause":"green mould"}},'
        '"happened_at":"2026-03-12T07:30:00.000000Z","job":"J7","kind":"lose","links":[],'
        f'"lots":[],"mentions":[],"note":"","number":2,"person":"{key}",'
        f'"postings":[["{A}","alive","inc-1","unit",-2],["{A}","lost","","unit",2]],'
        f'"previous":"{first.hash}","recorded_at":"2026-03-12T09:00:00.000000Z"}}'
    )
    assert second.hash == hashlib.sha256(text.encode()).hexdigest()
    head = ChainHead.objects.get()
    assert (head.count, head.last_hash) == (2, second.hash)


def test_a_repeated_request_is_one_entry(tap: Taps) -> None:
    entry = arrived(tap)
    (first,) = record([entry], now=NOW)
    (again,) = record([entry], now=NOW + timedelta(minutes=5))
    twice = record([entry, entry], now=NOW)
    assert not first.already
    assert again == replace(first, already=True)
    assert [one.already for one in twice] == [True, True]
    assert stands(A, "inc-1") == 10


def test_the_same_entry_twice_in_one_list_is_one(tap: Taps) -> None:
    entry = arrived(tap)
    assert [one.already for one in record([entry, entry], now=NOW)] == [False, True]
    assert Entry.objects.count() == 1


def test_a_list_is_written_whole_or_not_at_all(tap: Taps) -> None:
    good, bad = arrived(tap), trade.move(tap(person="nobody"), Taken(A, 1, "inc-1"), "inc-2")
    with pytest.raises(InputError, match="'nobody' is not accepted"):
        record([good, bad], now=NOW)
    assert Entry.objects.count() == Lot.objects.count() == Balance.objects.count() == 0


def test_part_use_leaves_the_parent_alive_and_opened(tap: Taps) -> None:
    record([arrived(tap, count=3)], now=NOW)
    share = ParentShare(A, 1, "inc-1", is_part=True, amount=250, measure=Measure.MILLILITRE)
    record([trade.inoculate(tap(), [share], lot(B, Stage.BLOCK, "block"), 8, "inc-2")], now=NOW)
    assert (stands(A, "inc-1"), stands(A, "", "used")) == (3, 0)
    link = Link.objects.get()
    assert (link.units, link.amount, link.measure) == (1, 250, "millilitre")
    opened, whole = living(TODAY, lots=[A])
    assert (opened.alive, opened.opened_on) == (1, TODAY)
    assert (whole.alive, whole.opened_on) == (2, None)


def test_taking_more_than_stands_is_kept_and_repaid(tap: Taps) -> None:
    record([arrived(tap, count=4)], now=NOW)
    (taken,) = record([trade.lose(tap(), Taken(A, 6, "inc-1"))], now=NOW)
    (finding,) = taken.findings
    assert finding.id == "ledger.unexplained"
    assert finding.sentence == f"2 units more than the ledger knew at inc-1 left lot {A}."
    assert (stands(A, "inc-1"), stands(A, "inc-1", "unexplained")) == (0, -2)
    (found,) = record([trade.recount(tap(), A, "inc-1", 5)], now=NOW)
    assert found.findings == ()
    assert (stands(A, "inc-1"), stands(A, "inc-1", "unexplained")) == (3, 0)
    assert counts([lot_by_code(A).pk])[lot_by_code(A).pk].is_balanced


@pytest.mark.parametrize("before", range(-4, 5))
@pytest.mark.parametrize("change", range(-6, 7))
def test_split_keeps_the_sum_and_never_lets_both_stand(before: int, change: int) -> None:
    stood, unexplained = split(before, change)
    assert stood + unexplained == change
    alive, owed = max(before, 0) + stood, min(before, 0) + unexplained
    assert alive >= 0 >= owed
    assert alive == 0 or owed == 0


def test_a_lot_named_before_it_is_made_is_completed_later(tap: Taps) -> None:
    (early,) = record([trade.lose(tap(), Taken(A, 2, "inc-1"))], now=NOW)
    assert Lot.objects.get().is_announced
    assert early.findings
    record([arrived(tap)], now=NOW)
    made = Lot.objects.get()
    assert (made.is_announced, made.stage, made.culture) == (False, "grain", "g1")
    assert stands(A, "inc-1") == 8


def test_a_lot_keeps_the_version_of_its_route(tap: Taps) -> None:
    from farm.small_farm import ROUTE
    from pinset.farm import register_store

    later = replace(ROUTE, generation_limit=2)
    register_store.write([later], date(2026, 3, 1), "ada", NOW)
    record([arrived(tap, A, made_on=date(2026, 2, 28)), arrived(tap, B, made_on=TODAY)], now=NOW)
    old, new = living(TODAY)
    assert (old.route.generation_limit, new.route.generation_limit) == (3, 2)
    record([arrived(tap, C, made_on=date(2020, 1, 1))], now=NOW)
    assert living(TODAY, lots=[C])[0].route.generation_limit == 3


def test_places_nobody_described_are_written_down(tap: Taps) -> None:
    record(
        [trade.receive(tap(), lot(A, Stage.GRAIN, "grain"), 3, "the shelf in the hall")], now=NOW
    )
    assert Place.objects.get(code="the shelf in the hall").room == ""
    assert living(TODAY)[0].temperature_c == 24.0  # what its route asks for


def test_details_come_back_as_they_were(tap: Taps) -> None:
    said = {"kg": 1.5, "whole": 2.0, "list": [1, "two", None, True], "deep": {"ä": "ß"}}
    record([trade.rounds(tap(), ["grow"], details=said)], now=NOW)
    assert Entry.objects.get().details == {"rooms": ["grow"], **said}


def test_a_job_takes_few_statements_however_long_the_list(tap: Taps) -> None:
    record([arrived(tap, count=500)], now=NOW)

    def statements(many: int) -> int:
        entries = [trade.lose(tap(), Taken(A, 1, "inc-1")) for _ in range(many)]
        with CaptureQueriesContext(connection) as seen:
            record(entries, now=NOW)
        return len(seen)

    assert statements(1) == statements(100) <= 11


# -- corrections ---------------------------------------------------------------------------------


def test_taking_back_restores_what_stood(tap: Taps) -> None:
    record([arrived(tap)], now=NOW)
    wrong = trade.lose(tap(), Taken(A, 3, "inc-1"))
    record([wrong], now=NOW)
    record([undo_of(wrong.client_id, tap())], now=NOW)
    assert (stands(A, "inc-1"), stands(A, "", "lost")) == (10, 0)
    assert Entry.objects.get(client_id=wrong.client_id).is_corrected
    with pytest.raises(RefusedError, match="taken back before"):
        undo_of(wrong.client_id, tap())
    (again,) = record([trade.correct(tap(), wrong)], now=NOW)
    assert [finding.id for finding in again.findings] == ["ledger.correction-twice"]
    assert (stands(A, "inc-1"), stands(A, "", "lost")) == (10, 0)
    assert check() == ()


def test_taking_back_what_was_unexplained(tap: Taps) -> None:
    record([arrived(tap, count=4)], now=NOW)
    wrong = trade.lose(tap(), Taken(A, 6, "inc-1"))
    record([wrong], now=NOW)
    record([undo_of(wrong.client_id, tap())], now=NOW)
    assert (stands(A, "inc-1"), stands(A, "inc-1", "unexplained")) == (4, 0)


def test_a_making_taken_back_leaves_a_void_lot(tap: Taps) -> None:
    record([arrived(tap)], now=NOW)
    made = trade.inoculate(
        tap(), [ParentShare(A, 2, "inc-1")], lot(B, Stage.BLOCK, "block"), 20, "inc-2"
    )
    record([made], now=NOW)
    record([undo_of(made.client_id, tap())], now=NOW)
    assert Lot.objects.get(code=B).is_void
    assert [one.code for one in living(TODAY)] == [A]
    assert stands(A, "inc-1") == 10
    assert not Link.objects.filter(is_cancelled=False).exists()


def test_a_lot_that_was_used_cannot_be_taken_back(tap: Taps) -> None:
    first = arrived(tap)
    second = trade.inoculate(
        tap(), [ParentShare(A, 2, "inc-1")], lot(B, Stage.BLOCK, "block"), 20, "inc-2"
    )
    record([first, second], now=NOW)
    with pytest.raises(RefusedError, match=f"lot {B} was made from it"):
        undo_of(first.client_id, tap())
    third = trade.lose(tap(), Taken(B, 1, "inc-2"))
    record([third], now=NOW)
    with pytest.raises(RefusedError, match=r"used on 2026-03-12 \(lose\)"):
        undo_of(second.client_id, tap())
    for entry in (third, second, first):
        record([undo_of(entry.client_id, tap())], now=NOW)
    assert living(TODAY) == ()


def test_a_taking_back_is_not_taken_back(tap: Taps) -> None:
    wrong = arrived(tap)
    record([wrong], now=NOW)
    undo = undo_of(wrong.client_id, tap())
    record([undo], now=NOW)
    with pytest.raises(RefusedError, match="itself takes another one back"):
        undo_of(undo.client_id, tap())
    (again,) = record([trade.correct(tap(), undo)], now=NOW)
    assert [finding.id for finding in again.findings] == ["ledger.correction-void"]
    assert living(TODAY) == ()
    assert [(one.id, one.severity) for one in check()] == [
        ("ledger.correction-void", Severity.NOTE)
    ]


def test_a_correction_must_be_the_exact_reverse(tap: Taps) -> None:
    wrong = arrived(tap)
    record([wrong], now=NOW)
    half = replace(trade.correct(tap(), arrived(tap, count=5)), corrects=wrong.client_id)
    (answer,) = record([half], now=NOW)
    assert [finding.id for finding in answer.findings] == ["ledger.correction-void"]
    assert stands(A, "inc-1") == 10
    assert [(one.id, one.severity) for one in check()] == [
        ("ledger.correction-void", Severity.NOTE)
    ]
    record([trade.correct(tap(), wrong)], now=NOW)
    assert stands(A, "inc-1") == 0
    assert check() == ()
    with pytest.raises(InputError, match="the id of a recorded entry"):
        undo_of("f" * 32, tap())


def orders_of(tap: Taps) -> dict[str, list[NewEntry]]:
    """Entries with slips in what takes them back."""
    first, second = arrived(tap, count=10), trade.lose(tap(), Taken(A, 3, "inc-1"))
    wrong = replace(
        trade.correct(tap(), trade.lose(tap(), Taken(A, 5, "inc-1"))), corrects=second.client_id
    )
    back = trade.correct(tap(), second)
    return {
        "a wrong taking back": [first, second, wrong],
        "a wrong and a right one": [first, second, wrong, back],
        "taken back twice": [first, second, back, trade.correct(tap(), second)],
        "a taking back taken back": [first, second, back, trade.correct(tap(), back)],
        "the wrong one taken back": [first, second, wrong, trade.correct(tap(), wrong)],
        "more taken than stands": [
            first,
            (much := trade.lose(tap(), Taken(A, 14, "inc-1"))),
            trade.correct(tap(), much),
            trade.recount(tap(), A, "inc-1", 2),
        ],
    }


@pytest.mark.parametrize("name", list(orders_of(Taps())))
@pytest.mark.parametrize("at_once", [True, False])
def test_slips_in_taking_back_give_the_same_farm_in_every_order(
    tap: Taps, name: str, *, at_once: bool
) -> None:
    farms = set()
    for order in permutations(orders_of(tap)[name]):
        with suppress(_DoneWithIt), transaction.atomic():
            for part in [order] if at_once else [[entry] for entry in order]:
                record(part, now=NOW)
                assert min(stands(A, "inc-1"), stands(A, "", "lost")) >= 0
            assert not [one for one in check() if one.severity is Severity.WRONG]
            farms.add(
                (
                    stands(A, "inc-1"),
                    stands(A, "", "lost"),
                    stands(A, "inc-1", "unexplained"),
                    tuple(Entry.objects.filter(is_corrected=True).values_list("kind", flat=True)),
                    Entry.objects.count(),
                )
            )
            raise _DoneWithIt
    assert len(farms) == 1


class _DoneWithIt(Exception):  # noqa: N818
    """Leave no trace of a farm that was compared."""


def test_a_true_entry_is_kept_when_what_waits_for_it_does_not_fit(tap: Taps) -> None:
    """Ten arrived, three were lost; somebody's wrong reversal of five came first."""
    true = trade.lose(tap(), Taken(A, 3, "inc-1"))
    slip = trade.lose(tap(), Taken(A, 5, "inc-1"))
    record([arrived(tap)], now=NOW)
    record([replace(trade.correct(tap(), slip), corrects=true.client_id)], now=NOW)
    assert (stands(A, "inc-1"), stands(A, "", "lost")) == (10, 0)
    (answer,) = record([true], now=NOW)
    assert [finding.id for finding in answer.findings] == ["ledger.correction-void"]
    assert (stands(A, "inc-1"), stands(A, "", "lost")) == (7, 3)
    assert ChainHead.objects.get().waiting == 0


def test_what_takes_back_says_nothing_else(tap: Taps) -> None:
    wrong = arrived(tap)
    back = trade.correct(tap(), wrong)
    for more, words in (
        ({"kind": Kind.LOSE}, "kind"),
        ({"lots": (lot(B, Stage.GRAIN, "grain"),)}, "postings alone"),
        ({"mentions": (NewMention(A, "shaken"),)}, "postings alone"),
        ({"links": (NewLink(A, B, 1),)}, "postings alone"),
    ):
        with pytest.raises(InputError, match=words):
            record([wrong, replace(back, **more)], now=NOW)  # type: ignore[arg-type]


def test_what_was_taken_back_is_not_what_was_lost_since(tap: Taps) -> None:
    record([arrived(tap)], now=NOW)
    slip = trade.lose(tap(), Taken(A, 3, "inc-1"))
    record([slip, trade.lose(tap(), Taken(A, 5, "inc-1")), trade.correct(tap(), slip)], now=NOW)
    assert [(out.lot, out.units) for out in taken_out_since(0)] == [(A, 5)]


# -- what is refused -----------------------------------------------------------------------------


def test_a_lot_is_made_once(tap: Taps) -> None:
    record([arrived(tap)], now=NOW)
    with pytest.raises(RefusedError, match=f"Lot {A} was made before, by entry 1"):
        record([arrived(tap)], now=NOW)


def test_the_lineage_never_loops(tap: Taps) -> None:
    def made(child: str, parent: str) -> NewEntry:
        shares = [ParentShare(parent, 1, "inc-1")]
        return trade.inoculate(tap(), shares, lot(child, Stage.GRAIN, "grain"), 5, "inc-1")

    record([made(A, B), made(B, C)], now=NOW)
    with pytest.raises(RefusedError, match="itself made from"):
        record([made(C, A)], now=NOW)
    with pytest.raises(RefusedError, match="itself made from"):
        record([made(D, A), made(C, D)], now=NOW)
    tangled = NewEntry(
        CLIENT,
        Kind.INOCULATE,
        NOW,
        lots=(lot(CODES[7], Stage.GRAIN, "grain"), lot(CODES[8], Stage.GRAIN, "grain")),
        links=(NewLink(CODES[7], CODES[8], 1), NewLink(CODES[8], CODES[7], 1)),
    )
    with pytest.raises(RefusedError, match="itself made from"):
        record([tangled], now=NOW)
    assert Entry.objects.count() == 2


def test_a_link_taken_back_closes_no_loop(tap: Taps) -> None:
    """In one list the loop is judged at its end; a link sent alone has to come after."""

    def made(child: str, parent: str) -> NewEntry:
        shares = [ParentShare(parent, 1, "inc-1")]
        return trade.inoculate(tap(), shares, lot(child, Stage.GRAIN, "grain"), 5, "inc-1")

    first, second = made(B, A), made(A, B)
    back = trade.correct(tap(), first)
    for order in permutations((first, second, back)):
        with suppress(_DoneWithIt), transaction.atomic():
            record(order, now=NOW)
            links = Link.objects.filter(is_cancelled=False)
            assert list(links.values_list("parent__code", "child__code")) == [(B, A)]
            assert not [one for one in check() if one.severity is Severity.WRONG]
            raise _DoneWithIt
    record([first], now=NOW)
    with pytest.raises(RefusedError, match="itself made from"):
        record([second], now=NOW)
    record([back], now=NOW)
    record([second], now=NOW)


GOOD = NewEntry(CLIENT, Kind.NOTE, NOW)
MADE = (
    NewPosting(A, Account.MADE, Measure.UNIT, -5),
    NewPosting(A, Account.ALIVE, Measure.UNIT, 5, "inc-1"),
)
REFUSED = {
    "a client id that is none": (replace(GOOD, client_id="tap-1"), "client_id"),
    "a moment without a zone": (
        replace(GOOD, happened_at=datetime(2026, 3, 12)),  # noqa: DTZ001
        "time zone",
    ),
    "the year 3000": (replace(GOOD, happened_at=datetime(3000, 1, 1, tzinfo=UTC)), "lies ahead"),
    "the year 1066": (replace(GOOD, happened_at=datetime(1066, 1, 1, tzinfo=UTC)), "1990-01-01"),
    "a wrong lot code": (replace(GOOD, mentions=(NewMention("7K4MW", "shaken"),)), "lot code"),
    "an empty role": (replace(GOOD, mentions=(NewMention(A, ""),)), "role"),
    "postings that do not balance": (replace(GOOD, postings=MADE[:1]), "a sum of zero units"),
    "half a unit": (
        replace(GOOD, postings=(replace(MADE[0], quantity=-2.5), MADE[1])),  # type: ignore[arg-type]
        "whole number",
    ),
    "yes as a quantity": (
        replace(GOOD, postings=(replace(MADE[0], quantity=True), MADE[1])),
        "whole number",
    ),
    "an absurd number": (
        replace(GOOD, postings=tuple(replace(p, quantity=p.quantity * 10**6) for p in MADE)),
        "from -1000000 to 1000000",
    ),
    "grams of living units": (
        replace(GOOD, postings=tuple(replace(p, measure=Measure.GRAM) for p in MADE)),
        "another measure for made",
    ),
    "units in store": (
        replace(GOOD, postings=(MADE[0], replace(MADE[1], account=Account.STORE))),
        "another measure for store",
    ),
    "unexplained by hand": (
        replace(GOOD, postings=(MADE[0], replace(MADE[1], account=Account.UNEXPLAINED))),
        "account",
    ),
    "a parent of itself": (replace(GOOD, links=(NewLink(A, A, 1),)), "another lot"),
    "a link twice": (replace(GOOD, links=(NewLink(A, B, 1), NewLink(A, B, 2))), "each pair once"),
    "a negative link": (replace(GOOD, links=(NewLink(A, B, -1),)), "units"),
    "a lot twice": (
        replace(GOOD, lots=(lot(A, Stage.GRAIN, "grain"),) * 2),
        "each lot once",
    ),
    "a lot from the year 3000": (
        replace(GOOD, lots=(lot(A, Stage.GRAIN, "grain", made_on=date(3000, 1, 1)),)),
        "to today",
    ),
    "a lot without a variety": (
        replace(GOOD, lots=(lot(A, Stage.GRAIN, "grain", variety=""),)),
        "any living lot",
    ),
    "a route nobody described": (
        replace(GOOD, lots=(lot(A, Stage.GRAIN, "grain", route="r9"),)),
        "a route in the farm's book",
    ),
    "a step the route lacks": (
        replace(GOOD, lots=(lot(A, Stage.GRAIN, "bottle"),)),
        "block, fruiting, grain, plate",
    ),
    "a negative generation": (
        replace(GOOD, lots=(lot(A, Stage.GRAIN, "grain", generation=-1),)),
        "generation",
    ),
    "a very long note": (replace(GOOD, note="x" * 10_001), "at most 10000"),
    "a sign no database keeps": (replace(GOOD, note="a\x00b"), "control signs"),
    "half a sign": (replace(GOOD, note="\ud83c"), "control signs"),
    "not a number": (replace(GOOD, details={"kg": float("nan")}), "a finite number"),
    "an object": (replace(GOOD, details={"when": NOW}), "text, a number"),
    "endless details": (replace(GOOD, details={"n": list(range(3000))}), "at most 2000"),
    "a correction of itself": (replace(GOOD, corrects=CLIENT), "another entry than itself"),
    "endless mentions": (
        replace(GOOD, mentions=(NewMention(A, "shaken"),) * 2001),
        "at most 2000",
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_nonsense_is_refused_with_its_field(name: str) -> None:
    entry, words = REFUSED[name]
    with pytest.raises(InputError, match=words):
        record([entry], now=NOW)
    assert Entry.objects.count() == Lot.objects.count() == 0


def test_now_must_have_a_zone() -> None:
    with pytest.raises(InputError, match="now"):
        record([GOOD], now=datetime(2026, 3, 12))  # noqa: DTZ001


def test_nothing_is_nothing() -> None:
    assert record([], now=NOW) == ()


# -- codes ---------------------------------------------------------------------------------------


def test_codes_are_issued_once_and_pass_over_those_in_use(tap: Taps) -> None:
    record([arrived(tap, CODES[2])], now=NOW)
    first = issue_codes(3)
    assert first == (CODES[0], CODES[1], CODES[3])
    assert set(issue_codes(50)).isdisjoint({*first, CODES[2]})
    assert issue_codes(0) == ()
    with pytest.raises(InputError, match="count"):
        issue_codes(-1)
