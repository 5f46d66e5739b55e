"""Which labels are meant, what is noted of them, and what they look like when read back."""

from __future__ import annotations

import doctest
from dataclasses import replace

import pytest
import zxingcpp

import pinset.services.labels.wanted
from farm.small_farm import NOW, TODAY, Taps
from paper.label_looking import pages, seen
from pinset.chain.label_layouts import LabelLayout
from pinset.chain.register import FarmBook
from pinset.errors import InputError, RefusedError
from pinset.farm import door, register_store, trade
from pinset.farm.label_store import labelled, last_sheet
from pinset.farm.models import Entry, LabelPrint
from pinset.farm.trade import Taken
from pinset.services.labels.layouts import layout_of, layouts_of
from pinset.services.labels.page import LabelChoice, PlaceState, labels_view, made_today
from pinset.services.labels.printing import label_job, note_printed, on_paper
from pinset.services.labels.wanted import read_wanted

TAP = "f" * 32


def test_a_lot_alone_means_its_living_units_without_a_label(
    stock: dict[str, str], tap: Taps
) -> None:
    grain = stock["grain"]
    door.record([trade.lose(tap(hours=-1), Taken(grain, 3, "inc-1"))], now=NOW)
    [wanted] = label_job([grain]).wanted
    assert str(wanted) == f"{grain}/1-17"
    note_printed(label_job([grain], count=5), TAP)
    [wanted] = label_job([grain]).wanted
    assert str(wanted) == f"{grain}/6-20", "17 are alive, 15 numbers are left"


def test_where_all_have_one_the_way_to_print_again_is_said(stock: dict[str, str]) -> None:
    grain = stock["grain"]
    note_printed(label_job([grain]), TAP)
    with pytest.raises(RefusedError, match=f"all 20 have a label.*{grain}/1-20"):
        label_job([grain])
    assert label_job([f"{grain}/1-20"]).labels == 20


def test_the_same_tap_counts_once_and_a_trial_not_at_all(stock: dict[str, str]) -> None:
    job = label_job([stock["grain"], stock["plate"]], "a4-3x8", 4)
    for _ in range(2):
        note_printed(job, TAP, "ada")
    assert LabelPrint.objects.count() == 2
    note_printed(replace(job, is_trial=True), "e" * 32, "ada")
    assert LabelPrint.objects.count() == 2
    last = last_sheet("ada")
    assert last is not None
    assert (last.layout, last.next_place) == ("a4-3x8", 20)  # 4 + 40 labels on sheets of 24
    assert last_sheet("ben") is None


def test_printing_writes_nothing_to_the_ledger(stock: dict[str, str]) -> None:
    before = Entry.objects.count()
    job = label_job([stock["grain"]])
    on_paper(job)
    note_printed(job, TAP)
    assert Entry.objects.count() == before


def test_labels_without_numbers_count_by_how_many(stock: dict[str, str]) -> None:
    grain = stock["grain"]
    for i in range(2):
        note_printed(label_job([f"{grain}/1-4"], is_numbered=False), f"{i:032x}")
    assert labelled([grain]) == {grain: 8}
    more = label_job([f"{grain}/1-60"], is_numbered=False)
    assert more.labels == 60, "more labels than units are no harm without numbers"


@pytest.mark.parametrize("typed", ["{}/21", "{}/15-24"])
def test_units_that_are_not_there_are_refused(stock: dict[str, str], typed: str) -> None:
    with pytest.raises(InputError, match="1 to 20: so many were made"):
        label_job([typed.format(stock["grain"])])


@pytest.mark.parametrize("typed", ["7K4MV/0", "7K4MV/", "7K4MV/9-3", "7K4MV/a", "7K4MV/1-9999"])
def test_another_form_is_refused_with_the_right_one(typed: str) -> None:
    with pytest.raises(InputError, match="7K4MV/1-24"):
        read_wanted(typed)


def test_the_example_is_true() -> None:
    assert doctest.testmod(pinset.services.labels.wanted).failed == 0


def test_what_is_printed_is_read_back_as_it_was_wanted(stock: dict[str, str]) -> None:
    grain, plate = stock["grain"], stock["plate"]
    job = label_job([f"{grain}/3-12", f"{plate}/7"], "a4-3x8", 20)
    assert (job.pages, job.next_place) == (2, 7)
    assert job.sentence == "11 labels on 2 sheets; the next free place is 8."
    printed = on_paper(job)
    assert printed.name == f"labels-{grain}-{plate}.pdf"
    assert on_paper(job).data == printed.data
    first, second = pages(printed.data, 150)
    assert sorted(seen(first)) == sorted(f"{grain}/{unit}" for unit in range(3, 7))
    assert set(seen(second)) == {*(f"{grain}/{unit}" for unit in range(7, 13)), f"{plate}/7"}


def test_without_numbers_every_label_is_the_lots(stock: dict[str, str]) -> None:
    job = label_job([f"{stock['grain']}/1-3"], "roll-57x32", is_numbered=False)
    assert job.sentence == "3 labels."
    assert [seen(page) for page in pages(on_paper(job).data, 150)] == [[stock["grain"]]] * 3


