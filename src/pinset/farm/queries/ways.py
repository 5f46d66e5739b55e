"""Parts of a lot that came to one place by different ways: one again where that changes nothing."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from pinset.chain.living import LivingLot
from pinset.chain.readiness import keeps_until


def as_one(parts: Iterable[LivingLot]) -> list[LivingLot]:
    """Return the parts; those that differ only in their way, and keep as long, are joined."""
    found: list[LivingLot] = []
    for one in parts:
        alike = next((n for n, other in enumerate(found) if _is_alike(one, other)), None)
        if alike is None:
            found.append(one)
            continue
        other = found[alike]
        found[alike] = replace(
            other, alive=other.alive + one.alive, flush_g=other.flush_g + one.flush_g
        )
    return found


def _is_alike(one: LivingLot, other: LivingLot) -> bool:
    """Say whether two parts differ only in the way they came, and keep as long as each other."""
    same = replace(
        other,
        alive=one.alive,
        flush_g=one.flush_g,
        stood=one.stood,
        keeps_until=one.keeps_until,
    )
    return same == one and keeps_until(one) == keeps_until(other)
