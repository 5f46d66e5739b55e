"""Every safety net fires: the ledger is damaged in one way at a time."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from django.db import connection, transaction

from farm.small_farm import BOOK, CODES, NOW, TODAY, Taps, lot
from farm.test_living import chain_of_lots
from pinset.chain.register import FarmBook
from pinset.chain.stages import Stage
from pinset.errors import InputError, Severity
from pinset.farm import canonical, register_store, trade
from pinset.farm.check import check
from pinset.farm.checks import hashes
from pinset.farm.corrections import undo_of
from pinset.farm.door import record
from pinset.farm.entries import Account, Kind, Measure, NewEntry, NewPosting
from pinset.farm.forgetting import forget_note, forget_person
from pinset.farm.models import ChainHead, Entry, Note, Person, RegisterRow
from pinset.farm.models.attempt import SignInAttempt
from pinset.farm.models.register import RegisterKind
from pinset.farm.models.request import PlanRequest
from pinset.farm.seals import seal_everything
from pinset.farm.trade import Taken

pytestmark = pytest.mark.usefixtures("farm")


@pytest.fixture
def written(farm: FarmBook, tap: Taps) -> None:  # noqa: ARG001 - lots need the book
    record(chain_of_lots(tap), now=NOW)
    record(
        [
            trade.note(tap(person="ada", note="The seal of the kettle looks worn."), [CODES[1]]),
            trade.look(tap(person="ben"), [Taken(CODES[1], 23, "inc-1")]),
        ],
        now=NOW,
    )


def sql(text: str, *values: object) -> Callable[[], None]:
    def run() -> None:
        with connection.cursor() as cursor:
            cursor.execute(text, values)

    return run


def ids() -> set[str]:
    return {finding.id for finding in check()}


@pytest.mark.usefixtures("written")
def test_a_sound_ledger_has_no_findings() -> None:
    assert check() == ()


def swap() -> None:
    """Give two entries each other's number, with everything that belongs to them."""
    for table, column in (
        ("farm_entry", "id"),
        ("farm_posting", "entry_id"),
        ("farm_link", "entry_id"),
        ("farm_mention", "entry_id"),
        ("farm_lot", "made_by_id"),
    ):
        for old, new in ((4, 9999), (5, 4), (9999, 5)):
            sql(f"UPDATE {table} SET {column} = %s WHERE {column} = %s", new, old)()  # noqa: S608


