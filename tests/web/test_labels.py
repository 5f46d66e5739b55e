"""Labels: choosing lots, paper and place; the paper itself; printing again; bad input."""

from __future__ import annotations

from io import BytesIO
from urllib.parse import parse_qs, urlsplit

import pytest
from django.test import Client
from pypdf import PdfReader

from paper.label_looking import pages, seen
from pinset.farm.models import Entry, LabelPrint
from web.asking import FOUND, NO_METHOD, OK, UNFIT, sent_to_sign_in, words
from web.shed import Shed

PAGE, LAY, PAPER = "/books/labels/", "/books/labels/lay/", "/books/labels/labels.pdf"


def form(shed: Shed, tap: str, **more: str) -> dict[str, str]:
    return {
        "client_id": tap,
        "lot": shed.jars,
        f"count-{shed.jars}": "4",
        f"first-{shed.jars}": "2",
        "layout": "a4-3x8",
        "shown-layout": "a4-3x8",
        "skip": "7",
        "numbers": "yes",
        **more,
    }


def test_a_stranger_sees_nothing(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    assert sent_to_sign_in(stranger, PAGE)
    assert sent_to_sign_in(stranger, PAPER)
    assert sent_to_sign_in(stranger, LAY, post=True)


def test_owner_and_worker_choose_from_what_was_made_of_late(
    owner: Client, worker: Client, shed: Shed
) -> None:
    for client in (owner, worker):
        said = words(client.get(PAGE))
        assert "Which lots need labels?" in said
        assert shed.jars in said
        assert "Made 17 November" in said or "Made" in said


def test_the_page_of_a_lot_and_the_books_lead_there(worker: Client, shed: Shed) -> None:
    assert (
        f'href="{PAGE}?lot={shed.jars}"' in worker.get(f"/books/lots/{shed.jars}/").content.decode()
    )
    assert f'href="{PAGE}"' in worker.get("/books/lots/").content.decode()
    assert f'href="{PAGE}"' in worker.get("/more/").content.decode()


def test_several_lots_by_ticks_and_by_typing(worker: Client, shed: Shed) -> None:
    said = words(worker.get(f"{PAGE}?lot={shed.jars}&lot={shed.plates}%20{shed.blocks}"))
    for lot in (shed.jars, shed.plates, shed.blocks):
        assert lot in said
    assert "10 of 10 alive have no label" in said
    assert "62 labels on 3 sheets" in said


def test_what_is_chosen_is_drawn_anew_as_a_part(worker: Client, shed: Shed, tap: str) -> None:
    asked = {k: v for k, v in form(shed, tap).items() if k != "client_id"}
    answer = worker.get(PAGE, asked, headers={"HX-Request": "true"})
    page = answer.content.decode()
    assert "<h1" not in page
    assert 'id="label-sheet"' in page
    assert "4 labels on 1 sheet; the next free place is 12." in words(answer)
    assert page.count('class="place used"') == 7
    assert page.count('class="place ours"') == 4


def test_printing_is_noted_and_leads_to_the_paper(worker: Client, shed: Shed, tap: str) -> None:
    entries = Entry.objects.count()
    for _ in range(2):  # a double tap is one printing
        answer = worker.post(LAY, form(shed, tap))
        assert answer.status_code == FOUND
    address = answer.headers["Location"]
    assert parse_qs(urlsplit(address).query) == {
        "layout": ["a4-3x8"],
        "skip": ["7"],
        "lot": [f"{shed.jars}/2-5"],
    }
    [row] = LabelPrint.objects.all()
    assert (row.lot, row.first, row.count, row.person, row.next_place) == (
        shed.jars, 2, 4, "ben", 11,
    )  # fmt: skip
    assert Entry.objects.count() == entries
    paper = worker.get(address)
    assert paper.headers["Content-Type"] == "application/pdf"
    assert f"labels-{shed.jars}.pdf" in paper.headers["Content-Disposition"]
    assert sorted(seen(pages(paper.content, 150)[0])) == [f"{shed.jars}/{n}" for n in (2, 3, 4, 5)]
    assert worker.get(address).content == paper.content, "printed again it is the same"
    said = words(worker.get(f"{PAGE}?lot={shed.jars}"))
    assert "the next free place" in said
    assert "7 of 10 alive have no label" in said  # 12 were made, five numbers are used


def test_the_paper_of_whoever_printed_last_is_offered(
    worker: Client, owner: Client, shed: Shed, tap: str
) -> None:
    worker.post(LAY, form(shed, tap, layout="a4-2x7", **{"shown-layout": "a4-2x7"}))
    assert (
        '<option value="a4-2x7" selected>' in worker.get(f"{PAGE}?lot={shed.jars}").content.decode()
    )
    assert (
        '<option value="a4-3x8" selected>' in owner.get(f"{PAGE}?lot={shed.jars}").content.decode()
    )


def test_a_trial_draws_edges_and_counts_nothing(worker: Client, shed: Shed, tap: str) -> None:
    answer = worker.post(LAY, form(shed, tap, trial="yes"))
    assert "trial=yes" in answer.headers["Location"]
    assert not LabelPrint.objects.exists()
    content = PdfReader(BytesIO(worker.get(answer.headers["Location"]).content)).pages[0]
    drawn = content.get_contents()
    assert drawn is not None
    assert drawn.get_data().count(b" re S") == 24


def test_without_numbers(worker: Client, shed: Shed, tap: str) -> None:
    sent = form(shed, tap)
    del sent["numbers"]
    address = worker.post(LAY, sent).headers["Location"]
    assert "numbers=no" in address
    assert set(seen(pages(worker.get(address).content, 150)[0])) == {shed.jars}


def test_the_places_of_a_roll_are_not_asked(worker: Client, shed: Shed) -> None:
    page = worker.get(f"{PAGE}?lot={shed.jars}&layout=roll-57x32").content.decode()
    assert "first free place" not in page
    assert 'type="hidden" name="skip" value="0"' in page


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"layout": "none"}, "one of a4-3x8"),
        ({"skip": "x"}, "a whole number"),
        ({"skip": "-3"}, "a whole number"),
        ({"count": "99"}, "1 to 12: so many were made"),
        ({"count": "0"}, "at least one label"),
        ({"first": "12"}, "1 to 12: so many were made"),
        ({"lot": "XXXXX"}, "a code such as 7K4MV"),
        ({"lot": " ".join(str(n) for n in range(101))}, "at most 100 lots"),
        ({"client_id": "short"}, "32 hexadecimal signs"),
    ],
)
def test_what_cannot_be_is_said_and_nothing_noted(
    worker: Client, shed: Shed, tap: str, changed: dict[str, str], said: str
) -> None:
    named = {
        f"{name}-{shed.jars}" if name in {"count", "first"} else name: value
        for name, value in changed.items()
    }
    answer = worker.post(LAY, form(shed, tap) | named)
    assert answer.status_code == UNFIT
    assert said in words(answer)
    assert not LabelPrint.objects.exists()


