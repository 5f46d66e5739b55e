"""The terminal does what the pages do; programs get documented fields; wrong things say so."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from cli.conftest import Terminal
from pinset import __version__
from pinset.cli.main import COMMANDS, main
from pinset.planning.reading.short_reason import ShortReason

DOCS = Path(__file__).parents[2] / "docs" / "guide" / "terminal.md"


def test_version(pinset: Terminal) -> None:
    assert pinset("--version").strip() == f"pinset {__version__}"


def test_every_command_is_documented_and_helps(pinset: Terminal) -> None:
    text = DOCS.read_text()
    said = pinset("--help")
    for command, (_, sentence) in COMMANDS.items():
        assert f"`pinset {command}" in text
        assert sentence.split(",")[0][:30] in " ".join(said.split())


@pytest.mark.parametrize("command", COMMANDS)
def test_help_of_each(command: str) -> None:
    done = CliRunner().invoke(main, [command, "--help"])
    assert done.exit_code == 0
    assert f"Usage: pinset {command}" in done.output


def test_today_for_programs(pinset: Terminal) -> None:
    jobs = pinset.json("today")
    assert jobs
    wanted = {
        "job",
        "place",
        "kind",
        "count",
        "stage",
        "variety",
        "from_lots",
        "minutes",
        "due",
        "why",
    }
    for job in jobs:
        assert wanted <= set(job)
        assert isinstance(job["count"], int)


def test_today_for_people(pinset: Terminal) -> None:
    said = pinset("today")
    assert said.startswith("Thursday 12 March")
    assert "Planned today" in said


def test_plan_for_programs(pinset: Terminal) -> None:
    plan = pinset.json("plan", "--seconds", "10")
    assert {"gap", "seconds", "starts", "short", "at_limit"} <= set(plan)
    assert 0 <= plan["gap"] <= 0.05
    for start in plan["starts"]:
        assert {"date", "stage", "variety", "count", "why"} <= set(start)
        assert start["why"]
    documented = DOCS.read_text()
    assert all(code in documented for code in ShortReason)
    for short in plan["short"]:
        assert {"order", "amount", "reason"} <= set(short)
        assert short["reason"]
        assert short["reason_code"] in set(ShortReason)
        assert isinstance(short["about"], list)


def test_lots_and_show(pinset: Terminal) -> None:
    listed = pinset.json("lots")
    assert listed["total"] == len(listed["lots"])
    code = listed["lots"][0]["lot"]
    lot = pinset.json("show", code)
    counts = dict(lot["counts"])
    gone = counts["used"] + counts["lost"] + counts["culled"] + counts["spent"] + counts["sold"]
    assert counts["made"] == counts["alive"] + gone + counts["unexplained"]
    assert code in pinset("show", code.lower())


def test_a_slip_names_the_nearest_code(pinset: Terminal) -> None:
    code = pinset.json("lots")["lots"][0]["lot"]
    swapped = code[1] + code[0] + code[2:]
    if swapped == code:
        swapped = ("2" if code[0] != "2" else "3") + code[1:]
    said = pinset("show", swapped, status=1)
    assert code in said


def test_promises(pinset: Terminal) -> None:
    view = pinset.json("promises")
    assert {"sentence", "weeks", "gap"} <= set(view)
    assert "Week of" in pinset("promises")
    assert "from 1 to 156" in pinset("promises", "--weeks", "0", status=1)


def test_done_undo_and_a_repeated_tap(pinset: Terminal) -> None:
    pinset("plan")
    job = next(j for j in pinset.json("today") if j["kind"] in {"look", "round", "shake"})
    first = pinset.json("done", job["job"], "--id", "ab" * 16)
    again = pinset.json("done", job["job"], "--id", "ab" * 16)
    assert (first["already"], again["already"]) == (False, True)
    assert "recorded as done" in pinset("done", job["job"], status=1)
    pinset("undo", first["entry"], "--reason", "a slip")
    pinset("done", job["job"], "--not-today", "no time")
    pinset("check")


def test_a_slip_in_a_lot_used_names_the_nearest_code(pinset: Terminal) -> None:
    job = next(j for j in pinset.json("today") if j["from_lots"])
    code = job["from_lots"][0]["lot"]
    said = pinset("done", job["job"], "--lot", f"{code[:-1]}0=1", status=1)
    assert "--lot" in said
    assert code in said


def test_a_job_that_is_not_there(pinset: Terminal) -> None:
    assert "There is no job J99999" in pinset("done", "J99999", status=1)


def test_no_farm_here(tmp_path: Path) -> None:
    said = Terminal(tmp_path)("today", status=1)
    assert "There is no farm in" in said
    assert list(tmp_path.iterdir()) == []


def test_load_export_load_is_no_change(pinset: Terminal, tmp_path: Path) -> None:
    pinset("export", tmp_path / "out")
    said = pinset("load", tmp_path / "out")
    assert "nothing was written" in said


def test_a_bad_folder_is_reported_whole_and_leaves_nothing(described: Path, tmp_path: Path) -> None:
    import shutil

    broken = tmp_path / "broken"
    shutil.copytree(described, broken)
    toml = (broken / "farm.toml").read_text()
    (broken / "farm.toml").write_text(toml.replace("Europe/Vienna", "Europe/Nowhere"))
    lines = (broken / "lots.csv").read_text(encoding="utf-8").splitlines()
    lines[-1] = lines[-1].replace("2026", "3000")
    (broken / "lots.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    terminal = Terminal(tmp_path / "never")
    said = terminal("load", broken, status=1)
    assert "Europe/Nowhere" in said
    assert "lots.csv row" in said
    assert not (tmp_path / "never" / "farm.sqlite3").exists()


def test_backup_restore_and_a_damaged_file(pinset: Terminal, tmp_path: Path) -> None:
    copy = tmp_path / "farm.backup"
    assert "checked" in pinset("backup", copy)
    other = Terminal(tmp_path / "other")
    other("restore", copy, "--yes")
    assert "every unit is accounted for" in other("check")
    whole = copy.read_bytes()
    copy.write_bytes(whole[: len(whole) // 2])
    assert "not what was written" in other("restore", copy, "--yes", status=1)
    other("check")


def test_passwords_must_not_be_easy(pinset: Terminal) -> None:
    worker = pinset.farm  # any folder; the code comes from the templates
    assert worker.exists()
    said = pinset("password", "nobody-here", typed="long-enough-1\nlong-enough-1\n", status=1)
    assert "Nobody here has the code" in said


def test_serve_refuses_the_network_without_a_password(pinset: Terminal) -> None:
    said = pinset("serve", "--host", "0.0.0.0", "--port", "8998", status=1)  # noqa: S104
    assert "no password" in said


def test_serve_refuses_ports_that_cannot_be(pinset: Terminal) -> None:
    assert "1 to 65535" in pinset("serve", "--port", "0", status=1)


def test_a_demo_farm_goes_where_farm_says(tmp_path: Path) -> None:
    folder = tmp_path / "here"
    Terminal(folder)("demo", "--no-serve", "--today", "2026-03-12")
    assert (folder / "farm.sqlite3").is_file()


def _of_pounds(pinset: Terminal, folder: Path) -> Terminal:
    """Return a farm like the templates', in New York and in pounds."""
    pinset("export", folder)
    path = folder / "farm.toml"
    lines = [
        line
        for line in path.read_text(encoding="utf-8").splitlines()
        if not line.startswith(("units", "time_zone"))
    ]
    at = lines.index("[farm]") + 1
    lines[at:at] = ['units = "us"', 'time_zone = "America/New_York"']
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    other = Terminal(folder.parent / "pounds", today="2026-03-12T22:06-04:00")
    other("load", folder)
    return other


def test_a_farm_in_pounds_weighs_in_pounds_by_its_own_clock(
    pinset: Terminal, tmp_path: Path
) -> None:
    pounds = _of_pounds(pinset, tmp_path / "files")
    assert pounds("today").startswith("Thursday 12 March")
    jobs = pounds.json("today")
    weighed = [job for job in jobs if job["kind"] in {"pick", "pack", "deliver"}]
    assert {job["unit"] for job in weighed} <= {"lb", "units"}
    picks = [job for job in weighed if job["kind"] == "pick"]
    assert picks, "the templates have blocks in fruit"
    job = picks[0]["job"]
    said = pounds("done", job, "--weight", "3", "--grams", "5", status=1)
    assert "not both" in said
    assert "kg, g, mg" in pounds("done", job, "--weight", "3 bar", status=1)
    code = picks[0]["from_lots"][0]["lot"]
    assert "1.5 lb" in pounds("done", job, "--weight", "1.5", "--part", "--reason", "invented")
    assert "2026-03-12 22:06" in pounds("show", code)
