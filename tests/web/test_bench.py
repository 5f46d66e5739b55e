"""Bench: a list ticked, lots laid there, one tap for what is made, a clean-down."""

from __future__ import annotations

import re
import secrets
from datetime import UTC, datetime, timedelta

import pytest
from django.test import Client

from pinset.farm.models import Balance, Entry, Link, Lot
from pinset.services.bench import lists
from web.asking import words
from web.shed import Shed

PART = {"HTTP_HX_REQUEST": "true"}
ALL = list(lists.every_key(lists.ENTRY))
CLEAN = list(lists.every_key(lists.CLEAN_DOWN))


def fields_of(form: str) -> dict[str, object]:
    """Return the fields of a form as a browser would send them, untouched."""
    found: dict[str, list[str]] = {}
    for tag in re.findall(r"<input[^>]*>", form):
        name, value = (re.search(rf'{key}="([^"]*)"', tag) for key in ("name", "value"))
        is_off = 'type="checkbox"' in tag and " checked" not in tag
        if name and name[1] != "csrfmiddlewaretoken" and not is_off:
            found.setdefault(name[1], []).append(value[1] if value else "")
    return dict(found)


def form_to(text: str, address: str, having: str = "") -> dict[str, object]:
    """Return the fields of the first form that goes to an address."""
    for form in re.findall(r"<form.*?</form>", text, re.DOTALL):
        if f'action="{address}"' in form and having in form:
            return fields_of(form)
    raise AssertionError(f"no form to {address}")


def begun(client: Client, **more: object) -> str:
    """Begin a session and return the page of the bench."""
    form = form_to(client.get("/bench/").content.decode(), "/bench/begin/")
    answer = client.post("/bench/begin/", {**form, "tick": ALL, **more}, follow=True)
    assert answer.status_code == 200
    return answer.content.decode()


def laid(client: Client, *codes: str) -> str:
    answer = client.post("/bench/scan/", {"code": "\n".join(codes)}, **PART)  # type: ignore[arg-type]
    return answer.content.decode()


def alive(code: str) -> int:
    return sum(row.quantity for row in Balance.objects.filter(lot__code=code, account="alive"))


def test_begun_by_ticking_the_list(worker: Client, shed: Shed) -> None:
    text = worker.get("/bench/").content.decode()
    assert shed.day
    for wanted in ("Hands and arms washed", "Mask on", "No alcohol is sprayed", "UV-C burns"):
        assert wanted in text
    form = form_to(text, "/bench/begin/")
    answer = worker.post("/bench/begin/", {**form, "tick": ALL[:-1]})
    said = answer.content.decode()
    assert answer.status_code == 409
    assert "Not ticked: alcohol closed and away" in said
    assert said.count(" checked") == len(ALL) - 1, "what was ticked stays ticked"
    assert not Entry.objects.filter(kind="session").exists()
    text = begun(worker, **{"plates-middle": "2"})
    assert "Session begun at" in text
    assert "Scan what you take from" in text
    entry = Entry.objects.get(kind="session")
    assert (entry.person.code, entry.details["plates"]) == ("ben", {"middle": 2})


def test_a_list_that_is_not_whole_is_begun_with_a_tapped_reason(worker: Client, shed: Shed) -> None:
    assert shed.day
    assert "is in" not in begun(worker, tick=ALL[:-1], reason="none is left")
    [entry] = Entry.objects.filter(kind="session")
    assert entry.details["reason"] == "none is left"
    assert "had not ticked" in worker.get("/books/sessions/").content.decode()


