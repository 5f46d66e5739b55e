"""The record of a cook on paper: every word, pages counted, same bytes, lacking signs."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO

import pytest
from pypdf import PdfReader

from pinset.errors import InputError
from pinset.paper.cook_record import CookRecord, PaperChart, PaperLine, cook_pdf

CHART = PaperChart(
    lines=(
        PaperLine("chamber", (((0.0, 20.0), (30.0, 121.0), (180.0, 121.0)),), dash=(6, 3)),
        PaperLine("core", (((0.0, 20.0), (90.0, 90.0)), ((100.0, 95.0),)), is_ruling=True),
    ),
    killing=(((100.0, 0.0), (150.0, 1.0)),),
    enough_min=120.0,
    across=((0.0, "10:30"), (60.0, "11:30")),
    up=((20.0, "20 °C"), (100.0, "100 °C")),
    end_min=180.0,
    low=0.0,
    high=125.0,
)
RECORD = CookRecord(
    title="Cook kettle-1",
    subtitle="An invented farm",
    verdict="Long enough",
    sentence="F0 43 min in the slowest core <bottom & side>.",
    facts=(("Units", "72"),),
    probe_heads=("probe", "F0"),
    probes=(("bottom", "43.0"),),
    remarks=("Pure steam.",),
    inputs=(("Rule", "F0 15 min"),),
    cautions=("Not a proof.",),
    foot="Written by pinset.",
    chart=CHART,
)


def words(data: bytes) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(BytesIO(data)).pages)


def test_every_word_is_on_the_paper() -> None:
    said = words(cook_pdf(RECORD))
    for word in ("Cook kettle-1", "Long enough", "<bottom & side>", "72", "43.0", "F0 15 min",
                 "Pure steam.", "Not a proof.", "enough from here", "10:30", "100 °C",
                 "page 1 of 1"):  # fmt: skip
        assert word in said, word


def test_same_record_is_the_same_bytes() -> None:
    assert cook_pdf(RECORD) == cook_pdf(RECORD)


def test_pages_are_counted_and_sizes_differ() -> None:
    long = replace(RECORD, remarks=("Something worth a line of its own.",) * 120)
    reader = PdfReader(BytesIO(cook_pdf(long)))
    assert len(reader.pages) > 2
    for number, page in enumerate(reader.pages, start=1):
        assert f"page {number} of {len(reader.pages)}" in page.extract_text()
    wide = float(reader.pages[0].mediabox.width)
    assert wide == pytest.approx(595.28, abs=0.01)
    letter = PdfReader(BytesIO(cook_pdf(RECORD, "letter"))).pages[0].mediabox.width
    assert float(letter) == 612.0
    with pytest.raises(InputError, match="letter"):
        cook_pdf(RECORD, "a3")


def test_a_record_without_a_log_is_a_page_too() -> None:
    bare = replace(RECORD, chart=None, probes=(), remarks=(), inputs=(("Log", "none"),))
    assert "Long enough" in words(cook_pdf(bare))


def test_names_in_other_letters_stand_as_they_are() -> None:
    names = "Łódź Ελλάδα Київ Đà Nẵng İstanbul"
    record = replace(RECORD, title=f"Cook {names}", probes=((names, "43.0"),))
    assert words(cook_pdf(record)).replace("\n", " ").count(names) == 3, "title, table, foot"
