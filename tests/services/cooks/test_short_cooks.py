"""What was made of a cook that is found too short afterwards is marked until somebody decides."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from farm.small_farm import CODES, NOW, Taps, lot
from pinset.chain.stages import Stage
from pinset.errors import InputError, RefusedError
from pinset.farm import door, job_store, trade
from pinset.farm.check import check
from pinset.farm.models import Person
from pinset.farm.trade import ParentShare, Taken
from pinset.services import clock
from pinset.services.answers import lot_actions, recording, taking_back
from pinset.services.books.lots import lot_view
from pinset.services.cooks.judge import short_cooks
from pinset.services.cooks.judge.deciding import decide, deciding_on
from pinset.services.cooks.judge.made import made_in_words
from pinset.services.cooks.judge.standing import Aside
from pinset.services.cooks.judge.verdict_entries import judge_by_hand, record_verdict
from pinset.services.cooks.judge.verdicts import cook_of
from pinset.services.day.lateness import late_cost
from pinset.services.day.today import day_view, job_view
from pinset.services.jobs.records import JobKind, LotAmount
from pinset.services.jobs.state import stored_jobs
from pinset.services.loads.vessels_doubted import of_job
from pinset.services.promises.promises import promises_view
from pinset.services.views import Done
from services.conftest import LayJob

COOK = "kettle-20260310-0900"
VESSELS, SPAWN, BELOW = CODES[10], CODES[11], CODES[12]
SEEN = "white all over, nothing smells"


def new_id() -> str:
    return secrets.token_hex(16)


@pytest.fixture
def made(stock: dict[str, str], tap: Taps) -> str:
    """Twelve vessels of a cook, inoculated with a reason before anybody judged it."""
    vessels = lot(VESSELS, Stage.PREPARED, "grain", variety="", culture="")
    grain = lot(SPAWN, Stage.GRAIN, "grain")
    entries = [
        trade.cook(
            tap(hours=-48), COOK, [(vessels, 12)], "bay-1",
            steriliser="kettle", cook_kind="grain", hold_minutes=92,
        ),
        trade.inoculate(
            tap(hours=-24), [ParentShare(stock["plate"], 1, "inc-1")], grain, 12, "inc-1",
            vessels=[Taken(VESSELS, 12, "bay-1")],
            details={"despite": [_despite("the logger was not read yet")]},
        ),
    ]  # fmt: skip
    door.record(entries, now=NOW)
    return SPAWN


def further(tap: Taps, hours: float = -12) -> str:
    """Make blocks from the spawn that stands in those vessels."""
    vessels = lot(CODES[13], Stage.PREPARED, "block", variety="", culture="")
    door.record(
        [
            trade.opening(tap(hours=-20), vessels, 8, "bay-1"),
            trade.inoculate(
                tap(hours=hours), [ParentShare(SPAWN, 2, "inc-1")],
                lot(BELOW, Stage.BLOCK, "block"), 8, "inc-2",
                vessels=[Taken(CODES[13], 8, "bay-1")],
            ),
        ],
        now=max(NOW, NOW + timedelta(hours=hours)),
    )  # fmt: skip
    return BELOW


def short(name: str = "late.csv", f0_min: float = 5.6) -> Done:
    judged = {"probes": [{"name": "bag", "role": "core", "f0_min": f0_min}]}
    return record_verdict(new_id(), "ada", COOK, judged, "fail", "Too short.", name.encode(), name)


@pytest.fixture
def hour(monkeypatch: pytest.MonkeyPatch) -> Callable[[int], datetime]:
    """Let the clock stand still so many hours after the small farm's own moment."""

    def still(hours: int) -> datetime:
        moment = NOW + timedelta(hours=hours)
        monkeypatch.setenv(clock.PRETENDED, moment.isoformat())
        return moment

    return still


@pytest.fixture
def unused(stock: dict[str, str], tap: Taps) -> dict[str, str]:
    """Twelve vessels of a cook that nobody judged."""
    vessels = lot(VESSELS, Stage.PREPARED, "grain", variety="", culture="")
    cooked = trade.cook(
        tap(hours=-48), COOK, [(vessels, 12)], "bay-1",
        steriliser="kettle", cook_kind="grain", hold_minutes=92,
    )  # fmt: skip
    door.record([cooked], now=NOW)
    return stock


