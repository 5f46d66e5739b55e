"""What came of a cook: judged, judged again, taken back, and the log that stays with it."""

from __future__ import annotations

import hashlib
import random
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from django.db import connection, transaction

from farm.small_farm import CODES, NOW, ROUTE, Taps, describe, lot
from pinset.chain.stages import Stage
from pinset.errors import InputError
from pinset.farm import dumping, log_store, trade
from pinset.farm.check import check
from pinset.farm.copying import backup, restore
from pinset.farm.corrections import undo_of
from pinset.farm.door import record
from pinset.farm.entries import Kind, NewEntry
from pinset.farm.models import Entry, LogFile
from pinset.farm.queries.cooks import (
    cook_entries,
    entries_of_cooks,
    lots_of_cooks,
    standing_verdicts,
    verdict_entries,
)

COOK, BARE = "kettle-20260312-1000", "drum-20260312-1100"
LOTS = CODES[:2]
LOG = b"time,core\n0,20.0\n60,20.1\n" * 400


def cooked(tap: Taps, code: str = COOK, lots: tuple[str, ...] = LOTS) -> NewEntry:
    made = [
        (lot(each, Stage.PREPARED, "grain", variety="", culture="", route=ROUTE.code), 12)
        for each in lots
    ]
    return trade.cook(tap(), code, made, "lab-1", steriliser="kettle", cook_kind="grain")


def judged(tap: Taps, verdict: str, *, hours: float = 0.0, cook: str = COOK) -> NewEntry:
    lots = LOTS if cook == COOK else ()
    return trade.verdict(tap(hours=hours), cook=cook, lots=lots, verdict=verdict)


@pytest.mark.usefixtures("farm")
def test_verdicts_are_taken_together_in_whatever_order_they_arrive(tap: Taps) -> None:
    record([cooked(tap), cooked(tap, BARE, ())], now=NOW)
    said = [
        judged(tap, "pass", hours=-2),
        judged(tap, "pass", hours=-1),
        judged(tap, "unjudged", hours=-3),
        judged(tap, "pass", hours=-3, cook=BARE),
        judged(tap, "fail", hours=-2, cook=BARE),
    ]
    random.Random(4).shuffle(said)
    record(said, now=NOW)
    found = standing_verdicts([COOK, BARE, "never", ""])
    assert {cook: each.verdict for cook, each in found.items()} == {COOK: "pass", BARE: "fail"}
    assert found[COOK].entry == next(
        each.client_id for each in said if each.happened_at == max(one.happened_at for one in said)
    ), "among equals the newest"
    assert [each.details["verdict"] for each in verdict_entries(COOK)] == [
        "unjudged",
        "pass",
        "pass",
    ]
    assert check() == ()


@pytest.mark.usefixtures("farm")
def test_taking_a_verdict_back_brings_the_one_before_it_back(tap: Taps) -> None:
    first, second = judged(tap, "pass", hours=-2), judged(tap, "fail", hours=-1)
    bare = judged(tap, "pass", hours=-1, cook=BARE)
    record([cooked(tap), cooked(tap, BARE, ()), first, second, bare], now=NOW)
    record([undo_of(each.client_id, tap()) for each in (second, bare)], now=NOW)
    assert {cook: each.entry for cook, each in standing_verdicts([COOK, BARE]).items()} == {
        COOK: first.client_id
    }
    assert [each.is_corrected for each in verdict_entries(COOK)] == [False, True]
    record([undo_of(first.client_id, tap())], now=NOW)
    assert standing_verdicts([COOK]) == {}
    assert check() == ()


@pytest.mark.usefixtures("farm")
def test_cooks_are_listed_newest_first_with_their_lots(tap: Taps) -> None:
    record([cooked(tap), cooked(tap, BARE, ())], now=NOW)
    total, found = cook_entries(NOW - timedelta(days=1), limit=1)
    assert (total, len(found)) == (2, 1)
    assert found[0].details["cook"] == BARE
    assert cook_entries(NOW + timedelta(days=1)) == (0, ())
    assert lots_of_cooks([COOK, BARE]) == {COOK: LOTS}
    [entry] = entries_of_cooks([COOK])
    record([undo_of(entry.client_id, tap())], now=NOW)
    assert lots_of_cooks([COOK]) == {}
    assert entries_of_cooks([COOK]) == ()


def test_only_the_three_verdicts_are_written(tap: Taps) -> None:
    with pytest.raises(InputError, match="pass, fail, unjudged"):
        judged(tap, "fine")
    with pytest.raises(InputError, match="code of a cook"):
        trade.verdict(tap(), cook="", lots=(), verdict="pass")