def test_a_scan_and_a_tap_answer_the_job_of_today(worker: Client, shed: Shed) -> None:
    begun(worker, **{"plates-front": "1"})
    text = laid(worker, shed.plates)
    assert text.index('class="thing usual') < text.index("Made: grain jars")
    form = form_to(text, "/bench/make/")
    assert (form["job"], form["makes"]) == ([shed.jobs["jars"]], ["10"])
    said = worker.post("/bench/make/", {**form, "reason": "ready enough"}, **PART)  # type: ignore[arg-type]
    text = said.content.decode()
    assert said.status_code == 200
    entry = Entry.objects.get(kind="inoculate")
    assert (entry.job, entry.person.code) == (shed.jobs["jars"], "ben")
    assert entry.details["turn"] == 1
    assert entry.details["plates"] == {"front": 1}
    child = Lot.objects.get(made_by=entry)
    assert child.session == entry.details["session"]
    assert Link.objects.get(child=child).parent.code == shed.plates
    assert f"/books/labels/?lot={child.code}" in text
    assert "Made in this session" in text
    page = worker.get(f"/books/lots/{child.code}/").content.decode()
    assert f"/books/sessions/{child.session}/" in page
    assert 'name="held"' not in form_or_nothing(text), "it was put away"


def form_or_nothing(text: str) -> str:
    forms = re.findall(r"<form.*?</form>", text, re.DOTALL)
    return next((form for form in forms if 'action="/bench/make/"' in form), "")


def test_what_speaks_against_it_is_answered_by_a_tapped_reason(worker: Client, shed: Shed) -> None:
    begun(worker)
    form = form_to(laid(worker, shed.plates), "/bench/make/")
    form |= {"makes": "40", f"units-{shed.plates}": "400"}
    answer = worker.post("/bench/make/", form)
    text = answer.content.decode()
    assert answer.status_code == 409
    assert "Nothing was written down." in text
    assert "stand there in the books" in text or "stands there in the books" in text
    assert not Entry.objects.filter(kind="inoculate").exists()
    again = form_to(text, "/bench/make/", "only to try")
    assert again["client_id"] == form["client_id"]
    assert again["makes"] == ["40"]
    worker.post("/bench/make/", {**again, "reason": "only to try"})
    entry = Entry.objects.get(kind="inoculate")
    assert entry.details["reason"] == "only to try"


def test_without_script_the_same_and_taken_back(worker: Client, shed: Shed) -> None:
    begun(worker)
    assert worker.post("/bench/scan/", {"code": shed.plates}).status_code == 302
    text = worker.get("/bench/").content.decode()
    before = alive(shed.plates)
    form = {**form_to(text, "/bench/make/"), "reason": "ready enough"}
    page = worker.post("/bench/make/", form, follow=True).content.decode()
    assert alive(shed.plates) == before - 2
    undo = form_to(page, "/bench/undo/")
    page = worker.post("/bench/undo/", undo, follow=True).content.decode()
    assert "Taken back" in page
    assert alive(shed.plates) == before
    assert "Made: grain jars" in page, "it lies there again"


def test_a_part_and_the_minutes(worker: Client, shed: Shed) -> None:
    begun(worker)
    form = form_to(laid(worker, shed.jars), "/bench/make/")
    before = alive(shed.jars)
    form |= {
        f"is-part-{shed.jars}": "yes", f"part-{shed.jars}": "300", "minutes": "9",
        "reason": "only to try",
    }  # fmt: skip
    assert worker.post("/bench/make/", form).status_code == 302
    entry = Entry.objects.get(kind="inoculate")
    assert entry.details["open_min"] == 9
    [link] = Link.objects.filter(entry=entry, parent__code=shed.jars)
    assert (link.amount, link.measure) == (300, "gram")
    assert alive(shed.jars) == before


def test_by_hand_without_a_label(worker: Client, shed: Shed) -> None:
    text = begun(worker)
    form = form_to(text, "/bench/make/", "by-hand")
    form |= {"from": f"{shed.plates} 2", "into": "step:grain", "makes": "7"}
    answer = worker.post("/bench/make/", {**form, "from": "QQQQ# 2"})
    assert answer.status_code == 422
    assert 'value="QQQQ# 2"' in answer.content.decode(), "nothing is typed twice"
    asked = worker.post("/bench/make/", form)
    if asked.status_code == 409:
        worker.post("/bench/make/", {**form, "reason": "only to try"})
    entry = Entry.objects.get(kind="inoculate")
    assert entry.details["of_parents"] == {shed.plates: 2}
    assert entry.job == ""


