"""Backup and restore, with everything that goes wrong on a real computer."""

from __future__ import annotations

import errno
import hashlib
import json
import os
import shutil
import sqlite3
import subprocess
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from django.db import connection, connections

from farm.small_farm import CODES, NOW, Taps, describe, lot
from farm.test_living import chain_of_lots
from pinset.chain.stages import Stage
from pinset.errors import PinsetError, RefusedError
from pinset.farm import dumping, photo_store, trade
from pinset.farm.borrowed import borrowed, bring_up_to_date
from pinset.farm.check import check
from pinset.farm.copying import backup, restore
from pinset.farm.door import record
from pinset.farm.dumping import FILES_AT_ONCE
from pinset.farm.forgetting import forget_photo
from pinset.farm.models import Balance, Entry, Person, Photo
from pinset.farm.trade import Taken
from pinset.farm.trouble import StorageError

pytestmark = pytest.mark.django_db(transaction=True)
IS_SQLITE = connection.vendor == "sqlite"


@pytest.fixture
def written(tap: Taps) -> Taps:
    describe()
    record(chain_of_lots(tap), now=NOW)
    return tap


def farm_now() -> dict[str, list[tuple[object, ...]]]:
    return {
        "entries": list(Entry.objects.order_by("id").values_list("id", "client_id", "hash")),
        "balances": sorted(
            Balance.objects.values_list("lot__code", "account", "place__code", "quantity")
        ),
        "people": sorted(Person.objects.values_list("code", "key")),
    }


def nothing_left_in(folder: Path) -> bool:
    return not [path for path in folder.iterdir() if path.name.endswith(".part")]


def test_a_backup_brings_the_farm_back(written: Taps, tmp_path: Path) -> None:
    before = farm_now()
    copied = backup(tmp_path / "farm.backup")
    assert copied.entries == 8
    record([trade.lose(written(), Taken(CODES[0], 1, "lab-1"))], now=NOW)
    restored = restore(copied.path, now=NOW, folder=tmp_path)
    assert restored.entries == 8
    assert farm_now() == before
    assert check() == ()
    record([trade.lose(written(), Taken(CODES[0], 2, "lab-1"))], now=NOW)
    assert check() == ()
    assert nothing_left_in(tmp_path)


def test_the_farm_before_is_kept_aside_and_can_be_restored_itself(
    written: Taps, tmp_path: Path
) -> None:
    copied = backup(tmp_path / "farm.backup")
    record([trade.lose(written(), Taken(CODES[0], 1, "lab-1"))], now=NOW)
    newest = farm_now()
    kept = restore(copied.path, now=NOW, folder=tmp_path).kept
    assert kept is not None
    assert kept.name.startswith("farm-before-20260312-090000")
    restore(kept, now=NOW + timedelta(minutes=1), folder=tmp_path)
    assert farm_now() == newest


def test_the_checksum_beside_it_is_what_other_tools_compute(written: Taps, tmp_path: Path) -> None:
    assert written
    copied = backup(tmp_path / "farm.backup")
    if shutil.which("sha256sum") is None:
        pytest.skip("sha256sum of GNU coreutils is not on this machine")
    said = subprocess.run(
        ["sha256sum", "--check", "farm.backup.sha256"],
        cwd=tmp_path,
        capture_output=True,
        check=True,
    )
    assert b"OK" in said.stdout
    assert copied.size == copied.path.stat().st_size
    assert copied.path.stat().st_mode & 0o077 == 0, "only its owner may read the passwords in it"


def test_a_backup_is_replaced_but_nothing_else_is(written: Taps, tmp_path: Path) -> None:
    assert written
    backup(tmp_path / "farm.backup")
    backup(tmp_path / "farm.backup")
    letter = tmp_path / "letter.txt"
    letter.write_text("Dear buyer,")
    with pytest.raises(RefusedError, match="is no backup"):
        backup(letter)
    with pytest.raises(RefusedError, match="There is no folder"):
        backup(tmp_path / "missing" / "farm.backup")
    with pytest.raises(RefusedError, match="is a folder"):
        backup(tmp_path)
    assert letter.read_text() == "Dear buyer,"


