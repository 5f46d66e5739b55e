"""Books, Upkeep: chores with their taps, what is proposed, the register, written instructions."""

from __future__ import annotations

import secrets
from dataclasses import replace
from datetime import timedelta

import pytest
from django.test import Client

from pinset.farm import register_store
from pinset.farm.entries import Kind
from pinset.farm.models import Entry
from pinset.farm.models.register import RegisterKind
from pinset.services.clock import now_utc
from pinset.services.plans import planning_day
from pinset.services.upkeep.doing import ChoreTap, done
from web.asking import FORBIDDEN, FOUND, MISSING, OK, UNFIT, sent_to_sign_in, words
from web.shed import Shed

HEPA = "/books/upkeep/chore/hepa/"
CLEAN = "/books/upkeep/chore/bench-clean/"
GATHERED = (
    "/books/upkeep/",
    HEPA,
    "/books/upkeep/instructions/",
    "/books/upkeep/instructions/cook/",
)


def tap(**more: str) -> dict[str, str]:
    return {"client_id": secrets.token_hex(16), "how": "done", **more}


def cleaned() -> list[Entry]:
    return list(Entry.objects.filter(kind=Kind.CLEAN, is_corrected=False).order_by("id"))


def overdue() -> None:
    """Let the bench have been cleaned last a month ago."""
    book, today = planning_day.farm_book()
    [chore] = [each for each in book.upkeep if each.code == "bench-clean"]
    late = replace(chore, since=today - timedelta(days=30))
    register_store.write([late], today, "", now_utc())


@pytest.mark.parametrize("address", GATHERED)
def test_everybody_sees_it_and_a_stranger_does_not(
    owner: Client,
    worker: Client,
    stranger: Client,
    shed: Shed,  # noqa: ARG001
    address: str,
) -> None:
    assert owner.get(address).status_code == OK
    assert worker.get(address).status_code == OK
    assert sent_to_sign_in(stranger, address)


@pytest.mark.parametrize(
    "address",
    [
        "/books/upkeep/new/",
        "/books/upkeep/proposed/",
        f"{HEPA}change/",
        "/books/upkeep/instructions/cook/change/",
    ],
)
def test_only_an_owner_changes_the_register(owner: Client, worker: Client, address: str) -> None:
    assert owner.get(address).status_code == OK
    assert worker.get(address).status_code == FORBIDDEN
    assert worker.post(address, tap()).status_code == FORBIDDEN


def test_the_list_says_what_is_due_and_the_page_of_a_chore_why(worker: Client) -> None:
    assert "No chore is due." in words(worker.get("/books/upkeep/"))
    overdue()
    said = words(worker.get("/books/upkeep/"))
    assert "1 chore is due, 1 of them overdue." in said
    page = words(worker.get(CLEAN))
    assert "Overdue since" in page
    assert "every 7 days" in page
    assert "Never mix disinfectants" in page


def test_a_tap_is_one_entry_and_undo_takes_it_back(worker: Client) -> None:
    overdue()
    given = tap(note="sides, too")
    assert worker.post(f"{CLEAN}done/", given).status_code == FOUND
    assert worker.post(f"{CLEAN}done/", given).status_code == FOUND
    [entry] = cleaned()
    assert entry.details["chore"] == "bench-clean"
    assert "sides, too" in words(worker.get(CLEAN))
    answer = worker.post(f"{CLEAN}undo/{entry.client_id}/", tap(), follow=True)
    assert "Taken back." in words(answer)
    assert cleaned() == []


def test_a_reading_with_its_unit_is_drawn_with_its_limit(worker: Client) -> None:
    for days, reading in ((80, "120"), (50, "134"), (20, "151")):
        moment = now_utc() - timedelta(days=days)
        client_id = secrets.token_hex(16)
        done(ChoreTap("hepa", "ben", client_id, moment, reading, why="written on paper"))
    assert worker.post(f"{HEPA}done/", tap(reading="0.16 kPa")).status_code == FOUND
    page = worker.get(HEPA)
    assert "160 Pa today, 80 Pa left to its limit of 240 Pa." in words(page)
    assert "a guess, no promise" in words(page)
    text = page.content.decode()
    assert text.count('<circle cx="') >= 4
    assert "limit 240 Pa" in text
    assert "From 120 Pa on" in text


