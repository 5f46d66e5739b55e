"""Judging a log: the slowest core decides, bands, holds, steam and air, what is missing."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pinset.errors import InputError
from pinset.science.heating.heating import Cylinder, Material, core_curve, modes_of
from pinset.science.judging.cook_moments import held
from pinset.science.judging.judging import judge
from pinset.science.judging.records import Probe, Role, Rule, Verdict
from pinset.science.steam.steam import saturation_pressure
from pinset.science.steam.trapped_air import temperature_with_air

SEA_KPA = 101.325
SECONDS = 60.0 * np.arange(361)
CORNERS = [0, 20, 35, 215, 230, 275, 360]
CHAMBER = np.interp(SECONDS / 60.0, CORNERS, [20.0, 100.0, 121.5, 121.5, 100.0, 35.0, 30.0])
QUICK = Material(1.2, 2.0e6, 100.0)
SLOW = Material(0.6, 2.0e6, 100.0)


def core(material: Material) -> np.ndarray:
    return core_curve(modes_of(Cylinder(0.075, 0.2), material), SECONDS, CHAMBER, 20.0)


def probe(name: str, role: Role, degrees: np.ndarray, error_k: float = 0.5) -> Probe:
    return Probe(name, role, degrees, error_k, is_error_known=True)


INSIDE = probe("middle of the load", Role.CORE, core(QUICK))
BOTTOM = probe("bottom bag", Role.CORE, core(SLOW))
STEAM = probe("chamber", Role.CHAMBER, CHAMBER)


def test_the_slowest_core_decides() -> None:
    rule = Rule(f0=45.0)
    judged = judge(SECONDS, [STEAM, INSIDE, BOTTOM], rule)
    by_name = {each.name: each for each in judged.positions}
    trapezium = np.trapezoid(10.0 ** ((BOTTOM.temperature_c - 121.1) / 10.0), SECONDS / 60.0)
    assert by_name["bottom bag"].f0_min == pytest.approx(trapezium, rel=0.002)
    assert by_name["middle of the load"].f0_min > 2 * by_name["bottom bag"].f0_min
    assert judged.slowest == "bottom bag"
    assert judged.verdict is Verdict.FAIL
    assert by_name["bottom bag"].falls_short is True
    assert by_name["middle of the load"].falls_short is False
    assert by_name["chamber"].falls_short is None
    assert judged.sentence.startswith("Too short: F0 39.4 min in bottom bag")
    easier = judge(SECONDS, [STEAM, INSIDE, BOTTOM], Rule(f0=35.0))
    assert easier.verdict is Verdict.PASS
    assert easier.sentence.startswith("Long enough")


def test_a_mean_of_cores_would_pass_what_the_slowest_fails() -> None:
    mean = (INSIDE.temperature_c + BOTTOM.temperature_c) / 2
    rule = Rule(f0=45.0)
    assert judge(SECONDS, [probe("mean", Role.CORE, mean)], rule).verdict is Verdict.PASS
    assert judge(SECONDS, [INSIDE, BOTTOM], rule).verdict is Verdict.FAIL


def test_the_band_is_that_of_the_probe() -> None:
    (position,) = judge(SECONDS, [replace(BOTTOM, error_k=1.0)]).positions
    assert position.f0_low == pytest.approx(position.f0_min / 10**0.1)
    assert position.f0_high == pytest.approx(position.f0_min * 10**0.1)
    wanted = position.f0_min * 0.9
    judged = judge(SECONDS, [replace(BOTTOM, error_k=1.0)], Rule(f0=wanted))
    assert judged.verdict is Verdict.PASS
    assert "cook.within-error" in {each.id for each in judged.findings}
    sure = judge(SECONDS, [replace(BOTTOM, error_k=0.1)], Rule(f0=wanted))
    assert "cook.within-error" not in {each.id for each in sure.findings}


def test_without_a_rule_or_a_core_nothing_is_judged() -> None:
    assert judge(SECONDS, [STEAM, BOTTOM]).verdict is Verdict.UNJUDGED
    only_chamber = judge(SECONDS, [STEAM], Rule(f0=35.0))
    assert only_chamber.verdict is Verdict.UNJUDGED
    assert only_chamber.slowest == ""
    assert "No probe stood in a unit" in only_chamber.sentence
    assert "cook.no-core" in {each.id for each in only_chamber.findings}


def test_a_hold_must_be_unbroken() -> None:
    seconds = 60.0 * np.arange(61)
    dipped = np.full(61, 122.0)
    dipped[30] = 118.0
    whole = judge(seconds, [probe("c", Role.CORE, np.full(61, 122.0))], _hold(121.0, 60.0))
    assert whole.verdict is Verdict.PASS
    assert whole.positions[0].come_up_min == 0.0
    cooled = np.append(dipped, 118.0)
    broken = judge(60.0 * np.arange(62), [probe("c", Role.CORE, cooled)], _hold(121.0, 60.0))
    assert broken.verdict is Verdict.FAIL
    assert broken.positions[0].hold_min == pytest.approx(
        29.5
    )  # a quarter of a minute to 121, either end
    assert broken.positions[0].f0_min > 60.0, "lethality alone would have passed it"


def _hold(degrees: float, minutes: float) -> Rule:
    return Rule(hold_c=degrees, hold_minutes=minutes)


def test_holds_are_cut_on_the_line() -> None:
    seconds = np.array([0.0, 60.0, 120.0, 180.0, 240.0])
    degrees = np.array([100.0, 110.0, 130.0, 110.0, 130.0])
    come_up, longest = held(seconds, degrees, 120.0)
    assert come_up == pytest.approx(1.5)
    assert longest == pytest.approx(1.0)
    assert held(seconds, degrees, 131.0) == (None, 0.0)
    assert held(seconds, degrees, 90.0) == (0.0, 4.0)


def pressures(air: float) -> np.ndarray:
    """Return absolute pressures under which a chamber with so much air reads CHAMBER."""
    return np.maximum(saturation_pressure(CHAMBER) / (1.0 - air), SEA_KPA)


@pytest.mark.parametrize("air", [0.03, 0.05, 0.11, 0.3])
def test_air_left_in_is_found_and_measured(air: float) -> None:
    judged = judge(SECONDS, [STEAM, BOTTOM], pressure_kpa=pressures(air), atmosphere_kpa=SEA_KPA)
    assert judged.steam is not None
    is_large = abs(judged.steam.lowest_k) > 1.5
    assert ("cook.air" in {each.id for each in judged.findings}) is is_large
    if is_large:
        assert judged.steam.air == pytest.approx(air, abs=0.01)


def test_the_sentence_about_air_says_what_the_gauge_reads() -> None:
    """The example of a gauge at 1.03 bar over a farm at 990 m."""
    atmosphere, gauge = 90.0, 103.0
    pressure = np.full(60, atmosphere + gauge)
    reads = temperature_with_air(atmosphere + gauge, 0.11)
    judged = judge(
        60.0 * np.arange(60),
        [probe("chamber", Role.CHAMBER, np.full(60, reads))],
        pressure_kpa=pressure,
        atmosphere_kpa=atmosphere,
    )
    (sentence,) = (each.sentence for each in judged.findings if each.id == "cook.air")
    assert "At 1.03 bar gauge here steam should be 119.1 °C" in sentence
    assert "about 11% air" in sentence


def test_superheat_is_found() -> None:
    seconds = 60.0 * np.arange(60)
    hot = probe("chamber", Role.CHAMBER, np.full(60, 126.0))
    found = judge(seconds, [hot], pressure_kpa=np.full(60, 205.0))
    assert "cook.superheated" in {each.id for each in found.findings}


def test_a_cook_that_passes_with_air_left_in_says_that_others_may_have_got_less() -> None:
    rule = Rule(f0=35.0)
    clean = judge(SECONDS, [STEAM, BOTTOM], rule, pressure_kpa=pressures(0.0))
    found = judge(SECONDS, [STEAM, BOTTOM], rule, pressure_kpa=pressures(0.12))
    assert clean.verdict is found.verdict is Verdict.PASS
    assert clean.sentence.startswith("Long enough: F0 ")
    assert "air" not in clean.sentence
    assert found.sentence.startswith("Long enough where it was measured: F0 ")
    assert "about 12% air was left in, or a sensor is wrong" in found.sentence
    assert "units there may have got less" in found.sentence
    short = judge(SECONDS, [STEAM, BOTTOM], Rule(f0=45.0), pressure_kpa=pressures(0.12))
    assert short.sentence.startswith("Too short: F0 ")


def test_pure_steam_and_one_odd_reading_are_left_alone() -> None:
    odd = CHAMBER.copy()
    odd[100] -= 3.0
    found = judge(SECONDS, [replace(STEAM, temperature_c=odd)], pressure_kpa=pressures(0.0))
    assert found.steam is not None
    assert found.steam.is_steam
    assert found.steam.checked_min > 150.0


def test_a_gauge_that_may_err_much_is_believed_less() -> None:
    off = replace(STEAM, temperature_c=CHAMBER - 2.5)
    sure = judge(SECONDS, [off], pressure_kpa=pressures(0.0))
    unsure = judge(SECONDS, [off], pressure_kpa=pressures(0.0), pressure_error_kpa=15.0)
    assert not sure.steam or not sure.steam.is_steam
    assert unsure.steam
    assert unsure.steam.is_steam


def test_a_gap_while_hot_and_an_unknown_error_are_said() -> None:
    keep = (SECONDS < 5000.0) | (SECONDS > 7000.0)
    gapped = Probe("core", Role.CORE, BOTTOM.temperature_c[keep])
    found = {each.id for each in judge(SECONDS[keep], [gapped]).findings}
    assert {"cook.gap", "cook.uncalibrated"} <= found
    cold = (SECONDS < 20_500.0) | (SECONDS > 21_300.0)
    late = probe("core", Role.CORE, np.minimum(BOTTOM.temperature_c, 60.0)[cold])
    assert "cook.gap" not in {each.id for each in judge(SECONDS[cold], [late]).findings}


def test_atmospheric_steam_earns_little_and_says_where() -> None:
    seconds = 60.0 * np.arange(721)
    boiling = probe("core", Role.CORE, np.where(np.arange(721) < 720, 99.97, 60.0))
    judged = judge(seconds, [boiling], Rule(f0=35.0))
    assert judged.verdict is Verdict.FAIL
    assert judged.positions[0].f0_min == pytest.approx(5.6, abs=0.1), "twelve hours at sea level"
    assert "cook.mostly-below-110" in {each.id for each in judged.findings}


@pytest.mark.parametrize(
    "wrong",
    [
        {},
        {"f0": 0.0},
        {"f0": float("nan")},
        {"hold_c": 121.0},
        {"hold_minutes": 15.0},
        {"hold_c": 300.0, "hold_minutes": 15.0},
    ],
)
def test_rules_that_are_none(wrong: dict[str, float]) -> None:
    with pytest.raises(InputError):
        Rule(**wrong)


def test_no_probe_at_all() -> None:
    with pytest.raises(InputError, match="probes"):
        judge(SECONDS, [])
    with pytest.raises(InputError):
        judge(SECONDS, [probe("c", Role.CORE, CHAMBER[:-1])])


def test_a_probe_is_judged_by_the_readings_it_gave() -> None:
    holed = BOTTOM.temperature_c.copy()
    holed[::7] = np.nan
    judged = judge(SECONDS, [replace(BOTTOM, temperature_c=holed)], Rule(f0=35.0))
    whole = judge(SECONDS, [BOTTOM]).positions[0]
    assert judged.positions[0].f0_min == pytest.approx(whole.f0_min, rel=0.001)
    assert judged.verdict is Verdict.PASS


def test_a_core_unplugged_in_the_hold_is_neither_passed_nor_failed() -> None:
    cut = BOTTOM.temperature_c.copy()
    cut[200:] = np.nan
    broken = replace(BOTTOM, temperature_c=cut)
    judged = judge(SECONDS, [broken, INSIDE], Rule(f0=35.0))
    assert judged.verdict is Verdict.UNJUDGED
    assert "no reading in the last 161 min" in judged.sentence
    failing = judge(SECONDS, [broken, INSIDE], Rule(f0=500.0))
    assert failing.verdict is Verdict.FAIL
    done = judge(SECONDS, [broken, INSIDE], Rule(f0=1.0))
    assert done.verdict is Verdict.PASS


def test_what_a_gap_hides_passes_nothing() -> None:
    keeps = (SECONDS < 120 * 60.0) | (SECONDS > 200 * 60.0)
    with_gap = replace(BOTTOM, temperature_c=BOTTOM.temperature_c[keeps])
    whole = judge(SECONDS[keeps], [with_gap], Rule(f0=35.0))
    assert whole.positions[0].f0_min < 35.0
    assert whole.verdict is Verdict.UNJUDGED
    assert judge(SECONDS[keeps], [with_gap], Rule(f0=5.0)).verdict is Verdict.PASS
    assert judge(SECONDS[keeps], [with_gap], Rule(f0=60.0)).verdict is Verdict.FAIL


def test_a_core_in_doubt_passes_nothing() -> None:
    judged = judge(SECONDS, [replace(INSIDE, doubt="it stood still"), INSIDE], Rule(f0=15.0))
    assert judged.verdict is Verdict.UNJUDGED
    assert "it stood still" in judged.sentence


def test_readings_every_ten_minutes_throughout_are_no_gap() -> None:
    sparse = replace(INSIDE, temperature_c=INSIDE.temperature_c[::10])
    assert judge(SECONDS[::10], [sparse], Rule(f0=15.0)).verdict is Verdict.PASS


def test_a_probe_with_one_reading_is_refused() -> None:
    alone = np.full_like(BOTTOM.temperature_c, np.nan)
    alone[3] = 120.0
    with pytest.raises(InputError, match="2 or more"):
        judge(SECONDS, [replace(BOTTOM, temperature_c=alone)])


def test_a_hold_is_said_by_its_minutes_and_by_the_core_that_held_least() -> None:
    warm = np.interp(SECONDS / 60.0, [0, 60, 200, 360], [20.0, 70.0, 70.0, 20.0])
    late = np.interp(SECONDS / 60.0, [0, 120, 200, 360], [20.0, 75.0, 75.0, 20.0])
    cores = [probe("early", Role.CORE, warm), probe("late", Role.CORE, late)]
    judged = judge(SECONDS, cores, Rule(hold_c=60.0, hold_minutes=60.0))
    assert judged.verdict is Verdict.PASS
    assert judged.slowest == "late"
    assert "F0" not in judged.sentence
    assert "min at 60 °C or hotter in the slowest core, late" in judged.sentence


def test_a_log_that_ends_in_the_hold_is_never_too_short() -> None:
    """A chamber at 121 that is switched off after two hours, and a core far behind it."""
    seconds = 60.0 * np.arange(241)
    chamber = np.interp(seconds / 60.0, [0, 30, 120, 180, 240], [20, 121, 121, 45, 30])
    core = np.interp(seconds / 60.0, [0, 30, 120, 130, 240], [20, 25, 112, 112, 50])
    for minutes, verdict in ((60, "unjudged"), (115, "unjudged"), (150, "fail"), (241, "fail")):
        part = slice(0, minutes)
        probes = [
            probe("chamber", Role.CHAMBER, chamber[part]),
            probe("core", Role.CORE, core[part]),
        ]
        for some in (probes, probes[1:]):
            if minutes == 60 and len(some) == 1:
                continue
            found = judge(seconds[part], some, Rule(f0=15.0))
            assert found.verdict.value == verdict, (minutes, found.sentence)
            assert ("hand in the rest" in found.sentence) is (verdict == "unjudged")


def test_a_log_of_a_load_that_was_never_heated_is_too_short() -> None:
    seconds = 60.0 * np.arange(121)
    probes = [
        probe("chamber", Role.CHAMBER, np.full(121, 22.0)),
        probe("core", Role.CORE, np.full(121, 20.0)),
    ]
    assert judge(seconds, probes, Rule(f0=15.0)).verdict is Verdict.FAIL
