"""A bench session: begun with its list, transfers in order, ended, asked about when left open."""

from __future__ import annotations

import secrets
from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from farm.small_farm import NOW, TODAY, Taps, describe, lot
from pinset.chain.register import Bench
from pinset.chain.stages import Stage
from pinset.errors import InputError, RefusedError
from pinset.farm import door, job_store, trade
from pinset.farm.check import check
from pinset.farm.entries import NewLot
from pinset.farm.models import Balance, Entry, Link, Lot
from pinset.farm.queries.sessions import plates_counted
from pinset.farm.trade import CookVerdict, Taken
from pinset.farm.trade.looking import Verdict
from pinset.services import clock
from pinset.services.bench.beginning import Said, begin, end, set_plates
from pinset.services.bench.lists import lines
from pinset.services.bench.plate_counts import write_counts
from pinset.services.bench.plates_read import bench_count
from pinset.services.bench.records import SessionState
from pinset.services.bench.sessions import open_sessions, session, sessions
from pinset.services.bench.transfers import Given, transfer
from pinset.services.jobs.records import JobKind, LotAmount
from pinset.services.loads.despite import CookDoubtedError, read_despite
from pinset.services.views import Done
from pinset.tables.bench_checks import CheckList
from services.conftest import FULL_BOOK, LayJob

ALL = tuple(each.key for each in lines(CheckList.ENTRY))
CLEAN = tuple(each.key for each in lines(CheckList.CLEAN_DOWN))
BENCHES = (Bench("hood", "Hood", "lab", 300), Bench("box", "Still air box", "lab", 120))


@pytest.fixture
def bench(stock: dict[str, str], monkeypatch: pytest.MonkeyPatch) -> dict[str, str]:
    describe(replace(FULL_BOOK, benches=BENCHES))
    at(monkeypatch, NOW)
    return stock


def at(monkeypatch: pytest.MonkeyPatch, moment: datetime) -> None:
    monkeypatch.setenv(clock.PRETENDED, moment.isoformat())


def said(person: str = "ada", **more: object) -> Said:
    return Said(person, secrets.token_hex(16), **more)  # type: ignore[arg-type]


def begun(code: str = "hood", person: str = "ada", **more: object) -> str:
    begin(code, said(person, **({"ticked": ALL} | more)))
    return next(each.session for each in open_sessions() if each.bench == code)


def made(given: Given, person: str = "ada", client_id: str = "", **more: object) -> Done:
    return transfer(
        given,
        person=person,
        client_id=client_id or secrets.token_hex(16),
        **more,  # type: ignore[arg-type]
    )


def vessels(
    count: int, code: str, verdict: CookVerdict | None, step: str = "grain", days: int = 1
) -> str:
    """Prepared vessels of a cook of the day before, judged or not."""
    tap = Taps(start=700_000 + int(code, 36) % 10_000 * 10)
    new = NewLot(code, Stage.PREPARED, "", step, "oyster-straw", TODAY - timedelta(days=days))
    cook = f"kettle-{code}"
    entries = [
        trade.cook(tap(hours=-24 * days), cook, [(new, count)], "lab-1", steriliser="kettle",
                   cook_kind="grain")
    ]  # fmt: skip
    if verdict is not None:
        entries.append(
            trade.verdict(tap(hours=-24 * days + 3), cook=cook, lots=[code], verdict=verdict)
        )
    door.record(entries, now=NOW)
    return code


def alive(code: str) -> int:
    rows = Balance.objects.filter(lot__code=code, account="alive")
    return sum(row.quantity for row in rows)


@pytest.mark.usefixtures("bench")
def test_begun_with_the_list_and_the_plates() -> None:
    done = begin("hood", said(ticked=ALL, plates={"middle": 2, "room": 1}))
    assert done.sentence == "Session begun at Hood."
    assert done.findings == ()
    [found] = sessions()
    assert found.state is SessionState.OPEN
    assert [each.name for each in found.people] == ["Ada"]
    assert [(each.where, each.count) for each in found.plates] == [("middle", 2), ("room", 1)]
    assert found.session == "hood-20260312-1000"
    assert found.findings == ()


@pytest.mark.usefixtures("bench")
def test_what_is_not_ticked_needs_a_reason_and_is_kept() -> None:
    some = [key for key in ALL if key != "mask"]
    with pytest.raises(RefusedError, match="Not ticked: mask on"):
        begin("hood", said(ticked=some))
    assert sessions() == ()
    begin("hood", said(ticked=some, reason="they are out"))
    [found] = sessions()
    assert found.findings == ("Ada had not ticked: mask on (they are out).",)


