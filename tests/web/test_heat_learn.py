"""Heat, learning a load: fitted from a cook's log, kept, planned by, flagged, taken back."""

from __future__ import annotations

import hashlib
import re
import secrets
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from django.http import HttpResponse
from django.test import Client

from pinset.chain.plain import to_plain
from pinset.farm import job_store
from pinset.farm.job_store import JobToLay
from pinset.farm.models import Entry
from pinset.science.heating.heated_unit import Moist
from pinset.science.heating.heating import Cylinder, Material
from pinset.science.heating.loads import Filling, fill_of
from pinset.services.answers import taking_back
from pinset.services.cooks.ahead import newer_logs
from pinset.services.cooks.ahead.newer_logs import with_learnt
from pinset.services.cooks.ahead.planning import plan_cook
from pinset.services.cooks.judge import verdict_entries as cook_verdict_entries
from pinset.services.cooks.judge import verdicts as cook_verdicts
from pinset.services.cooks.judge.judging import read_rule
from pinset.services.cooks.judge.keeping import judge_for, keep_verdict
from pinset.services.cooks.learn import learning as cook_learning
from pinset.services.cooks.learn.learnt import learnt_loads
from pinset.services.cooks.typed import load_of
from pinset.services.cooks.usual import usual_loads
from pinset.services.cooks.watch import watching as cook_watching
from pinset.services.jobs.of_cooks import own_hold
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.plans import planning_day
from pinset.services.week.week import week_view
from pinset.services.words import minutes_in_words
from web.cooked import COOK, cooked
from web.shed import Shed

pytestmark = pytest.mark.django_db

MINUTES = np.arange(0.0, 301.0)
CHAMBER = np.interp(MINUTES, [0, 30, 240, 260, 300], [20, 121.3, 121.3, 98, 40])
JAR = Cylinder(0.045, 0.14)
MASS_KG, MOISTURE = 0.65, 0.5
UNIT = {"filling": "grain", "mass": "0.65 kg", "moisture": "50%", "size": "9 x 14 cm"}
OTHER = "kettle-20260311-0900"


@pytest.fixture(autouse=True)
def folder(settings: object, tmp_path: Path) -> None:
    settings.FARM_FOLDER = str(tmp_path)  # type: ignore[attr-defined]


def text(response: HttpResponse) -> str:
    return re.sub(r"\s+", " ", response.content.decode())


def log_of(free_air: float, seed: int = 1) -> bytes:
    """A jar of grain with vapour, by its own grid, with the noise of two probes."""
    fill = fill_of(Filling.GRAIN, JAR, MASS_KG, MOISTURE, 70.0)
    stuff = Material(0.25, fill.heat_capacity, 150.0)
    core = Moist(JAR, stuff, free_air, 206.0).core(60.0 * MINUTES, CHAMBER, 20.0)
    noise = np.random.default_rng(seed).normal(0.0, 0.1, (2, len(MINUTES)))
    rows = zip(MINUTES, CHAMBER + noise[0], core + noise[1], strict=True)
    lines = [
        "min,chamber [°C],core [°C]",
        *(f"{m:.0f},{chamber:.2f},{inside:.2f}" for m, chamber, inside in rows),
    ]
    return "\n".join(lines).encode()


def judged(shed: Shed, cook: str, data: bytes) -> None:
    cooked(shed.day, cook)
    verdict, _ = judge_for(cook, data, "kettle.csv", "f0=15")
    keep_verdict(secrets.token_hex(16), "ada", cook, verdict, data, "kettle.csv")


def keep(client: Client, **more: str) -> HttpResponse:
    given = {**UNIT, "client_id": secrets.token_hex(16), **more}
    return client.post(f"/heat/cook/{COOK}/learn/", given, follow=True)


