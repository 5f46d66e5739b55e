"""Chores that are proposed: each row sound, and known from where it says."""

from __future__ import annotations

from pinset.chain.register import InstrumentKind, RoomKind
from pinset.chain.rules_upkeep import OF_INSTRUMENT, USED
from pinset.chain.upkeep import MOST_READ, ChoreAt, ChoreKind, Reads
from pinset.tables.chores import proposed_chores


def test_every_row_speaks_the_words_of_the_register() -> None:
    for row in proposed_chores():
        at, reads = ChoreAt(row.at), Reads(row.reads)
        assert ChoreKind(row.kind)
        if at is ChoreAt.ROOM:
            assert row.of in set(RoomKind)
        elif at is ChoreAt.INSTRUMENT:
            assert reads is OF_INSTRUMENT[InstrumentKind(row.of)]
            assert row.every_days is None
        elif at is ChoreAt.STERILISER:
            assert row.of in {"", "pressure"}
        else:
            assert not row.of
        assert at is ChoreAt.INSTRUMENT or row.every_days or row.every_uses
        assert row.every_uses is None or at in USED
        assert row.limit is None or row.limit <= MOST_READ[reads]


def test_every_kind_the_farm_asked_for_is_proposed() -> None:
    kinds = {row.kind for row in proposed_chores()}
    assert kinds == {kind.value for kind in ChoreKind}


def test_what_has_no_source_says_so_and_the_lamp_names_its_standard() -> None:
    known = {row.key: row.known_from for row in proposed_chores()}
    # GB 19258-2012 5.10: at least 85 % of the strength at 2,000 h
    assert known.pop("lamp-hours").startswith("GB 19258-2012, clause 5.10; ")
    assert set(known.values()) == {"common practice, no source"}


def test_what_can_hurt_carries_its_caution() -> None:
    cautions = {row.key: row.cautions for row in proposed_chores()}
    assert "uv-c" in cautions["lamp-hours"]
    assert "pressure" in cautions["gasket"]
    assert "relief-valve" in cautions["valve"]
    assert all("disinfectants" in keys for key, keys in cautions.items() if key.endswith("-clean"))
