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


def test_a_doubt_is_told_first_and_named_once_a_reason_overrules_it(run: CliRunner) -> None:
    shed = sheds.build()
    job = shed.jobs["look"]
    given = [job, "--at", (shed.day - timedelta(days=300)).isoformat(), "--note", "from paper"]
    told = run.invoke(command.done, given, obj={})
    assert told.exit_code == 1, "a note is no reason"
    assert "is 300 days ago" in told.output
    assert not Entry.objects.filter(job=job).exists()
    written = run.invoke(command.done, [*given, "--reason", "found late"], obj={})
    assert written.exit_code == 0, written.output
    assert "! Written down although: " in written.output
    assert "is 300 days ago" in written.output
    assert Entry.objects.get(job=job).details["reason"] == "found late"


def test_what_is_no_time_is_refused(run: CliRunner) -> None:
    job = sheds.build().jobs["shake"]
    refused = run.invoke(command.done, [job, "--at", "this morning"], obj={})
    assert refused.exit_code == 1
    assert "a date and time such as" in refused.output
    assert not Entry.objects.filter(job=job).exists()