def use(
    stock: dict[str, str], at: datetime, reason: str = "", details: dict[str, object] | None = None
) -> None:
    """Inoculate them."""
    used = trade.inoculate(
        trade.Tap(new_id(), at, "ada"), [ParentShare(stock["plate"], 1, "inc-1")],
        lot(SPAWN, Stage.GRAIN, "grain"), 12, "inc-1",
        vessels=[Taken(VESSELS, 12, "bay-1")],
        details=details or ({"despite": [_despite(reason)]} if reason else {}),
    )  # fmt: skip
    door.record([used], now=at)


def _despite(reason: str) -> dict[str, object]:
    against = f"12 vessels would be taken from cook {COOK}: too short."
    said = {"cook": COOK, "stands": "failed", "units": 12, "reason": reason}
    return {**said, "against": [against]}


def asked() -> list[str]:
    jobs = [job for section in day_view().sections for job in section.jobs]
    return [job.job for job in jobs if job.kind == "decide" and job.left]


def test_a_late_log_marks_what_was_made_and_what_was_made_from_it(made: str, tap: Taps) -> None:
    below = further(tap)
    assert lot_view(made).findings == lot_view(below).findings == ()
    assert asked() == []
    short()
    [finding] = lot_view(made).findings
    assert finding.startswith(f"12 units in vessels of cook {COOK}: too short. What lived through")
    [finding] = lot_view(below).findings
    assert finding.startswith(f"Made from {made}, in vessels of cook {COOK}: too short.")
    assert lot_view(below).short_cooks == (COOK,)
    assert lot_view(VESSELS).findings == ()
    [remark] = short_cooks.remarks()
    assert remark == (
        f"Cook {COOK}: too short, after {made} was made in its vessels and {below} from them. "
        "Nobody has decided on them: the plan counts on what is alive."
    )
    assert promises_view().remarks[0] == remark
    [job] = asked()
    row = job_store.job_by_code(job)
    assert row is not None
    assert row.body["detail"] == (
        f"Cook {COOK}: too short; {below} made from what stands in its vessels"
    )
    assert [(each["lot"], each["units"]) for each in row.body["lots"]] == [(made, 10), (below, 8)]
    assert check() == ()


def test_the_record_says_who_used_and_who_kept_what_was_made_and_why(made: str) -> None:
    zone = ZoneInfo("UTC")
    short()
    open_ = made_in_words(cook_of(COOK), zone)
    assert open_.startswith(f"{made} (used all the same: the logger was not read yet, 2026-")
    assert open_.endswith("; nobody has decided on it)")
    Person.objects.create_person("cleo", name="Cleo")
    decide(new_id(), "cleo", COOK, [made], "keep", SEEN)
    kept = made_in_words(cook_of(COOK), zone)
    assert f"; kept all the same: {SEEN}, Cleo, 2026-" in kept


def test_the_job_is_done_once_all_are_decided(made: str, tap: Taps) -> None:
    below = further(tap)
    short()
    [job] = asked()
    for verdict, reason in (("keep", ""), ("perhaps", SEEN)):
        with pytest.raises(InputError):
            decide(new_id(), "ada", COOK, [made], verdict, reason)
    with pytest.raises(InputError, match="one or more of"):
        decide(new_id(), "ada", COOK, [VESSELS], "keep", SEEN)
    with pytest.raises(InputError, match=r"hold .back. or keep"):
        recording.done(job, person="ada", client_id=new_id(), reason=SEEN)
    tapped = new_id()
    answer = decide(tapped, "ada", COOK, [below], "hold", "green in two bags")
    assert answer.sentence == f"{below}: held back: recorded, the rest stays open."
    assert decide(tapped, "ada", COOK, [below], "hold", "green in two bags").already
    assert lot_view(below).line.held == "green in two bags"
    assert [each.lot for each in deciding_on(COOK)] == [made]
    assert below not in job_view(job).what, "what is left is named only"
    answer = decide(new_id(), "ada", COOK, [made], "keep", SEEN)
    assert answer.sentence == f"{made}: kept all the same: recorded."
    assert asked() == []
    assert deciding_on(COOK) == ()
    assert lot_view(made).findings[0].endswith(f"too short. Kept all the same: {SEEN}.")
    assert lot_view(below).findings[1].endswith("Held back for it: green in two bags.")
    assert short_cooks.remarks() == ()
    taking_back.undo(answer.entry, person="ada", client_id=new_id(), reason="the other lot")
    assert asked() == [job], "open again"
    assert check() == ()


