from __future__ import annotations

import pytest
from django.test import Client

from web.asking import OK, UNFIT, sent_to_sign_in, words
from web.shed import Shed


def test_owner_and_worker_see_the_answer_for_what_is_promised(
    owner: Client, worker: Client
) -> None:
    for client in (owner, worker):
        response = client.get("/how-big/")
        assert response.status_code == OK
        page, said = response.content.decode(), words(response)
        # 4 kg on Fridays and 6.5 kg on Saturdays
        assert 'name="want-oyster" type="text" value="10.5"' in page
        assert "This farm is big enough for 10.5 kg a week, on average: it could do" in said
        assert "Grow-room places in climate cool" in said
        assert "A prediction of an average week and no proof." in said
        assert "Little's law" in said
        assert page.index('id="verdict"') < page.index("<table")


def test_it_is_reached_from_promises(worker: Client) -> None:
    assert 'href="/how-big/"' in worker.get("/promises/").content.decode()


def test_too_much_is_too_small_with_the_number(worker: Client) -> None:
    said = words(worker.get("/how-big/?want-oyster=60"))
    assert "For 60 kg a week this farm is too small: it takes" in said
    assert "grow-room places in climate cool and has 120. 1 more thing is short." in said
    assert "too little" in said


def test_cautions_stand_by_their_numbers(owner: Client) -> None:
    said = words(owner.get("/how-big/"))
    assert "carbon dioxide" in said
    assert "steam" in said


def test_pounds_are_understood(owner: Client) -> None:
    assert "4.5 kg a week" in words(owner.get("/how-big/?want-oyster=10lb"))


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("-1", "0 kg a week or more"),
        ("0", "more than 0 of at least one variety"),
        ("", "more than 0 of at least one variety"),
        ("much", "much"),
        ("nan", "nan"),
        ("1e300", "1e300"),
    ],
)
def test_what_is_refused(owner: Client, typed: str, why: str) -> None:
    response = owner.get("/how-big/", {"want-oyster": typed})
    assert response.status_code == UNFIT
    assert why in words(response)


def test_stranger_is_sent_to_sign_in(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    assert sent_to_sign_in(stranger, "/how-big/")