def test_somebody_else_joins_with_a_list_of_their_own(
    worker: Client, owner: Client, shed: Shed
) -> None:
    begun(worker)
    text = owner.get("/bench/").content.decode()
    assert "Join the session" in text
    form = form_to(text, "/bench/begin/")
    owner.post("/bench/begin/", {**form, "tick": ALL})
    laid(owner, shed.plates)
    [session] = {e.details["session"] for e in Entry.objects.filter(kind="session")}
    text = worker.get(f"/books/sessions/{session}/").content.decode()
    assert "Ben" in text
    assert "Ada" in text


def test_ended_with_the_clean_down_and_in_the_books(worker: Client, shed: Shed) -> None:
    text = begun(worker)
    assert shed.day
    form = form_to(text, "/bench/end/")
    page = worker.post("/bench/end/", {**form, "tick": CLEAN[:-1]}, follow=True).content.decode()
    assert "ended, today at" in page
    assert "Not ticked: bench wiped." in page
    assert "Begin the session" in page
    books = worker.get("/books/sessions/").content.decode()
    [address] = set(re.findall(r'href="(/books/sessions/[^"]+/)"', books))
    assert "Not ticked at its end" in worker.get(address).content.decode()
    assert worker.get("/books/sessions/none/").status_code == 404


def test_left_open_overnight_it_is_asked_about(
    worker: Client, shed: Shed, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert shed.day
    tomorrow = datetime.now(UTC) + timedelta(days=1)
    begun(worker)
    monkeypatch.setenv("PINSET_TODAY", tomorrow.isoformat())
    text = worker.get("/bench/").content.decode()
    assert "This session was never ended." in text
    assert "nothing was made in it" in text
    form = form_to(text, "/bench/end/")
    page = worker.post("/bench/end/", form, follow=True).content.decode()
    assert "Begin the session" in page
    assert "ended, yesterday at" in page


def test_who_picked_today_is_warned_first(worker: Client, shed: Shed) -> None:
    worker.post(
        "/pick/",
        {"client_id": secrets.token_hex(16), "lot": shed.fruiting, "weight": "1"},
    )
    assert Entry.objects.filter(kind="pick").exists()
    assert "spores travel on hair and clothes" in worker.get("/bench/").content.decode()


@pytest.mark.parametrize(
    ("address", "change", "said"),
    [
        ("/bench/make/", {"makes": ""}, "how many were made"),
        ("/bench/make/", {"client_id": "1"}, "hexadecimal"),
        ("/bench/make/", {"since": "noon"}, "as the page wrote it"),
        ("/bench/make/", {"held": []}, "scan its label"),
        ("/bench/plates/", {"plates-middle": "99"}, "0 to 50"),
        ("/bench/end/", {"tick": ["shoes"]}, "flame-out"),
    ],
)
def test_a_form_nobody_wrote(
    worker: Client, shed: Shed, address: str, change: dict[str, object], said: str
) -> None:
    begun(worker)
    laid(worker, shed.plates)
    form = form_to(worker.get("/bench/").content.decode(), address)
    answer = worker.post(address, {**form, **change})
    assert answer.status_code == 422
    assert said in answer.content.decode()


def test_a_label_nobody_knows(worker: Client, shed: Shed) -> None:
    begun(worker)
    assert shed.day
    text = laid(worker, "https://example.org/menu")
    assert "no label of this farm" in text
    assert worker.post("/bench/photo/", {}).status_code == 422
    laid(worker, shed.plates)
    assert shed.plates not in worker.post("/bench/put-down/", {"lot": shed.plates}, follow=True
                                          ).content.decode().split("</section>")[0]  # fmt: skip


def test_a_stranger_sees_no_bench(stranger: Client, shed: Shed) -> None:
    assert shed.day
    for address in ("/bench/", "/books/sessions/"):
        assert stranger.get(address).status_code == 302
    assert stranger.post("/bench/begin/", {}).status_code == 302


def by_hand(shed: Shed, session: str) -> dict[str, object]:
    made = {"from": f"{shed.plates} 1", "into": "step:grain", "makes": "2"}
    return {**made, "client_id": secrets.token_hex(16), "session": session, "by-hand": "yes"}


def test_a_transfer_may_name_the_tap_that_began_its_session(worker: Client, shed: Shed) -> None:
    tap = secrets.token_hex(16)
    early = worker.post("/bench/make/", by_hand(shed, f"tap-{tap}"))
    assert early.status_code == 409
    assert "was not begun" in early.content.decode()
    begun(worker, client_id=tap)
    note = secrets.token_hex(16)
    worker.post(f"/books/lots/{shed.jars}/say/note/", {"client_id": note, "note": "wet"})
    for other in (note, "f" * 32):
        assert worker.post("/bench/make/", by_hand(shed, f"tap-{other}")).status_code == 409
    assert worker.post("/bench/make/", by_hand(shed, "tap-x")).status_code == 422
    before = Entry.objects.filter(kind="inoculate").count()
    sent = by_hand(shed, f"tap-{tap}")
    for _ in range(2):  # sent twice it is one
        assert worker.post("/bench/make/", sent).status_code == 302
    assert Entry.objects.filter(kind="inoculate").count() == before + 1
    made = Entry.objects.get(client_id=sent["client_id"])
    assert made.details["session"] == Entry.objects.get(client_id=tap).details["session"]


def test_an_end_may_name_the_tap_that_began_its_session(worker: Client, shed: Shed) -> None:  # noqa: ARG001
    tap = secrets.token_hex(16)
    ending = {"client_id": secrets.token_hex(16), "session": f"tap-{tap}"}
    early = worker.post("/bench/end/", ending)
    assert early.status_code == 409
    assert "was not begun" in early.content.decode()
    begun(worker, client_id=tap)
    for _ in range(2):  # sent twice it is one
        assert worker.post("/bench/end/", ending).status_code == 302
    ended = Entry.objects.get(client_id=ending["client_id"])
    assert ended.details["word"] == "ended"
    assert ended.details["session"] == Entry.objects.get(client_id=tap).details["session"]


def test_plates_seen_contaminated_are_not_made_into_jars_without_a_reason(
    worker: Client, shed: Shed, tap: str
) -> None:
    count = str(alive(shed.plates))
    seen = {"client_id": tap, "sign": "green-dust", "count": count, "of": count, "out": "no"}
    said = worker.post(f"/look/{shed.plates}/", seen, follow=True).content.decode()
    assert "stand there still" in said
    page = worker.get(f"/books/lots/{shed.plates}/").content.decode()
    assert page.count("seen contaminated (green dust) and not taken out") == 1
    assert ">ready" not in page
    scanned = worker.get(f"/scan/{shed.plates}/").content.decode()
    assert scanned.index('name="deed" value="lose"') < scanned.index('name="deed" value="look"')
    assert 'name="deed" value="use"' not in scanned
    assert "seen contaminated" in worker.get("/").content.decode()
    begun(worker)
    form = form_to(laid(worker, shed.plates), "/bench/make/")
    answer = worker.post("/bench/make/", form)
    assert answer.status_code == 409
    assert "seen contaminated" in answer.content.decode()


def test_colonies_are_written_down_on_the_page_of_the_session(worker: Client, shed: Shed) -> None:
    assert shed.day
    begun(worker, **{"plates-middle": "2"})
    code = Entry.objects.get(kind="session").details["session"]
    page = f"/books/sessions/{code}/"
    assert "Colonies on its settle plates" in words(worker.get(page))
    form = {"client_id": "ab" * 16, "colonies-middle": "", "minutes": "40"}
    assert worker.post(f"{page}counts/", form).status_code == 422
    form["colonies-middle"] = "4"
    assert worker.post(f"{page}counts/", form).status_code == 302
    assert "4 colonies on 2 plates in 40 min" in words(worker.get(page))