def test_a_kept_lot_answers_for_what_was_made_from_it(made: str, tap: Taps) -> None:
    below = further(tap)
    short()
    decide(new_id(), "ada", COOK, [made], "keep", SEEN)
    [found] = short_cooks.of_lot(below)
    assert (found.decided, found.reason) == ("kept", f"as {made}")


def test_holding_it_back_on_its_own_page_decides_too(made: str) -> None:
    short()
    assert len(asked()) == 1
    lot_actions.hold(lot_actions.Saying(made, "ada", new_id()), "its cook was too short")
    assert asked() == []
    lot_actions.release(lot_actions.Saying(made, "ada", new_id()))
    assert len(asked()) == 1, "offered again, and nobody said why"


def test_without_the_verdict_nothing_is_marked_or_asked(made: str) -> None:
    late = short()
    [job] = asked()
    taking_back.undo(late.entry, person="ada", client_id=new_id(), reason="of another cook")
    assert asked() == []
    assert job_store.job_by_code(job).is_withdrawn  # type: ignore[union-attr]
    assert lot_view(made).findings == ()
    told = [each.what for each in lot_view(VESSELS).life]
    assert f"cook {COOK}: judged by late.csv, which was taken back" in told
    with pytest.raises(RefusedError, match="waits to be decided"):
        decide(new_id(), "ada", "kettle-1", [made], "keep", SEEN)


def test_a_pass_that_was_taken_back_is_not_told_as_passed(made: str) -> None:
    answer = judge_by_hand(new_id(), "ada", COOK, "pass", "gauge and clock")
    taking_back.undo(answer.entry, person="ada", client_id=new_id(), reason="of another cook")
    assert not any("passed" in each.what for each in lot_view(VESSELS).life)
    assert made


def test_vessels_used_after_the_verdict_with_a_reason_are_marked_and_not_asked_about(
    unused: dict[str, str],
) -> None:
    short()
    use(unused, NOW + timedelta(hours=20), "a trial")
    [found] = short_cooks.of_lot(SPAWN)
    assert (found.decided, found.reason) == ("used", "a trial")
    assert asked() == []


def test_entries_from_before_that_reason_had_its_own_place_are_read_as_they_were(
    unused: dict[str, str],
) -> None:
    short()
    against = [f"12 vessels would be taken from cook {COOK}: too short."]
    use(unused, NOW + timedelta(hours=20), details={"reason": "a trial", "against": against})
    [found] = short_cooks.of_lot(SPAWN)
    assert (found.decided, found.reason) == ("used", "a trial")


def test_a_reason_for_something_else_does_not_decide(unused: dict[str, str]) -> None:
    short()
    use(unused, NOW + timedelta(hours=20), details={"reason": "ran out of spawn"})
    [found] = short_cooks.of_lot(SPAWN)
    assert (found.decided, found.reason) == ("", "")


def test_what_a_pass_let_be_made_is_asked_about_once_the_pass_is_undone(
    unused: dict[str, str], hour: Callable[[int], datetime], tap: Taps
) -> None:
    hour(1)
    short()
    hour(2)
    passed = judge_by_hand(new_id(), "ada", COOK, "pass", "gauge and clock", Aside("of another"))
    use(unused, hour(3))
    below = further(tap, 4)
    hour(5)
    taking_back.undo(passed.entry, person="ada", client_id=new_id(), reason="of another cook")
    assert [(each.lot, each.decided) for each in short_cooks.short_cooks()] == [
        (SPAWN, ""),
        (below, ""),
    ]
    assert len(asked()) == 1
    assert promises_view().remarks[0].startswith(f"Cook {COOK}: too short, after {SPAWN}")


def test_a_third_log_and_the_pass_undone_leave_the_deciding_open(
    unused: dict[str, str], hour: Callable[[int], datetime]
) -> None:
    hour(1)
    short()
    hour(2)
    passed = judge_by_hand(new_id(), "ada", COOK, "pass", "gauge and clock", Aside("of another"))
    use(unused, hour(3))
    hour(4)
    short("third.csv")
    [job] = asked()
    hour(5)
    taking_back.undo(passed.entry, person="ada", client_id=new_id(), reason="of another cook")
    assert asked() == [job]


