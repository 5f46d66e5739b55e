"""A longer past for a farm: the entries it has, copied further back until there are enough.

Only for measuring: the copies share their hashes with the originals, so the chain does not check.
Everything alive, planned and promised stays as it is; copied lots are spent, and copied cooks and
bench sessions are cooks and sessions of their own.
"""

from __future__ import annotations

import sqlite3
from pathlib import Path


def lengthen(database: Path, entries: int) -> int:
    """Copy the past until the ledger holds about that many entries; return how many it holds."""
    link = sqlite3.connect(database)
    link.execute("PRAGMA synchronous=OFF")
    have = _count(link)
    link.execute("CREATE TABLE IF NOT EXISTS lengthened (entries, lots, turns)")
    if link.execute("SELECT COUNT(*) FROM lengthened").fetchone()[0] == 0:
        lots = link.execute("SELECT MAX(id) FROM farm_lot").fetchone()[0]
        link.execute("INSERT INTO lengthened VALUES (?, ?, 0)", (have, lots))
    original_entries, lots, round_number = link.execute("SELECT * FROM lengthened").fetchone()
    while have < entries:
        round_number += 1
        wanted = min(original_entries, entries - have)
        _copy(link, round_number, original_entries, lots, wanted)
        have = _count(link)
    link.execute("UPDATE lengthened SET turns = ?", (round_number,))
    link.execute("UPDATE farm_chainhead SET count = ?", (have,))
    link.execute("UPDATE farm_storedplan SET last_entry = ?", (have,))  # the copies are older
    link.commit()
    link.close()
    return have


def _count(link: sqlite3.Connection) -> int:
    found: int = link.execute("SELECT COUNT(*) FROM farm_entry").fetchone()[0]
    return found


def _copy(link: sqlite3.Connection, turn: int, entries: int, lots: int, wanted: int) -> None:
    step, lot = turn * entries, turn * lots
    back, mark = f"-{turn * 550} days", f"-{turn}"
    link.execute(
        "INSERT INTO farm_lot (id, code, is_announced, is_void, stage, variety, step, culture,"
        " made_on, cook, session, generation, transfers, bought_from, made_in_demo, made_by_id,"
        " route_id) SELECT id + ?, code || '-' || ?, is_announced, is_void, stage, variety, step,"
        " culture, date(made_on, ?), CASE cook WHEN '' THEN '' ELSE cook || ? END,"
        " CASE session WHEN '' THEN '' ELSE session || ? END, generation, transfers, bought_from,"
        " made_in_demo, NULL, route_id FROM farm_lot WHERE id <= ?",
        (lot, turn, back, mark, mark, lots),
    )
    link.execute(
        "INSERT INTO farm_entry (id, client_id, kind, happened_at, recorded_at, job, details,"
        " about, note, corrects_client, is_corrected, previous_hash, hash, corrects_id, person_id)"
        " SELECT id + ?, substr(client_id, 1, 24) || printf('%08x', ?), kind,"
        " datetime(happened_at, ?), datetime(recorded_at, ?), '', details, about, note, '',"
        " is_corrected, previous_hash, hash, NULL, person_id FROM farm_entry WHERE id <= ?",
        (step, turn, back, back, wanted),
    )
    for named in ("$.cook", "$.session"):
        link.execute(
            "UPDATE farm_entry SET details = json_set(details, ?, json_extract(details, ?) || ?),"
            " about = CASE about WHEN json_extract(details, ?) THEN about || ? ELSE about END"
            " WHERE id > ? AND json_type(details, ?) = 'text' AND json_extract(details, ?) <> ''",
            (named, named, mark, named, mark, step, named, named),
        )
    link.execute(
        "INSERT INTO farm_posting (account, measure, quantity, entry_id, lot_id, place_id)"
        " SELECT account, measure, quantity, entry_id + ?, lot_id + ?, place_id"
        " FROM farm_posting WHERE entry_id <= ? AND lot_id <= ?",
        (step, lot, wanted, lots),
    )
    link.execute(
        "INSERT INTO farm_mention (role, count, value, is_cancelled, entry_id, lot_id, place_id)"
        " SELECT role, count, value, is_cancelled, entry_id + ?, lot_id + ?, place_id"
        " FROM farm_mention WHERE entry_id <= ? AND lot_id <= ?",
        (step, lot, wanted, lots),
    )
    link.execute(
        "INSERT INTO farm_link (units, amount, measure, is_cancelled, entry_id, child_id,"
        " parent_id) SELECT units, amount, measure, is_cancelled, entry_id + ?, child_id + ?,"
        " parent_id + ? FROM farm_link WHERE entry_id <= ? AND child_id <= ? AND parent_id <= ?",
        (step, lot, lot, wanted, lots, lots),
    )
    link.execute(
        "INSERT INTO farm_balance (account, measure, quantity, lot_id, place_id)"
        " SELECT account, measure, quantity, lot_id + ?, place_id FROM farm_balance"
        " WHERE lot_id <= ? AND account NOT IN ('alive', 'store')",
        (lot, lots),
    )
    link.commit()
