"""A controller's log: set points, coarse steps, newest first, come-up, where a core stood."""

from __future__ import annotations

from dataclasses import asdict

import numpy as np
import pytest
from numpy import float64
from numpy.typing import NDArray

from pinset.errors import InputError
from pinset.science.heating.heating import Cylinder, Material, core_curve, modes_of
from pinset.science.judging.off_centre import middle_c, read_off
from pinset.science.judging.records import Rule
from pinset.science.lethality.lethality import f_of_log
from pinset.services.cooks.judge.judged import JudgedCook, JudgedProbe
from pinset.services.cooks.judge.judging import judge_file

Values = NDArray[float64]

SECONDS = 60.0 * np.arange(320)
RADIUS_M = 0.075
BAG = modes_of(Cylinder(RADIUS_M, 0.2), Material(0.6, 2.0e6, 100.0))


def curves(hold_min: float) -> tuple[Values, Values]:
    corners = [0.0, 35.0, 35.0 + hold_min, 75.0 + hold_min, 400.0]
    chamber = np.interp(SECONDS / 60.0, corners, [20.0, 121.5, 121.5, 60.0, 30.0])
    return chamber, core_curve(BAG, SECONDS, chamber, 20.0)


def judged(heads: str, *columns: Values, form: str = ".1f", **changes: str) -> JudgedCook:
    said = {key.replace("__", "."): value for key, value in changes.items()}
    rows = zip(SECONDS / 60.0, *columns, strict=True)
    lines = [f"{m:g},{','.join(f'{each:{form}}' for each in row)}" for m, *row in rows]
    data = "\n".join([f"min,{heads}", *lines]).encode()
    return judge_file(data, "controller.csv", Rule(f0=15.0), changes=said)[0]


def roles(found: JudgedCook) -> dict[str, str]:
    return {each.name: each.role for each in found.probes}


def core_of(found: JudgedCook) -> JudgedProbe:
    [core] = [each for each in found.probes if each.role == "core"]
    return core


def ids(found: JudgedCook) -> set[str]:
    return {each.id for each in found.findings}


@pytest.mark.parametrize(
    ("set_point", "read"),
    [
        ("SV", "PV"),
        ("SV1 [°C]", "PV1 [°C]"),
        ("Sollwert", "Istwert"),
        ("Set value", "Process value"),
    ],
)
@pytest.mark.parametrize(("hold_min", "verdict"), [(130.0, "fail"), (180.0, "pass")])
def test_a_set_point_is_no_reading_and_what_is_read_is_the_chambers(
    set_point: str, read: str, hold_min: float, verdict: str
) -> None:
    chamber, core = curves(hold_min)
    found = judged(f"{set_point},{read},core 1", np.full(len(core), 122.0), chamber, core)
    assert roles(found) == {read: "chamber", "core 1": "core"}
    assert found.verdict == verdict, found.sentence
    assert {"log.stuck", "log.role-guessed", "cook.no-chamber"}.isdisjoint(ids(found))
    [said] = [each for each in found.findings if each.id == "log.process-value"]
    assert set_point in said.sentence
    assert said.say == ("column.3.role=core",)


def test_a_set_point_alone_beside_a_core_is_no_chamber() -> None:
    _, core = curves(180.0)
    found = judged("SV,core", np.full(len(core), 122.0), core)
    assert roles(found) == {"core": "core"}
    assert "cook.no-chamber" in ids(found)


def test_a_process_value_without_a_set_point_beside_it_is_asked_about() -> None:
    chamber, core = curves(180.0)
    found = judged("PV,core", chamber, core)
    assert roles(found)["PV"] == "chamber"
    assert "log.process-value" not in ids(found)
    assert "log.role-guessed" in ids(found)


@pytest.mark.parametrize("counts", ["down", "up"])
@pytest.mark.parametrize("head", ["No", "No.", "#", "Nr"])
def test_newest_first_with_a_number_is_turned_round(head: str, counts: str) -> None:
    chamber, core = curves(180.0)
    rows = [
        f"2026-05-04 {8 + at // 60:02d}:{at % 60:02d}:00,{c:.1f},{k:.1f}"
        for at, (c, k) in enumerate(zip(chamber, core, strict=True))
    ]
    plain = judge_file("\n".join(["time,chamber,core", *rows]).encode(), "a.csv", Rule(f0=15.0))[0]
    count = len(rows)
    numbered = [
        f"{count - at if counts == 'down' else at + 1},{row}" for at, row in enumerate(rows[::-1])
    ]
    data = "\n".join([f"{head},time,chamber,core", *numbered]).encode()
    found = judge_file(data, "a.csv", Rule(f0=15.0))[0]
    assert found.verdict == plain.verdict == "pass"
    assert core_of(found).f0_min == pytest.approx(core_of(plain).f0_min)
    assert roles(found) == roles(plain)
    assert "log.newest-first" in ids(found)


