"""What is told later in the terminal is dated when it happened, by the farm's clock."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from click.testing import CliRunner

from pinset.cli import done as command
from pinset.farm.models import Entry
from web import shed as sheds


@pytest.fixture
def run(db: None, monkeypatch: pytest.MonkeyPatch) -> CliRunner:  # noqa: ARG001
    monkeypatch.setattr(command, "open_chosen", lambda _context: None)
    return CliRunner()


@pytest.mark.parametrize("has_offset", [False, True])
def test_the_time_given_is_that_of_the_entry(run: CliRunner, *, has_offset: bool) -> None:
    shed = sheds.build()
    day = (shed.day - timedelta(days=1)).isoformat()
    at = f"{day}T07:40" + ("+00:00" if has_offset else "")
    written = run.invoke(command.done, [shed.jobs["shake"], "--at", at], obj={})
    assert written.exit_code == 0, written.output
    zone = UTC if has_offset else ZoneInfo(sheds.ZONE)
    expected = datetime.fromisoformat(f"{day}T07:40").replace(tzinfo=zone)
    assert Entry.objects.get(job=shed.jobs["shake"]).happened_at == expected


def test_what_is_no_time_is_refused(run: CliRunner) -> None:
    job = sheds.build().jobs["shake"]
    refused = run.invoke(command.done, [job, "--at", "this morning"], obj={})
    assert refused.exit_code == 1
    assert "a date and time such as" in refused.output
    assert not Entry.objects.filter(job=job).exists()
