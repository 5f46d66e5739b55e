"""The week on paper: every word, pages counted, days named again, same bytes, both sizes."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO

import pytest
from pypdf import PdfReader

from pinset.errors import InputError
from pinset.paper.week_sheet import SheetDay, SheetJob, SheetPlace, WeekSheet, week_pdf

JOB = SheetJob(
    before_hour="before",
    hour="10:30",
    count="24",
    what="rye jars from plates 4CWF9 <3 & 8>",
    says=("Lots: 3 of 4CWF9 (inc-1)", "Jo does it"),
    warns=("Caution: alcohol and flame",),
)
SHEET = WeekSheet(
    farm="An invented farm",
    title="12 March to 18 March",
    notes=("9 jobs.",),
    days=(
        SheetDay("Thursday 12 March", "", (SheetPlace("Laboratory", "first", (JOB,)),), ()),
        SheetDay("Friday 13 March", "", (), (("14:00", "Hand over 35 kg"), ("", "Pick 5 kg"))),
        SheetDay("Saturday 14 March", "Not laid out yet.", (), ()),
    ),
    expected_head="Expected",
    nothing="Nothing is laid out.",
    made="Made 2026-03-12 05:10",
)


def words(data: bytes) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(BytesIO(data)).pages)


def test_every_word_is_on_the_paper() -> None:
    said = words(week_pdf(SHEET))
    for word in ("12 March to 18 March", "An invented farm", "9 jobs.", "Thursday 12 March",
                 "Laboratory: first", "before", "10:30", "24", "<3 & 8>", "3 of 4CWF9",
                 "Jo does it", "Caution: alcohol and flame", "Expected, Friday 13 March", "14:00",
                 "Hand over 35 kg", "Pick 5 kg", "Not laid out yet.", "Nothing is laid out.",
                 "Made 2026-03-12 05:10", "page 1 of 1"):  # fmt: skip
        assert word in said, word


def test_each_job_has_a_box_and_what_is_expected_has_none() -> None:
    content = PdfReader(BytesIO(week_pdf(SHEET))).pages[0].get_contents()
    assert content is not None
    assert content.get_data().count(b" re S") == 1


def test_it_is_black_on_white() -> None:
    content = PdfReader(BytesIO(week_pdf(SHEET))).pages[0].get_contents()
    assert content is not None
    colours = {
        tuple(line.split()[:-1])
        for line in content.get_data().replace(b"\r", b"\n").split(b"\n")
        if line.split()[-1:] in ([b"rg"], [b"RG"])
    }
    assert colours <= {(b"0", b"0", b"0")}


def test_a_place_that_runs_on_names_its_day_on_every_page() -> None:
    day = replace(SHEET.days[0], places=(SheetPlace("Laboratory", "", (JOB,) * 40),))
    reader = PdfReader(BytesIO(week_pdf(replace(SHEET, days=(day,)))))
    assert len(reader.pages) > 2
    for number, page in enumerate(reader.pages, start=1):
        said = page.extract_text()
        assert "Thursday 12 March" in said
        assert "Laboratory" in said
        assert f"page {number} of {len(reader.pages)}" in said
    assert words(week_pdf(replace(SHEET, days=(day,)))).count("rye jars") == 40


def test_a_day_is_not_named_at_the_foot_of_a_page_with_nothing_below() -> None:
    days = tuple(replace(SHEET.days[0], title=f"Day {number}") for number in range(30))
    for page in PdfReader(BytesIO(week_pdf(replace(SHEET, days=days)))).pages:
        last = page.extract_text().rsplit("Day ", 1)[-1]
        assert "Caution" in last


def test_same_sheet_is_the_same_bytes_and_sizes_differ() -> None:
    assert week_pdf(SHEET) == week_pdf(SHEET)
    box = PdfReader(BytesIO(week_pdf(SHEET))).pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx((595.28, 841.89), abs=0.01)
    letter = PdfReader(BytesIO(week_pdf(SHEET, "letter"))).pages[0].mediabox
    assert (float(letter.width), float(letter.height)) == (612.0, 792.0)
    with pytest.raises(InputError, match="letter"):
        week_pdf(SHEET, "a3")


def test_a_job_too_long_for_a_page_is_printed() -> None:
    lines = ("W" * 3000, "Lots: " + "4CWF9, " * 900, "more " * 900, "and " * 900)
    long = replace(JOB, what="x" * 3000, says=lines, warns=lines)
    day = replace(SHEET.days[0], places=(SheetPlace("Laboratory", "", (JOB, long)),))
    for paper in ("a4", "letter"):
        said = words(week_pdf(replace(SHEET, days=(day,)), paper))
        assert said.count("…") == 9, "what is cut short says so"