def test_the_paper_used_last_and_its_next_place_are_taken_up(stock: dict[str, str]) -> None:
    note_printed(label_job([stock["grain"]], "a4-2x7", 0), TAP, "ada")
    job = label_job([stock["plate"]], person="ada")
    assert (job.layout.code, job.skip) == ("a4-2x7", 6)
    assert label_job([stock["plate"]], person="ben").layout.code == "a4-3x8"


def test_tubes_get_paper_for_tubes(farm: FarmBook, tap: Taps) -> None:
    from farm.small_farm import CODES, lot
    from pinset.chain.stages import Stage

    tube = lot(CODES[60], Stage.TUBE, "plate")
    door.record([trade.opening(tap(hours=-9), tube, 6, "lab-1")], now=NOW)
    assert label_job([tube.code]).layout.code == "a4-5x13-tubes"
    assert farm.farm.units == "metric"


def test_the_farms_own_paper_stands_first_and_replaces_one_of_its_code(farm: FarmBook) -> None:
    mine = LabelLayout("mine", 148, 105, 60, 40, 2, 2, 10, 10, note="from the drawer")
    other = LabelLayout("a4-3x8", 210, 297, 64, 34, 3, 8, 9, 12.5)
    register_store.write([mine, other], TODAY, "", NOW)
    book = register_store.book(TODAY)
    assert [each.code for each in layouts_of(book)][:2] == ["mine", "a4-3x8"]
    assert layout_of(book, "a4-3x8") == other
    assert len(layouts_of(book)) == len(layouts_of(farm)) + 1
    with pytest.raises(InputError, match="one of mine"):
        layout_of(book, "none")


def test_american_farms_see_letter_first(farm: FarmBook) -> None:
    us = replace(farm, farm=replace(farm.farm, units="us"))
    assert layouts_of(us)[0].code.startswith("letter")
    assert layouts_of(farm)[0].code.startswith("a4")


def _choice(*lots: str, **more: object) -> LabelChoice:
    given: dict[str, object] = {"counts": {}, "firsts": {}} | more
    return LabelChoice(lots=lots, **given)  # type: ignore[arg-type]


def test_the_page_draws_the_first_sheet(stock: dict[str, str]) -> None:
    grain = stock["grain"]
    chosen = _choice(grain, counts={grain: 4}, layout="a4-2x4", shown_layout="a4-2x4", skip=3)
    view = labels_view(chosen, "ada")
    states = [state for row in view.rows for _, state in row]
    used, ours, free = PlaceState.USED, PlaceState.OURS, PlaceState.FREE
    assert states == [used] * 3 + [ours] * 4 + [free]
    assert view.sentence == "4 labels on 1 sheet; the next free place is 8."
    assert view.picture is not None
    assert view.picture.words[0].text + view.picture.words[1].text == grain


def test_on_other_paper_the_place_is_that_papers_own(stock: dict[str, str]) -> None:
    chosen = _choice(stock["grain"], layout="a4-3x7", shown_layout="a4-3x8", skip=11)
    assert labels_view(chosen, "ada").skip == 0


def test_a_lot_named_twice_stands_once_and_none_wanted_is_said(stock: dict[str, str]) -> None:
    grain = stock["grain"]
    view = labels_view(_choice(grain, grain.lower(), counts={grain: 0}), "ada")
    assert [line.lot for line in view.lines] == [grain]
    assert view.sentence == "No label is wanted yet."
    assert view.job.wanted == ()


def test_the_picture_is_drawn_like_the_paper(stock: dict[str, str]) -> None:
    """Its path of modules, filled by hand, is read as the same code."""
    import re

    import numpy as np
    from PIL import Image

    view = labels_view(_choice(stock["grain"]), "ada")
    assert view.picture is not None
    picture = view.picture
    scale = 12
    drawn = np.full((round(picture.high * scale), round(picture.wide * scale)), 255, np.uint8)
    for x, y, wide, high in re.findall(
        r"M([\d.]+) ([\d.]+)h([\d.]+)v([\d.]+)h-[\d.]+z", picture.modules
    ):
        left, top = round(float(x) * scale), round(float(y) * scale)
        right, low = (
            round((float(x) + float(wide)) * scale),
            round((float(y) + float(high)) * scale),
        )
        drawn[top:low, left:right] = 0
    [read] = zxingcpp.read_barcodes(Image.fromarray(drawn))
    assert read.text == f"{stock['grain']}/1"


def test_made_today_is_what_was_made_today(stock: dict[str, str], tap: Taps) -> None:
    from farm.small_farm import CODES, lot
    from pinset.chain.stages import Stage

    assert made_today() == ()
    new = [lot(code, Stage.GRAIN, "grain") for code in CODES[70:72]]
    door.record([trade.opening(tap(hours=-1), each, 4, "inc-1") for each in new], now=NOW)
    assert made_today() == tuple(each.code for each in new)
    assert stock["grain"] not in made_today()
