"""Files that are broken, cut off or of an odd shape: said with its row, never guessed over."""

from __future__ import annotations

import numpy as np
import pytest

from files.logger_files import (
    cook,
    h_mm_ss,
    simple,
    stamps,
    workbook,
)
from files.logger_looking import COOK, COUNT, core, ids, only, read, stamped
from pinset.errors import InputError, Severity
from pinset.files.logger.reader import read_log
from pinset.files.logger.records import LogLimits


@pytest.mark.parametrize("given", ["12l.3", "121.3.4", "warm", "~121", "121,3", "1O0"])
def test_text_in_numbers(given: str) -> None:
    table = simple(COOK)
    table.separator = ";"
    table.columns[1][44] = given
    log = read(table)
    if given == "121,3":
        assert "row 46" in only(log, "decimal-mixed").record
        assert log.columns[0].values[44] == pytest.approx(121.3)
        return
    finding = only(log, "text-in-numbers")
    assert finding.record == "cook.csv row 46 column chamber [°C]"
    assert given in finding.sentence
    assert "accepted is a temperature such as 121.3" in finding.sentence
    assert np.isnan(log.columns[0].values[44])


def test_a_time_that_is_none() -> None:
    table = stamped()
    table.columns[0][44] = "2026-03-14 25:99:00"
    log = read(table)
    finding = only(log, "time-unread")
    assert finding.record == "cook.csv row 46 column time"
    assert "accepted is a date and a clock" in finding.sentence
    assert len(log.seconds) == COUNT - 1


def test_rows_of_different_length() -> None:
    lines = simple(COOK).lines()
    lines[40] = ",".join(lines[40].split(",")[:2])
    lines[50] += ",7,8"
    lines[60] = "door opened"
    log = read_log(("\n".join(lines) + "\n").encode(), "cook.csv")
    lengths = {finding.sentence for finding in log.findings if finding.id == "log.row-length"}
    assert lengths == {
        "Row 41 has fewer than 3 cells; what they lack is missing.",
        "Row 51 has more than 3 cells; they were left out.",
    }
    assert "row 61" in only(log, "line-passed-over").record
    assert len(log.seconds) == COUNT - 2
    assert np.isnan(core(log)[39])


@pytest.mark.parametrize("cut", range(1, 12))
def test_a_file_cut_off_in_the_middle_of_a_line(cut: int) -> None:
    whole = simple(COOK).text()
    last = whole.rstrip("\n").rsplit("\n", 1)[1]
    log = read_log(whole[: -1 - cut].encode(), "cook.csv")
    assert len(last) > 12
    assert "breaks off in the middle of row 182" in only(log, "cut-off").sentence
    assert len(log.seconds) == COUNT - 1


def test_a_last_line_without_an_end_is_no_cut() -> None:
    table = simple(COOK)
    table.is_ended = False
    log = read(table)
    assert "log.cut-off" not in ids(log)
    assert len(log.seconds) == COUNT


def test_a_file_of_utf16_cut_inside_a_letter() -> None:
    log = read_log(simple(COOK).data("utf-16")[:-201], "cook.csv")
    assert "log.cut-off" in ids(log)
    assert len(log.seconds) > COUNT - 10


def test_bytes_written_as_the_power_failed() -> None:
    log = read_log(simple(COOK).data() + b"\0" * 512, "cook.csv")
    only(log, "nul-bytes")
    assert len(log.seconds) == COUNT


def test_names_that_stand_again() -> None:
    lines = simple(COOK).lines()
    lines.insert(90, lines[0])
    log = read_log(("\n".join(lines) + "\n").encode(), "cook.csv")
    assert "row 91" in only(log, "header-again").record
    assert len(log.seconds) == COUNT


def test_more_names_than_columns() -> None:
    table = simple(COOK, names=["time, min", "chamber, °C", "core, °C"])
    assert only(read(table), "names-shifted").severity is Severity.WRONG


def test_comment_lines_in_the_middle() -> None:
    lines = simple(COOK).lines()
    lines.insert(90, "# valve opened")
    log = read_log(("\n".join(lines) + "\n").encode(), "cook.csv")
    assert len(log.seconds) == COUNT
    assert log.rows[88] == 90
    assert log.rows[89] == 92


def test_a_quotation_mark_that_never_closes_costs_its_row_only() -> None:
    lines = simple(COOK).lines()
    lines[90] = '"' + lines[90]
    log = read_log(("\n".join(lines) + "\n").encode(), "cook.csv")
    assert len(log.seconds) >= COUNT - 1


def test_quotation_marks_in_the_wrong_places_swallow_nothing() -> None:
    lines = ['"serial,"1234""', *simple(COOK).lines()]
    log = read_log(("\n".join(lines) + "\n").encode(), "cook.csv")
    assert len(log.seconds) == COUNT


