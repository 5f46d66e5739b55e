"""A column of a core is never taken for the times, whatever its head begins or ends with."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from pinset.files.logger.time_heads import names_time
from pinset.science.judging.cook_rules import read_rule
from pinset.services.cooks.judge.judging import judge_file

CORES = (
    "T_core1", "T core 1", "T-bag1", "T Kern 1", "t_bag_1", "T bolsa 1", "T.coeur1", "T 1 core",
    "Core temps 1", "Temps coeur 1", "Bag D", "Bag S", "Jar H", "Core s", "Bag 1 min",
    "Data core 1", "T 2", "T_chamber", "Temps 1",
)  # fmt: skip
TIMES = (
    "t", "t [s]", "t_s", "t/min", "Time", "Elapsed (min)", "time_s", "Zeit", "min", "s", "Minutes",
    "Temps", "Temps (s)", "Temps écoulé", "Hour", "Date Time, GMT+02:00", "ms", "Laufzeit [min]",
)  # fmt: skip
MINUTES = np.arange(95.0)
QUICK = np.interp(MINUTES, [0, 20, 94], [20, 121, 121.3])
SLOW = 20 + 97 * (1 - np.exp(-((MINUTES / 45) ** 2)))  # rises to the end; F0 far below 15


@pytest.mark.parametrize("head", CORES)
def test_what_is_measured_is_no_time(head: str) -> None:
    assert not names_time(head)


@pytest.mark.parametrize("head", TIMES)
def test_times_are(head: str) -> None:
    assert names_time(head)


def clocks(name: str) -> list[str]:
    begin = datetime(2026, 3, 12, 7, tzinfo=UTC)
    moments = [begin + timedelta(minutes=float(each)) for each in MINUTES]
    since = [timedelta(minutes=float(each)) for each in MINUTES]
    return {
        "Clock": [f"{each:%H:%M:%S}" for each in moments],
        "Time": [f"{each:%H:%M}" for each in moments],
        "Elapsed": [f"{each.seconds // 3600:02}:{each.seconds // 60 % 60:02}:00" for each in since],
        "ts": [f"{each.timestamp():.0f}" for each in moments],
        "epoch": [f"{each.timestamp() * 1000:.0f}" for each in moments],
    }[name]


@pytest.mark.parametrize("core", CORES)
@pytest.mark.parametrize("time", ["Clock", "Time", "Elapsed", "ts", "epoch"])
def test_the_slowest_core_is_never_lost_to_the_times(core: str, time: str) -> None:
    rows = zip(clocks(time), SLOW, QUICK, QUICK, strict=True)
    lines = [f"{at},{a:.2f},{b:.2f},{c:.2f}" for at, a, b, c in rows]
    file = "\n".join([f"{time},{core},T_core2,T_chamber", *lines]).encode()
    judged, _ = judge_file(file, "log.csv", read_rule("f0=15"), altitude_m=0.0)
    assert judged.verdict != "pass"
    slow = [probe for probe in judged.probes if probe.max_c == pytest.approx(SLOW[-1], abs=0.01)]
    assert len(slow) == 1, "it is among what was measured"
    assert judged.minutes == pytest.approx(94, abs=1)