LAST = 10
REST = (
    "kind, person_id, happened_at, recorded_at, job, details, note, corrects_client, "
    "is_corrected, previous_hash, hash"
)
SPOKEN = "entry_id, lot_id, place_id, count, value, is_cancelled"
TAMPERINGS = {
    "edit a posting": (
        sql("UPDATE farm_posting SET quantity = quantity - 1 WHERE entry_id = 2 AND quantity > 0"),
        "ledger.chain-broken",
    ),
    "edit both sides of an entry": (
        sql("UPDATE farm_posting SET quantity = quantity * 2 WHERE entry_id = 7"),
        "ledger.chain-broken",
    ),
    "edit when": (
        sql("UPDATE farm_entry SET happened_at = recorded_at WHERE id = 3"),
        "ledger.chain-broken",
    ),
    "edit details": (
        sql("UPDATE farm_entry SET details = '{\"hold_minutes\": 150}' WHERE id = 3"),
        "ledger.chain-broken",
    ),
    "edit who": (
        sql(
            "UPDATE farm_entry SET person_id = (SELECT id FROM farm_person WHERE code = 'ben') "
            "WHERE id = 9"
        ),
        "ledger.chain-broken",
    ),
    "edit a lot": (sql("UPDATE farm_lot SET culture = 'g9'"), "ledger.chain-broken"),
    "edit a link": (sql("UPDATE farm_link SET units = 1"), "ledger.chain-broken"),
    "delete a mention": (
        sql("DELETE FROM farm_mention WHERE role = 'looked'"),
        "ledger.chain-broken",
    ),
    "add a mention": (
        sql(
            f"INSERT INTO farm_mention (role, {SPOKEN}) "  # noqa: S608
            f"SELECT 'shaken', {SPOKEN} FROM farm_mention WHERE role = 'looked'"
        ),
        "ledger.chain-broken",
    ),
    "delete an entry": (sql("DELETE FROM farm_entry WHERE id = 5"), "ledger.entries-lost"),
    "delete the tail": (
        lambda: (
            sql("DELETE FROM farm_mention WHERE entry_id >= 9")(),
            sql("DELETE FROM farm_entry WHERE id >= 9")(),
        ),
        "ledger.entries-lost",
    ),
    "delete everything": (
        lambda: [
            sql(f"DELETE FROM farm_{table}")()  # noqa: S608
            for table in ("mention", "posting", "link", "balance", "lot", "entry")
        ],
        "ledger.entries-lost",
    ),
    "swap two entries": (swap, "ledger.chain-broken"),
    "append without the door": (
        sql(
            f"INSERT INTO farm_entry (id, client_id, {REST}) "  # noqa: S608
            f"SELECT 11, '00000000000000000000000000000099', {REST} FROM farm_entry WHERE id = 10"
        ),
        "ledger.chain-broken",
    ),
    "edit a note": (sql("UPDATE farm_note SET text = 'All is well.'"), "ledger.note-changed"),
    "call a note forgotten and keep it": (
        sql("UPDATE farm_note SET is_forgotten = TRUE"),
        "ledger.note-changed",
    ),
    "keep the salt of a forgotten note": (
        sql("UPDATE farm_note SET is_forgotten = TRUE, text = ''"),
        "ledger.note-changed",
    ),
    "delete a note": (sql("DELETE FROM farm_note"), "ledger.note-lost"),
    "exchange a note": (
        sql(
            "UPDATE farm_note SET digest = %s, salt = 'a', text = 'b'",
            canonical.note_digest("a", "b"),
        ),
        "ledger.note-lost",
    ),
    "put a note in": (
        sql(
            "INSERT INTO farm_note (digest, salt, text, is_forgotten) VALUES (%s, 'a', 'b', FALSE)",
            canonical.note_digest("a", "b"),
        ),
        "ledger.note-foreign",
    ),
    "edit a register": (
        sql("UPDATE farm_registerrow SET valid_from = '2025-01-01' WHERE kind = 'farm'"),
        "ledger.register-changed",
    ),
    "edit what a register says": (
        sql("UPDATE farm_registerrow SET body = '{\"code\": \"lab\"}' WHERE code = 'lab'"),
        "ledger.register-changed",
    ),
    "end a register": (
        sql("UPDATE farm_registerrow SET is_retired = TRUE WHERE kind = 'culture'"),
        "ledger.register-changed",
    ),
    "swap two workers": (
        lambda: [
            sql(f"UPDATE farm_registerrow SET code = '{new}' WHERE code = '{old}'")()  # noqa: S608
            for old, new in (("ada", "x"), ("ben", "ada"), ("x", "ben"))
        ],
        "ledger.register-changed",
    ),
    "delete a register": (
        sql("DELETE FROM farm_registerrow WHERE kind = 'vessel'"),
        "ledger.register-changed",
    ),
    "delete the last register": (
        sql("DELETE FROM farm_registerrow WHERE id = (SELECT MAX(id) FROM farm_registerrow)"),
        "ledger.registers-lost",
    ),
    "add a register": (
        sql(
            "INSERT INTO farm_registerrow (kind, code, version, position, valid_from, recorded_at, "
            "body, is_retired, seal) SELECT kind, code, 2, position, valid_from, recorded_at, "
            "body, TRUE, seal FROM farm_registerrow WHERE kind = 'culture' AND code = 'g1'"
        ),
        "ledger.register-changed",
    ),
    "move a place": (
        sql("UPDATE farm_place SET room = 'grow' WHERE code = 'inc-1'"),
        "ledger.place-room",
    ),
    "take a place out of its room": (
        sql("UPDATE farm_place SET room = '' WHERE code = 'inc-2'"),
        "ledger.place-room",
    ),
    "count lots wrong": (sql("UPDATE farm_chainhead SET lots = lots - 1"), "ledger.counter-wrong"),
    "count waiting wrong": (
        sql("UPDATE farm_chainhead SET waiting = 1"),
        "ledger.counter-wrong",
    ),
    "count codes wrong": (sql("UPDATE farm_chainhead SET codes = -1"), "ledger.counter-wrong"),
    "name another last entry": (
        sql("UPDATE farm_chainhead SET last_hash = %s", "f" * 64),
        "ledger.chain-broken",
    ),
    "name another last register": (
        sql("UPDATE farm_chainhead SET last_seal = %s", "f" * 64),
        "ledger.registers-lost",
    ),
    "edit a balance": (
        sql("UPDATE farm_balance SET quantity = quantity + 1 WHERE account = 'alive'"),
        "ledger.balance-wrong",
    ),
    "delete balances": (
        sql("DELETE FROM farm_balance WHERE account = 'lost'"),
        "ledger.units-unaccounted",
    ),
    "negative balance": (
        sql("UPDATE farm_balance SET quantity = -3 WHERE account = 'store'"),
        "ledger.negative",
    ),
    "unbalanced entry": (
        sql("UPDATE farm_posting SET quantity = quantity + 1 WHERE account = 'lost'"),
        "ledger.entry-unbalanced",
    ),
    "loop": (
        sql(
            "INSERT INTO farm_link (entry_id, parent_id, child_id, units, amount, measure, "
            "is_cancelled) SELECT entry_id, child_id, parent_id, 1, 0, 'unit', is_cancelled "
            "FROM farm_link WHERE entry_id = 2"
        ),
        "ledger.loop",
    ),
    "mark as taken back": (
        sql("UPDATE farm_entry SET is_corrected = TRUE WHERE id = 7"),
        "ledger.correction-mark",
    ),
    "wrong step": (
        sql("UPDATE farm_mention SET value = 'froting' WHERE role = 'step'"),
        "ledger.unknown-step",
    ),
    "newer version": (
        sql(
            "INSERT INTO django_migrations (app, name, applied) "
            "SELECT 'farm', '9999_from_the_future', MAX(applied) FROM django_migrations"
        ),
        "ledger.newer-version",
    ),
    "older version": (
        sql("DELETE FROM django_migrations WHERE app = 'farm' AND name = '0001_ledger'"),
        "ledger.older-version",
    ),
}


