"""A job that somebody else has taken on is recorded from the terminal only if that is meant."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from pinset.cli import done as command
from pinset.farm.models import Entry
from pinset.services.answers import claims
from web import shed as sheds


@pytest.mark.usefixtures("db")
def test_who_holds_it_is_named_and_anyway_records(monkeypatch: pytest.MonkeyPatch) -> None:
    job = sheds.build().jobs["shake"]
    assert claims.claim(job, "ben")
    monkeypatch.setattr(command, "open_chosen", lambda _context: None)
    run = CliRunner()
    refused = run.invoke(command.done, [job, "--person", "ada"], obj={})
    assert refused.exit_code == 1
    assert f"Ben has job {job}." in refused.output
    assert "--anyway" in refused.output
    assert not Entry.objects.filter(job=job).exists()
    written = run.invoke(command.done, [job, "--person", "ada", "--anyway"], obj={})
    assert written.exit_code == 0, written.output
    assert Entry.objects.filter(job=job).count() == 1
