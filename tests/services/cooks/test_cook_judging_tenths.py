"""Readings in tenths of a degree are no cook, and no figure of them is said."""

from __future__ import annotations

import numpy as np
import pytest

from services.cooks.test_cook_judging_doubts import CHAMBER, CORE, SECONDS, file, judged


@pytest.mark.parametrize("heads", ["min,core,chamber", "min,core [°C],chamber [°C]"])
@pytest.mark.parametrize("times", [10.0, 100.0])
def test_no_figure_of_them_is_said(heads: str, times: float) -> None:
    columns = [np.round(times * CORE), np.round(times * CHAMBER)]
    found = judged(file(SECONDS / 60.0, columns, heads, 0))
    assert found.verdict == "unjudged"
    assert all(each.f0_min < 200.0 for each in found.probes), found.probes
    assert "F0" not in found.sentence, found.sentence


def test_what_they_look_like_is_said() -> None:
    columns = [np.round(10.0 * CORE), np.round(10.0 * CHAMBER)]
    found = judged(file(SECONDS / 60.0, columns, "min,core,chamber", 0))
    said = [each for each in found.findings if each.id == "log.unplugged"]
    assert any("tenths of a degree" in each.hint for each in said)
