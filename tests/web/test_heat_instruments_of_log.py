"""A log judged for a cook takes the errors of the farm's instruments where they can be told."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from pinset.chain.register import Instrument, InstrumentKind
from pinset.services.cooks.judge.judged import JudgedCook
from pinset.services.cooks.judge.keeping import judge_for
from pinset.services.plans import planning_day
from web.cooked import COOK, LOG, cooked
from web.shed import Shed

pytestmark = pytest.mark.django_db

CORE, GAUGE = InstrumentKind.PROBE, InstrumentKind.GAUGE


@pytest.fixture(autouse=True)
def folder(settings: object, tmp_path: Path) -> None:
    settings.FARM_FOLDER = str(tmp_path)  # type: ignore[attr-defined]


def with_instruments(monkeypatch: pytest.MonkeyPatch, shed: Shed, *some: Instrument) -> None:
    book, today = planning_day.farm_book()
    changed = replace(book, instruments=some)
    monkeypatch.setattr(planning_day, "farm_book", lambda *_: (changed, today))
    cooked(shed.day, COOK)


def judged() -> JudgedCook:
    gauge = LOG.gauge_kpa / 100.0
    rows = zip(LOG.seconds / 60.0, LOG.chamber_c, LOG.core_c, gauge, strict=True)
    lines = ["min,Kammer °C,Kern °C,Druck bar Ü"]
    lines += [f"{m:.0f},{a:.2f},{b:.2f},{p:.3f}" for m, a, b, p in rows]
    return judge_for(COOK, "\n".join(lines).encode(), "kettle.csv", "f0=15")[0]


def test_probes_by_their_names_and_the_only_gauge(
    shed: Shed, monkeypatch: pytest.MonkeyPatch
) -> None:
    old = shed.day - timedelta(days=400)
    with_instruments(
        monkeypatch,
        shed,
        Instrument("p1", "Core probe", CORE, error=0.3, calibrated_on=old, every_days=365),
        Instrument("p2", "Chamber probe", CORE, error=0.4, calibrated_on=shed.day, every_days=365),
        Instrument("g1", "Dial", GAUGE, error=2.0, calibrated_on=old, every_days=365),
    )
    found = judged()
    assert {each.role: each.error_k for each in found.probes} == {"core": 0.3, "chamber": 0.4}
    overdue = [each.sentence for each in found.findings if each.id == "cook.calibration-overdue"]
    assert len(overdue) == 2
    assert any("Core probe" in each for each in overdue)
    assert any("Dial" in each for each in overdue)
    assert "cook.uncalibrated" not in {each.id for each in found.findings}


def test_two_gauges_are_not_told_apart(shed: Shed, monkeypatch: pytest.MonkeyPatch) -> None:
    with_instruments(
        monkeypatch,
        shed,
        Instrument("g1", "Dial", GAUGE, error=2.0),
        Instrument("g2", "Small dial", GAUGE, error=2.0),
    )
    found = judged()
    assert "cook.calibration-overdue" not in {each.id for each in found.findings}
    assert {each.error_k for each in found.probes} == {0.5}
