"""A cook is judged, by a log or by hand, and its vessels follow what came of it."""

from __future__ import annotations

import hashlib
import secrets
from datetime import timedelta
from typing import Any

import pytest

from farm.small_farm import CODES, NOW, TODAY, Taps, lot
from pinset.chain.register import FarmBook
from pinset.chain.stages import Stage
from pinset.errors import InputError, RefusedError
from pinset.farm import door, job_store, trade
from pinset.farm.check import check
from pinset.farm.models import Entry, LogFile
from pinset.farm.queries.lots import lot_by_code, rows_of
from pinset.services.answers import recording, taking_back
from pinset.services.books.lots import lot_view, lots_view
from pinset.services.cooks.judge import verdicts as cook_verdicts
from pinset.services.cooks.judge.standing import Aside
from pinset.services.cooks.judge.verdict_entries import judge_by_hand, record_verdict
from pinset.services.day.today import job_view
from pinset.services.jobs.records import JobKind, LotAmount
from pinset.services.loads.despite import read_despite
from pinset.services.plans.stock_now import living_now
from pinset.services.views import Done
from services.conftest import LayJob

FIRST, SECOND = "kettle-20260310-0900", "kettle-20260311-0900"
MADE = {FIRST: CODES[10], SECOND: CODES[11]}
LOG = b"time,core\n0,20.0\n60,121.4\n"
JUDGED = {"rule": "F0 15 min", "method": "invented 1", "probes": [{"name": "core", "f0_min": 16.5}]}
OTHER_LOG = b"time,core\n0,20.0\n60,122.0\n"
WHY = "short.csv is the log of the cook before"
WATCHED = "gauge at 1.0 bar for 90 min by the clock"


def new_id() -> str:
    return secrets.token_hex(16)


@pytest.fixture
def cooked(stock: dict[str, str], tap: Taps) -> dict[str, str]:
    """Two cooks of twelve vessels each, the first two days ago, neither judged."""
    for days, (cook, code) in zip((2, 1), MADE.items(), strict=True):
        made = lot(
            code, Stage.PREPARED, "grain", variety="", culture="",
            made_on=TODAY - timedelta(days=days),
        )  # fmt: skip
        entry = trade.cook(
            tap(hours=-24 * days), cook, [(made, 12)], "bay-1",
            steriliser="kettle", cook_kind="grain", hold_minutes=92,
        )  # fmt: skip
        door.record([entry], now=NOW)
    return stock


def judged(
    cook: str, verdict: str, log: bytes | None = LOG, name: str = "kettle.csv", **more: Any
) -> Done:
    said = f"{verdict}: core F0 16.5 min"
    return record_verdict(new_id(), "ada", cook, JUDGED, verdict, said, log, name, **more)


def undo(done: Done) -> None:
    taking_back.undo(done.entry, person="ada", client_id=new_id(), reason="of another cook")


def transfer(lay: LayJob, stock: dict[str, str], count: int = 12) -> str:
    parents = (LotAmount(stock["plate"], 3, "plate"),)
    return lay(JobKind.TRANSFER, step="grain", stage="grain", count=count, lots=parents)


def do(job: str, **more: object) -> Done:
    return recording.done(job, person="ada", client_id=new_id(), **more)  # type: ignore[arg-type]


def alive(code: str) -> int:
    [row] = rows_of([lot_by_code(code)])
    return row.counts.alive


@pytest.mark.usefixtures("cooked")
def test_a_verdict_stands_on_the_ledger_with_its_log() -> None:
    client_id = new_id()
    first, again = (
        record_verdict(client_id, "ada", FIRST, JUDGED, "pass", "Passed.", LOG, "kettle.csv")
        for _ in range(2)
    )
    assert (first.already, again.already) == (False, True)
    assert first.sentence == f"Cook {FIRST}: passed."
    view = cook_verdicts.cook_of(FIRST)
    digest = hashlib.sha256(LOG).hexdigest()
    [verdict] = view.verdicts
    assert (verdict.verdict, verdict.by, verdict.by_hand) == ("pass", "Ada", False)
    assert (verdict.log, verdict.log_name) == (digest, "kettle.csv")
    assert verdict.judged == JUDGED
    assert cook_verdicts.stored_log(digest) == ("kettle.csv", LOG)
    assert (view.line.units, view.line.lots, view.hold_minutes) == (12, (MADE[FIRST],), 92)
    assert (view.line.sentence, view.line.judged_by) == ("Passed.", "Ada")
    assert check() == ()