@pytest.mark.usefixtures("bench")
def test_a_bench_that_is_none_and_a_line_that_is_none() -> None:
    with pytest.raises(InputError, match="hood, box"):
        begin("table", said(ticked=ALL))
    with pytest.raises(InputError, match="washed"):
        begin("hood", said(ticked=(*ALL, "shoes")))
    with pytest.raises(InputError, match="0 to 50"):
        begin("hood", said(ticked=ALL, plates={"middle": 51}))


def test_who_was_in_the_grow_rooms_is_warned(bench: dict[str, str], tap: Taps) -> None:
    picked = trade.pick(
        tap(hours=-2, person="ben"), bench["fruiting"], 900, flush=1, store="cold-1"
    )
    door.record([picked], now=NOW)
    assert any("spores" in each for each in begin("hood", said("ben", ticked=ALL)).findings)
    assert begin("box", said("ada", ticked=ALL)).findings == ()


def test_a_transfer_without_a_job_makes_the_children(bench: dict[str, str]) -> None:
    code = begun(plates={"middle": 2})
    done = made(Given(code, ((bench["plate"], 3),), 24, step="grain", minutes_open=14))
    [child] = done.new_lots
    assert done.sentence == (
        f"24 grain jars of Grey oyster from 3 of {bench['plate']}: lot {child}."
    )
    made_lot = Lot.objects.get(code=child)
    assert (made_lot.session, made_lot.stage, made_lot.step) == (code, "grain", "grain")
    assert alive(bench["plate"]) == 17
    assert alive(child) == 24
    entry = Entry.objects.get(client_id=done.entry)
    assert entry.kind == "inoculate"
    stamp = {key: entry.details[key] for key in ("session", "turn", "open_min", "plates")}
    assert stamp == {"session": code, "turn": 1, "open_min": 14, "plates": {"middle": 2}}
    assert check() == ()


def test_a_job_of_today_is_answered(bench: dict[str, str], lay: LayJob) -> None:
    parents = (LotAmount(bench["plate"], 3, "plate"),)
    job = lay(JobKind.TRANSFER, lots=parents, count=24, step="grain", stage="grain")
    code = begun()
    done = made(Given(code, ((bench["plate"], 2),), 16, job=job))
    assert Entry.objects.get(client_id=done.entry).job == job
    row = job_store.job_by_code(job)
    assert row is not None
    assert not row.is_closed
    made(Given(code, ((bench["plate"], 1),), 8, job=job))
    row = job_store.job_by_code(job)
    assert row is not None
    assert row.is_closed
    [found] = sessions()
    assert [each.turn for each in found.transfers] == [1, 2]
    assert {each.job for each in found.transfers} == {job}


