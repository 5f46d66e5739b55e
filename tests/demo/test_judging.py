"""Every cook of the demo's history has its verdict the morning after, and the seal shows in it."""

from __future__ import annotations

import hashlib
from datetime import timedelta

import pytest

from demo.history import Told, told
from pinset.chain.plain import from_plain
from pinset.chain.stages import Stage
from pinset.demo.cook_logs import FREE_AIR
from pinset.farm.entries import Kind, NewEntry
from pinset.services.cooks.learn.fitting import LoadFit


@pytest.fixture(scope="module")
def history() -> Told:
    return told()


@pytest.fixture(scope="module")
def verdicts(history: Told) -> dict[str, NewEntry]:
    return {
        str(entry.details["cook"]): entry for entry in history.entries if entry.kind is Kind.VERDICT
    }


def cooks(history: Told) -> dict[str, NewEntry]:
    return {
        str(entry.details["cook"]): entry for entry in history.entries if entry.kind is Kind.COOK
    }


def test_every_cook_but_the_last_days_is_judged_before_its_vessels_are_used(
    history: Told, verdicts: dict[str, NewEntry]
) -> None:
    waiting = set(cooks(history)) - set(verdicts)
    last = history.truth.today - timedelta(days=1)
    assert {cooks(history)[code].happened_at.date() for code in waiting} <= {last}
    for code, entry in cooks(history).items():
        if code in verdicts:
            assert [m.lot for m in verdicts[code].mentions] == [lot.code for lot in entry.lots]
            days = (verdicts[code].happened_at - entry.happened_at) / timedelta(days=1)
            assert 0.5 < days < 4
    for entry in history.entries:
        if entry.kind is not Kind.INOCULATE:
            continue
        for link in entry.links:
            code = history.lots[link.parent].cook
            if code:
                assert verdicts[code].happened_at < entry.happened_at


def test_only_cooks_with_a_leaking_seal_show_air_and_may_fail(
    history: Told, verdicts: dict[str, NewEntry]
) -> None:
    leaked = set(history.truth.seal.cooks)
    assert leaked
    for code, entry in verdicts.items():
        found = {each["id"] for each in entry.details["judged"]["findings"]}
        assert ("cook.air" in found) == (code in leaked), code
        if code not in leaked:
            assert entry.details["verdict"] == "pass", entry.details["sentence"]
    failed = {code for code, entry in verdicts.items() if entry.details["verdict"] == "fail"}
    assert failed
    assert failed <= leaked


def test_every_verdict_has_its_log_beside_it(history: Told, verdicts: dict[str, NewEntry]) -> None:
    kept = {
        hashlib.sha256(content).hexdigest(): name
        for sheet in history.sheets
        for name, content in sheet.logs
    }
    assert len(kept) == len(verdicts)
    for entry in verdicts.values():
        assert kept[entry.details["log"]] == entry.details["log_name"]
        assert entry.details["judged"]["digest"] == entry.details["log"]


def test_vessels_of_a_failed_cook_were_used_with_a_reason_only(
    history: Told, verdicts: dict[str, NewEntry]
) -> None:
    failed = {code for code, entry in verdicts.items() if entry.details["verdict"] == "fail"}
    for entry in history.entries:
        if entry.kind is Kind.INOCULATE:
            parents = [history.lots[link.parent] for link in entry.links]
            used = {lot.cook for lot in parents if lot.stage is Stage.PREPARED}
            assert bool(used & failed) == bool(entry.details.get("despite")), entry.details
            said = entry.details.get("despite", ())
            assert {each["cook"] for each in said if each["reason"]} == used & failed


def test_one_load_was_learnt_from_the_log_of_a_sound_cook(
    history: Told, verdicts: dict[str, NewEntry]
) -> None:
    [learnt] = [entry for entry in history.entries if entry.kind is Kind.LEARNT]
    verdict = verdicts[str(learnt.details["cook"])]
    assert verdict.details["verdict"] == "pass"
    assert verdict.details["log"] == learnt.details["log"]
    assert verdict.happened_at < learnt.happened_at
    assert learnt.details["load"]["filling"] == "sawdust"
    fit = from_plain(LoadFit, learnt.details["fit"])
    assert fit.follows
    assert fit.learnt.free_air == pytest.approx(FREE_AIR, rel=0.1), "as the logs are made"
