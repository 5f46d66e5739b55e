from __future__ import annotations

import pytest
from django.test import Client

from web.asking import FOUND, NO_METHOD, OK, sent_to_sign_in
from web.shed import Shed


@pytest.mark.parametrize("who", ["owner", "worker"])
def test_signing_out_ends_the_session(request: pytest.FixtureRequest, who: str) -> None:
    client: Client = request.getfixturevalue(who)
    assert client.get("/").status_code == OK
    assert client.post("/sign-out/").headers["Location"] == "/sign-in/"
    assert client.get("/").status_code == FOUND


def test_a_link_alone_signs_nobody_out(worker: Client) -> None:
    assert worker.get("/sign-out/").status_code == NO_METHOD
    assert worker.get("/").status_code == OK


def test_stranger_is_sent_to_sign_in(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    assert sent_to_sign_in(stranger, "/sign-out/", post=True)
