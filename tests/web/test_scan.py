"""Scan: taken in hand, shown with what comes next, written down by one tap."""

from __future__ import annotations

import re
import secrets
from io import BytesIO

import pytest
import segno
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from pinset.chain.lotcode import encode
from pinset.farm.models import Balance, Entry, Mention
from web.shed import Shed

PART = {"HTTP_HX_REQUEST": "true"}


def photo(text: str) -> SimpleUploadedFile:
    out = BytesIO()
    segno.make(text, error="q").save(out, kind="png", scale=8, border=4)
    return SimpleUploadedFile("label.png", out.getvalue(), "image/png")


def scan(client: Client, *codes: str) -> str:
    """Scan as the page's script does and return what is in hand."""
    answer = client.post("/scan/", {"code": "\n".join(codes)}, **PART)  # type: ignore[arg-type]
    assert answer.status_code in {200, 422}
    return answer.content.decode()


def form_of(text: str, deed: str) -> dict[str, object]:
    """Return the fields of the form of a deed, as they stand."""
    [form] = [f for f in re.findall(r"<form.*?</form>", text, re.DOTALL)
              if f'name="deed" value="{deed}"' in f]  # fmt: skip
    found: dict[str, list[str]] = {}
    for tag in re.findall(r"<input[^>]*>", form):
        name, value = (re.search(rf'{key}="([^"]*)"', tag) for key in ("name", "value"))
        if name and name[1] != "csrfmiddlewaretoken":
            found.setdefault(name[1], []).append(value[1] if value else "")
    return dict(found)


def test_one_scan_shows_the_usual_thing_first(worker: Client, shed: Shed) -> None:
    text = scan(worker, shed.jars.lower())
    deeds = re.findall(r'name="deed" value="(\w+)"', text)
    assert deeds[0] == "shake"
    assert text.index('class="thing usual') < text.index('value="look"')
    assert "10 alive of" in text


def test_two_taps_write_the_usual_thing_down(worker: Client, shed: Shed) -> None:
    text = scan(worker, shed.jars)
    answer = worker.post("/scan/do/", form_of(text, "shake"), **PART)  # type: ignore[arg-type]
    said = answer.content.decode()
    assert f"10 of {shed.jars}: shaken." in said
    assert "Undo" in said
    entry = Entry.objects.get(kind="shake")
    assert (entry.job, entry.person.code) == (shed.jobs["shake"], "ben")
    assert "Nothing is in hand" in worker.get("/scan/").content.decode(), "it was put down"


def test_without_script_the_same(worker: Client, shed: Shed) -> None:
    assert worker.post("/scan/", {"code": shed.jars}).status_code == 302
    text = worker.get("/scan/").content.decode()
    page = worker.post("/scan/do/", form_of(text, "shake"), follow=True).content.decode()
    assert f"10 of {shed.jars}: shaken." in page
    entry = Entry.objects.get(kind="shake")
    undo = {"client_id": secrets.token_hex(16), "entry": [entry.client_id], "held": [shed.jars]}
    page = worker.post("/scan/undo/", undo, follow=True).content.decode()
    assert "Taken back" in page
    assert shed.jars in page, "it is in hand again"
    entry.refresh_from_db()
    assert entry.is_corrected


def test_the_same_tap_twice_is_one_entry(worker: Client, shed: Shed) -> None:
    form = form_of(scan(worker, shed.jars), "shake")
    for _ in range(2):
        worker.post("/scan/do/", form)
    assert Entry.objects.filter(kind="shake").count() == 1
    assert "Already written down." in worker.get("/scan/").content.decode()


def test_several_in_hand_are_put_down_one_by_one(worker: Client, shed: Shed) -> None:
    text = scan(worker, shed.jars, shed.blocks, f"{shed.plates}/2", f"{shed.plates}/1")
    assert "3 lots in hand" in text
    assert f"{shed.plates}/1, 2" in text
    worker.post("/scan/put-down/", {"lot": shed.jars})
    text = worker.get("/scan/").content.decode()
    assert "2 lots in hand" in text
    worker.post("/scan/put-down/", {})
    assert "Nothing is in hand" in worker.get("/scan/").content.decode()


def test_each_device_has_its_own_hand(worker: Client, owner: Client, shed: Shed) -> None:
    scan(worker, shed.jars)
    assert shed.jars not in owner.get("/scan/").content.decode()


def test_several_are_moved_together(worker: Client, shed: Shed) -> None:
    form = form_of(scan(worker, shed.jars, shed.blocks), "carry")
    worker.post("/scan/do/", {**form, "choice": "warm-2"})
    rows = Balance.objects.filter(account="alive", quantity__gt=0, place__code="warm-2")
    assert set(rows.values_list("lot__code", flat=True)) >= {shed.jars, shed.blocks}
    assert Entry.objects.filter(kind="move").count() == 1 + Entry.objects.filter(
        kind="move", person=None
    ).count()  # fmt: skip


def test_labels_of_units_are_kept(worker: Client, shed: Shed) -> None:
    text = scan(worker, f"{shed.jars}/3")
    assert "Unit 3" in text
    worker.post("/scan/do/", {**form_of(text, "lose"), "choice": "green mould"})
    [named] = Mention.objects.filter(role="unit")
    assert (named.lot.code, named.value, named.entry.kind) == (shed.jars, "3", "lose")


