"""Verdicts on the demo's cooks by their invented logs, the morning after."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import time

from pinset.chain.plain import to_plain
from pinset.demo.cook_logs import logged
from pinset.demo.learning import learn
from pinset.demo.lots import Prepared
from pinset.demo.world import World
from pinset.services.answers.history import digest, trade
from pinset.services.cooks.judge.judging import judge_file, read_rule
from pinset.services.cooks.setting import known_instruments

JUDGED_AT = time(7, 40)
SEEDS = 2**32
USED_ALL_THE_SAME = "next week's promises hang on it; watched closely"


def judge(world: World) -> None:
    """Judge what was cooked on the days before, before anything is inoculated."""
    rules = {kind.code: kind.rule for each in world.book.sterilisers for kind in each.cooks}
    for cooked in world.to_judge:
        file = logged(
            cooked.kind,
            cooked.hold_minutes,
            cooked.began,
            world.book.farm.altitude_m,
            int(digest("cook log", cooked.code), 16) % SEEDS,
            leaks=cooked.leaks,
        )
        judged, _ = judge_file(
            file,
            f"{cooked.code}.csv",
            read_rule(rules[cooked.kind]),
            altitude_m=world.book.farm.altitude_m,
            instruments=known_instruments(world.book, world.today),
        )
        world.verdicts[cooked.code] = judged.verdict
        tap = world.diary.quiet_tap(
            JUDGED_AT, world.lab_person(world.today), digest("verdict", cooked.code)
        )
        entry = trade.verdict(
            tap,
            cook=cooked.code,
            lots=cooked.lots,
            verdict=judged.verdict,
            details={
                "sentence": judged.sentence,
                "judged": to_plain(judged, every_field=True),
                "log": judged.digest,
                "log_name": judged.file,
                "minutes": 4,
            },
        )
        world.diary.add_with_log(entry, judged.file, file)
        if judged.verdict == "pass":
            learn(world, cooked, file, judged.file)
    world.to_judge.clear()


def said_of_vessels(world: World, used: Sequence[tuple[Prepared, int]]) -> dict[str, object]:
    """Return the reason why vessels of a cook that failed were used; nothing for sound ones."""
    failed = [(vessels, units) for vessels, units in used if _failed(world, vessels)]
    if not failed:
        return {}
    return {
        "despite": [
            {
                "cook": vessels.cook,
                "stands": "failed",
                "units": units,
                "against": [f"{units} vessels would be taken from cook {vessels.cook}: failed."],
                "reason": USED_ALL_THE_SAME,
            }
            for vessels, units in failed
        ],
    }


def _failed(world: World, vessels: Prepared) -> bool:
    return world.verdicts.get(vessels.cook) == "fail"