@pytest.mark.usefixtures("written")
@pytest.mark.parametrize("name", TAMPERINGS)
def test_tampering_is_found(name: str) -> None:
    tamper, expected = TAMPERINGS[name]
    assert Entry.objects.count() == LAST
    with transaction.atomic():
        tamper()
        found = ids()
        transaction.set_rollback(True)
    assert expected in found
    assert check() == ()


@pytest.mark.usefixtures("written")
def test_an_entry_that_fits_itself_but_not_the_one_before_is_found() -> None:
    """The last entry is hashed anew after another one: only where it hangs is wrong."""
    last = Entry.objects.select_related("person").get(pk=LAST)
    last.previous_hash = "f" * 64
    parts = hashes.read_parts("default", LAST, LAST)
    last.hash = hashes.recomputed(last, parts)
    last.save(update_fields=["previous_hash", "hash"])
    sql("UPDATE farm_chainhead SET last_hash = %s", last.hash)()
    (finding,) = check()
    assert finding.sentence == f"Entry {LAST} does not follow the entry before it."


@pytest.mark.usefixtures("written")
def test_forgetting_a_person_keeps_the_chain() -> None:
    SignInAttempt.objects.create(name="ada", address="192.0.2.7", at=NOW)
    PlanRequest.objects.create(asked_by="ada", asked_at=NOW)
    left = forget_person("ada")
    person = Person.objects.get(code=left)
    assert (person.name, person.is_active, person.has_usable_password()) == ("", False, False)
    assert not Person.objects.filter(code="ada").exists()
    told = str([row.body for row in RegisterRow.objects.filter(kind="worker")])
    assert "Ada" not in told
    assert "'ada'" not in told
    assert not SignInAttempt.objects.exists()
    assert PlanRequest.objects.get().asked_by == left
    assert check() == ()
    with pytest.raises(InputError, match="ada"):
        forget_person("ada")


@pytest.mark.usefixtures("written")
def test_forgetting_a_note_keeps_the_chain() -> None:
    note = Note.objects.get()
    forget_note(note.digest)
    assert Note.objects.get().text == ""
    assert Note.objects.get().salt == ""
    assert check() == ()
    with pytest.raises(InputError, match="note"):
        forget_note("0" * 64)


@pytest.mark.usefixtures("written")
def test_registers_hold_after_changes_and_forgetting() -> None:
    earlier = replace(BOOK.rooms[1], shelves=BOOK.rooms[1].shelves[:1])
    register_store.write([earlier, replace(BOOK.farm, altitude_m=1.5)], TODAY, "ada", NOW)
    register_store.write([], TODAY, "", NOW, retire=[(RegisterKind.CULTURE, "g2")])
    assert check() == ()
    forget_person("ada")
    assert check() == ()


