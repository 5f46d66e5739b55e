from __future__ import annotations

from django.test import Client

from web.asking import MISSING, OK, sent_to_sign_in, words
from web.shed import Shed


def test_owner_and_worker_see_why_and_what_can_be_said(
    owner: Client, worker: Client, shed: Shed
) -> None:
    address = f"/jobs/{shed.jobs['jars']}/"
    for client in (owner, worker):
        said = words(client.get(address))
        assert "Blocks are wanted in two weeks." in said
        assert "4 kg Grey oyster for A kitchen" in said
        assert "If it is left: Nothing soon." in said
        assert "Part done, the rest stays" in said
        assert "no time left" in said
        assert "no longer needed" in said
        assert "near a flame" in said, "the caution stands with the job"


def test_stranger_is_sent_to_sign_in(stranger: Client, shed: Shed) -> None:
    assert sent_to_sign_in(stranger, f"/jobs/{shed.jobs['jars']}/")


def test_a_job_that_is_not_there_is_a_plain_page(worker: Client) -> None:
    response = worker.get("/jobs/NOSUCH/")
    assert response.status_code == MISSING
    assert "There is no job NOSUCH" in words(response)


def test_a_pick_job_leads_to_the_scale(worker: Client, shed: Shed) -> None:
    response = worker.get(f"/jobs/{shed.jobs['pick']}/")
    assert response.status_code == OK
    assert f'href="/pick/?job={shed.jobs["pick"]}"' in response.content.decode()
