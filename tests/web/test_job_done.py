from __future__ import annotations

from django.test import Client

from pinset.farm.models import Entry, Lot
from web.asking import CONFLICT, FOUND, OK, UNFIT, sent_to_sign_in, words
from web.shed import Shed


def _of(job: str) -> list[Entry]:
    return list(Entry.objects.filter(job=job).order_by("id"))


def test_a_worker_writes_a_job_down_and_comes_back_to_today(
    worker: Client, shed: Shed, tap: str
) -> None:
    job = shed.jobs["shake"]
    response = worker.post(f"/jobs/{job}/done/", {"client_id": tap})
    assert response.status_code == FOUND
    assert response.headers["Location"] == "/"
    [entry] = _of(job)
    assert entry.client_id == tap
    assert entry.person is not None
    assert entry.person.code == "ben"
    assert "recorded" in words(worker.get("/"))


def test_an_owner_writes_a_transfer_down_with_other_lots_and_numbers(
    owner: Client, shed: Shed, tap: str
) -> None:
    job = shed.jobs["jars"]
    sent = {
        "client_id": tap,
        "how": "part",
        "count": "6",
        "lots-shown": "yes",
        f"lot-{shed.plates}": "1",
        "note": "lids a little loose",
    }
    assert owner.post(f"/jobs/{job}/done/", sent).status_code == FOUND
    [entry] = _of(job)
    made = Lot.objects.get(code=entry.links.get().child.code)
    assert (made.step, entry.links.get().units) == ("grain", 1)
    assert "6 of 10 done, 4 left." in words(owner.get(f"/jobs/{job}/"))


def test_stranger_writes_nothing(stranger: Client, shed: Shed, tap: str) -> None:
    job = shed.jobs["shake"]
    before = Entry.objects.count()
    assert sent_to_sign_in(stranger, f"/jobs/{job}/done/", post=True)
    stranger.post(f"/jobs/{job}/done/", {"client_id": tap})
    assert Entry.objects.count() == before


def test_a_double_tap_is_one_entry(worker: Client, shed: Shed, tap: str) -> None:
    job = shed.jobs["shake"]
    for _ in range(3):
        assert worker.post(f"/jobs/{job}/done/", {"client_id": tap}).status_code == FOUND
    assert len(_of(job)) == 1


def test_a_tap_on_the_card_gets_the_card_back(worker: Client, shed: Shed, tap: str) -> None:
    job = shed.jobs["shake"]
    response = worker.post(f"/jobs/{job}/done/", {"client_id": tap}, headers={"HX-Request": "true"})
    page = response.content.decode()
    assert response.status_code == OK
    assert page.lstrip().startswith('<article class="job over')
    assert 'hx-swap-oob="innerHTML"' in page
    assert "Undo" in page
    assert "<html" not in page


def test_without_its_id_a_form_is_refused_in_words(worker: Client, shed: Shed) -> None:
    job = shed.jobs["shake"]
    response = worker.post(f"/jobs/{job}/done/", {"client_id": "1; drop"})
    assert response.status_code == UNFIT
    assert "32 hexadecimal signs" in words(response)
    assert _of(job) == []


def test_absurd_numbers_are_refused_and_nothing_is_written(
    worker: Client, shed: Shed, tap: str
) -> None:
    job = shed.jobs["jars"]
    for count in ("-1", "1e9", "٣", "ten", "9999999999"):
        response = worker.post(f"/jobs/{job}/done/", {"client_id": tap, "count": count})
        assert response.status_code == UNFIT
        assert f"How many: “{count}” is not accepted." in words(response)
    assert _of(job) == []


def test_lots_typed_wrongly_are_named(worker: Client, shed: Shed, tap: str) -> None:
    job = shed.jobs["jars"]
    response = worker.post(
        f"/jobs/{job}/done/", {"client_id": tap, "other-lots": f"{shed.plates} many"}
    )
    assert response.status_code == UNFIT
    assert "4CWF9 3" in words(response), "an example of what is accepted"
    assert _of(job) == []


def test_delivering_by_one_tap_takes_what_was_promised(
    worker: Client, shed: Shed, tap: str
) -> None:
    worker.post(
        "/pick/", {"client_id": "1" * 32, "lot": shed.fruiting, "weight": "6", "flush": "1"}
    )
    job = shed.jobs["deliver"]
    assert worker.post(f"/jobs/{job}/done/", {"client_id": tap}).status_code == FOUND
    assert _of(job)[0].details["grams"] == 4000


def _slipped(code: str) -> str:
    """Return a code with its first two signs swapped, or the first one changed."""
    swapped = code[1] + code[0] + code[2:]
    return swapped if swapped != code else ("2" if code[0] != "2" else "3") + code[1:]


def test_a_slip_in_a_code_keeps_the_typing_and_names_the_nearest(
    worker: Client, shed: Shed, tap: str
) -> None:
    job = shed.jobs["jars"]
    typed = f"{_slipped(shed.plates)} 3"
    sent = {
        "client_id": tap,
        "count": "7",
        "lots-shown": "yes",
        f"lot-{shed.plates}": "1",
        "other-lots": typed,
        "note": "lids a little loose",
    }
    response = worker.post(f"/jobs/{job}/done/", sent)
    page = response.content.decode()
    assert response.status_code == UNFIT
    assert _of(job) == []
    for kept in (tap, f'value="{typed}"', 'value="7"', "lids a little loose"):
        assert kept in page
    said = page.split('id="other-lots-wrong"')[1].split("</p>")[0]
    assert shed.plates in said
    assert "Lots not named here" in said
    assert 'aria-describedby="other-lots-help other-lots-wrong"' in page
    assert worker.post(f"/jobs/{job}/done/", {"client_id": tap}).status_code == FOUND


def test_a_lot_of_another_kind_keeps_the_typing_too(worker: Client, shed: Shed, tap: str) -> None:
    job = shed.jobs["jars"]
    sent = {"client_id": tap, "count": "7", "other-lots": f"{shed.blocks} 2", "note": "seven"}
    response = worker.post(f"/jobs/{job}/done/", sent)
    assert response.status_code in {CONFLICT, UNFIT}
    assert "Nothing was saved." in words(response)
    assert f'value="{shed.blocks} 2"' in response.content.decode()


def test_a_stale_tap_gets_the_card_as_it_stands_now(
    worker: Client, owner: Client, shed: Shed, tap: str
) -> None:
    job = shed.jobs["shake"]
    worker.post(f"/jobs/{job}/done/", {"client_id": "5" * 32})
    response = owner.post(f"/jobs/{job}/done/", {"client_id": tap}, headers={"HX-Request": "true"})
    page = response.content.decode()
    assert response.status_code == CONFLICT
    assert page.lstrip().startswith('<article class="job over')
    assert "is recorded as done" in words(response)
    assert len(_of(job)) == 1
    plain = owner.post(f"/jobs/{job}/done/", {"client_id": tap})
    assert plain.status_code == CONFLICT
    assert "is recorded as done" in words(plain)
    assert "Undo" in words(plain)
