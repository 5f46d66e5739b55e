from __future__ import annotations

import pytest

from pinset.chain.stages import FRUITING_STAGES, SPAWN_STAGES, Stage, units_in_words


@pytest.mark.parametrize("stage", list(Stage))
def test_every_stage_has_words_for_one_and_many(stage: Stage) -> None:
    one, many = units_in_words(stage, 1), units_in_words(stage, 24)
    assert one.startswith("1 ")
    assert many == f"24 {one[2:]}s"


def test_none_is_many() -> None:
    assert units_in_words(Stage.GRAIN, 0) == "0 grain jars"


def test_spawn_does_not_carry_mushrooms() -> None:
    assert not SPAWN_STAGES & FRUITING_STAGES
    assert Stage.TUBE not in SPAWN_STAGES
