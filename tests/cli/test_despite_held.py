"""Units of a lot that is held back are used by an option of its own only."""

from __future__ import annotations

import secrets
from collections.abc import Callable

import pytest
from click.testing import CliRunner, Result

from pinset.cli import bench_say
from pinset.cli import done as command
from pinset.farm import door, trade
from pinset.farm.models import Entry
from pinset.farm.trade import Tap
from pinset.farm.trade.looking import Verdict
from pinset.services.bench import beginning, lists
from pinset.services.clock import now_utc
from web.shed import Shed, build

Say = Callable[..., Result]

HELD = "smells sour"
OTHER = "ran out of spawn"


@pytest.fixture
def shed(db: None) -> Shed:  # noqa: ARG001  (a fixture that opens the data base)
    built = build()
    tap = Tap(secrets.token_hex(16), now_utc(), "ada")
    door.record([trade.judge(tap, built.plates, Verdict.HELD, reason=HELD)], now=now_utc())
    return built


@pytest.fixture
def say(monkeypatch: pytest.MonkeyPatch) -> Say:
    commands = {"done": command.done, "make": bench_say.make}
    for module in (command, bench_say):
        monkeypatch.setattr(module, "open_chosen", lambda _context: None)

    def run(*words: str) -> Result:
        return CliRunner().invoke(commands[words[0]], list(words[1:]), obj={})

    return run


def begun() -> str:
    ticked = lists.every_key(lists.ENTRY)
    beginning.begin("bench", beginning.Said("ada", secrets.token_hex(16), None, ticked=ticked))
    [entry] = Entry.objects.filter(kind="session")
    return str(entry.details["session"])


@pytest.mark.parametrize("way", ["done", "part", "bench", "bench without a job"])
def test_it_is_named_beside_the_reason(say: Say, shed: Shed, way: str) -> None:
    jars = shed.jobs["jars"]
    make = ("make", begun() if way.startswith("bench") else "", "--from", f"{shed.plates}=1")
    words = {
        "done": ("done", jars),
        "part": ("done", jars, "--part", "--count", "4"),
        "bench": (*make, "--into", jars, "--count", "4"),
        "bench without a job": (*make, "--into", "grain", "--count", "4"),
    }[way]
    option = ("--despite-held", shed.plates)
    for given in ((), ("--reason", OTHER), option):
        said = say(*words, *given)
        assert said.exit_code == 1, said.output
        assert f"Lot {shed.plates} is held back: {HELD}." in said.output
        if option != given:
            assert f"--despite-held {shed.plates} --reason '...'" in said.output
    assert not Entry.objects.filter(kind="inoculate").exists()
    said = say(*words, "--reason", OTHER, *option)
    assert said.exit_code == 0, said.output
    assert f"Written down although: Lot {shed.plates} is held back: {HELD}." in said.output
    [entry] = Entry.objects.filter(kind="inoculate")
    assert entry.details["reason"] == OTHER


def test_a_reason_for_something_else_still_does_where_nothing_is_held(say: Say, shed: Shed) -> None:
    tap = Tap(secrets.token_hex(16), now_utc(), "ada")
    door.record([trade.judge(tap, shed.plates, Verdict.RELEASED)], now=now_utc())
    said = say("done", shed.jobs["jars"], "--reason", OTHER, "--despite-held", shed.plates)
    assert said.exit_code == 0, said.output
    assert "held back" not in said.output