def test_a_photo_is_taken_in_hand(worker: Client, shed: Shed) -> None:
    page = worker.post("/scan/photo/", {"photo": photo(f"{shed.blocks}/4")}, follow=True)
    assert shed.blocks in page.content.decode()
    ours = photo(f"http://testserver/scan/{shed.plates}/")
    page = worker.post("/scan/photo/", {"photo": ours}, follow=True)
    assert "2 lots in hand" in page.content.decode()


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        (photo("https://example.org/menu"), "is no label of this farm"),
        (SimpleUploadedFile("x.jpg", b"none"), "no whole picture"),
        (None, "is still empty"),
    ],
)
def test_a_photo_that_names_nothing(
    worker: Client, sent: SimpleUploadedFile | None, said: str
) -> None:
    answer = worker.post("/scan/photo/", {"photo": sent} if sent else {})
    assert answer.status_code == 422
    assert said in answer.content.decode()


def test_one_wrong_sign_is_mended_by_a_tap(worker: Client, shed: Shed) -> None:
    code = shed.jars
    wrong = code[:-1] + ("2" if code[-1] != "2" else "3")
    text = scan(worker, wrong)
    assert "cannot be right" in text
    assert f'name="code" value="{code}"' in text


@pytest.mark.parametrize(
    ("code", "said"),
    [
        ("https://example.org/scan/7K4MV", "no label of this farm"),
        (encode(9_000), "No lot of this farm has the code"),
        ("<script>", "no label of this farm"),
    ],
)
def test_what_is_no_label_is_said(worker: Client, code: str, said: str) -> None:
    text = scan(worker, code)
    assert said in text
    assert "<script>" not in text.replace("<script src", "")


def test_what_is_gone_leads_to_its_page(worker: Client, shed: Shed) -> None:
    form = form_of(scan(worker, shed.jars), "lose")
    worker.post("/scan/do/", {**form, f"units-{shed.jars}": "10", "choice": "green mould"})
    text = scan(worker, shed.jars)
    assert "nothing of it is alive" in text
    assert f"/books/lots/{shed.jars}/" in text


def test_a_count_above_what_is_alive_is_asked_about_and_not_lost(
    worker: Client, shed: Shed
) -> None:
    form = {**form_of(scan(worker, shed.jars), "lose"), f"units-{shed.jars}": "12"}
    answer = worker.post("/scan/do/", {**form, "choice": "green mould"})
    text = answer.content.decode()
    assert answer.status_code == 409
    assert "Nothing was written down." in text
    assert "10 stand there" in text
    assert 'value="green mould"' in text
    assert not Entry.objects.filter(kind="lose").exists()
    sent = dict.fromkeys(re.findall(r'name="client_id" value="(\w+)"', text))
    assert form["client_id"][0] in sent, "the same tap is sent again"  # type: ignore[index]
    worker.post("/scan/do/", {**form, "choice": "green mould", "reason": "a tray was missed"})
    assert Entry.objects.filter(kind="lose").count() == 1
    assert "2 units more were taken" in worker.get(f"/books/lots/{shed.jars}/").content.decode()


def test_one_lot_by_its_address(worker: Client, shed: Shed) -> None:
    scan(worker, shed.blocks)
    text = worker.get(f"/scan/{shed.jars}/2/").content.decode()
    assert "Unit 2" in text
    assert shed.blocks not in text
    worker.post("/scan/do/", form_of(text, "look"))
    assert shed.blocks in worker.get("/scan/").content.decode(), "what is in hand stays there"
    assert worker.get("/scan/7K4M7/").status_code == 404
    assert f"/scan/{shed.jars}/" in worker.get(f"/books/lots/{shed.jars}/").content.decode()


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"deed": "fly"}, "something that may happen to a lot"),
        ({"client_id": "1"}, "hexadecimal"),
        ({"held": "x"}, "a lot in hand"),
        ({"held": []}, "at least one lot"),
    ],
)
def test_a_form_nobody_wrote(
    worker: Client, shed: Shed, change: dict[str, object], said: str
) -> None:
    form = form_of(scan(worker, shed.jars), "look")
    answer = worker.post("/scan/do/", {**form, **change})
    assert answer.status_code == 422
    assert said in answer.content.decode()


def test_a_stranger_scans_nothing(stranger: Client, shed: Shed) -> None:
    for address in ("/scan/", f"/scan/{shed.jars}/"):
        assert stranger.get(address).status_code == 302
    assert stranger.post("/scan/do/", {}).status_code == 302


def test_the_bar_has_what_a_thumb_needs(worker: Client) -> None:
    text = worker.get("/scan/").content.decode()
    bar = text[text.index('<nav class="bar"') :]
    words = re.findall(r"</svg>\s*(\w+)</a>", bar)
    assert [word for word in words if word != "Look"] == ["Today", "Scan", "Pick", "More"]
    more = worker.get("/more/").content.decode()
    assert "/promises/" in more
    assert "/books/lots/" in more


def test_what_was_typed_stands_in_a_refused_form_again_and_in_no_other(
    worker: Client, shed: Shed
) -> None:
    text = scan(worker, shed.fruiting)
    pick = form_of(text, "pick") | {"weight": "-4"}
    answer = worker.post("/scan/do/", pick, **PART)  # type: ignore[arg-type]
    assert answer.status_code == 422
    again = answer.content.decode()
    assert form_of(again, "pick")["weight"] == ["-4"]
    lose = form_of(again, "lose")
    [(name, usual)] = [(name, value) for name, value in lose.items() if name.startswith("units-")]
    answer = worker.post("/scan/do/", lose | {name: "7000", "choice": "green-dust"}, **PART)  # type: ignore[arg-type]
    assert answer.status_code in {409, 422}
    again = answer.content.decode()
    again = again[again.index('class="things"') :]  # below what asks whether it was meant
    assert form_of(again, "lose")[name] == ["7000"] != usual
    assert form_of(again, "pick")["weight"] == [""]
    assert not Entry.objects.filter(kind__in=["pick", "lose"]).exists()