@pytest.mark.parametrize(
    "query",
    ["", "?lot=x", "?lot={}&skip=24", "?lot={}&layout=x", "?lot={}/40", "?lot={}&skip=9999999"],
)
def test_an_address_that_cannot_be_printed_is_a_plain_page(
    worker: Client, shed: Shed, query: str
) -> None:
    answer = worker.get(PAPER + query.format(shed.jars))
    assert 400 <= answer.status_code < 500
    assert answer.headers["Content-Type"].startswith("text/html")


def test_only_the_ways_that_are_meant(worker: Client, shed: Shed) -> None:  # noqa: ARG001
    assert worker.post(PAGE).status_code == NO_METHOD
    assert worker.get(LAY).status_code == NO_METHOD
    assert worker.get(PAGE).status_code == OK


def test_owner_describes_paper_and_prints_on_it(owner: Client, shed: Shed) -> None:
    asked = {
        "code": "drawer", "page_width_mm": "148", "page_height_mm": "4.134 in",
        "label_width_mm": "60", "label_height_mm": "40", "columns": "2", "rows": "2",
        "left_mm": "10", "top_mm": "10",
    }  # fmt: skip
    assert owner.post("/settings/label/new/", asked).status_code == FOUND
    assert "148 × 105 mm, 2 × 2, 60 × 40 mm" in words(owner.get("/settings/label/"))
    assert 'value="drawer"' in owner.get(f"{PAGE}?lot={shed.jars}").content.decode()
    paper = owner.get(f"{PAPER}?lot={shed.jars}/1-4&layout=drawer")
    assert len(seen(pages(paper.content, 150)[0])) == 4


def test_paper_that_does_not_fit_its_page_is_refused(owner: Client, shed: Shed) -> None:  # noqa: ARG001
    asked = {
        "code": "drawer", "page_width_mm": "148", "page_height_mm": "105",
        "label_width_mm": "60", "label_height_mm": "40", "columns": "3",
    }  # fmt: skip
    answer = owner.post("/settings/label/new/", asked)
    assert answer.status_code == UNFIT
    assert "They take 180 mm." in words(answer)