@pytest.mark.usefixtures("cooked")
def test_judging_again_counts_even_within_the_same_moment(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PINSET_TODAY", "2026-03-12T12:20+01:00")
    for verdict in ("pass", "unjudged", "pass", "fail"):
        judged(FIRST, verdict)
        assert cook_verdicts.cook_of(FIRST).line.verdict == verdict
    assert [each.verdict for each in cook_verdicts.cook_of(FIRST).verdicts] == [
        "fail", "pass", "unjudged", "pass",
    ]  # fmt: skip
    assert LogFile.objects.count() == 1
    newest = cook_verdicts.cook_of(FIRST).verdicts[0]
    taking_back.undo(newest.entry, person="ada", client_id=new_id(), reason="wrong file")
    view = cook_verdicts.cook_of(FIRST)
    assert view.line.verdict == "pass"
    assert [each.taken_back for each in view.verdicts] == [True, False, False, False]
    assert check() == ()


@pytest.mark.usefixtures("cooked")
def test_cooks_are_listed_newest_first() -> None:
    judged(FIRST, "fail")
    page = cook_verdicts.cooks(NOW - timedelta(days=30))
    assert (page.total, page.pages) == (2, 1)
    assert [(each.cook, each.verdict, each.words) for each in page.cooks] == [
        (SECOND, "unjudged", "not judged yet"),
        (FIRST, "fail", "too short"),
    ]
    assert cook_verdicts.cooks(NOW - timedelta(hours=30)).total == 1
    assert cook_verdicts.cooks(NOW, page=3).cooks == ()
    with pytest.raises(InputError, match="from 1 to"):
        cook_verdicts.cooks(NOW, page=0)


@pytest.mark.usefixtures("cooked")
def test_what_cannot_be_judged_so_is_refused() -> None:
    with pytest.raises(RefusedError, match="no cook kettle-1"):
        judged("kettle-1", "pass")
    with pytest.raises(InputError, match="pass, fail, unjudged"):
        judged(FIRST, "fine")
    with pytest.raises(InputError, match="the file that was judged"):
        record_verdict(new_id(), "ada", FIRST, {"digest": "0" * 64}, "pass", "", LOG, "kettle.csv")
    taken = new_id()
    record_verdict(taken, "ada", FIRST, JUDGED, "pass", "", None)
    with pytest.raises(InputError, match="fresh random id"):
        record_verdict(taken, "ada", SECOND, JUDGED, "pass", "", None)
    with pytest.raises(RefusedError, match="No log 000000000000"):
        cook_verdicts.stored_log("0" * 64)
    with pytest.raises(InputError, match="a finite number"):
        record_verdict(new_id(), "ada", FIRST, {"f0": float("nan")}, "fail", "", LOG, "kettle.csv")
    assert not LogFile.objects.exists(), "a log is kept with its verdict or not at all"


@pytest.mark.usefixtures("cooked")
def test_a_judgement_by_hand_is_marked_everywhere_and_needs_what_was_watched() -> None:
    for reason in ("", "  "):
        with pytest.raises(InputError, match="what was watched"):
            judge_by_hand(new_id(), "ada", FIRST, "pass", reason)
    with pytest.raises(InputError, match="pass or fail"):
        judge_by_hand(new_id(), "ada", FIRST, "unjudged", WATCHED)
    answer = judge_by_hand(new_id(), "ada", FIRST, "pass", WATCHED)
    assert answer.sentence == f"Cook {FIRST}: passed, judged by hand, no log."
    judge_by_hand(new_id(), "ben", SECOND, "fail", "the fire went out")
    lines = {each.cook: each for each in cook_verdicts.cooks(NOW - timedelta(days=9)).cooks}
    assert lines[FIRST].by_hand
    assert lines[FIRST].sentence == f"Judged by hand, no log: {WATCHED}"
    assert lines[SECOND].words == "failed, judged by hand, no log"
    assert lot_view(MADE[FIRST]).line.ready == f"cook {FIRST}: passed, judged by hand, no log"
    told = [each.what for each in lot_view(MADE[SECOND]).life]
    assert told[-1] == f"cook {SECOND}: failed, judged by hand, no log: the fire went out"


def test_lots_say_how_their_cook_stands(cooked: dict[str, str]) -> None:
    judged(FIRST, "pass")
    said = {each.lot: each.ready for each in lots_view(stage="prepared").lots}
    assert said == {
        MADE[FIRST]: f"cook {FIRST}: passed",
        MADE[SECOND]: f"cook {SECOND}: not judged yet",
    }
    assert lot_view(cooked["block"]).line.ready.startswith("ready")


def test_vessels_of_a_passed_cook_are_taken_first(lay: LayJob, cooked: dict[str, str]) -> None:
    judged(SECOND, "pass")
    answer = do(transfer(lay, cooked))
    assert answer.findings == ()
    assert (alive(MADE[FIRST]), alive(MADE[SECOND])) == (12, 0)
    made = cook_verdicts.cook_of(SECOND).inoculated
    assert [(each.lot, each.step, each.units) for each in made] == [
        (answer.new_lots[0], "grain", 12)
    ]


def test_vessels_nobody_judged_are_taken_with_a_reason_only(
    lay: LayJob, cooked: dict[str, str]
) -> None:
    judged(SECOND, "pass")
    job = transfer(lay, cooked, count=20)
    with pytest.raises(RefusedError, match=f"8 vessels .* cook {FIRST}: not judged yet") as refused:
        do(job)
    assert f"Judge cook {FIRST} on the Heat page." in refused.value.hint
    assert "pinset" not in refused.value.hint, "no page speaks of the terminal"
    why = "the logger's battery was flat"
    with pytest.raises(RefusedError, match="not judged yet"):
        do(job, reason=why)
    answer = do(job, despite=read_despite([f"{FIRST}:not-judged"], why))
    assert (alive(MADE[FIRST]), alive(MADE[SECOND])) == (4, 0)
    against = f"8 vessels would be taken from cook {FIRST}: not judged yet."
    assert f"{against} Used all the same: {why}." in answer.findings
    [kept] = Entry.objects.get(client_id=answer.entry).details["despite"]
    assert (kept["cook"], kept["reason"], kept["against"]) == (FIRST, why, [against])


@pytest.mark.parametrize(("air", "is_asked"), [(0.0, False), (0.07, False), (0.12, True)])
def test_vessels_of_a_cook_with_much_air_left_in_are_taken_with_a_reason_only(
    lay: LayJob, cooked: dict[str, str], air: float, *, is_asked: bool
) -> None:
    for cook in MADE:
        said = {**JUDGED, "steam": {"air": air}}
        record_verdict(
            new_id(), "ada", cook, said, "pass", "Passed.", LOG, "kettle.csv", reason=WHY
        )
    job = transfer(lay, cooked)
    if not is_asked:
        assert do(job).findings == ()
        return
    words = f"cook {FIRST}: passed where it was measured, with 12% air left in"
    with pytest.raises(RefusedError, match=words) as refused:
        do(job)
    assert "pocket of air" in refused.value.hint
    judge_by_hand(new_id(), "ada", FIRST, "pass", WATCHED)
    said = read_despite([f"{FIRST}:air"], "the gauge is known to read high")
    assert do(job, despite=said).entry
    assert cook_verdicts.cook_of(SECOND).line.words.endswith("with 12% air left in")


def test_vessels_of_a_failed_cook_come_last_until_it_is_judged_again(
    lay: LayJob, cooked: dict[str, str]
) -> None:
    judged(FIRST, "fail")
    job = transfer(lay, cooked)
    with pytest.raises(RefusedError, match=f"cook {SECOND}: not judged yet"):
        do(job)
    judge_by_hand(new_id(), "ada", SECOND, "pass", WATCHED)
    both = transfer(lay, cooked, count=15)
    with pytest.raises(RefusedError, match=f"3 vessels .* cook {FIRST}: too short") as refused:
        do(both)
    assert "another log does not make it longer" in refused.value.hint
    assert "cook judge" not in refused.value.hint, "a second log is no way round"
    judged(FIRST, "pass", aside=Aside(WHY))
    assert do(both).findings == ()


def test_a_transfer_says_that_the_cook_of_its_vessels_was_too_short(
    lay: LayJob, cooked: dict[str, str]
) -> None:
    parents = (LotAmount(cooked["plate"], 3, "plate"),)
    vessels = (MADE[FIRST], MADE[SECOND])
    job = lay(JobKind.TRANSFER, step="grain", stage="grain", lots=parents, vessels=vessels)
    judged(SECOND, "pass")
    assert job_view(job).stop == (
        f"Vessels {MADE[FIRST]}, cook {FIRST}: not judged yet: not to be used without a reason."
    )
    judged(FIRST, "fail")
    assert f"{MADE[FIRST]}, cook {FIRST}: too short" in job_view(job).stop
    judged(FIRST, "pass", aside=Aside(WHY))
    assert job_view(job).stop == ""


def test_vessels_that_stood_there_when_the_farm_was_loaded_are_not_asked_about(
    lay: LayJob, stock: dict[str, str], tap: Taps
) -> None:
    made = lot(CODES[20], Stage.PREPARED, "grain", variety="", culture="")
    door.record([trade.opening(tap(), made, 12, "bay-1")], now=NOW)
    do(transfer(lay, stock))
    assert alive(CODES[20]) == 0
    assert lot_view(CODES[20]).line.ready == ""


@pytest.mark.usefixtures("cooked")
def test_only_vessels_of_a_failed_cook_are_held_back_from_the_plan(farm: FarmBook) -> None:
    def held() -> dict[str, str]:
        return {
            each.code: each.held for each in living_now(farm, TODAY) if each.stage is Stage.PREPARED
        }

    assert held() == {MADE[FIRST]: "", MADE[SECOND]: ""}
    short = judged(FIRST, "fail")
    assert held() == {MADE[FIRST]: f"cook {FIRST}: too short", MADE[SECOND]: ""}
    undo(short)
    assert held() == {MADE[FIRST]: "", MADE[SECOND]: ""}


@pytest.mark.usefixtures("cooked")
def test_a_verdict_closes_the_job_of_judging(lay: LayJob) -> None:
    job = lay(JobKind.JUDGE, count=1, unit="cooks", cook=FIRST, variety="")
    judged(FIRST, "unjudged")
    assert not job_store.job_by_code(job).is_closed  # type: ignore[union-attr]
    answer = judged(FIRST, "fail")
    assert job_store.job_by_code(job).is_closed  # type: ignore[union-attr]
    taking_back.undo(answer.entry, person="ada", client_id=new_id(), reason="wrong file")
    assert not job_store.job_by_code(job).is_closed  # type: ignore[union-attr]


@pytest.mark.usefixtures("cooked")
def test_too_short_is_set_aside_expressly_only() -> None:
    judged(FIRST, "fail", LOG, "short.csv")
    beside = judged(FIRST, "pass", OTHER_LOG, "good.csv", reason="the logger's clock is slow")
    assert beside.sentence.startswith(
        f"Cook {FIRST}: too short. This one alone: passed. Before it, short.csv says too short ("
    )
    assert cook_verdicts.cook_of(FIRST).line.words == "too short"
    answer = judged(FIRST, "pass", OTHER_LOG, "good.csv", aside=Aside(WHY))
    assert answer.sentence.startswith(
        f"Cook {FIRST}: passed. Set aside by it: short.csv says too short (2026-03-12"
    )
    view = cook_verdicts.cook_of(FIRST)
    assert view.standing is not None
    assert (view.standing.log_name, view.standing.aside_because) == ("good.csv", WHY)
    assert [(each.counts, each.aside_because, each.reason) for each in view.verdicts] == [
        (True, WHY, ""),
        (False, "", "the logger's clock is slow"),
        (False, "", ""),
    ]
    undo(answer)
    assert cook_verdicts.cook_of(FIRST).line.words == "too short", "it counts again"
    assert check() == ()


@pytest.mark.usefixtures("cooked")
def test_only_what_was_named_is_set_aside() -> None:
    first = judged(FIRST, "fail", LOG, "short.csv")
    named = Aside(WHY, (first.entry,))
    judged(FIRST, "fail", OTHER_LOG, "later.csv")
    answer = judge_by_hand(new_id(), "ada", FIRST, "pass", WATCHED, named)
    assert answer.sentence.startswith(
        f"Cook {FIRST}: too short. This one alone: passed, judged by hand, no log. Before it, later"
    )
    assert "Set aside by it: short.csv says too short" in answer.sentence
    for verdict, aside in (("pass", named), ("fail", Aside(WHY)), ("pass", Aside(WHY, ()))):
        with pytest.raises(InputError, match="set-aside"):
            judge_by_hand(new_id(), "ada", FIRST, verdict, WATCHED, aside)
    with pytest.raises(InputError, match="no such earlier verdict"):
        judged(SECOND, "pass", OTHER_LOG, "good.csv", aside=Aside(WHY))
    assert check() == ()


@pytest.mark.usefixtures("cooked")
def test_a_whole_log_beside_a_probe_that_slipped_passes_once_that_one_is_set_aside() -> None:
    slipped = {"probes": [{"name": "bag", "role": "core", "f0_min": 5.6, "unclear": "it slipped"}]}
    record_verdict(
        new_id(), "ada", FIRST, slipped, "unjudged", "Not told.", b"slipped", "slipped.csv"
    )
    assert judged(FIRST, "pass").sentence.startswith(f"Cook {FIRST}: not judged yet. This one")
    answer = judged(FIRST, "pass", aside=Aside("the probe slipped"))
    assert answer.sentence.startswith(f"Cook {FIRST}: passed. Set aside by it: slipped.csv says")


@pytest.mark.usefixtures("cooked")
def test_a_pass_needs_no_reason_once_the_earlier_verdict_is_undone() -> None:
    undo(judged(FIRST, "fail", LOG, "short.csv"))
    judged(FIRST, "pass", OTHER_LOG, "good.csv")
    assert cook_verdicts.cook_of(FIRST).line.words == "passed"


@pytest.mark.usefixtures("cooked")
def test_a_log_that_tells_nothing_does_not_wash_too_short_away() -> None:
    judged(FIRST, "fail", LOG, "short.csv")
    answer = judged(FIRST, "unjudged", OTHER_LOG, "flat.csv")
    assert answer.sentence.startswith(
        f"Cook {FIRST}: too short. This one alone: not judged yet. Before it, short.csv says"
    )
    assert cook_verdicts.cook_of(FIRST).line.words == "too short"


@pytest.mark.usefixtures("cooked")
def test_by_hand_too_short_is_not_washed_away_either() -> None:
    judged(FIRST, "fail", LOG, "short.csv")
    answer = judge_by_hand(new_id(), "ada", FIRST, "pass", f"{WHY}; {WATCHED}")
    assert answer.sentence.startswith(f"Cook {FIRST}: too short. This one alone: passed, judged by")
    assert cook_verdicts.cook_of(FIRST).line.words == "too short"
    answer = judge_by_hand(new_id(), "ada", FIRST, "pass", WATCHED, Aside(WHY))
    assert "Set aside by it: short.csv says too short (2026-03-12" in answer.sentence
    assert cook_verdicts.cook_of(FIRST).line.words == "passed, judged by hand, no log"


@pytest.mark.usefixtures("cooked")
def test_lives_name_the_log_of_a_verdict() -> None:
    judged(FIRST, "fail", LOG, "short.csv")
    assert lot_view(MADE[FIRST]).life[-1].what == f"cook {FIRST}: too short, by short.csv"
