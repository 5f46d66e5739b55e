"""Sentences about heat on a US farm: every number with its unit is turned, nothing else is."""

from __future__ import annotations

import pytest

from pinset.services.cooks.heat_units import in_farm_units

SAID = [
    ("steam should be 118.7 °C; the probe reads 114.9 °C", "245.7 °F; the probe reads 238.8 °F"),
    ("At 1.03 bar gauge here", "At 14.9 psi gauge here"),
    ("core [°C] heats as if its unit conducted 0.32 W/(m K)", "core [°C] heats as if its unit"),
    ("in the slowest unit: the cautious case, at 1240 m.", "at 4068 ft."),
    ("2.3 kg in that size", "5.1 lb in that size"),
    ("12 blocks, 16.1 x 21.4 cm, learnt", "12 blocks, 6.34 x 8.43 in, learnt"),
    ("Asked for: 60 min at 60 °C.", "60 min at 140 °F."),
    ("above 0, to 1400 kg/m3, the kernels' own", "1400 kg/m3"),
    ("Hold 5 h 34 min", "Hold 5 h 34 min"),
    ("right to 0.5 K either way; 10 K and no W/(m K)", "right to 0.9 °F either way; 18.0 °F and"),
    ("+0.5 K to -1 K off the line", "+0.9 °F to -1.8 °F off the line"),
    ("between -12.5 °C and 0 °C", "between 9.5 °F and 32 °F"),
]


@pytest.mark.parametrize(("metric", "us"), SAID)
def test_numbers_are_turned_with_their_units(metric: str, us: str) -> None:
    assert us in in_farm_units(metric, "us")
    assert in_farm_units(metric, "metric") == metric
