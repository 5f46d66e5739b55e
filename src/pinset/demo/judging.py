"""Verdicts on the demo's cooks, the morning after: what is hidden about the seal shows in them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import time

from pinset.demo.lots import Prepared
from pinset.demo.world import Cooked, World
from pinset.services.history import digest, trade

JUDGED_AT = time(7, 40)
SHORT = frozenset({"agar", "grain"})  # kinds whose hold leaves little to spare
USED_ALL_THE_SAME = "next week's promises hang on it; watched closely"


def judge(world: World) -> None:
    """Judge what was cooked on the days before, before anything is inoculated."""
    for cooked in world.to_judge:
        verdict, sentence = _what_came_of(cooked)
        world.verdicts[cooked.code] = verdict
        tap = world.diary.quiet_tap(
            JUDGED_AT, world.lab_person(world.today), digest("verdict", cooked.code)
        )
        entry = trade.verdict(
            tap,
            cook=cooked.code,
            lots=cooked.lots,
            verdict=verdict,
            details={"sentence": sentence, "judged": {"method": "invented"}, "minutes": 4},
        )
        world.diary.add(entry)
    world.to_judge.clear()


def _what_came_of(cooked: Cooked) -> tuple[str, str]:
    if not cooked.leaks:
        return "pass", "Long enough."
    if cooked.kind in SHORT:
        return "fail", "Too short: the chamber stayed colder than its gauge says."
    return "pass", "Long enough, but only just: the chamber stayed colder than its gauge says."


def said_of_vessels(world: World, used: Sequence[tuple[Prepared, int]]) -> dict[str, object]:
    """Return the reason why vessels of a cook that failed were used; nothing for sound ones."""
    failed = [(vessels, units) for vessels, units in used if _failed(world, vessels)]
    if not failed:
        return {}
    return {
        "reason": USED_ALL_THE_SAME,
        "against": [
            f"{units} vessels would be taken from cook {vessels.cook}: failed."
            for vessels, units in failed
        ],
    }


def _failed(world: World, vessels: Prepared) -> bool:
    return world.verdicts.get(vessels.cook) == "fail"
