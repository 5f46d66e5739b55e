"""What settles a doubt about a log is said by the page's own fields, never by the terminal's."""

from __future__ import annotations

import html
import re

import pytest
from django.test import Client

from pinset.services.cooks.judge import incoming
from pinset.web.said_at import said_at, without_options
from web.cooked import LOG, cooked
from web.shed import Shed


def seen(page: str) -> str:
    """Return the words of a page."""
    return html.unescape(" ".join(re.sub(r"<[^>]*>", " ", page).split()))


@pytest.mark.usefixtures("shed")
def test_the_fields_of_the_page_are_named(worker: Client) -> None:
    rows = zip(LOG.seconds / 60.0, LOG.chamber_c, LOG.core_c, strict=True)
    lines = ["min,probe a,probe b", *(f"{m:.0f},{a:.2f},{b:.2f}" for m, a, b in rows)]
    digest = incoming.keep("\n".join(lines).encode(), "kettle.csv")
    page = worker.get(f"/heat/judge/{digest}/?rule=f0%3D15").content.decode()
    words = seen(page)
    assert "--read" not in words
    assert "terminal" not in words
    assert "Say it below, at “Probe b stood in”: core." in words
    assert "“Probe a counts”: °C and “Probe b counts”: °C" in words
    assert "Say it below, at “Probe b stood off the middle by mm (0, 20/75)”: 0." in words
    for label in ("Probe b stood in", "Probe b counts"):
        assert f">{label}</label>" in page, "the field stands on the page"
    assert "Come-up" in words
    assert 'data-head="Highest"' in page


def test_a_job_that_would_use_vessels_nobody_judged_names_no_command(
    worker: Client, shed: Shed
) -> None:
    cooked(shed.day)
    page = seen(worker.get("/heat/").content.decode())
    assert "pinset cook" not in page


@pytest.mark.parametrize(
    ("kept", "shown"),
    [
        ("Say so; at the terminal: --read column.2.role=core.", "Say so."),
        ("Or say the unit; at the terminal: --read column.2.unit=C (or =F).", "Or say the unit."),
        (
            "If it stood in a unit, say so. At the terminal: --read column.2.role=core.",
            "If it stood in a unit, say so.",
        ),
        ("Have the logger read once a minute.", "Have the logger read once a minute."),
        ("At the terminal: --reason.", ""),
    ],
)
def test_options_kept_with_older_verdicts_are_not_shown(kept: str, shown: str) -> None:
    assert without_options(kept) == shown


def test_where_no_field_stands_it_is_said_where_one_does() -> None:
    assert "handed in" in said_at(["column.2.role=core"], ())


@pytest.mark.usefixtures("shed")
def test_a_reason_that_a_probe_was_fine_has_its_field(worker: Client) -> None:
    core = LOG.core_c.copy()
    core[305:] = core[305]
    rows = zip(LOG.seconds / 60.0, LOG.chamber_c, core, strict=True)
    lines = ["min,chamber °C,core °C", *(f"{m:.0f},{a:.2f},{b:.2f}" for m, a, b in rows)]
    digest = incoming.keep("\n".join(lines).encode(), "kettle.csv")
    address = f"/heat/judge/{digest}/"
    page = worker.get(address, {"rule": "f0=15"}).content.decode()
    assert "Say it below, at “Core °C was fine all the same, since”: why." in seen(page)
    assert 'name="read.column.3.fine"' in page
    why = "its twin in the same bag read the same"
    page = worker.get(address, {"rule": "f0=15", "read.column.3.fine": why}).content.decode()
    assert "Long enough" in page
    assert why in seen(page)