def with_log(tap: Taps) -> str:
    digest = hashlib.sha256(LOG).hexdigest()
    said = trade.verdict(tap(), cook=COOK, lots=LOTS, verdict="pass", details={"log": digest})
    with transaction.atomic():
        assert log_store.keep(LOG, "kettle.csv") == digest
        record([cooked(tap), said], now=NOW)
    return digest


@pytest.mark.usefixtures("farm")
def test_a_log_is_kept_once_and_read_back_as_it_was(tap: Taps) -> None:
    digest = with_log(tap)
    log_store.keep(LOG, "another name.csv")
    assert LogFile.objects.get().size == len(LOG)
    assert len(LogFile.objects.get().content) < len(LOG) / 5
    assert log_store.stored(digest) == ("kettle.csv", LOG)
    assert log_store.stored("0" * 64) is None
    assert check() == ()


def test_an_empty_log_or_one_with_an_endless_name_is_refused() -> None:
    with pytest.raises(InputError, match="0 bytes"):
        log_store.keep(b"", "empty.csv")
    with pytest.raises(InputError, match="120"):
        log_store.keep(LOG, "x" * 121)


def sql(text: str, *values: object) -> Callable[[], None]:
    def run() -> None:
        with connection.cursor() as cursor:
            cursor.execute(text, values)

    return run


def change(**fields: object) -> Callable[[], None]:
    return lambda: LogFile.objects.update(**fields) and None


TAMPERINGS: dict[str, tuple[Callable[[], None], str]] = {
    "delete a log": (sql("DELETE FROM farm_logfile"), "ledger.log-lost"),
    "damage a log": (change(content=b"no such thing"), "ledger.log-changed"),
    "say another size": (change(size=12), "ledger.log-changed"),
    "exchange a log": (sql("UPDATE farm_logfile SET digest = %s", "a" * 64), "ledger.log-lost"),
    "put a log in": (
        lambda: log_store.keep(b"time,core\n", "foreign.csv") and None,
        "ledger.log-foreign",
    ),
    "edit a verdict": (
        sql("UPDATE farm_mention SET value = 'fail' WHERE role = 'judged'"),
        "ledger.chain-broken",
    ),
}


@pytest.mark.usefixtures("farm")
@pytest.mark.parametrize("name", TAMPERINGS)
def test_tampering_with_a_log_is_found(name: str, tap: Taps) -> None:
    digest = with_log(tap)
    tamper, expected = TAMPERINGS[name]
    with transaction.atomic():
        tamper()
        assert expected in {finding.id for finding in check()}
        if expected == "ledger.log-changed":
            with pytest.raises(InputError, match="pinset check"):
                log_store.stored(digest)
        transaction.set_rollback(True)
    assert check() == ()


@pytest.mark.django_db(transaction=True)
def test_logs_come_back_with_a_backup(tap: Taps, tmp_path: Path) -> None:
    describe()
    digest = with_log(tap)
    copied = backup(tmp_path / "farm.backup")
    with transaction.atomic():
        log_store.keep(b"later", "later.csv")
        later = hashlib.sha256(b"later").hexdigest()
        again = trade.verdict(tap(), cook=COOK, lots=LOTS, verdict="fail", details={"log": later})
        record([again], now=NOW)
    restore(copied.path, now=NOW, folder=tmp_path)
    assert log_store.stored(digest) == ("kettle.csv", LOG)
    assert log_store.stored(later) is None
    assert standing_verdicts([COOK])[COOK].verdict == "pass"
    assert check() == ()


@pytest.mark.django_db(transaction=True)
def test_logs_stand_in_lines_that_either_database_reads(tap: Taps, tmp_path: Path) -> None:
    describe()
    digest = with_log(tap)
    path = tmp_path / "lines"
    dumping.dump(path, using="default")
    dumping.verify(path)
    with transaction.atomic():
        dumping.empty("default")
        assert not Entry.objects.exists()
        dumping.load(path, using="default")
    assert log_store.stored(digest) == ("kettle.csv", LOG)
    assert check() == ()


@pytest.mark.usefixtures("farm")
def test_an_entry_filed_under_another_cook_is_found(tap: Taps) -> None:
    record([cooked(tap)], now=NOW)
    assert [str(each) for each in check()] == []
    Entry.objects.filter(kind=Kind.COOK).update(about=BARE)
    assert "is filed under another thing" in " ".join(str(each) for each in check())