def test_minutes_open_are_measured_if_not_said(
    bench: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    code = begun()
    at(monkeypatch, NOW + timedelta(minutes=12))
    made(Given(code, ((bench["plate"], 1),), 8, step="grain"))
    at(monkeypatch, NOW + timedelta(minutes=40))
    since = NOW + timedelta(minutes=33)
    made(Given(code, ((bench["plate"], 1),), 8, step="grain", since=since))
    [found] = sessions()
    assert [each.minutes_open for each in found.transfers] == [12, 7]
    assert found.minutes == 40
    assert found.minutes_open == 19


def test_the_vessels_scanned_are_filled(bench: dict[str, str]) -> None:
    vessels(30, encode_of(181), CookVerdict.PASS, days=3)
    wanted = vessels(24, encode_of(182), CookVerdict.PASS)
    code = begun()
    done = made(Given(code, ((bench["plate"], 3),), 24, step="grain", vessels=(wanted,)))
    assert alive(wanted) == 0
    assert alive(encode_of(181)) == 30
    [child] = done.new_lots
    links = Link.objects.filter(child__code=child).values_list("parent__code", "units")
    assert dict(links) == {bench["plate"]: 3, wanted: 24}
    [one] = session(code).transfers
    assert [each.words for each in one.parents] == ["3 plates"]
    assert [each.words for each in one.vessels] == ["24 prepared vessels"]


def test_more_than_the_vessels_scanned_are_asked_about(bench: dict[str, str]) -> None:
    vessels(30, encode_of(188), CookVerdict.PASS, days=3)
    wanted = vessels(20, encode_of(189), CookVerdict.PASS)
    given = Given(begun(), ((bench["plate"], 3),), 24, step="grain", vessels=(wanted,))
    with pytest.raises(RefusedError, match="24 were made, and 20 vessels"):
        made(given)
    made(replace(given, reason="four were taken from the other rack"))
    assert (alive(wanted), alive(encode_of(188))) == (0, 26)


def test_of_a_lot_that_is_gone_none_can_be_open(bench: dict[str, str], tap: Taps) -> None:
    gone = trade.cull(tap(hours=-1), Taken(bench["grain"], 20, "inc-1"), cause="dry")
    door.record([gone], now=NOW)
    given = Given(begun(), ((bench["grain"], 0),), 5, step="block")
    with pytest.raises(RefusedError, match="so none of it can be open"):
        made(given)


def encode_of(number: int) -> str:
    from farm.small_farm import CODES

    return CODES[number]


@pytest.mark.parametrize(
    ("verdict", "words"), [(CookVerdict.FAIL, "too short|failed"), (None, "judged")]
)
def test_vessels_of_a_cook_that_failed_or_waits(
    bench: dict[str, str], verdict: CookVerdict | None, words: str
) -> None:
    wanted = vessels(24, encode_of(183), verdict)
    code = begun()
    given = Given(code, ((bench["plate"], 3),), 24, step="grain", vessels=(wanted,))
    with pytest.raises(RefusedError, match=words):
        made(given)
    assert alive(wanted) == 24
    with pytest.raises(CookDoubtedError, match=words) as refused:
        made(replace(given, reason="only to try"))
    said = read_despite(refused.value.keys, "only to try")
    done = made(replace(given, despite=said))
    assert done.findings
    assert alive(wanted) == 0
    [one] = session(code).transfers
    assert one.reason == ""
    [despite] = one.despite
    assert "Used all the same: only to try." in despite


def test_vessels_of_another_mix_are_asked_about(bench: dict[str, str]) -> None:
    wanted = vessels(24, encode_of(184), CookVerdict.PASS, step="block")
    given = Given(begun(), ((bench["plate"], 3),), 24, step="grain", vessels=(wanted,))
    with pytest.raises(RefusedError, match="another mix"):
        made(given)


def judged(bench: dict[str, str], tap: Taps) -> None:
    door.record(
        [trade.judge(tap(hours=-1), bench["plate"], Verdict.HELD, reason="smells sour")], now=NOW
    )


def test_what_may_not_be_is_refused_unless_a_reason_is_given(
    bench: dict[str, str], tap: Taps
) -> None:
    judged(bench, tap)
    code = begun()
    given = Given(code, ((bench["plate"], 3),), 24, step="grain")
    with pytest.raises(RefusedError, match="held back: smells sour"):
        made(given)
    assert session(code).transfers == ()
    made(replace(given, reason="smelt again: it was the tray"))
    assert len(session(code).transfers) == 1


def test_more_than_is_alive_is_asked_about(bench: dict[str, str]) -> None:
    given = Given(begun(), ((bench["plate"], 30),), 240, step="grain")
    with pytest.raises(RefusedError, match="20 stand there in the books"):
        made(given)


def test_another_variety_is_refused(bench: dict[str, str], lay: LayJob) -> None:
    job = lay(
        JobKind.TRANSFER, variety="pink", variety_name="Pink oyster", count=24, step="grain",
        lots=(LotAmount(bench["plate"], 3, "plate"),),
    )  # fmt: skip
    with pytest.raises(RefusedError):
        made(Given(begun(), ((bench["plate"], 3),), 24, job=job))


@pytest.mark.usefixtures("bench")
def test_a_culture_that_is_not_cleared(tap: Taps) -> None:
    clone = lot(encode_of(185), Stage.PLATE, "plate", culture="g2",
                made_on=TODAY - timedelta(days=14))  # fmt: skip
    door.record([trade.opening(tap(hours=-200), clone, 4, "inc-1")], now=NOW)
    with pytest.raises(RefusedError, match="not cleared"):
        made(Given(begun(), ((clone.code, 1),), 8, step="grain"))


@pytest.mark.usefixtures("bench")
def test_parents_too_young_and_a_generation_too_many(tap: Taps) -> None:
    young = lot(encode_of(186), Stage.PLATE, "plate", made_on=TODAY - timedelta(days=2))
    old = lot(encode_of(187), Stage.PLATE, "plate", made_on=TODAY - timedelta(days=14), transfers=9)
    taps = [tap(hours=-49), tap(hours=-200)]
    door.record(
        [trade.opening(t, each, 4, "inc-1") for t, each in zip(taps, (young, old), strict=True)],
        now=NOW,
    )
    code = begun()
    with pytest.raises(RefusedError, match="not ready"):
        made(Given(code, ((young.code, 1),), 8, step="grain"))
    with pytest.raises(RefusedError, match="9 transfers since the mother"):
        made(Given(code, ((old.code, 1),), 8, step="grain"))


def test_a_part_of_a_vessel_stays_alive(bench: dict[str, str]) -> None:
    code, grain = begun(), bench["grain"]
    done = made(Given(code, ((grain, 1),), 5, step="block", amounts={grain: 300}))
    assert alive(grain) == 20
    link = Link.objects.get(parent__code=grain, child__code=done.new_lots[0])
    assert (link.units, link.amount, link.measure) == (1, 300, "gram")
    again = made(Given(code, ((grain, 0),), 5, step="block", amounts={grain: 250}))
    link = Link.objects.get(parent__code=grain, child__code=again.new_lots[0])
    assert (link.units, link.amount) == (0, 250)
    assert alive(grain) == 20
    first, second = session(code).transfers
    assert first.parents[0].words == "part of 1 grain jar"
    assert second.parents[0].words == "of the grain jar already open"
    with pytest.raises(InputError, match="part of a lot that is used"):
        made(Given(code, ((grain, 1),), 5, step="block", amounts={bench["plate"]: 3}))
    assert check() == ()


def test_the_same_tap_twice_is_one(bench: dict[str, str]) -> None:
    code = begun()
    given = Given(code, ((bench["plate"], 3),), 24, step="grain")
    first, again = made(given, client_id="b" * 32), made(given, client_id="b" * 32)
    assert (first.already, again.already) == (False, True)
    assert len(session(code).transfers) == 1
    with pytest.raises(RefusedError, match="now it says: part done, count 20"):
        made(replace(given, makes=20), client_id="b" * 32)
    once = said(ticked=CLEAN)
    end(code, once)
    assert end(code, once).already


def test_somebody_else_comes_to_the_bench(bench: dict[str, str]) -> None:
    code = begun()
    given = Given(code, ((bench["plate"], 1),), 8, step="grain")
    done = made(given, "ben")
    assert "You have not ticked the list of this session yet." in done.findings
    assert session(code).findings == ("Ben worked in it without having ticked the list before.",)
    joined = begin("hood", said("ben", ticked=ALL))
    assert joined.sentence == "You are in the session at Hood, begun by Ada."
    assert made(given, "ben").findings == ()
    [found] = sessions()
    assert [each.name for each in found.people] == ["Ada", "Ben"]
    assert [each.person for each in found.transfers] == ["Ben", "Ben"]
    assert found.findings == ()


def test_plates_are_set_out_meanwhile(bench: dict[str, str]) -> None:
    code = begun(plates={"middle": 1})
    made(Given(code, ((bench["plate"], 1),), 8, step="grain"))
    assert set_plates(code, said(plates={"front": 2})).sentence == (
        "Settle plates: 2 at its front edge."
    )
    made(Given(code, ((bench["plate"], 1),), 8, step="grain"))
    set_plates(code, said(plates={}))
    made(Given(code, ((bench["plate"], 1),), 8, step="grain"))
    found = session(code)
    assert [[(p.where, p.count) for p in each.plates] for each in found.transfers] == [
        [("middle", 1)], [("front", 2)], [],
    ]  # fmt: skip
    assert found.plates == ()


@pytest.mark.usefixtures("bench")
def test_ended_with_the_clean_down(monkeypatch: pytest.MonkeyPatch) -> None:
    code = begun()
    at(monkeypatch, NOW + timedelta(minutes=95))
    done = end(code, said(ticked=[key for key in CLEAN if key != "waste"]))
    assert done.findings == ("Not ticked: waste bagged closed and carried out.",)
    [found] = sessions()
    assert (found.state, found.minutes) == (SessionState.ENDED, 95)
    assert found.not_cleaned == ("Waste bagged closed and carried out",)
    assert "from 10:00 to 11:35 (1 h 35 min): 0 transfers" in found.sentence
    with pytest.raises(RefusedError, match="was ended today at 11:35 already"):
        end(code, said(ticked=CLEAN))
    assert open_sessions() == ()


def test_left_open_overnight_it_is_asked_about_and_nothing_is_lost(
    bench: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    code = begun()
    at(monkeypatch, NOW + timedelta(minutes=50))
    made(Given(code, ((bench["plate"], 3),), 24, step="grain"))
    at(monkeypatch, NOW + timedelta(days=1))
    [left] = open_sessions()
    assert left.state is SessionState.LEFT_OPEN
    assert "Ada began it yesterday at 10:00 and nobody said when it ended" in left.sentence
    assert "was at 10:50; 1 transfer in all, none of it is lost" in left.sentence
    with pytest.raises(RefusedError, match="yesterday was never ended"):
        begin("hood", said("ben", ticked=ALL))
    with pytest.raises(InputError, match="after it was begun"):
        end(code, said(at=NOW - timedelta(hours=1)))
    end(code, said("ben", at=NOW + timedelta(minutes=55)))
    found = session(code)
    assert (found.state, found.is_end_asked, found.minutes) == (SessionState.ENDED, True, 55)
    assert len(found.transfers) == 1
    begin("hood", said("ben", ticked=ALL))
    assert len(sessions()) == 2


def test_a_transfer_that_arrives_after_the_end_is_kept_and_said(
    bench: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    code = begun()
    at(monkeypatch, NOW + timedelta(minutes=30))
    end(code, said(ticked=CLEAN))
    at(monkeypatch, NOW + timedelta(minutes=60))
    done = made(Given(code, ((bench["plate"], 3),), 24, step="grain"))
    assert any("said to have ended at 10:30" in each for each in done.findings)
    [finding] = session(code).findings
    assert "was made at 11:00, after the session is said to have ended at 10:30" in finding


@pytest.mark.usefixtures("bench")
def test_two_begun_in_one_minute_have_two_codes() -> None:
    first = begun()
    end(first, said(ticked=CLEAN))
    assert begun() == f"{first}-2"


def test_a_session_that_is_none(bench: dict[str, str]) -> None:
    with pytest.raises(RefusedError, match="no bench session"):
        made(Given("hood-x", ((bench["plate"], 3),), 24, step="grain"))
    with pytest.raises(InputError, match="scan its label"):
        made(Given(begun(), (), 24, step="grain"))
    with pytest.raises(RefusedError, match="nothing living"):
        made(Given(begun("box"), ((encode_of(199), 1),), 24, step="grain"))


def test_units_of_one_lot_from_two_shelves(bench: dict[str, str], tap: Taps) -> None:
    door.record([trade.move(tap(hours=-1), Taken(bench["plate"], 15, "inc-1"), "lab-1")], now=NOW)
    done = made(Given(begun(), ((bench["plate"], 18),), 144, step="grain"))
    link = Link.objects.get(child__code=done.new_lots[0], parent__code=bench["plate"])
    assert link.units == 18
    assert alive(bench["plate"]) == 2


def test_colonies_are_counted_days_later_and_a_later_count_stands(
    bench: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    code = begun(plates={"middle": 2, "room": 1})
    made(Given(code, ((bench["plate"], 1),), 8, step="grain"))
    set_plates(code, said(plates={}))
    at(monkeypatch, NOW + timedelta(minutes=50))
    end(code, said(ticked=CLEAN))
    lasted = session(code).minutes
    at(monkeypatch, NOW + timedelta(days=4))
    tapped = said()
    done = write_counts(code, tapped, {"middle": 3, "room": 9})
    assert done.sentence == "12 colonies on 3 settle plates."
    assert write_counts(code, tapped, {"middle": 3, "room": 9}).already
    found = session(code)
    assert found.plate_count is not None
    assert (found.plate_count.plates, found.plate_count.minutes) == (3, lasted)
    assert "as free spores" in found.plate_count.sentence
    assert (found.minutes, found.state) == (lasted, SessionState.ENDED)
    write_counts(code, said(), {"middle": 0, "room": 0}, 300)
    found = session(code)
    assert found.plate_count is not None
    assert "A clean plate is weak evidence" in found.plate_count.sentence
    of_bench = bench_count(plates_counted()[code])
    assert of_bench is not None  # what stood in the room beside it tells nothing of the bench
    assert (of_bench.colonies, of_bench.plates, of_bench.minutes) == (0, 2, 300.0)


@pytest.mark.parametrize(
    ("colonies", "minutes"),
    [
        ({}, None),
        ({"middle": -1}, None),
        ({"middle": 501}, None),
        ({"middle": 1, "side": 1}, None),
        ({"middle": 1}, 0),
        ({"middle": 1}, 2000),
    ],
)
@pytest.mark.usefixtures("bench")
def test_counts_that_cannot_be(colonies: dict[str, int], minutes: int | None) -> None:
    code = begun(plates={"middle": 2})
    with pytest.raises(InputError):
        write_counts(code, said(), colonies, minutes)
    assert session(code).plate_count is None


@pytest.mark.usefixtures("bench")
def test_no_plates_no_count() -> None:
    with pytest.raises(RefusedError, match="No settle plates"):
        write_counts(begun(), said(), {"middle": 1}, 30)
