"""Look: a lot is chosen, a sign is tapped, a photo goes with it; bad input writes nothing."""

from __future__ import annotations

import re
from io import BytesIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.template import engines
from django.test import Client
from PIL import Image

from pinset.farm import job_store
from pinset.farm.models import Entry, Photo
from pinset.tables.signs import signs
from pinset.web.views import look as look_views
from web.asking import (
    CONFLICT,
    FORBIDDEN,
    FOUND,
    MISSING,
    NO_METHOD,
    OK,
    UNFIT,
    sent_to_sign_in,
    words,
)
from web.shed import Shed


def picture(form: str = "JPEG") -> SimpleUploadedFile:
    out = BytesIO()
    Image.new("RGB", (80, 60), "olive").save(out, form)
    return SimpleUploadedFile("photo", out.getvalue(), f"image/{form.lower()}")


def post(client: Client, code: str, tap: str, **sent: object):  # noqa: ANN201
    return client.post(f"/look/{code}/", {"client_id": tap, **sent})


def test_the_list_names_what_is_to_be_looked_at(worker: Client, shed: Shed) -> None:
    response = worker.get("/look/")
    assert response.status_code == OK
    said = words(response)
    assert "to look over today" in said
    assert shed.jars in said
    assert "Everything else that stands" in said


def test_a_code_leads_to_its_lot_and_a_slip_is_said(worker: Client, shed: Shed) -> None:
    for typed in (shed.jars, f" {shed.jars.lower()} "):
        response = worker.get("/look/", {"code": typed})
        assert response.status_code == FOUND
        assert response.headers["Location"] == f"/look/{shed.jars}/"
    for wrong in ("?????", shed.jars[:-1] + "#", "222222"):
        response = worker.get("/look/", {"code": wrong})
        assert response.status_code == UNFIT
        assert 'role="alert"' in response.content.decode()


def test_the_page_has_a_drawn_tile_for_every_sign(worker: Client, shed: Shed) -> None:
    body = worker.get(f"/look/{shed.jars}/").content.decode()
    assert body.count('name="sign"') == body.count('class="signtile"') > 8
    said = words(worker.get(f"/look/{shed.jars}/"))
    for word in ("green dust", "wet and sour", "Nothing seen", "Where in it?", "never as clean"):
        assert word in said
    assert 'value="flies"' not in body
    assert "cobweb" in words(worker.get(f"/look/{shed.fruiting}/"))


def test_nothing_seen_is_one_tap_and_answers_the_job(worker: Client, shed: Shed, tap: str) -> None:
    response = post(worker, shed.blocks, tap, well="yes")
    assert response.status_code == FOUND
    assert response.headers["Location"] == "/look/"
    entry = Entry.objects.get(client_id=tap)
    assert (entry.kind, entry.details["seen"]) == ("look", 0)
    assert entry.person is not None
    assert entry.person.code == "ben"
    assert entry.job == shed.jobs["look"]
    row = job_store.job_by_code(shed.jobs["look"])
    assert row is not None
    assert row.is_closed
    assert "Nothing is left to look over today." in words(worker.get("/look/"))


def test_a_look_somebody_else_has_in_hand_is_asked_about_first(
    owner: Client, worker: Client, shed: Shed, tap: str
) -> None:
    [job] = [row for row in job_store.open_jobs() if row.kind == "look"]
    owner.post(f"/jobs/{job.code}/claim/")
    before = Entry.objects.count()
    question = post(worker, shed.blocks, tap, well="yes")
    assert question.status_code == CONFLICT
    assert "Ada" in words(question)
    assert Entry.objects.count() == before
    assert post(worker, shed.blocks, tap, well="yes", anyway="yes").status_code == FOUND
    assert Entry.objects.count() == before + 1


def test_what_is_seen_is_written_and_taken_out_with_its_caution(
    worker: Client, shed: Shed, tap: str
) -> None:
    sent = {"sign": ["green-dust"], "count": "2", "of": "10", "where": "seam", "out": "yes"}
    assert post(worker, shed.jars, tap, **sent).status_code == FOUND
    said = words(worker.get("/look/"))
    assert "2 of 10 units show green dust at a seam" in said
    assert "Do not open a mouldy unit" in said
    assert "common practice, no source" in said
    assert Entry.objects.get(kind="lose").details["look"] == tap
    assert "2 of 10 units show green dust" in words(worker.get(f"/books/lots/{shed.jars}/"))
    assert post(worker, shed.jars, tap, **sent).status_code == FOUND, "a double tap"
    assert Entry.objects.filter(kind__in=("look", "lose")).count() == 2