@pytest.mark.parametrize(
    ("reading", "says"),
    [
        ("", "a pressure drop, such as 180 Pa"),
        ("much", "a pressure drop, such as 180 Pa"),
        ("21 °C", "a pressure drop, such as 180 Pa"),
        ("-3", "0 or more"),
        ("90000", "at most 2,500 Pa"),
    ],
)
def test_nonsense_is_refused_in_words_and_kept_in_the_form(
    worker: Client, reading: str, says: str
) -> None:
    answer = worker.post(f"{HEPA}done/", tap(reading=reading, note="at the back"))
    assert answer.status_code == UNFIT
    said = answer.content.decode()
    assert says in said
    assert "Nothing was saved." in said
    assert "at the back" in said
    assert cleaned() == []


def test_a_fallen_pressure_drop_asks_for_a_reason(worker: Client) -> None:
    worker.post(f"{HEPA}done/", tap(reading="200"))
    answer = worker.post(f"{HEPA}done/", tap(reading="100"))
    assert answer.status_code == UNFIT
    assert 'name="why"' in answer.content.decode()
    worker.post(f"{HEPA}done/", tap(reading="100", why="fan turned down"))
    assert [entry.details["reading"] for entry in cleaned()] == [200.0, 100.0]


def test_what_is_amiss_needs_a_note_and_stays_until_mended(worker: Client) -> None:
    assert worker.post(f"{CLEAN}done/", tap(how="amiss")).status_code == UNFIT
    worker.post(f"{CLEAN}done/", tap(how="amiss", note="a crack in the glass"))
    assert "to be changed or mended" in words(worker.get("/books/upkeep/"))
    worker.post(f"{CLEAN}done/", tap(how="changed"))
    assert "No chore is due." in words(worker.get("/books/upkeep/"))


def test_it_is_put_off_for_days_with_a_reason(owner: Client, worker: Client) -> None:
    nothing = worker.post(f"{CLEAN}not-today/", tap(reason="no time left"))
    assert nothing.status_code == UNFIT
    assert "nothing to put off" in words(nothing)
    overdue()
    owner.post(f"{HEPA}change/", _form(name="Main filter"))  # any change lays what is due
    assert worker.post(f"{CLEAN}not-today/", tap(reason="", days="3")).status_code == UNFIT
    assert worker.post(f"{CLEAN}not-today/", tap(reason="x", days="99")).status_code == UNFIT
    assert worker.post(f"{CLEAN}not-today/", tap(other="no water", days="3")).status_code == FOUND
    assert "Put off until" in words(worker.get(CLEAN))


def _form(**more: str) -> dict[str, str]:
    return {
        "name": "Wash the drain",
        "kind": "room-cleaning",
        "thing": "room:lab",
        "every_days": "14",
        "minutes": "15",
        "cautions": "disinfectants",
        **more,
    }


def test_a_chore_is_added_changed_and_ended(owner: Client) -> None:
    added = owner.post("/books/upkeep/new/", _form())
    assert added.headers["Location"] == "/books/upkeep/chore/wash-the-drain/"
    assert "never written down as done" in words(owner.get(added.headers["Location"])).lower()
    assert "chore: Wash the drain, Laboratory" in words(owner.get("/"))
    changed = owner.post("/books/upkeep/chore/wash-the-drain/change/", _form(every_days="21"))
    assert changed.status_code == FOUND
    book, _ = planning_day.farm_book()
    [chore] = [each for each in book.upkeep if each.code == "wash-the-drain"]
    assert (chore.every_days, chore.cautions) == (21, ("disinfectants",))
    assert owner.post("/books/upkeep/chore/wash-the-drain/end/").status_code == FOUND
    assert owner.get("/books/upkeep/chore/wash-the-drain/").status_code == MISSING
    assert "Wash the drain" not in words(owner.get("/"))


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"name": ""}, "what is done"),
        ({"thing": "room:attic"}, "room:lab"),
        ({"every_days": "0"}, "a whole number from 1 to 3650"),
        ({"every_days": ""}, "every_uses"),
        ({"kind": "singing"}, "room-cleaning"),
        ({"reads": "mile"}, "Pa"),
        ({"limit": "5"}, "reads nothing off"),
        ({"since": "2999-01-01"}, "a day up to today"),
        ({"every_uses": "3"}, "cooks of a steriliser"),
    ],
)
def test_a_chore_that_cannot_be_is_refused(owner: Client, more: dict[str, str], says: str) -> None:
    answer = owner.post("/books/upkeep/new/", _form(**more))
    assert answer.status_code == UNFIT
    assert says in words(answer)


