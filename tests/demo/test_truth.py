from datetime import date, timedelta
from pathlib import Path

import pytest

from pinset.demo.truth import APART_DAYS, planned_truth, read_truth, write_truth
from pinset.errors import InputError


@pytest.mark.parametrize("shift", range(0, 366, 5))
def test_truths_lie_apart_and_inside_the_history_whatever_the_day(shift: int) -> None:
    today = date(2026, 1, 1) + timedelta(days=shift)
    truth = planned_truth(1, today)
    early, late = truth.start + timedelta(days=APART_DAYS), today - timedelta(days=APART_DAYS)
    for since, until in (
        (truth.seal.since, truth.seal.until),
        (truth.hot.since, truth.hot.until),
        (truth.careless.day, truth.careless.day),
        (truth.tired.since, truth.tired.until),
    ):
        assert early <= since <= until <= late
    assert truth.careless.day.weekday() == 2
    assert truth.seal.since.weekday() == 0
    assert truth.seal.until < truth.hot.since or truth.hot.until < truth.seal.since
    assert truth.careless.day not in (truth.hot.since, truth.hot.until)


def test_the_file_is_read_back_as_written(tmp_path: Path) -> None:
    truth = planned_truth(5, date(2026, 3, 12))
    assert write_truth(truth, tmp_path).name == "hidden-truth.json"
    assert read_truth(tmp_path) == truth


def test_another_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "hidden-truth.json").write_text('{"seed": "five"}')
    with pytest.raises(InputError, match="seed"):
        read_truth(tmp_path)