def test_a_load_is_learnt_planned_by_and_taken_back(worker: Client, shed: Shed) -> None:
    judged(shed, COOK, log_of(0.12))
    assert "Learn from this log" in text(worker.get(f"/heat/cook/{COOK}/"))
    page = text(worker.get(f"/heat/cook/{COOK}/learn/", UNIT))
    assert "Followed" in page
    assert "vapour carried heat" in page
    assert "core as it is reckoned now" in page
    assert not learnt_loads(), "looking keeps nothing"

    assert "such loads are planned by it" in text(keep(worker))
    [known] = learnt_loads()
    assert known.fit.learnt.free_air == pytest.approx(0.12, rel=0.15)
    asked = {
        **UNIT, "heat": "pressure", "rating": "1.3 bar", "rule": "f0=15", "temperature": "121.1 C",
        "altitude": "0 m",
    }  # fmt: skip
    planned = text(worker.get("/heat/before/", asked))
    assert "the slow end of what your log taught" in planned
    assert f"the log of cook {COOK}" in planned
    thicker = text(worker.get("/heat/before/", {**asked, "size": "11 x 14 cm"}))
    assert "the cautious case" in thicker, "another size was never logged"
    assert "Loads learnt from logs" in text(worker.get("/heat/"))

    gone = {"client_id": secrets.token_hex(16), "reason": "the probe stood at the wall"}
    assert worker.post(f"/heat/forget/{known.entry}/", gone, follow=True).status_code == 200
    assert not learnt_loads()
    assert "the cautious case" in text(worker.get("/heat/before/", asked))


def test_a_double_tap_learns_once(worker: Client, shed: Shed) -> None:
    judged(shed, COOK, log_of(0.12))
    tap = secrets.token_hex(16)
    for _again in range(2):
        assert keep(worker, client_id=tap).status_code == 200
    assert Entry.objects.filter(kind="learnt").count() == 1


def test_what_is_wrong_is_said_at_its_field_and_nothing_is_kept(worker: Client, shed: Shed) -> None:
    judged(shed, COOK, log_of(0.12))
    for name, value in (("size", ""), ("size", "wide"), ("mass", "90 kg"), ("moisture", "soft")):
        answer = keep(worker, **{name: value})
        assert answer.status_code == 422, (name, value)
        assert 'aria-invalid="true"' in text(answer)
    assert not Entry.objects.filter(kind="learnt").exists()


def test_a_cook_without_a_log_teaches_nothing(worker: Client, shed: Shed) -> None:
    cooked(shed.day)
    cook_verdict_entries.judge_by_hand(
        secrets.token_hex(16), "ada", COOK, "pass", "gauge and clock"
    )
    assert worker.get(f"/heat/cook/{COOK}/learn/").status_code == 404
    assert "Learn from this log" not in text(worker.get(f"/heat/cook/{COOK}/"))
    assert worker.get("/heat/cook/none-such/learn/").status_code == 404


@pytest.mark.parametrize(("free_air", "word"), [(0.03, "slower"), (0.5, "faster"), (0.12, "")])
def test_a_newer_log_that_disagrees_raises_a_flag(
    worker: Client, shed: Shed, free_air: float, word: str
) -> None:
    judged(shed, COOK, log_of(0.12))
    [usual] = [each.typed for each in usual_loads() if each.cook_kind == "grain"][:1]
    assert keep(worker, mass=usual["mass"], moisture=usual["moisture"]).status_code == 200, usual
    assert len(learnt_loads()) == 1
    judged(shed, OTHER, log_of(free_air, seed=2))
    listed = text(worker.get("/heat/"))
    page = text(worker.get(f"/heat/cook/{OTHER}/"))
    assert listed.count("A newer log disagrees") == bool(word), "once a cook"
    if word:
        assert f"heated {word} than the log of cook {COOK}" in page
    else:
        assert "heated slower" not in page
        assert "heated faster" not in page


def test_the_flag_is_raised_though_the_cook_may_hold_a_load_nobody_learnt(
    worker: Client, shed: Shed, monkeypatch: pytest.MonkeyPatch
) -> None:
    judged(shed, COOK, log_of(0.12))
    usual = next(each for each in usual_loads() if each.cook_kind == "grain")
    keep(worker, mass=usual.typed["mass"], moisture=usual.typed["moisture"])
    known = usual_loads()
    other = replace(usual, code="x", typed={**usual.typed, "mass": "3 kg", "size": "15 x 24 cm"})
    monkeypatch.setattr(cook_learning, "usual_loads", lambda: (*known, other))
    judged(shed, OTHER, log_of(0.03, seed=2))
    page = text(worker.get(f"/heat/cook/{OTHER}/"))
    assert f"heated slower than the log of cook {COOK}" in page
    assert "in another kind of unit" in page


ASKED = {
    "heat": "pressure", "rating": "1.3 bar", "rule": "f0=15", "temperature": "121.1 C",
    "altitude": "0 m",
}  # fmt: skip


