"""A look is written by its age, answers its job, and takes the bad ones out in the same tap."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from io import BytesIO
from zoneinfo import ZoneInfo

import pytest
from PIL import Image

from farm.small_farm import CODES, NOW, TODAY, Taps, lot
from pinset.chain.register import FarmBook
from pinset.chain.stages import Stage
from pinset.errors import InputError, RefusedError
from pinset.farm import door, job_store, trade
from pinset.farm.check import check
from pinset.farm.models import Entry, Photo
from pinset.farm.queries.looks import LookAt, looks
from pinset.services.answers import claims, recording, taking_back
from pinset.services.answers.lot_actions import Saying
from pinset.services.books.lots import lot_view
from pinset.services.jobs.records import JobKind, LotAmount
from pinset.services.looking.looked import Seen, look, tied_id
from pinset.services.looking.photos import forget, photo, photos_of
from services.recorded import counts

LayJob = Callable[..., str]
GREEN = Seen(("green-dust",), "filter", 3, take_out=True)


def new_id() -> str:
    return secrets.token_hex(16)


def said(code: str, client_id: str = "", **more: object) -> Saying:
    return Saying(code, "ben", client_id or new_id(), **more)  # type: ignore[arg-type]


def all_looks() -> tuple[LookAt, ...]:
    return looks(ZoneInfo("Europe/Vienna"))


def told(code: str) -> str:
    return lot_view(code).life[-1].what


def a_photo() -> bytes:
    out = BytesIO()
    Image.new("RGB", (60, 40), "olive").save(out, "PNG")
    return out.getvalue()


@pytest.fixture
def young(farm: FarmBook) -> str:  # noqa: ARG001
    """Blocks of four days, on two shelves."""
    made = lot(CODES[170], Stage.BLOCK, "block", made_on=TODAY - timedelta(days=4))
    tap = Taps(start=70_000)
    moved = trade.Taken(made.code, 6, "inc-1")
    door.record(
        [
            trade.opening(tap(hours=-97), made, 20, "inc-1"),
            trade.move(tap(hours=-96), moved, "inc-2"),
        ],
        now=NOW,
    )
    return made.code


def test_nothing_seen_on_a_young_lot_is_not_seen_yet(young: str) -> None:
    done = look(said(young), Seen())
    assert done.sentence == f"{young}: 20 units looked over, nothing seen yet at day 4."
    assert told(young) == "20 units looked over, nothing seen yet at day 4"
    [kept] = all_looks()
    assert (kept.age_days, kept.seen, kept.of, kept.signs) == (4, 0, 20, ())
    assert Entry.objects.get(kind="look").details["seen"] == 0
    assert "clean" not in done.sentence


def test_when_the_slowest_sign_had_its_time_the_yet_is_gone(young: str) -> None:
    """Trichoderma in a bag needs 5 to 20 days: common practice, no source."""
    made = lot(CODES[171], Stage.BLOCK, "block", made_on=TODAY - timedelta(days=20))
    door.record([trade.opening(Taps(80_000)(hours=-470), made, 5, "inc-1")], now=NOW)
    assert look(said(made.code), Seen()).sentence.endswith("nothing seen at day 20.")
    assert young


def test_what_is_seen_is_taken_out_in_the_same_tap(stock: dict[str, str]) -> None:
    code, tap = stock["grain"], new_id()
    done = look(said(code, tap), GREEN)
    words = "3 of 20 units show green dust at the filter or the closure, day 14"
    assert done.sentence == f"{code}: {words}; 3 units lost."
    assert (counts(code)["alive"], counts(code)["lost"]) == (17, 3)
    lose = Entry.objects.get(kind="lose")
    assert lose.details["look"] == tap
    assert lose.client_id == tied_id(tap)
    assert "green dust" in lose.details["cause"]
    [kept] = all_looks()
    assert (kept.seen, kept.of, kept.lost, kept.where) == (3, 20, 3, "filter")
    assert any("leaky seal" in finding for finding in done.findings)
    assert any("Do not open a mouldy unit" in finding for finding in done.findings)
    assert check() == ()


def test_orange_fluff_is_said_to_be_an_emergency(stock: dict[str, str]) -> None:
    done = look(said(stock["block"]), Seen(("orange-fluff",), "filter", 1))
    assert any("emergency" in finding and "Mask on" in finding for finding in done.findings)


def test_what_is_no_contamination_is_not_counted_as_lost(stock: dict[str, str]) -> None:
    code = stock["grain"]
    done = look(said(code), Seen(("stalled",), "", 2, take_out=True))
    assert done.sentence.endswith("2 units taken out.")
    assert ("lost" in counts(code), counts(code)["culled"]) == (False, 2)
    assert all_looks()[0].culled == 2


def test_the_same_tap_twice_is_one_look_and_another_answer_is_refused(
    stock: dict[str, str],
) -> None:
    code, tap = stock["grain"], new_id()
    look(said(code, tap), GREEN)
    again = look(said(code, tap), GREEN)
    assert again.already
    assert Entry.objects.filter(kind__in=("look", "lose")).count() == 2
    with pytest.raises(RefusedError, match="sent before"):
        look(said(code, tap), replace(GREEN, seen=4))
    with pytest.raises(InputError, match="fresh random id"):
        look(said(stock["block"], tap), GREEN)


def test_taking_the_look_back_puts_back_what_it_took_out(stock: dict[str, str]) -> None:
    code, tap = stock["grain"], new_id()
    look(said(code, tap), GREEN)
    taking_back.undo(tap, person="ada", client_id=new_id(), reason="another lot")
    assert (counts(code)["alive"], "lost" in counts(code)) == (20, False)
    assert all_looks() == ()
    assert check() == ()


def test_a_lot_on_two_shelves_is_looked_at_on_one_or_on_both(young: str) -> None:
    look(said(young), Seen(("green-dust",), "seam", 5, place="inc-2", take_out=True))
    [kept] = all_looks()
    assert (kept.of, kept.places, kept.lost) == (6, ("inc-2",), 5)
    look(said(young), Seen())
    assert all_looks()[-1].of == 15
    assert set(all_looks()[-1].places) == {"inc-1", "inc-2"}


WRONG: dict[str, tuple[Seen, type[Exception], str]] = {
    "more looked at than alive": (Seen(of=21), InputError, "1 to 20, the units that stand"),
    "none looked at": (Seen(of=0), InputError, "1 to 20"),
    "more seen than looked at": (replace(GREEN, of=2), InputError, "1 to 2, of those looked at"),
    "a sign on none": (replace(GREEN, seen=0), InputError, "1 to 20"),
    "no sign on some": (Seen(seen=2), InputError, "what is seen on them"),
    "an unknown sign": (replace(GREEN, signs=("ghosts",)), InputError, "green-dust"),
    "a sign of the rooms": (replace(GREEN, signs=("flies",)), InputError, "of this kind of unit"),
    "an unknown place": (replace(GREEN, where="attic"), InputError, "filter"),
    "a place of plates": (replace(GREEN, where="piece"), InputError, "bottom"),
    "a shelf without it": (replace(GREEN, place="grow-1"), RefusedError, "Nothing of lot"),
    "something else, unsaid": (replace(GREEN, signs=("other",)), InputError, "a few words"),
    "no picture": (replace(GREEN, photo=b"GIF89a, no photo"), InputError, "JPEG, PNG or WebP"),
    "half a picture": (replace(GREEN, photo=a_photo()[:50]), InputError, "damaged"),
}


@pytest.mark.parametrize("name", WRONG)
def test_what_cannot_be_is_refused_and_nothing_is_half_written(
    name: str, stock: dict[str, str]
) -> None:
    before = Entry.objects.count()
    wrong, problem, words = WRONG[name]
    with pytest.raises(problem, match=words):
        look(said(stock["grain"]), wrong)
    assert Entry.objects.count() == before
    assert not Photo.objects.exists()


def test_a_code_with_a_slip_and_a_lot_that_is_gone(stock: dict[str, str]) -> None:
    with pytest.raises(InputError, match="Nearest valid"):
        look(said(stock["grain"][:-1] + "#"), Seen())
    with pytest.raises(InputError, match="of this farm"):
        look(said(CODES[199]), Seen())
    taken = trade.Taken(stock["plate"], 20, "inc-1")
    door.record([trade.lose(Taps(90_000)(), taken)], now=NOW)
    with pytest.raises(RefusedError, match="Nothing of lot"):
        look(said(stock["plate"]), Seen())


def test_a_look_dated_before_the_lot_asks_for_a_reason(young: str) -> None:
    long_before = NOW - timedelta(days=9)
    with pytest.raises(RefusedError, match="was made"):
        look(said(young, at=long_before), Seen())
    done = look(said(young, at=long_before, why="the date of the lot is wrong"), Seen())
    assert all_looks()[0].age_days == -5
    assert "day -5" not in done.sentence
    assert "dated 5 days before the lot was made" in done.sentence


def test_it_answers_the_open_job_so_that_today_does_not_ask_again(
    lay: LayJob, stock: dict[str, str]
) -> None:
    lots = (LotAmount(stock["grain"], 20, "grain"), LotAmount(stock["block"], 20, "block"))
    job = lay(JobKind.LOOK, count=40, lots=lots, variety="")
    look(said(stock["grain"]), Seen(of=12))
    row = job_store.job_by_code(job)
    assert row is not None
    assert not row.is_closed
    tap = new_id()
    for code in (stock["grain"], stock["block"]):
        look(said(code, tap if code == stock["block"] else ""), Seen())
    assert [entry.count for entry in job_store.entries_of([job])] == [12, 8, 20]
    row = job_store.job_by_code(job)
    assert row is not None
    assert row.is_closed
    look(said(stock["block"]), Seen())
    assert len(job_store.entries_of([job])) == 3, "a look beyond it answers nothing"
    taking_back.undo(tap, person="ben", client_id=new_id(), reason="a slip")
    row = job_store.job_by_code(job)
    assert row is not None
    assert not row.is_closed


def test_a_job_somebody_else_has_is_answered_and_said(lay: LayJob, stock: dict[str, str]) -> None:
    job = lay(JobKind.LOOK, lots=(LotAmount(stock["grain"], 20, "grain"),), count=20)
    claims.claim(job, "ada")
    done = look(said(stock["grain"]), Seen())
    assert "Ada has that job in hand: say that it is done." in done.findings
    other = lay(JobKind.LOOK, lots=(LotAmount(stock["block"], 20, "block"),), count=20)
    claims.claim(other, "ben")
    assert look(said(stock["block"]), Seen()).findings == ()


def test_the_rest_of_a_job_can_be_done_with_one_tap(lay: LayJob, stock: dict[str, str]) -> None:
    lots = (LotAmount(stock["grain"], 20, "grain"), LotAmount(stock["block"], 20, "block"))
    job = lay(JobKind.LOOK, count=40, lots=lots, variety="")
    look(said(stock["grain"]), GREEN)
    recording.done(job, person="ada", client_id=new_id())
    by_lot = {each.lot: each for each in all_looks() if each.job == job and not each.seen}
    assert set(by_lot) == {stock["block"]}
    assert told(stock["block"]) == "20 units looked over, nothing seen yet at day 14"


def test_a_photo_is_shown_with_its_lot_until_it_is_forgotten(stock: dict[str, str]) -> None:
    code = stock["grain"]
    look(said(code), replace(GREEN, photo=a_photo()))
    [shown] = photos_of(code, "grain", "grain")
    assert "green dust" in shown.words
    picture = photo(shown.photo)
    assert picture is not None
    assert Image.open(BytesIO(picture)).size == (60, 40)
    assert forget(shown.photo) == code
    assert photo(shown.photo) is None
    assert photos_of(code, "grain", "grain") == ()
    assert check() == ()
    with pytest.raises(InputError, match="photo"):
        forget("f" * 64)