def test_a_photo_is_shown_on_the_lots_page_and_forgotten_by_an_owner(
    owner: Client, worker: Client, shed: Shed, tap: str
) -> None:
    sent = {"sign": "green-dust", "count": "1", "photo": picture("PNG")}
    assert post(worker, shed.jars, tap, **sent).status_code == FOUND
    digest = Photo.objects.get().digest
    lot = f"/books/lots/{shed.jars}/"
    assert f"/look/photo/{digest}/" in worker.get(lot).content.decode()
    shown = worker.get(f"/look/photo/{digest}/")
    assert shown.headers["Content-Type"] == "image/jpeg"
    assert shown.headers["X-Content-Type-Options"] == "nosniff"
    assert Image.open(BytesIO(shown.content)).size == (80, 60)
    assert worker.post(f"/look/photo/{digest}/forget/").status_code == FORBIDDEN
    assert owner.post(f"/look/photo/{digest}/forget/").status_code == FOUND
    assert worker.get(f"/look/photo/{digest}/").status_code == MISSING
    assert f"/look/photo/{digest}/" not in worker.get(lot).content.decode()
    assert "green dust" in words(worker.get(lot))


NONSENSE: dict[str, tuple[dict[str, object], str]] = {
    "nothing at all": ({}, "one or more signs, or nothing seen"),
    "both": ({"well": "yes", "sign": "green-dust"}, "either nothing seen"),
    "more than alive": ({"well": "yes", "of": "5000"}, "that stand there"),
    "none of none": ({"well": "yes", "of": "0"}, "that stand there"),
    "no number": ({"well": "yes", "of": "many"}, "a whole number"),
    "more seen than looked at": ({"sign": "green-dust", "count": "5", "of": "2"}, "1 to 2"),
    "a sign on none": ({"sign": "green-dust", "count": ""}, "of those looked at"),
    "an unknown sign": ({"sign": "ghosts", "count": "1"}, "green-dust"),
    "an unknown place": ({"sign": "green-dust", "count": "1", "where": "attic"}, "filter"),
    "something else unsaid": ({"sign": "other", "count": "1"}, "a few words"),
    "no picture": (
        {
            "sign": "green-dust",
            "count": "1",
            "photo": SimpleUploadedFile("a.jpg", b"<svg/>", "image/jpeg"),
        },
        "a picture as JPEG, PNG or WebP",
    ),
}


@pytest.mark.parametrize("name", NONSENSE)
def test_nonsense_is_said_in_clear_words_and_nothing_is_half_written(
    name: str, worker: Client, shed: Shed, tap: str
) -> None:
    before = Entry.objects.count()
    sent, said = NONSENSE[name]
    response = post(worker, shed.jars, tap, **sent)
    assert response.status_code == UNFIT
    assert "Nothing was saved." in words(response)
    assert said in words(response)
    assert Entry.objects.count() == before
    assert not Photo.objects.exists()


def test_what_was_typed_stands_again_after_a_slip(worker: Client, shed: Shed, tap: str) -> None:
    response = post(worker, shed.jars, tap, sign="other", count="3", where="seam")
    body = response.content.decode()
    assert tap in body
    assert re.search(r'value="other" checked', body)
    assert re.search(r'value="seam" checked', body)
    assert re.search(r'name="count"[^>]*value="3"', body)


def test_a_huge_photo_is_refused_before_it_is_read(
    worker: Client, shed: Shed, tap: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(look_views, "MOST_PHOTO_BYTES", 100)
    sent = {"sign": "green-dust", "count": "1", "photo": picture()}
    response = post(worker, shed.jars, tap, **sent)
    assert response.status_code == UNFIT
    assert "up to 20 MB" in words(response)
    assert not Photo.objects.exists()


def test_lots_and_photos_that_are_not_there(worker: Client, shed: Shed, tap: str) -> None:
    assert shed.jars
    assert worker.get("/look/22222/").status_code in {UNFIT, 409}
    assert worker.get(f"/look/photo/{'a' * 64}/").status_code == MISSING
    assert worker.get("/look/photo/../").status_code == MISSING
    assert worker.get("/look/photo/a/forget/").status_code == NO_METHOD
    assert worker.post("/look/").status_code == NO_METHOD
    assert post(worker, "22222", tap, well="yes").status_code in {UNFIT, 409}


@pytest.mark.parametrize("address", ["/look/", "/look/{jars}/", "/look/photo/{digest}/"])
def test_stranger_sees_nothing(stranger: Client, shed: Shed, address: str) -> None:
    assert sent_to_sign_in(stranger, address.format(jars=shed.jars, digest="a" * 64))
    assert sent_to_sign_in(stranger, f"/look/{shed.jars}/", post=True)


def test_each_sign_is_drawn_and_no_two_alike() -> None:
    template = engines["jinja2"].env.get_template("signs.html")
    drawn = {key: str(template.module.drawn(key)) for key in (*signs(), "none")}
    bare = str(template.module.drawn("no such sign"))
    assert all(len(each) > len(bare) + 40 for each in drawn.values())
    shapes = {re.sub(r'class="[^"]*"', "", each) for each in drawn.values()}
    assert len(shapes) == len(drawn), "told apart without their colours"


def test_look_stands_in_the_menu_and_on_the_lots_page(worker: Client, shed: Shed) -> None:
    assert 'href="/look/"' in worker.get("/more/").content.decode()
    assert f'href="/look/{shed.jars}/"' in worker.get(f"/books/lots/{shed.jars}/").content.decode()
    job = worker.get(f"/jobs/{shed.jobs['look']}/").content.decode()
    assert f'href="/look/{shed.blocks}/"' in job
