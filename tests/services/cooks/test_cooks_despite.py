"""Vessels of a cook that did not pass are used only for a reason said of that cook."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import CODES, NOW, TODAY, Taps, describe, lot
from pinset.chain.register import Bench
from pinset.chain.stages import Stage
from pinset.errors import InputError, RefusedError
from pinset.farm import door, trade
from pinset.farm.models import Entry
from pinset.farm.queries.lots import lot_by_code, rows_of
from pinset.farm.trade import CookVerdict
from pinset.services import clock
from pinset.services.answers import recording
from pinset.services.bench.beginning import Said, begin
from pinset.services.bench.lists import lines
from pinset.services.bench.sessions import open_sessions, session
from pinset.services.bench.transfers import Given
from pinset.services.bench.transfers import transfer as at_bench
from pinset.services.books.lots import lot_view
from pinset.services.cooks.judge import short_cooks
from pinset.services.floor.records import Amount, Deed
from pinset.services.floor.taps import Saying
from pinset.services.floor.writing_down import write_down
from pinset.services.jobs.records import JobKind, LotAmount
from pinset.services.loads.despite import CookDoubtedError, Despite, read_despite
from pinset.services.views import Done
from pinset.tables.bench_checks import CheckList
from services.conftest import FULL_BOOK, LayJob

COOK = "kettle-20260311-0900"
VESSELS = CODES[11]
OTHER = "ran out of spawn"
OWN = "as controls, on a shelf of their own"
FAILED, UNJUDGED = f"{COOK}:failed", f"{COOK}:not-judged"

Way = Callable[..., Done]


@pytest.fixture
def cooked(stock: dict[str, str], tap: Taps, monkeypatch: pytest.MonkeyPatch) -> dict[str, str]:
    """Twelve vessels of one cook that nobody judged, and a bench."""
    describe(replace(FULL_BOOK, benches=(Bench("hood", "Hood", "lab", 300),)))
    monkeypatch.setenv(clock.PRETENDED, NOW.isoformat())
    made = lot(
        VESSELS, Stage.PREPARED, "grain", variety="", culture="", made_on=TODAY - timedelta(days=1)
    )
    entry = trade.cook(
        tap(hours=-24), COOK, [(made, 12)], "bay-1",
        steriliser="kettle", cook_kind="grain", hold_minutes=92,
    )  # fmt: skip
    door.record([entry], now=NOW)
    return stock


def fail() -> None:
    tap = Taps(start=900_000)
    verdict = CookVerdict.FAIL
    door.record(
        [trade.verdict(tap(hours=-20), cook=COOK, lots=[VESSELS], verdict=verdict)], now=NOW
    )


def new_id() -> str:
    return secrets.token_hex(16)


def job(lay: LayJob, stock: dict[str, str]) -> str:
    parents = (LotAmount(stock["plate"], 2, "plate"),)
    return lay(JobKind.TRANSFER, step="grain", stage="grain", count=12, lots=parents)


def begun() -> str:
    ticked = tuple(each.key for each in lines(CheckList.ENTRY))
    begin("hood", Said("ada", new_id(), ticked=ticked))
    return next(each.session for each in open_sessions())


@pytest.fixture(
    params=["done", "part", "scan", "bench by its job", "bench", "bench with vessels named"]
)
def way(request: pytest.FixtureRequest, lay: LayJob, cooked: dict[str, str]) -> Way:
    """Every way in which vessels are filled, by a reason and what is said of cooks."""
    plate, code = cooked["plate"], job(lay, cooked)

    def done(**more: object) -> Done:
        return recording.done(code, person="ada", client_id=new_id(), **more)  # type: ignore[arg-type]

    def part(**more: object) -> Done:
        return recording.part_done(
            code,
            person="ada",
            client_id=new_id(),
            count=6,
            **more,  # type: ignore[arg-type]
        )

    def scan(**more: object) -> Done:
        saying = Saying(Deed.USE, (Amount(plate, 2, 2),), (code,), 12, **more)  # type: ignore[arg-type]
        found = write_down(saying, person="ada", client_id=new_id())
        return Done(found.entries[0], found.already, found.sentence, found.findings, found.new_lots)

    def bench(**more: object) -> Done:
        kind = request.param
        given = Given(
            session=begun(),
            parents=((plate, 2),),
            makes=12,
            job=code if kind == "bench by its job" else "",
            step="" if kind == "bench by its job" else "grain",
            vessels=(VESSELS,) if kind == "bench with vessels named" else (),
            **more,  # type: ignore[arg-type]
        )
        return at_bench(given, person="ada", client_id=new_id())

    return {"done": done, "part": part, "scan": scan}.get(request.param, bench)


def alive() -> int:
    [row] = rows_of([lot_by_code(VESSELS)])
    return row.counts.alive


@pytest.mark.parametrize("is_failed", [True, False])
def test_a_reason_for_something_else_opens_no_way_to_them(way: Way, *, is_failed: bool) -> None:
    if is_failed:
        fail()
    key, other = (FAILED, UNJUDGED) if is_failed else (UNJUDGED, FAILED)
    for said in (
        {},
        {"reason": OTHER},
        {"reason": OTHER, "despite": read_despite([f"kettle-1:{key.partition(':')[2]}"], OWN)},
        {"reason": OTHER, "despite": read_despite([other], OWN)},  # as it stood, or never did
    ):
        with pytest.raises(CookDoubtedError, match=f"cook {COOK}") as refused:
            way(**said)
        assert refused.value.keys == (key,)
        assert "does not count for this" in refused.value.hint
    assert alive() == 12
    assert not Entry.objects.filter(kind="inoculate").exists()
    made = way(reason=OTHER, despite=read_despite([key], OWN))
    details = Entry.objects.get(client_id=made.entry).details
    [kept] = details["despite"]
    assert (kept["cook"], kept["reason"]) == (COOK, OWN)
    assert kept["units"] == 12 - alive()
    assert details["reason"] == OTHER
    assert any(f"Used all the same: {OWN}." in each for each in made.findings)
    told = lot_view(made.new_lots[0]).life
    assert any(OWN in each.what and f"taken from cook {COOK}" in each.what for each in told)
    if is_failed:
        [found] = short_cooks.of_lot(made.new_lots[0])
        assert (found.decided, found.reason) == ("used", OWN)


def test_the_session_says_it(cooked: dict[str, str]) -> None:
    fail()
    code = begun()
    given = Given(
        session=code, parents=((cooked["plate"], 2),), makes=12, step="grain",
        despite=read_despite([FAILED], OWN),
    )  # fmt: skip
    at_bench(given, person="ada", client_id=new_id())
    [made] = session(code).transfers
    assert made.despite == (
        f"12 vessels would be taken from cook {COOK}: failed. Used all the same: {OWN}.",
    )
    assert made.reason == ""


def test_a_cook_that_stands_worse_by_now_is_asked_about_again(
    lay: LayJob, cooked: dict[str, str]
) -> None:
    code = job(lay, cooked)
    said = read_despite([UNJUDGED], OWN)
    fail()
    with pytest.raises(CookDoubtedError) as refused:
        recording.done(code, person="ada", client_id=new_id(), despite=said)
    assert refused.value.keys == (FAILED,)


def test_sound_vessels_keep_nothing_of_what_was_said(lay: LayJob, cooked: dict[str, str]) -> None:
    tap = Taps(start=910_000)
    passed = trade.verdict(tap(hours=-20), cook=COOK, lots=[VESSELS], verdict=CookVerdict.PASS)
    door.record([passed], now=NOW)
    made = recording.done(
        job(lay, cooked), person="ada", client_id=new_id(), despite=read_despite([FAILED], OWN)
    )
    assert "despite" not in Entry.objects.get(client_id=made.entry).details


@pytest.mark.parametrize("key", ["", "kettle-1", "kettle-1:", ":failed", "kettle-1:fine"])
def test_a_key_nobody_wrote(key: str) -> None:
    with pytest.raises(InputError, match="despite-cook"):
        read_despite([key], OWN)


def test_a_cook_without_a_reason() -> None:
    with pytest.raises(InputError, match="why its vessels are used"):
        read_despite([FAILED], " ")
    assert read_despite([], OWN) == ()
    assert read_despite([FAILED, FAILED], OWN) == (Despite(COOK, "failed", OWN),)


def test_every_doubt_that_a_reason_overrules_stands_beside_it(
    lay: LayJob, cooked: dict[str, str]
) -> None:
    parents = (LotAmount(cooked["plate"], 2, "plate"),)
    code = lay(
        JobKind.TRANSFER, step="grain", stage="grain", count=1, lots=parents,
        day=TODAY + timedelta(days=1),
    )  # fmt: skip
    common = {"person": "ada", "count": 14, "despite": read_despite([UNJUDGED], OWN)}
    with pytest.raises(RefusedError, match="planned for"):
        recording.done(code, client_id=new_id(), **common)  # type: ignore[arg-type]
    made = recording.done(code, client_id=new_id(), reason=OTHER, **common)  # type: ignore[arg-type]
    against = Entry.objects.get(client_id=made.entry).details["against"]
    assert "This job is planned for tomorrow." in against
    assert "14 is far above the 1 planned." in against
    assert all(any(each in said for said in made.findings) for each in against)