def disagreed(worker: Client, shed: Shed, free_air: float) -> tuple[dict[str, str], str]:
    """Learn a load, judge a newer cook of it twice; return what asks for a plan, and its log."""
    judged(shed, COOK, log_of(0.12))
    usual = next(each for each in usual_loads() if each.cook_kind == "grain").typed
    unit = {**UNIT, "mass": usual["mass"], "moisture": usual["moisture"]}
    assert keep(worker, **unit).status_code == 200
    data = log_of(free_air, seed=2)
    judged(shed, OTHER, data)
    verdict, _ = judge_for(OTHER, data, "kettle.csv", "f0=15")
    keep_verdict(secrets.token_hex(16), "ada", OTHER, verdict, data, "kettle.csv")
    return {**unit, **ASKED}, hashlib.sha256(data).hexdigest()


def holds(asked: dict[str, str]) -> dict[str, float]:
    load = with_learnt(load_of({name: asked[name] for name in asked if name != "rule"}))
    plan = plan_cook(load, read_rule("f0=15"))
    assert plan.ruling == plan.cases[0]
    return {case.name: case.hold_min or 0.0 for case in plan.cases}


def test_the_flag_stands_on_the_plan_and_the_slower_counts_until_set_aside(
    worker: Client, shed: Shed
) -> None:
    asked, log = disagreed(worker, shed, 0.03)
    page = text(worker.get("/heat/before/", asked))
    assert "A newer log disagrees with what was learnt" in page
    assert f"kettle.csv of cook {OTHER}" in page
    assert "as a newer log disagrees with what was learnt" in page
    found = holds(asked)
    slow = found["learnt, slow end"]
    assert found["newer log, slow end"] > 1.1 * slow
    assert max(found.values()) == next(iter(found.values())) >= found["cautious"] > slow
    assert list(found.values()) == sorted(found.values(), reverse=True)

    load = load_of({name: asked[name] for name in asked if name != "rule"})
    machine = cook_watching.machines()[0].code
    watch = cook_watching.begin(secrets.token_hex(16), "ada", machine, load, "f0=15")
    assert "A newer log disagrees" in text(worker.get(f"/heat/during/{watch}/"))

    listed = text(worker.get("/heat/"))
    assert listed.count("A newer log disagrees") == 1, "though it was judged twice"
    [known] = learnt_loads()
    url = f"/heat/set-aside/{known.entry}/{log}/"
    given = {"client_id": secrets.token_hex(16), "reason": "  "}
    assert worker.post(url, given).status_code == 422
    assert worker.post(f"/heat/set-aside/{known.entry}/{'0' * 64}/", {**given, "reason": "x"}
                       ).status_code == 404  # fmt: skip
    given["reason"] = "the chamber was not vented"
    for _again in range(2):
        answer = text(worker.post(url, given, follow=True))
    assert "A newer log disagrees" not in answer
    assert "A log was set aside: the chamber was not vented" in answer
    assert len(learnt_loads()) == 1
    assert list(holds(asked)) == ["learnt, slow end", "learnt", "learnt, quick end"]
    assert "disagrees" not in text(worker.get("/heat/before/", asked))
    assert "A newer log disagrees" not in text(worker.get(f"/heat/during/{watch}/"))
    [(*_, said)] = newer_logs.set_aside()
    back = {"client_id": secrets.token_hex(16), "reason": "it was vented"}
    assert worker.post(f"/heat/forget/{said}/", back, follow=True).status_code == 200
    assert "A newer log disagrees" in text(worker.get("/heat/"))
    for each in cook_verdicts.cook_of(OTHER).verdicts:
        taking_back.undo(each.entry, person="ada", client_id=secrets.token_hex(16), reason="no")
    assert "A newer log disagrees" not in text(worker.get("/heat/")), "no verdict counts"


