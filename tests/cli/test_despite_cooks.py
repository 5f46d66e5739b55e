"""Vessels of a cook that did not pass are used by an option of its own only."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from click.testing import CliRunner, Result

from pinset.cli import done as command
from pinset.cli import scan as scanning
from pinset.farm.models import Entry
from web.cooked import COOK
from web.shed import Shed, build
from web.test_despite_cooks import OTHER, OWN, failed

__all__ = ["failed"]  # a fixture

Say = Callable[..., Result]


@pytest.fixture
def shed(db: None) -> Shed:  # noqa: ARG001  (a fixture that opens the data base)
    return build()


@pytest.fixture
def say(monkeypatch: pytest.MonkeyPatch) -> Say:
    monkeypatch.setattr(command, "open_chosen", lambda _context: None)
    monkeypatch.setattr(scanning, "open_chosen", lambda _context: None)

    def run(*words: str) -> Result:
        one = scanning.scan if words[0] == "scan" else command.done
        return CliRunner().invoke(one, list(words[1:]), obj={})

    return run


@pytest.mark.usefixtures("failed")
@pytest.mark.parametrize("way", ["done", "part", "scan"])
def test_it_is_asked_for_by_its_option(say: Say, shed: Shed, way: str) -> None:
    words = {
        "done": ("done", shed.jobs["jars"]),
        "part": ("done", shed.jobs["jars"], "--part", "--count", "4"),
        "scan": ("scan", shed.plates, "--do", "use"),
    }[way]
    for given in ((), ("--reason", OTHER)):
        said = say(*words, *given)
        assert said.exit_code == 1
        assert f"--despite-cook {COOK}:failed='...'" in said.output
    assert not Entry.objects.filter(kind="inoculate").exists()
    wrong = say(*words, "--despite-cook", f"{COOK}:failed")
    assert wrong.exit_code == 1
    assert "COOK:HOW=REASON" in wrong.output
    said = say(*words, "--reason", OTHER, "--despite-cook", f"{COOK}:failed={OWN}")
    assert said.exit_code == 0, said.output
    assert f"Used all the same: {OWN}." in said.output
    [entry] = Entry.objects.filter(kind="inoculate")
    assert entry.details["reason"] == OTHER
    assert [each["reason"] for each in entry.details["despite"]] == [OWN]
