"""The mixing card on paper: every word, room to write, both sizes, the same bytes."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO

import pytest
from pypdf import PdfReader

from pinset.errors import InputError
from pinset.paper.mix_sheet import MixSheet, SheetLine, mix_pdf

SHEET = MixSheet(
    farm="An invented farm",
    title="Mix for 40 bags",
    nitrogen="0.64 % nitrogen (0.51 to 0.81)",
    ratio="C:N 76 (59 to 95)",
    heads=("what", "weigh out", "its moisture", "really weighed"),
    lines=(SheetLine("bran <b>", "10.40 kg", "12 %, today's"), SheetLine("water", "50.1 L", "")),
    facts=(("Filled", "120 kg"),),
    remarks=("Weigh it on a finer one.",),
    cautions_head="Cautions",
    cautions=("Dust.",),
    made="Made 2026-03-12. An estimate, no proof.",
)


def words(data: bytes) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(BytesIO(data)).pages)


def test_every_word_is_on_the_paper() -> None:
    said = words(mix_pdf(SHEET))
    for word in ("Mix for 40 bags", "0.64 % nitrogen", "C:N 76", "bran <b>", "10.40 kg", "12 %",
                 "really weighed", "50.1 L", "120 kg", "finer one", "Cautions", "Dust.",
                 "An invented farm. Made 2026-03-12", "page 1 of 1"):  # fmt: skip
        assert word in said, word


def test_many_ingredients_run_on_to_another_page() -> None:
    many = replace(SHEET, lines=tuple(SheetLine(f"part {n}", "1 kg", "5 %") for n in range(40)))
    pages = PdfReader(BytesIO(mix_pdf(many))).pages
    assert len(pages) > 1
    assert "really weighed" in pages[1].extract_text()


def test_both_sizes_and_the_same_bytes() -> None:
    assert mix_pdf(SHEET) == mix_pdf(SHEET)
    letter = PdfReader(BytesIO(mix_pdf(SHEET, "letter"))).pages[0].mediabox
    assert float(letter.width) == 612.0
    with pytest.raises(InputError, match="a4 or letter"):
        mix_pdf(SHEET, "a3")