@pytest.mark.parametrize(("step_k", "added_k"), [(0.1, 0.0), (0.5, 0.25), (1.0, 0.5)])
def test_half_a_step_of_coarse_readings_is_in_the_band(step_k: float, added_k: float) -> None:
    chamber, core = curves(165.0)
    truth = f_of_log(SECONDS, core)
    found = judged(
        "chamber,core", np.round(chamber / step_k) * step_k, np.round(core / step_k) * step_k
    )
    own = core_of(found)
    assert own.error_k == pytest.approx(0.5 + added_k)
    assert own.f0_low == pytest.approx(own.f0_min * 10 ** (-own.error_k / 10.0), rel=0.01)
    assert own.f0_low < truth < own.f0_high
    assert ("cook.coarse-steps" in ids(found)) is (added_k > 0)
    [said] = [e for e in found.findings if e.id == "cook.uncalibrated" and e.record == "core"]
    assert "0.5 K either way" in said.sentence


def test_a_cut_off_degree_of_whole_fahrenheit_is_half_a_step_too() -> None:
    chamber, core = curves(165.0)
    found = judged("chamber [°F],core [°F]", chamber * 1.8 + 32.0, core * 1.8 + 32.0, form=".0f")
    assert core_of(found).error_k == pytest.approx(0.5 + 0.5 / 1.8)


def test_come_up_and_hold_are_told_without_a_hold_in_the_rule() -> None:
    chamber, core = curves(240.0)
    found = judged("chamber,core", chamber, core)
    assert found.wanted_c == 121.1
    own, around = core_of(found), next(e for e in found.probes if e.role == "chamber")
    assert around.come_up_min == pytest.approx(35.0 * 101.1 / 101.5, abs=1.0)
    assert around.hold_min == pytest.approx(240.0, abs=2.0)
    first = SECONDS[np.argmax(core >= 121.1)] / 60.0 if core.max() >= 121.1 else None
    assert own.come_up_min == (None if first is None else pytest.approx(first, abs=5.0))
    assert own.hold_min is not None
    plain = asdict(found)
    assert all(each["hold_min"] is not None for each in plain["probes"])


def test_never_there_is_no_hold() -> None:
    chamber, core = curves(100.0)
    own = core_of(judged("chamber,core", chamber, core))
    assert own.come_up_min is None
    assert own.hold_min == 0.0


def test_the_middle_is_colder_than_a_probe_off_it_and_never_by_less_than_it_is() -> None:
    """A probe 25 mm off the axis, reckoned by the series itself at that place, heats sooner."""
    chamber, core = curves(150.0)
    share = 25.0 / 75.0
    read = chamber - (chamber - core) * np.sinc(share)  # as the steepest profile has it
    inside = middle_c(read, chamber, share)
    heating = chamber > read
    np.testing.assert_allclose(inside[heating], np.maximum(core, read.min())[heating], atol=1e-9)
    np.testing.assert_array_equal(inside[~heating], read[~heating])
    np.testing.assert_allclose(middle_c(read, chamber, 0.0), read)
    with pytest.raises(InputError, match="share"):
        middle_c(read, chamber, 0.9)


@pytest.mark.parametrize(
    ("off", "verdict", "words"),
    [
        ("", "pass", ""),
        ("0", "pass", ""),
        ("3/75", "pass", ""),
        ("35/75", "unjudged", "the middle may have had only F0"),
        ("70/75", "unjudged", "too far out"),
        ("20", "unjudged", "how far it is from there to the face"),
    ],
)
def test_where_the_probe_stood_counts(off: str, verdict: str, words: str) -> None:
    chamber, core = curves(147.0)
    assert 15.5 < f_of_log(SECONDS, core) < 17.5
    said = {"column__3__off": off} if off else {}
    found = judged("chamber,core", chamber, core, **said)
    assert found.verdict == verdict, found.sentence
    assert words in found.sentence
    assert ("cook.depth-not-said" in ids(found)) is (not off)
    if off == "35/75":
        assert core_of(found).f0_low < 14.0
    [line] = [line for line in found.layout if line.key == "column.3.off"]
    assert line.value == off


def test_without_a_chamber_the_middle_is_open() -> None:
    _, core = curves(180.0)
    found = judged("core", core, column__2__off="20/75")
    assert found.verdict == "unjudged"
    assert "without a probe in the chamber" in found.sentence


@pytest.mark.parametrize("text", ["deep", "-1", "20/", "80/75", "2000", "nan", ""])
def test_places_nobody_can_mean(text: str) -> None:
    with pytest.raises(InputError):
        read_off(text)
    chamber, core = curves(155.0)
    with pytest.raises(InputError, match=r"column\.3\.off"):
        judged("chamber,core", chamber, core, column__3__off=text)


def test_a_bare_pass_says_that_the_least_place_lies_off_the_middle() -> None:
    chamber, core = curves(155.0)
    asked = f_of_log(SECONDS, core) * 0.98
    rows = zip(SECONDS / 60.0, chamber, core, strict=True)
    data = "\n".join(["min,chamber,core", *(f"{m:g},{a:.2f},{b:.2f}" for m, a, b in rows)]).encode()
    found = judge_file(data, "a.csv", Rule(f0=asked))[0]
    assert "cook.least-off-middle" in ids(found)
    assert "cook.least-off-middle" not in ids(judge_file(data, "a.csv", Rule(f0=0.9 * asked))[0])