@pytest.mark.usefixtures("written")
def test_registers_from_before_there_were_seals_are_sealed_as_if_written_now() -> None:
    before = list(RegisterRow.objects.order_by("id").values_list("id", "seal"))
    RegisterRow.objects.update(seal="")
    ChainHead.objects.update(registers=0, last_seal="")
    assert "ledger.register-changed" in ids()
    seal_everything(RegisterRow.objects.all(), Person.objects.all(), ChainHead.objects.all())
    assert list(RegisterRow.objects.order_by("id").values_list("id", "seal")) == before
    assert check() == ()


def test_the_same_words_have_another_digest_each_time(tap: Taps) -> None:
    record([trade.note(tap(note="all well")), trade.note(tap(note="all well"))], now=NOW)
    assert Note.objects.count() == 2


def test_a_lot_only_announced_is_asked_for(tap: Taps) -> None:
    record([trade.lose(tap(), Taken(CODES[5], 2, "inc-1"))], now=NOW)
    assert ids() == {"ledger.announced", "ledger.unexplained"}


def test_a_past_that_went_below_nothing_is_a_note(tap: Taps) -> None:
    record([trade.receive(tap(), lot(CODES[5], Stage.GRAIN, "grain"), 9, "inc-1")], now=NOW)
    record([trade.lose(tap(hours=-3), Taken(CODES[5], 2, "inc-1"))], now=NOW)
    (finding,) = check()
    assert (finding.id, finding.severity) == ("ledger.past-negative", Severity.NOTE)
    assert "-2 units" in finding.sentence


def test_a_lot_taken_back_while_another_tablet_used_it_is_reported(tap: Taps) -> None:
    made = trade.receive(tap(), lot(CODES[5], Stage.GRAIN, "grain"), 9, "inc-1")
    record([made], now=NOW)
    record([undo_of(made.client_id, tap())], now=NOW)
    (late,) = record([trade.lose(tap(), Taken(CODES[5], 2, "inc-1"))], now=NOW)
    assert {finding.id for finding in late.findings} == {"ledger.unexplained", "ledger.void-lot"}
    assert ids() == {"ledger.unexplained", "ledger.void-lot"}


def test_a_correction_without_its_entry_waits(tap: Taps) -> None:
    made = trade.receive(tap(), lot(CODES[5], Stage.GRAIN, "grain"), 9, "inc-1")
    record([trade.correct(tap(), made)], now=NOW)
    assert "ledger.correction-waits" in ids()
    record([made], now=NOW)
    assert ids() == set()


def test_a_slip_in_a_sign_is_reported(tap: Taps) -> None:
    record([trade.receive(tap(), lot(CODES[5], Stage.GRAIN, "grain"), 9, "inc-1")], now=NOW)
    slip = NewEntry(
        "c" * 32,
        Kind.LOSE,
        NOW,
        postings=(
            NewPosting(CODES[5], Account.ALIVE, Measure.UNIT, 2, "inc-1"),
            NewPosting(CODES[5], Account.LOST, Measure.UNIT, -2),
        ),
    )
    record([slip], now=NOW)
    (finding,) = check()
    assert (finding.id, finding.severity) == ("ledger.wrong-sign", Severity.WARNING)
    assert "-2 units lost" in finding.sentence
    record([undo_of(slip.client_id, tap())], now=NOW)
    assert check() == ()


def test_a_mark_of_taking_back_that_may_not_be_is_found(tap: Taps) -> None:
    made = trade.receive(tap(), lot(CODES[5], Stage.GRAIN, "grain"), 9, "inc-1")
    other = trade.receive(tap(), lot(CODES[6], Stage.GRAIN, "grain"), 9, "inc-1")
    slip = replace(trade.correct(tap(), other), corrects=made.client_id)
    record([made, slip], now=NOW)
    assert ids() == {"ledger.announced", "ledger.correction-void"}
    sql("UPDATE farm_entry SET is_corrected = TRUE WHERE id = 1")()
    sql("UPDATE farm_entry SET corrects_id = 1 WHERE id = 2")()
    sql("UPDATE farm_lot SET is_void = TRUE WHERE made_by_id = 1")()
    assert "ledger.correction-mark" in ids()


def test_a_taking_back_that_fits_and_is_not_marked_is_found(tap: Taps) -> None:
    made = trade.receive(tap(), lot(CODES[5], Stage.GRAIN, "grain"), 9, "inc-1")
    record([made, trade.correct(tap(), made)], now=NOW)
    sql("UPDATE farm_entry SET is_corrected = FALSE, corrects_id = NULL")()
    sql("UPDATE farm_lot SET is_void = FALSE")()
    assert "ledger.correction-mark" in ids()