def cut_down(number: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the computer stop before a file is renamed for the n-th time."""
    renamed, true = iter(range(100)), Path.replace

    def replace(self: Path, target: Path) -> Path:
        if next(renamed) == number:
            raise OSError(errno.EIO, "Input/output error")
        return true(self, target)

    monkeypatch.setattr(Path, "replace", replace)


@pytest.mark.parametrize("has_checksum", [True, False])
@pytest.mark.parametrize("number", [0, 1, 2])
def test_a_backup_cut_down_at_any_rename_leaves_one_that_restores(
    written: Taps,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    number: int,
    *,
    has_checksum: bool,
) -> None:
    path = tmp_path / "farm.backup"
    backup(path)
    if not has_checksum:
        (tmp_path / "farm.backup.sha256").unlink()
    record([trade.lose(written(), Taken(CODES[0], 1, "lab-1"))], now=NOW)
    with monkeypatch.context() as patched:
        cut_down(number, patched)
        with pytest.raises(StorageError):
            backup(path)
    restored = restore(path, now=NOW, folder=tmp_path)
    assert restored.entries == (8 if number < 2 else 9)
    backup(path)
    assert len((tmp_path / "farm.backup.sha256").read_text().splitlines()) == 1
    path.write_bytes(path.read_bytes() + b"more")
    restore_fails(path, "checksum differs", tmp_path)


def test_everything_is_on_the_disk_before_it_is_renamed(
    written: Taps, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert written
    synced: set[int] = set()
    renamed: list[str] = []
    true_sync, true_replace = os.fsync, Path.replace

    def fsync(number: int) -> None:
        synced.add(os.fstat(number).st_ino)
        true_sync(number)

    def replace(self: Path, target: Path) -> Path:
        assert self.stat().st_ino in synced, f"{target.name} is not on the disk yet"
        synced.discard(tmp_path.stat().st_ino)
        renamed.append(target.name)
        return true_replace(self, target)

    monkeypatch.setattr(os, "fsync", fsync)
    monkeypatch.setattr(Path, "replace", replace)
    backup(tmp_path / "farm.backup")
    assert renamed == ["farm.backup.sha256", "farm.backup", "farm.backup.sha256"]
    assert tmp_path.stat().st_ino in synced, "the renaming itself is on the disk"


def test_what_dead_processes_left_is_removed(written: Taps, tmp_path: Path) -> None:
    assert written
    gone = subprocess.Popen(["true"])
    gone.wait()
    left = [
        tmp_path / f".old.backup.{gone.pid}{end}"
        for end in (".pinset.part", "-1.pinset.part", ".pinset.part-journal")
    ]
    others = [
        tmp_path / f".old.backup.{os.getppid()}.pinset.part",  # of a process that lives
        tmp_path / f".letter.{gone.pid}.part",  # not ours
    ]
    for path in (*left, *others):
        path.write_text("half")
    backup(tmp_path / "farm.backup")
    assert not [path for path in left if path.exists()]
    assert all(path.exists() for path in others)


def restore_fails(path: Path, words: str, folder: Path) -> None:
    before = farm_now()
    with pytest.raises(PinsetError, match=words):
        restore(path, now=NOW, folder=folder)
    assert farm_now() == before
    assert nothing_left_in(folder)


def test_a_truncated_backup_is_refused(written: Taps, tmp_path: Path) -> None:
    assert written
    copied = backup(tmp_path / "farm.backup")
    whole = copied.path.read_bytes()
    copied.path.write_bytes(whole[: len(whole) // 2])
    restore_fails(copied.path, "checksum differs", tmp_path)
    (tmp_path / "farm.backup.sha256").unlink()
    restore_fails(copied.path, "cut short|damaged", tmp_path)


def test_other_files_are_refused(written: Taps, tmp_path: Path) -> None:
    assert written
    restore_fails(tmp_path / "nothing", "There is no file", tmp_path)
    (tmp_path / "letter").write_text("Dear buyer,")
    restore_fails(tmp_path / "letter", "no backup", tmp_path)
    with sqlite3.connect(tmp_path / "other.sqlite3") as other:
        other.execute("CREATE TABLE strains (name text)")
    other.close()
    restore_fails(tmp_path / "other.sqlite3", "no ledger", tmp_path)


@pytest.fixture
def ledger_file(tmp_path: Path) -> Path:
    """An SQLite ledger made by dumping this one, whichever database the tests run on."""
    path = tmp_path / "ledger.sqlite3"
    dumping.dump(tmp_path / "dump", using="default")
    with borrowed(path) as alias:
        bring_up_to_date(alias)
        dumping.empty(alias)
        dumping.load(tmp_path / "dump", using=alias)
    return path


def change(path: Path, sql: str) -> Path:
    with sqlite3.connect(path) as file:
        file.execute(sql)
    file.close()
    return path


def test_a_backup_of_a_newer_version_is_refused(
    written: Taps, ledger_file: Path, tmp_path: Path
) -> None:
    assert written
    change(
        ledger_file,
        "INSERT INTO django_migrations (app, name, applied) VALUES ('farm', '9999_later', 'x')",
    )
    restore_fails(ledger_file, "newer version of pinset", tmp_path)


def test_a_backup_that_does_not_check_is_refused(
    written: Taps, ledger_file: Path, tmp_path: Path
) -> None:
    assert written
    change(ledger_file, "UPDATE farm_posting SET quantity = quantity * 2 WHERE entry_id = 7")
    restore_fails(ledger_file, "does not check", tmp_path)


def test_a_dump_goes_into_either_database(written: Taps, tmp_path: Path) -> None:
    before = farm_now()
    rows = dumping.dump(tmp_path / "dump", using="default")
    record([trade.lose(written(), Taken(CODES[0], 1, "lab-1"))], now=NOW)
    restore(tmp_path / "dump", now=NOW, folder=tmp_path)
    assert farm_now() == before
    assert dumping.dump(tmp_path / "again", using="default") == rows
    assert (tmp_path / "again").read_bytes() == (tmp_path / "dump").read_bytes()


def test_an_sqlite_ledger_goes_into_either_database(
    written: Taps, ledger_file: Path, tmp_path: Path
) -> None:
    before = farm_now()
    record([trade.lose(written(), Taken(CODES[0], 1, "lab-1"))], now=NOW)
    restore(ledger_file, now=NOW, folder=tmp_path)
    assert farm_now() == before
    assert check() == ()


def looked_at(tap: Taps, picture: bytes) -> str:
    """Write down a look with a photo and return the photo's digest."""
    digest = photo_store.keep(picture)
    said = {"signs": ["green-dust"], "seen": 1, "of": 2, "photo": digest}
    record([trade.look(tap(), [Taken(CODES[0], 2, "lab-1")], details=said)], now=NOW)
    return digest


@pytest.mark.parametrize("way", ["backup", "dump"])
def test_photos_come_back_and_forgotten_ones_stay_forgotten(
    written: Taps, tmp_path: Path, way: str
) -> None:
    pictures = [photo_store.JPEG + bytes([n]) * (3 + n) for n in range(FILES_AT_ONCE + 3)]
    kept = [looked_at(written, picture) for picture in pictures]
    forget_photo(kept[1])
    if way == "backup":
        path = backup(tmp_path / "farm.backup").path
    else:
        path = tmp_path / "dump"
        dumping.dump(path, using="default")
    Photo.objects.filter(digest=kept[0]).delete()
    later = looked_at(written, photo_store.JPEG + b"taken after the backup")
    restore(path, now=NOW, folder=tmp_path)
    assert photo_store.stored(kept[0]) == pictures[0]
    assert photo_store.stored(kept[-1]) == pictures[-1]
    assert photo_store.stored(kept[1]) is None
    assert photo_store.stored(later) is None
    assert photo_store.there({*kept, later}) == set(kept) - {kept[1]}
    assert check() == ()


def test_a_dump_from_before_there_were_seals_is_sealed(written: Taps, tmp_path: Path) -> None:
    assert written
    dumping.dump(tmp_path / "dump", using="default")
    lines = [json.loads(line) for line in (tmp_path / "dump").read_text().splitlines()]
    lines[0]["changes"].remove("0005_sealed_registers")
    for table, names in (
        ("farm_registerrow", ["seal"]),
        ("farm_chainhead", ["registers", "last_seal"]),
    ):
        for name in names:
            at = lines[1][table].index(name)
            lines[1][table].remove(name)
            for row in lines[2:-1]:
                if row[0] == table:
                    del row[1 + at]
    text = "".join(
        json.dumps(line, separators=(",", ":"), ensure_ascii=False) + "\n" for line in lines[:-1]
    )
    end = {**lines[-1], "sha256": hashlib.sha256(text.encode()).hexdigest()}
    (tmp_path / "older").write_text(text + json.dumps(end) + "\n")
    restore(tmp_path / "older", now=NOW, folder=tmp_path)
    assert check() == ()


def test_a_changed_or_cut_dump_is_refused(written: Taps, tmp_path: Path) -> None:
    assert written
    dumping.dump(tmp_path / "dump", using="default")
    lines = (tmp_path / "dump").read_bytes().splitlines(keepends=True)
    (tmp_path / "cut").write_bytes(b"".join(lines[:-1]))
    restore_fails(tmp_path / "cut", "cut short", tmp_path)
    (tmp_path / "half").write_bytes(b"".join(lines)[: len(b"".join(lines)) // 2])
    restore_fails(tmp_path / "half", "cut short", tmp_path)
    (tmp_path / "less").write_bytes(b"".join(lines[:5] + lines[6:]))
    restore_fails(tmp_path / "less", "was changed", tmp_path)
    later = lines[0].replace(b'"format":1', b'"format":7')
    (tmp_path / "later").write_bytes(later + b"".join(lines[1:]))
    restore_fails(tmp_path / "later", "format 7", tmp_path)


# -- a disk that is full, a folder that is read-only --------------------------------------------


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 300 kB."""
    disk = tmp_path / "disk"
    disk.mkdir()
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=300k", "tmpfs", str(disk)],
        capture_output=True,
        check=False,
    )
    if mounted.returncode:
        pytest.skip("mounting a small disk needs rights this user does not have")
    yield disk
    subprocess.run(["umount", str(disk)], check=True)


def test_a_full_disk_leaves_no_half_backup(written: Taps, small_disk: Path, tmp_path: Path) -> None:
    record([trade.note(written(note="x" * 9_000)) for _ in range(40)], now=NOW)
    with pytest.raises(StorageError, match="disk is full"):
        backup(small_disk / "farm.backup")
    assert list(small_disk.iterdir()) == []
    copied = backup(tmp_path / "farm.backup")
    before = farm_now()
    with pytest.raises(StorageError, match="disk is full"):
        restore(copied.path, now=NOW, folder=small_disk)
    assert farm_now() == before
    assert list(small_disk.iterdir()) == []


def test_a_read_only_folder_is_said_plainly(written: Taps, tmp_path: Path) -> None:
    assert written
    folder = tmp_path / "locked"
    folder.mkdir()
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "ro", "tmpfs", str(folder)], capture_output=True, check=False
    )
    if mounted.returncode:
        if os.geteuid() == 0:
            pytest.skip("root ignores permissions, and a read-only disk cannot be mounted here")
        folder.chmod(0o500)
    try:
        with pytest.raises(StorageError, match=r"read-only|cannot be opened"):
            backup(folder / "farm.backup")
        assert list(folder.iterdir()) == []
    finally:
        if mounted.returncode == 0:
            subprocess.run(["umount", str(folder)], check=True)


# -- writing itself, on an SQLite file of its own ------------------------------------------------


@pytest.fixture
def own_file(ledger_file: Path) -> Iterator[str]:
    with borrowed(ledger_file) as alias:
        yield alias


def sql(alias: str, text: str) -> None:
    with connections[alias].cursor() as cursor:
        cursor.execute(text)


def test_recording_on_a_full_disk_writes_nothing(written: Taps, own_file: str) -> None:
    with connections[own_file].cursor() as cursor:
        cursor.execute("PRAGMA page_count")
        pages = cursor.fetchone()[0]
        cursor.execute(f"PRAGMA max_page_count = {pages}")
    many = [trade.note(written(note="x" * 9_000)) for _ in range(40)]
    with pytest.raises(StorageError, match="disk is full"):
        record(many, now=NOW, using=own_file)
    assert Entry.objects.using(own_file).count() == 8
    assert check(using=own_file) == ()
    sql(own_file, "PRAGMA max_page_count = 1000000")
    record(many, now=NOW, using=own_file)
    assert check(using=own_file) == ()


def test_recording_into_a_read_only_database_says_so(written: Taps, own_file: str) -> None:
    sql(own_file, "PRAGMA query_only = ON")
    with pytest.raises(StorageError, match="read-only"):
        record([trade.note(written(note="x"))], now=NOW, using=own_file)
    assert Entry.objects.using(own_file).count() == 8


def test_a_locked_database_says_so(written: Taps, own_file: str, ledger_file: Path) -> None:
    sql(own_file, "PRAGMA busy_timeout = 50")
    other = sqlite3.connect(ledger_file, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(StorageError, match="Somebody else is writing"):
        record([trade.note(written(note="x"))], now=NOW, using=own_file)
    other.execute("COMMIT")
    other.close()
    record([trade.note(written(note="x"))], now=NOW, using=own_file)


def test_a_damaged_present_farm_is_moved_aside(
    written: Taps, ledger_file: Path, tmp_path: Path
) -> None:
    assert written
    good = tmp_path / "good"
    shutil.copyfile(ledger_file, good)
    with ledger_file.open("r+b") as file:
        file.write(b"burnt" * 2_000)
    with borrowed(ledger_file) as alias:
        assert [finding.id for finding in check(using=alias)] == ["ledger.unreadable"]
        restored = restore(good, now=NOW, using=alias, folder=tmp_path)
    assert restored.kept is not None
    assert restored.kept.read_bytes().startswith(b"burnt")
    with borrowed(ledger_file) as alias:
        assert check(using=alias) == ()
        assert Entry.objects.using(alias).count() == 8


def test_a_farm_in_use_is_replaced_under_its_readers(
    written: Taps, own_file: str, ledger_file: Path, tmp_path: Path
) -> None:
    """The farm's file is in WAL mode, and another process has it open."""
    sql(own_file, "PRAGMA journal_mode = WAL")
    copied = backup(tmp_path / "farm.backup", using=own_file)
    record([trade.lose(written(), Taken(CODES[0], 1, "lab-1"))], now=NOW, using=own_file)
    reader = sqlite3.connect(ledger_file)
    assert reader.execute("SELECT COUNT(*) FROM farm_entry").fetchone() == (9,)
    restore(copied.path, now=NOW, using=own_file, folder=tmp_path)
    assert reader.execute("SELECT COUNT(*) FROM farm_entry").fetchone() == (8,)
    assert reader.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    reader.close()
    assert check(using=own_file) == ()


def test_a_lot_of_the_same_code_is_no_obstacle_after_a_restore(
    written: Taps, tmp_path: Path
) -> None:
    copied = backup(tmp_path / "farm.backup")
    fresh = trade.receive(written(), lot(CODES[60], Stage.GRAIN, "grain"), 5, "inc-1")
    record([fresh], now=NOW)
    restore(copied.path, now=NOW, folder=tmp_path)
    (answer,) = record([fresh], now=NOW)
    assert not answer.already
    assert check() == ()