def test_a_reason_given_before_the_verdict_is_none_against_it(
    unused: dict[str, str], hour: Callable[[int], datetime]
) -> None:
    use(unused, hour(1), "the logger was not read yet")
    hour(2)
    short()
    assert len(asked()) == 1


def test_by_hand_it_is_marked_the_same(made: str) -> None:
    judge_by_hand(new_id(), "ada", COOK, "fail", "the fire went out")
    assert len(asked()) == 1
    assert "failed, judged by hand, no log" in lot_view(made).findings[0]


def test_spawn_nobody_decided_on_warns_on_its_transfer_and_its_blocks_join_at_once(
    made: str, lay: LayJob, tap: Taps
) -> None:
    vessels = lot(CODES[13], Stage.PREPARED, "block", variety="", culture="")
    door.record([trade.opening(tap(hours=-20), vessels, 8, "bay-1")], now=NOW)
    job = lay(
        JobKind.TRANSFER, step="block", stage="block", count=8,
        lots=(LotAmount(made, 2, "grain"),), vessels=(CODES[13],),
    )  # fmt: skip
    assert job_view(job).stop == ""
    short()
    assert job_view(job).stop == (
        f"Of {made}, by cook {COOK}: too short, nobody has decided yet: look them over and hold "
        "them back or keep them first, on the page of that cook."
    )
    assert of_job(job) == job_view(job).stop, "said in the terminal too"
    answer = recording.done(job, person="ada", client_id=new_id(), reason="it is white early")
    assert of_job(job) == ""
    [below] = answer.new_lots
    assert {each.lot for each in deciding_on(COOK)} == {made, below}
    taking_back.undo(answer.entry, person="ada", client_id=new_id(), reason="the wrong bags")
    assert [each.lot for each in deciding_on(COOK)] == [made]
    decide(new_id(), "ada", COOK, [made], "keep", SEEN)
    assert job_view(job).stop == ""
    assert check() == ()


def test_a_far_worse_log_asks_once_more_about_what_was_kept(made: str, tap: Taps) -> None:
    below = further(tap)
    short()
    decide(new_id(), "ada", COOK, [made, below], "keep", SEEN)
    assert deciding_on(COOK) == ()
    short("same.csv", 5.4)
    assert deciding_on(COOK) == (), "hardly less than what was known"
    short("worse.csv", 0.3)
    assert {each.lot for each in deciding_on(COOK)} == {made, below}
    told = "Kept before worse.csv was there, which says F0 0.3 min, where 5.6 min was known."
    assert told in lot_view(made).findings[-1]
    [row] = [each for each in job_store.open_jobs() if each.kind == JobKind.DECIDE.value]
    assert told in job_view(row.code).detail
    decide(new_id(), "ada", COOK, [made, below], "keep", "a plate of it stayed clean")
    assert deciding_on(COOK) == ()
    assert "Kept all the same: a plate of it stayed clean." in lot_view(made).findings[-1]


def test_what_was_held_back_stays_so_whatever_a_later_log_says(made: str) -> None:
    short()
    decide(new_id(), "ada", COOK, [made], "hold", "sour smell")
    short("worse.csv", 0.3)
    assert deciding_on(COOK) == ()


def test_a_lot_that_is_used_up_is_not_to_be_held_back(made: str, tap: Taps) -> None:
    door.record([trade.cull(tap(hours=-1), Taken(made, 12, "inc-1"), cause="thrown out")], now=NOW)
    short()
    [told] = [each for each in lot_view(made).findings if COOK in each]
    assert told.endswith("Nothing of it is left to decide on.")
    assert "hold them back" not in told


def test_a_late_decision_is_told_by_what_hangs_on_it(made: str) -> None:
    short()
    [stored] = stored_jobs(job_store.jobs_by_key(JobKind.DECIDE.value, f"decide:{COOK}"))
    words = late_cost(stored.job, 1, stored.job.day)
    assert words == "1 day late: until somebody decides, the plan counts on them"
    assert made in stored.job.what
