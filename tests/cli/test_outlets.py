"""Outlets in the terminal: planned for, handed something, written back."""

from __future__ import annotations

from pathlib import Path

from cli.conftest import Terminal


def test_surplus_is_planned_for_outlets_and_handed_over(described: Path, tmp_path: Path) -> None:
    pinset = Terminal(tmp_path / "farm")
    pinset("load", described)
    assert "There is no plan yet." in pinset("outlets")
    pinset("plan", "--seconds", 10)

    found = pinset.json("outlets")
    assert [line["code"] for line in found["outlets"]] == ["market-extra", "drier"]
    weeks = found["surplus"]["weeks"]
    lines = [line for week in weeks for line in week["lines"]]
    planned = [line for line in lines if line["what"]]
    assert planned, found["surplus"]["sentence"]
    for line in lines:
        if not line["what"]:  # nothing is planned for it; chance leaves something
            assert line["grams"] == 0
            assert line["expected"] >= 50
    for line in planned:
        most = 7 * 6000 if line["outlet"] == "drier" else 5000
        assert 0 < line["grams"] <= most + 1
        price = 700 if line["outlet"] == "drier" else 1000
        assert abs(line["cents"] - price * line["grams"] / 1000) < 1
    assert any(line["high"] is not None for line in lines)
    said = pinset("outlets", "--weeks", 4)
    assert "Market extra (invented)" in said
    assert "in 8 of 10" in said
    assert "10 kg fresh for 1 kg dry (common practice, no source)" in said

    fruiting = next(lot for lot in pinset.json("lots")["lots"] if lot["step"] == "fruiting")
    job = next(job for job in pinset.json("today") if job["kind"] == "pick")
    assert fruiting["lot"] in {lot["lot"] for lot in job["from_lots"]}
    pinset("done", job["job"], "--weight", "6kg")
    assert "OUTLET VARIETY WEIGHT" in pinset("outlets", "drier", status=1)
    assert "market-extra, drier" in pinset("outlets", "cellar", "oyster", "2kg", status=1)
    handed = pinset("outlets", "market-extra", "oyster", "1.5kg", "--person", "me")
    assert handed.startswith("1.5 kg Grey oyster handed to Market extra (invented); no promise")
    pinset("outlets", "drier", "oyster", "2")
    market, drier = pinset.json("outlets")["outlets"]
    assert market["sentence"] == "1.5 kg in four weeks, for EUR 15.00."
    assert drier["sentence"] == "2 kg fresh in four weeks, about 0.2 kg dry."
    sold = pinset("outlets", "drier", "oyster", "120g", "--dried", "--person", "me")
    assert sold.startswith("120 g dried Grey oyster sold")
    assert "every unit is accounted for" in pinset("check")

    export = tmp_path / "export"
    pinset("export", export)
    assert "market-extra" in (export / "outlets.csv").read_text("utf-8-sig")
    assert "already as the files say" in pinset("load", export)
