from __future__ import annotations

from dataclasses import replace

import pytest
from django.template import engines
from django.test import Client
from markupsafe import escape

from pinset.services import cautions
from pinset.services.views import ShortNote
from web.asking import NO_METHOD, OK, sent_to_sign_in, words
from web.fixtures import a_day
from web.shed import Shed


def test_owner_sees_the_days_jobs_and_may_plan(owner: Client, shed: Shed) -> None:
    response = owner.get("/")
    assert response.status_code == OK
    said = words(response)
    assert f"grain jars from plates {shed.plates} , 2 of 12" in said
    assert "Plan now" in said
    assert "Never" not in said or "flame" in said


def test_worker_sees_the_jobs_but_no_planning(worker: Client, shed: Shed) -> None:
    said = words(worker.get("/"))
    assert shed.jars in said
    assert "Plan now" not in said
    assert "Settings" in said, "one's own password is there"


def test_stranger_is_sent_to_sign_in(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    assert sent_to_sign_in(stranger, "/")


def test_cautions_stand_beside_the_jobs_that_need_them(worker: Client, shed: Shed) -> None:
    page = worker.get("/").content.decode()
    card = page.split(f'id="job-{shed.jobs["pick"]}"')[1].split("</article>")[0]
    assert "P3 or N95" in card


def test_each_form_has_its_own_client_id(worker: Client, shed: Shed) -> None:  # noqa: ARG001
    page = worker.get("/").content.decode()
    ids = [part.split('"')[0] for part in page.split('name="client_id" value="')[1:]]
    assert len(ids) > 3
    assert len(set(ids)) == len(ids)
    again = worker.get("/").content.decode()
    assert ids[0] not in again


def test_today_is_not_written_to(worker: Client, shed: Shed) -> None:  # noqa: ARG001
    assert worker.post("/").status_code == NO_METHOD


def test_every_situation_of_a_day_is_said(owner: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("pinset.services.day.today.day_view", lambda *_: a_day())
    said = words(owner.get("/"))
    for sentence in (
        "Thursday 12 March",
        "1 of 10 done, 1 put off",
        "1 day late: costs nothing yet",
        "26 of 38",
        "Jo has it",
        "2 things changed since yesterday",
        "You recorded work in grow room 2",
        "Tomorrow starts today",
        "Not today.",
        "Undo",
    ):
        assert sentence in said


def test_much_to_know_first_does_not_push_the_jobs_down(
    owner: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    notes = tuple(f"{place} of the notes." for place in ("First", "Second", "Third", "Fourth"))
    day = replace(a_day(), notes=notes)
    monkeypatch.setattr("pinset.services.day.today.day_view", lambda _person: day)
    page = owner.get("/").content.decode()
    shown, _, folded = page.partition("2 more things to know")
    assert all(escape(sentence) in shown for sentence in (*day.warnings, *notes[:2]))
    assert all(sentence in folded.partition("</details>")[0] for sentence in notes[2:])
    few = replace(day, notes=notes[:2])
    monkeypatch.setattr("pinset.services.day.today.day_view", lambda _person: few)
    assert "to know</summary>" not in owner.get("/").content.decode()


def test_why_something_is_short_opens_under_how_much(
    owner: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    note = ShortNote("Grey oyster will be short by 4 kg, on 5 May.", "No grain before 2 May.")
    day = replace(a_day(), warnings=(), notes=(), short=(note,))
    monkeypatch.setattr("pinset.services.day.today.day_view", lambda _person: day)
    page = owner.get("/").content.decode()
    summary, _, opened = page.partition("<summary>")[2].partition("</summary>")
    assert summary == note.head
    assert note.why in opened.partition("</details>")[0]


def test_a_rooms_cautions_fold_under_their_hazards() -> None:
    spoken = cautions.sentences(("mouldy-units", "spores", "lifting"))
    template = engines["jinja2"].from_string(
        '{% import "marks.html" as marks %}{{ marks.folded_cautions(spoken) }}'
    )
    page = template.render({"spoken": spoken})
    summary = page.split("<summary>")[1].split("</summary>")[0]
    assert "Cautions: mould, spores, lifting" in summary
    folded = page.split("</summary>")[1]
    for sentence in spoken:
        assert str(escape(sentence)) in folded, "nothing is left out"


def test_the_job_page_keeps_every_caution_in_sight(worker: Client, shed: Shed) -> None:
    page = worker.get(f"/jobs/{shed.jobs['look']}/").content.decode()
    assert str(escape(cautions.sentences(("mouldy-units",))[0])) in page
    assert "cautions-folded" not in page