def test_a_row_for_each_probe_of_which_nothing_names_the_probe() -> None:
    wide = stamped()
    rows = [f"{time},{cell}" for time, *cells in zip(*wide.columns, strict=True) for cell in cells]
    log = read_log(("\n".join(["time,°C", *rows]) + "\n").encode(), "cook.csv")
    assert only(log, "time-shared").severity is Severity.WRONG


def test_times_without_seconds_are_spread_and_said() -> None:
    given = cook(361, 10.0)
    table = simple(given, names=["time", "chamber [°C]", "core [°C]"])
    table.columns[0] = stamps("%Y-%m-%d %H:%M", given.seconds)
    log = read(table)
    only(log, "no-seconds")
    assert log.seconds == pytest.approx(given.seconds, abs=1e-6)


def test_decimal_commas_between_commas_are_refused() -> None:
    table = simple(COOK)
    table.columns = [[cell.replace(".", ",") for cell in column] for column in table.columns]
    with pytest.raises(InputError, match="either between columns or before decimals"):
        read(table)


def test_absurd_sizes() -> None:
    few = LogLimits(most_bytes=1000)
    with pytest.raises(InputError, match="MB"):
        read(simple(COOK), limits=few)
    log = read(simple(COOK), limits=LogLimits(most_rows=50))
    assert only(log, "too-large").severity is Severity.WRONG
    assert len(log.seconds) == 49
    wide = simple(COOK)
    wide.names += [f"T{at} [°C]" for at in range(300)]
    wide.columns += [["20.5"] * COUNT for _ in range(300)]
    log = read(wide)
    assert only(log, "too-large").severity is Severity.WRONG
    assert len(log.columns) == 199


def test_a_log_of_months() -> None:
    table = simple(COOK, names=["h", "chamber [°C]", "core [°C]"])
    table.columns[0] = [str(at * 24) for at in range(COUNT)]
    only(read(table), "too-long")


def test_a_workbook_that_reaches_too_far() -> None:
    rows: list[list[str | float]] = [
        ["min", "chamber", "core"],
        [0.0, 20.0, 20.0],
        [1.0, 22.0, 20.0],
    ]

    def far(book: object) -> None:
        sheet = book.add_worksheet("far")  # type: ignore[attr-defined]
        sheet.write_number(1_048_575, 16_383, 1.0)

    with pytest.raises(InputError, match="reaches row 1048576"):
        read_log(workbook(rows, others=[far]), "cook.xlsx")


def test_a_workbook_cut_in_half() -> None:
    data = workbook([["min", "chamber", "core"], [0.0, 20.0, 20.0], [1.0, 22.0, 20.0]])
    with pytest.raises(InputError, match="cannot be opened"):
        read_log(data[: len(data) // 2], "cook.xlsx")


def test_a_workbook_with_a_sheet_about_the_logger_first() -> None:
    rows = [list(row) for row in zip(*simple(COOK).columns, strict=True)]
    cells = [[float(cell) for cell in row] for row in rows]

    def about(book: object) -> None:
        sheet = book.add_worksheet("About")  # type: ignore[attr-defined]
        sheet.write_row(0, 0, ["serial", 1234])

    log = read_log(
        workbook([["min", "chamber [°C]", "core [°C]"], *cells], others=[about]), "cook.xlsx"
    )
    assert log.layout.sheet.value == "Data"
    assert "Data was read" in only(log, "more-sheets").sentence
    assert core(log) == pytest.approx(COOK.core_c)


def test_many_findings_of_a_kind_are_cut() -> None:
    table = simple(COOK)
    for at in range(10, 90):
        table.columns[1][at] = f"x{at}"
    log = read(table)
    found = [finding for finding in log.findings if finding.id == "log.text-in-numbers"]
    assert len(found) == 21
    assert "60 more" in found[-1].sentence


def test_a_log_without_temperatures() -> None:
    log = read_log(b"time [s],voltage [V],humidity [%]\n0,3.6,40\n60,3.6,41\n120,3.5,42\n", "c.csv")
    only(log, "no-temperature")


def test_elapsed_hours_beyond_a_day() -> None:
    given = cook(181, 600.0)
    table = simple(given, names=["elapsed", "chamber [°C]", "core [°C]"])
    table.columns[0] = [h_mm_ss(each) for each in given.seconds]
    assert read(table).seconds == pytest.approx(given.seconds)


def test_times_that_come_twice_each_are_still_times() -> None:
    lines = ["min,chamber [°C],core [°C]"]
    lines += [f"{at // 2 * 2},{20 + at},{20 + at / 2}" for at in range(60)]
    log = read_log("\n".join(lines).encode(), "cook.csv")
    assert "log.time-shared" in {finding.id for finding in log.findings}
    assert log.seconds[1] - log.seconds[0] == 120.0


@pytest.mark.parametrize(
    "start", [b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff\xe0", b"GIF89a", b"%PDF-1.7\n"]
)
def test_a_picture_is_said_to_be_one(start: bytes) -> None:
    with pytest.raises(InputError, match=r"a picture|a page"):
        read_log(start + b"1,2,3\n" * 40, "cook.png")