def test_proposed_chores_are_taken_over_once(owner: Client) -> None:
    page = words(owner.get("/books/upkeep/proposed/"))
    assert "common practice, no source" in page
    assert "GB 19258-2012, clause 5.10" in page
    assert owner.post("/books/upkeep/proposed/", {}).status_code == UNFIT
    assert owner.post("/books/upkeep/proposed/", {"chores": ["sing"]}).status_code == UNFIT
    keys = ["laundry", "laboratory-clean-lab"]
    assert owner.post("/books/upkeep/proposed/", {"chores": keys}).status_code == FOUND
    book, _ = planning_day.farm_book()
    assert set(keys) < {chore.code for chore in book.upkeep}
    again = words(owner.get("/books/upkeep/proposed/"))
    assert "Wash the laboratory clothes: stands in the register." in again


def test_an_instruction_begins_with_the_cautions_and_each_change_is_a_version(
    owner: Client, worker: Client
) -> None:
    address = "/books/upkeep/instructions/cook/"
    empty = owner.get(f"{address}change/").content.decode()
    assert "Never go above the pressure" in empty
    assert "How it is done" in empty
    assert owner.post(f"{address}change/", {"text": "  "}).status_code == UNFIT
    assert owner.post(f"{address}change/", {"text": "Load loosely.\nVent."}).status_code == FOUND
    page = worker.get(address).content.decode()
    assert "Load loosely.\nVent." in page
    assert "You have not ticked this version yet." in page
    ticked = {"client_id": secrets.token_hex(16), "version": "1", "back": "/"}
    assert worker.post(f"{address}understood/", ticked).headers["Location"] == "/"
    worker.post(f"{address}understood/", {**ticked, "client_id": secrets.token_hex(16)})
    assert Entry.objects.filter(kind=Kind.READ).count() == 1
    assert "You ticked it as read and understood" in words(worker.get(address))
    assert "Ben" in words(owner.get(address))
    owner.post(f"{address}change/", {"text": "Load loosely. Vent for ten minutes."})
    assert "You have not ticked this version yet." in words(worker.get(address))
    stale = worker.post(f"{address}understood/", {**ticked, "client_id": secrets.token_hex(16)})
    assert stale.status_code == FOUND
    assert Entry.objects.filter(kind=Kind.READ).count() == 1
    assert "not yet by: Ada, Ben" in words(owner.get("/books/upkeep/instructions/"))
    assert len(register_store.versions(RegisterKind.INSTRUCTION, "cook")) == 2
    assert owner.post(f"{address}end/").status_code == FOUND
    assert "Load loosely" not in words(worker.get(address))


def test_a_foreign_address_is_not_gone_back_to(owner: Client, worker: Client) -> None:
    address = "/books/upkeep/instructions/pick/"
    owner.post(f"{address}change/", {"text": "Twist, do not pull."})
    for back in ("https://example.invalid/", "//example.invalid/"):
        given = {"client_id": secrets.token_hex(16), "version": "1", "back": back}
        assert worker.post(f"{address}understood/", given).headers["Location"] == address


def test_whoever_has_not_ticked_is_told_on_today_and_at_the_job(
    owner: Client, worker: Client, shed: Shed
) -> None:
    owner.post("/books/upkeep/instructions/pick/change/", {"text": "Twist, do not pull."})
    assert "Instructions you have not ticked as read: picking." in words(worker.get("/"))
    job = worker.get(f"/jobs/{shed.jobs['pick']}/").content.decode()
    assert "Twist, do not pull." in job
    assert "You have not ticked this version yet." in job
    given = {"client_id": secrets.token_hex(16), "version": "1"}
    worker.post("/books/upkeep/instructions/pick/understood/", given)
    assert "Instructions you have not ticked" not in words(worker.get("/"))
    assert "Instructions you have not ticked" in words(owner.get("/"))


def test_a_chore_on_the_job_page_is_one_tap(
    owner: Client, worker: Client, shed: Shed, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Early: what no longer fits into the day is named above its own place on the page.
    monkeypatch.setenv("PINSET_TODAY", f"{shed.day.isoformat()}T08:00+01:00")
    owner.post("/books/upkeep/new/", _form())
    today = worker.get("/").content.decode()
    code = today.partition("chore: Wash the drain")[0].rpartition('id="job-')[2].partition('"')[0]
    page = worker.get(f"/jobs/{code}/").content.decode()
    assert "Part done" not in page
    assert "Not at all, because" not in page
    assert worker.post(f"/jobs/{code}/done/", tap(count="1")).status_code == FOUND
    assert [entry.job for entry in cleaned()] == [code]


@pytest.mark.parametrize("code", ["roof", "hepa%00"])
def test_a_chore_that_is_not_there_is_said_to_be_missing(worker: Client, code: str) -> None:
    assert worker.get(f"/books/upkeep/chore/{code}/").status_code >= 400
    assert worker.get("/books/upkeep/instructions/sing/").status_code == MISSING