def test_a_slower_log_is_fitted_when_it_is_kept_never_when_a_plan_is_asked_for(
    worker: Client, shed: Shed, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked, _ = disagreed(worker, shed, 0.03)
    first = holds(asked)
    newer_logs._fitted.cache_clear()

    def never(*_args: object, **_more: object) -> None:
        raise AssertionError

    monkeypatch.setattr(newer_logs, "fit_file", never)
    assert holds(asked) == first


def test_a_newer_log_that_heated_faster_is_flagged_and_what_was_learnt_counts_on(
    worker: Client, shed: Shed
) -> None:
    asked, _ = disagreed(worker, shed, 0.5)
    assert "What was learnt counts on, as it is slower" in text(worker.get("/heat/before/", asked))
    assert list(holds(asked)) == ["learnt, slow end", "learnt", "learnt, quick end"]


def load_job(shed: Shed, hold_min: int) -> str:
    """Lay the loading of a cook of jars that the farm holds so long."""
    machine = cook_watching.machines()[0].code.partition(":")[0]
    job = PlannedJob(
        "cook:x", JobKind.COOK, "load", shed.day, 10, "units", "grain vessels into the steamer",
        "steriliser", detail=f"{own_hold(hold_min)} Three batches", stage="prepared", step="grain",
        steriliser=machine, cook_kind="grain", feeds=(LotAmount("", 10, "grain", "oyster"),),
    )  # fmt: skip
    job_store.add([
        JobToLay("", job.day, job.kind.value, to_plain(job), "", job.step, 10, job.room_kind)
    ])  # fmt: skip
    [row] = job_store.jobs_by_key(JobKind.COOK.value, job.key)
    return row.code


def opening_job(shed: Shed, at: str) -> str:
    """Lay the opening of that cook at an hour."""
    job = PlannedJob(
        "open:x", JobKind.OPEN, "open", shed.day, 10, "units", "vessels in the steamer: unload",
        "steriliser", detail="Liquids wait", stage="prepared", step="grain", fixed_at=at,
        due=f"after {at}", steriliser=cook_watching.machines()[0].code.partition(":")[0],
        cook_kind="grain", feeds=(LotAmount("", 10, "grain", "oyster"),),
    )  # fmt: skip
    job_store.add([
        JobToLay("", job.day, job.kind.value, to_plain(job), "", job.step, 10, job.room_kind)
    ])  # fmt: skip
    [row] = job_store.jobs_by_key(JobKind.OPEN.value, job.key)
    return row.code


def told(page: str) -> str:
    return page.replace("&#39;", "'")


@pytest.mark.parametrize(("rule", "held"), [("hold=90C/60", 60), ("hold=90C/60", 900), ("", 60)])
def test_the_job_of_a_load_says_the_flag_and_the_longer_hold(
    worker: Client, shed: Shed, monkeypatch: pytest.MonkeyPatch, rule: str, held: int
) -> None:
    disagreed(worker, shed, 0.03)
    book, _ = planning_day.farm_book()
    described = tuple(
        replace(each, cooks=tuple(replace(k, hold_minutes=held, rule=rule) for k in each.cooks))
        for each in book.sterilisers
    )
    monkeypatch.setattr(
        planning_day, "farm_book", lambda *_now: (replace(book, sterilisers=described), shed.day)
    )
    job, opening = load_job(shed, held), opening_job(shed, "13:05")
    own = minutes_in_words(held)
    said = {
        ("hold=90C/60", 60): f", not {own}, the farm's own figure: a newer log disagrees",
        ("hold=90C/60", 900): f"{own_hold(held)} A newer log disagrees with what was learnt; by it",
        ("", 60): f"Hold at least {own}, the farm's own figure: a newer log disagrees",
    }[rule, held]
    for page in ("/", f"/jobs/{job}/"):
        found = told(text(worker.get(page)))
        assert said in found, page
        assert f"kettle.csv of cook {OTHER}: core" in found
        assert "Three batches" in found
    [planned] = [each for each in week_view().jobs if each.job == job]
    assert said in planned.detail
    fixed = told(text(worker.get("/")))
    page = told(text(worker.get(f"/jobs/{opening}/")))
    longer = re.search(r"Hold (?:(\d+) h)? ?(?:(\d+) min)?, not 1 h", fixed)
    if longer:
        minutes = 13 * 60 + 5 + 60 * int(longer[1] or 0) + int(longer[2] or 0) - held
        later = f"{minutes // 60 % 24:02d}:{minutes % 60:02d}"
        assert minutes > 13 * 60 + 5
        assert "later than by the farm's own figure: the load is to be held" in page
        # Where nobody is there at that hour any more, the opening waits for the next who comes.
        waits = "Not before 07:30"
        assert later in page or waits in page
        assert later in fixed or waits in fixed
        assert "13:05" not in page + fixed
    else:
        assert "13:05" in page
        assert ("not before it was held for long enough" in page) == (rule == "")
    for each in cook_verdicts.cook_of(OTHER).verdicts:
        taking_back.undo(each.entry, person="ada", client_id=secrets.token_hex(16), reason="no")
    assert f"{own_hold(held)} Three" in told(text(worker.get("/"))), "no verdict counts"
