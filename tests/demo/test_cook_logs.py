"""Invented logs: read and judged like any logger's file, colder while the seal leaks."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from pinset.demo.cook_logs import LOADS, logged
from pinset.science.judging.records import Rule
from pinset.services.cooks.judge.judged import JudgedCook
from pinset.services.cooks.judge.judging import judge_file

BEGAN = datetime(2026, 3, 2, 10, 30, tzinfo=UTC)
ALTITUDE_M = 1240.0
HOLDS = {"agar": 30, "grain": 90, "block": 150, "straw": 120}


def judged(kind: str, seed: int = 1, *, leaks: bool = False) -> JudgedCook:
    rule = Rule(hold_c=60.0, hold_minutes=60.0) if kind == "straw" else Rule(f0=15.0)
    file = logged(kind, HOLDS[kind], BEGAN, ALTITUDE_M, seed, leaks=leaks)
    return judge_file(file, "cook.csv", rule, altitude_m=ALTITUDE_M)[0]


@pytest.mark.parametrize("kind", LOADS)
def test_sound_cooks_pass_and_their_steam_is_pure(kind: str) -> None:
    found = judged(kind)
    assert found.verdict == "pass", found.sentence
    assert found.started == "2026-03-02T10:30:00+00:00"
    assert [each.role for each in found.probes] == ["chamber", "core"]
    assert found.steam is None or found.steam.is_steam
    assert not [each for each in found.findings if each.severity == "wrong"]


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("kind", ["agar", "grain", "block"])
def test_a_leaking_seal_shows_as_air_and_less_lethality(kind: str, seed: int) -> None:
    leaking, sound = judged(kind, seed, leaks=True), judged(kind, seed)
    assert leaking.steam is not None
    assert "cook.air" in {each.id for each in leaking.findings}
    assert 0.08 < leaking.steam.air < 0.22
    core, of_sound = (each.probes[1].f0_min for each in (leaking, sound))
    assert core < 0.45 * of_sound


def test_the_same_seed_writes_the_same_file() -> None:
    one, other = (logged("block", 150, BEGAN, ALTITUDE_M, 5, leaks=False) for _ in range(2))
    assert one == other
    assert one != logged("block", 150, BEGAN, ALTITUDE_M, 6, leaks=False)
    assert one.startswith(b"# invented")
