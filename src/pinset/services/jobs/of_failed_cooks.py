"""Vessels of a cook that failed: cook them again or throw them out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pinset.chain.living import LivingLot
from pinset.chain.register import RoomKind
from pinset.chain.stages import Stage, noun_of
from pinset.services.book_reader import Reader
from pinset.services.jobs.of_lots import lot_job
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.words import first_upper, short_day

TASK = "failed cook"
CAUSE = "its cook failed"
MINUTES_PER_UNIT = 0.5
"""Minutes to judge and carry out one unit; common practice, no source."""


def is_of_failed_cook(lot: LivingLot) -> bool:
    """Say whether these are prepared vessels held back because their cook failed."""
    return lot.stage is Stage.PREPARED and bool(lot.held)


def of_failed_cooks(living: Sequence[LivingLot], reader: Reader) -> tuple[PlannedJob, ...]:
    """Return the work of deciding about vessels of cooks that failed, one job a lot."""
    whole: dict[str, LivingLot] = {}
    for lot in living:
        if is_of_failed_cook(lot) and lot.alive > 0:
            known = whole.get(lot.code)
            whole[lot.code] = replace(lot, alive=lot.alive + known.alive) if known else lot
    return tuple(_decide(lot, reader) for lot in whole.values())


def _decide(lot: LivingLot, reader: Reader) -> PlannedJob:
    step = lot.now_step()
    room = reader.room_of(lot.place)
    return lot_job(
        lot,
        reader,
        JobKind.DISCARD,
        key=f"failed:{lot.code}",  # another than for vessels that stood too long
        task=TASK,
        what=f"{noun_of(Stage.PREPARED, lot.alive)} {lot.code}: cook again or throw out",
        room_kind=(room.kind if room else RoomKind.STERILISER).value,
        detail=f"{first_upper(lot.held)}; of {short_day(lot.made_on)}, for "
        f"{noun_of(step.stage, 2)}",
        minutes=max(3, round(MINUTES_PER_UNIT * lot.alive)),
        why="What lived through a short cook grows beside the spawn; the plan uses none. If "
        "you cook them again, write that cook down and these as gone. If the verdict was wrong, "
        "undo it on the page of the cook.",
        cautions=("mouldy-units",),
    )
