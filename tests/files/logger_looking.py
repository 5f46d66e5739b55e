"""What the tests of logs look at: one cook, its log, one finding of it, and all its numbers."""

from __future__ import annotations

from datetime import datetime

import numpy as np
import pytest

from files.logger_files import (
    START,
    Cook,
    Table,
    cook,
    simple,
    stamps,
)
from pinset.errors import Finding
from pinset.files.logger.reader import read_log
from pinset.files.logger.records import ColumnRole, CookLog

COOK = cook()


COUNT = len(COOK.seconds)


def read(table: Table, **given: object) -> CookLog:
    return read_log(table.data(), "cook.csv", **given)  # type: ignore[arg-type]


def only(log: CookLog, code: str) -> Finding:
    found = [finding for finding in log.findings if finding.id == f"log.{code}"]
    assert len(found) == 1, [str(finding) for finding in log.findings]
    return found[0]


def ids(log: CookLog) -> set[str]:
    return {finding.id for finding in log.findings}


def core(log: CookLog) -> np.ndarray:
    return log.of_role(ColumnRole.CORE)[0].values


def stamped(seconds: np.ndarray | None = None, start: datetime = START) -> Table:
    table = simple(COOK, names=["time", "chamber [°C]", "core [°C]"])
    table.columns[0] = stamps(
        "%Y-%m-%d %H:%M:%S", COOK.seconds if seconds is None else seconds, start
    )
    return table


def flat() -> Cook:
    level = np.full(COUNT, 121.3) + 0.1 * np.sin(np.arange(COUNT))
    return Cook(COOK.seconds, level, level - 0.4, level - 0.5, np.full(COUNT, 104.0))


def assert_is(
    log: CookLog, given: Cook = COOK, *, within_k: float = 0.006, within_s: float = 0.002
) -> None:
    """Hold chamber and core of a log, whatever their order, against the cook."""
    assert len(log.seconds) == len(given.seconds)
    assert log.seconds == pytest.approx(given.seconds, abs=within_s)
    chamber = log.of_role(ColumnRole.CHAMBER)
    core = log.of_role(ColumnRole.CORE)
    assert len(chamber) == 1
    assert chamber[0].values == pytest.approx(given.chamber_c, abs=within_k)
    assert core[0].values == pytest.approx(given.core_c, abs=within_k)
    assert log.seconds.dtype == np.float64
    assert core[0].values.dtype == np.float64
