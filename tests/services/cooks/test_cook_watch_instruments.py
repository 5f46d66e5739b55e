"""A watched cook and its verdict know the same instruments, their errors and their calibration."""

from __future__ import annotations

import secrets
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from django.test import override_settings

from farm.small_farm import describe
from pinset.chain.register import FarmBook, Instrument, InstrumentKind
from pinset.errors import InputError
from pinset.files.logger.records import Basis
from pinset.services import clock
from pinset.services.cooks.judge.judging import judge_file, read_rule
from pinset.services.cooks.loads import LoadPlan
from pinset.services.cooks.setting import known_instruments
from pinset.services.cooks.watch import view as cook_watch_view
from pinset.services.cooks.watch import watching as cook_watching
from pinset.services.cooks.watch.columns import title_of, titles_of
from pinset.services.cooks.watch.instruments import errors_of, instruments_of
from pinset.services.cooks.watch.records import WatchErrors, What

BEGAN = datetime(2026, 3, 12, 9, 30, tzinfo=UTC)
TODAY = date(2026, 3, 12)
LOAD = LoadPlan(
    mass_kg=1.0, diameter_cm=11.5, height_cm=15.0, rating_bar=1.4, conductivity=2.0, surface=500.0
)
PROBE, GAUGE = InstrumentKind.PROBE, InstrumentKind.GAUGE
CHAMBER = Instrument("chamber", "Chamber probe", PROBE, "chamber [°C]", 0.4, TODAY)
CORE = Instrument("core", "Core probe", PROBE, "CH2", 0.3, TODAY)
KETTLE = Instrument("gauge", "Kettle gauge", GAUGE, "pressure [bar gauge]", 2.0, date(2024, 1, 1))
FIRST = Instrument("core-1", "Probe 1", PROBE, "", 0.2, date(2024, 1, 1))
SECOND = Instrument("core-2", "Probe 2", PROBE, "", 0.1, TODAY)


@pytest.fixture(autouse=True)
def folder(tmp_path: Path) -> object:
    with override_settings(LOGGER_FOLDER=tmp_path):
        yield tmp_path


def used(book: FarmBook, *instruments: Instrument, **chosen: str) -> dict[What, str]:
    known = replace(book, instruments=instruments)
    found = instruments_of(known, chosen)
    return {what: each.instrument.code if each.instrument else "" for what, each in found.items()}


def test_instruments_are_known_by_column_by_name_or_as_the_only_one(farm: FarmBook) -> None:
    named = {What.CHAMBER: "chamber", What.GAUGE: "gauge", What.CORE: "core"}
    assert used(farm, CHAMBER, CORE, KETTLE) == named
    assert used(farm, FIRST) == {What.CHAMBER: "core-1", What.GAUGE: "", What.CORE: "core-1"}
    assert used(farm, CORE) == {What.CHAMBER: "", What.GAUGE: "", What.CORE: "core"}
    assert set(used(farm, FIRST, SECOND).values()) == {""}
    assert used(farm, FIRST, SECOND, core_c="core-2")[What.CORE] == "core-2"
    assert used(farm, KETTLE, replace(KETTLE, code="other"))[What.GAUGE] == ""


def test_without_one_the_error_of_the_judging_is_taken(farm: FarmBook) -> None:
    nothing = replace(farm, instruments=(FIRST, SECOND))
    assert errors_of(instruments_of(nothing, {})) == WatchErrors()
    all_of_them = replace(farm, instruments=(CHAMBER, CORE, KETTLE))
    assert errors_of(instruments_of(all_of_them, {})) == WatchErrors(0.4, 0.3, 2.0)


def read_cook(monkeypatch: pytest.MonkeyPatch, chosen: dict[str, str]) -> str:
    monkeypatch.setenv(clock.PRETENDED, BEGAN.isoformat())
    code = cook_watching.begin(
        secrets.token_hex(16), "ada", "kettle:grain", LOAD, "f0=15", instruments=chosen
    )
    for minute in range(0, 100, 2):
        moment = BEGAN + timedelta(minutes=minute)
        monkeypatch.setenv(clock.PRETENDED, moment.isoformat())
        hot = min(1.0, minute / 30.0)
        values = {What.CHAMBER: 20.0 + 101.1 * hot, What.GAUGE: 1.05 * hot}
        if minute >= 4:
            values[What.CORE] = 20.0 + 100.9 * min(1.0, (minute - 4) / 50.0)
        cook_watching.read(code, secrets.token_hex(16), "ada", values)
    return code


