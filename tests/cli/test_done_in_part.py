"""What is missing is asked for by its option; a part is by weight, or by what went into a load."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from click.testing import CliRunner, Result

from pinset.chain.plain import to_plain
from pinset.cli import done as command
from pinset.farm import job_store, whereabouts
from pinset.farm.job_store import JobToLay
from pinset.farm.models import Entry
from pinset.services.answers import lot_actions
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from web import shed as sheds

Say = Callable[..., Result]


@pytest.fixture
def say(monkeypatch: pytest.MonkeyPatch) -> Say:
    monkeypatch.setattr(command, "open_chosen", lambda _context: None)
    return lambda *words: CliRunner().invoke(command.done, list(words), obj={})


@pytest.mark.usefixtures("db")
def test_a_weighed_part_leaves_the_rest_open(say: Say) -> None:
    shed = sheds.build()
    said = say(shed.jobs["pick"], "--part", "--weight", "4.8 kg")
    assert said.exit_code == 0, said.output
    assert "4.8 kg: recorded, the rest stays open." in said.output
    row = job_store.job_by_code(shed.jobs["pick"])
    assert row is not None
    assert not row.is_closed


@pytest.mark.usefixtures("db")
def test_what_went_in_of_each_mix_is_said(say: Say) -> None:
    shed = sheds.build()
    book = sheds.book_of(shed.day)
    kettle, route = book.sterilisers[0], book.routes[0].code
    job = PlannedJob(
        "cook:both", JobKind.COOK, "load", shed.day, 14, "units", "vessels into the steamer",
        "steriliser", steriliser=kettle.code, cook_kind=kettle.cooks[0].code, step="grain",
        feeds=(LotAmount("", 10, "grain", route), LotAmount("", 4, "block", route)),
    )  # fmt: skip
    [code] = job_store.add([JobToLay("", job.day, "cook", to_plain(job), "", "grain", 14, "")])
    asked = say(code, "--part", "--count", "9")
    assert asked.exit_code == 1
    assert '--mix rye=N --mix "beech sawdust with bran"=N' in asked.output
    wrong = say(code, "--part", "--mix", "rye")
    assert wrong.exit_code == 1
    assert "MIX=UNITS" in wrong.output
    said = say(code, "--part", "--mix", "rye=6", "--mix", "beech sawdust with bran = 3")
    assert said.exit_code == 0, said.output
    [entry] = Entry.objects.filter(job=code)
    assert [(each["step"], each["units"]) for each in entry.details["feeds"]] == [
        ("grain", 6),
        ("block", 3),
    ]


@pytest.mark.usefixtures("db")
def test_a_verdict_by_hand_asks_for_its_reason_by_the_option(say: Say) -> None:
    shed = sheds.build()
    job = PlannedJob(
        "judge:kettle-1", JobKind.JUDGE, "judge", shed.day, 1, "units", "cook to judge",
        "steriliser", cook="kettle-1",
    )  # fmt: skip
    [code] = job_store.add([JobToLay("", job.day, "judge", to_plain(job), "", "", 1, "")])
    asked = say(code, "--verdict", "pass", "--note", "gauge at 1.0 bar for 90 min")
    assert asked.exit_code == 1
    assert "The reason is missing." in asked.output
    assert "with --reason; a --note does not stand for it." in asked.output
    assert "gauge at 1.0 bar for 90 min by the clock" in asked.output


@pytest.mark.usefixtures("db")
def test_the_shelf_is_said_behind_the_code(say: Say) -> None:
    shed = sheds.build()
    lot_actions.move(lot_actions.Saying(shed.jars, "ben", "5" * 32), 3, "warm-2")
    before = {each.place: each.quantity for each in whereabouts.units_of([shed.jars])[shed.jars]}
    job = PlannedJob(
        "discard:a", JobKind.DISCARD, "discard", shed.day, 2, "units", "jars", "incubation",
        stage="grain", step="grain", lots=(LotAmount(shed.jars, 2, "grain", place="warm-1"),),
    )  # fmt: skip
    [code] = job_store.add([JobToLay("", job.day, "discard", to_plain(job), "", "grain", 2, "")])
    too_many = say(code, "--lot", f"{shed.jars}@warm-2=4", "--reason", "invented")
    assert too_many.exit_code == 1
    assert "3 on warm-2" in too_many.output
    done = say(code, "--lot", f"{shed.jars}@warm-2=2", "--reason", "invented")
    assert done.exit_code == 0, done.output
    after = {each.place: each.quantity for each in whereabouts.units_of([shed.jars])[shed.jars]}
    assert after == before | {"warm-2": 1}