@pytest.mark.parametrize(
    ("instruments", "chosen", "core_k", "overdue"),
    [
        ((CHAMBER, CORE, KETTLE), {}, 0.3, "Kettle gauge"),
        ((FIRST, SECOND), {"core_c": "core-2", "chamber_c": "core-1"}, 0.1, "Probe 1"),
        ((FIRST, SECOND), {"core_c": "core-1", "chamber_c": "core-2"}, 0.2, "Probe 1"),
        ((FIRST, SECOND), {}, 0.5, ""),
        ((), {}, 0.5, ""),
    ],
)
def test_the_verdict_takes_the_errors_the_page_took(
    farm: FarmBook,
    monkeypatch: pytest.MonkeyPatch,
    instruments: tuple[Instrument, ...],
    chosen: dict[str, str],
    core_k: float,
    overdue: str,
) -> None:
    book = replace(farm, instruments=instruments)
    describe(book)
    code = read_cook(monkeypatch, chosen)
    state = cook_watch_view.view(code).state
    late = [each for each in state.findings if each.id == "cook.calibration-overdue"]
    assert [overdue in each.sentence for each in late] == ([True] if overdue else [])
    data, name = cook_watching.log_of(code)
    judged, _ = judge_file(
        data,
        name,
        read_rule("f0=15"),
        altitude_m=book.farm.altitude_m,
        instruments=known_instruments(book, TODAY),
    )
    [core] = [each for each in judged.probes if each.role == "core"]
    assert core.error_k == core_k
    assert state.f0_min == pytest.approx(core.f0_min, rel=2e-3)
    assert state.f0_low_min == pytest.approx(core.f0_low, rel=2e-3)
    late = [each for each in judged.findings if each.id == "cook.calibration-overdue"]
    assert [overdue in each.sentence for each in late] == ([True] if overdue else [])
    said = [each.sentence for each in state.findings if each.id.startswith("watch.instrument")]
    assert len(said) == 3


@pytest.mark.usefixtures("farm")
def test_only_an_instrument_of_that_kind_can_be_chosen(farm: FarmBook) -> None:
    describe(replace(farm, instruments=(CORE, KETTLE)))
    for chosen in ({"core_c": "gauge"}, {"gauge_bar": "core"}, {"core_c": "none"}):
        with pytest.raises(InputError):
            cook_watching.begin(
                secrets.token_hex(16), "ada", "kettle:grain", LOAD, "f0=15", instruments=chosen
            )


@pytest.mark.parametrize(
    "name",
    ["p1", "core-2", "Chamber probe 1", "Water, bath", "Gauge [F]", "kPa absolute", "outer wall",
     "Kernfühler; Ümlaut (alt)", "pressure 2", "SV", "x" * 200],
)  # fmt: skip
def test_a_column_keeps_its_place_whatever_the_instrument_is_called(name: str) -> None:
    probe, gauge = Instrument("a", name, PROBE), Instrument("b", name, GAUGE)
    titles = [
        title_of(What.CHAMBER, probe), title_of(What.GAUGE, gauge), title_of(What.CORE, probe),
    ]  # fmt: skip
    rows = [",".join(("time", *titles))]
    for minute in range(0, 100, 2):
        at = (BEGAN + timedelta(minutes=minute)).isoformat()
        hot, core = min(1.0, minute / 30.0), min(1.0, minute / 80.0)
        rows.append(f"{at},{20 + 100 * hot:.2f},{hot:.3f},{20 + 99 * core:.2f}")
    judged, log = judge_file("\n".join(rows).encode(), "a.csv", read_rule("f0=15"))
    assert "instrument: " in titles[0]
    assert [each.role.value for each in log.columns] == ["chamber", "pressure", "core"]
    assert log.columns[1].basis is Basis.GAUGE
    assert {each.role for each in judged.probes} == {"chamber", "core"}


def test_two_instruments_of_one_name_are_told_apart_by_their_numbers() -> None:
    first, second = Instrument("a", "Probe", PROBE), Instrument("b", "Probe", PROBE)
    titles = {title_of(What.CORE, each, (first, second)) for each in (first, second)}
    assert len(titles) == 2
    assert all("instrument: " not in each for each in titles)
    assert title_of(What.CORE, first, (first,)) == "core (instrument: Probe) [°C]"
    assert titles <= {*titles_of(first), *titles_of(second)}, "logs of before are known too"
