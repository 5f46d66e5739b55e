"""What is wrong with a log is said, with its row, and never read to a number that looks fine."""

from __future__ import annotations

from datetime import datetime

import numpy as np
import pytest

from files.logger_files import (
    AIR_KPA,
    START,
    Cook,
    Table,
    cook,
    fahrenheit,
    h_mm_ss,
    numbers,
    simple,
    stamps,
    workbook,
)
from pinset.errors import Finding, InputError, Severity
from pinset.files.logger_reader import read_log
from pinset.files.logger_records import Basis, ColumnRole, CookLog, LogLimits

COOK = cook()
COUNT = len(COOK.seconds)


def read(table: Table, **given: object) -> CookLog:
    return read_log(table.data(), "cook.csv", **given)  # type: ignore[arg-type]


def only(log: CookLog, code: str) -> Finding:
    found = [finding for finding in log.findings if finding.id == f"log.{code}"]
    assert len(found) == 1, [str(finding) for finding in log.findings]
    return found[0]


def ids(log: CookLog) -> set[str]:
    return {finding.id for finding in log.findings}


def core(log: CookLog) -> np.ndarray:
    return log.of_role(ColumnRole.CORE)[0].values


def stamped(seconds: np.ndarray | None = None, start: datetime = START) -> Table:
    table = simple(COOK, names=["time", "chamber [°C]", "core [°C]"])
    table.columns[0] = stamps(
        "%Y-%m-%d %H:%M:%S", COOK.seconds if seconds is None else seconds, start
    )
    return table


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\n\n  \n",
        b"\0" * 4000,
        b"\xef\xbb\xbf",
        b"Dear Ann, the cook went well,\nand the bags are cooling.\n",
        b"a;b;c\nx;y;z\n",
        b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 20,
        b"PK\x03\x04 broken",
        b"%PDF-1.7\n1 0 obj << /Type /Catalog >> endobj\n",
        b"chamber,core\n20.1,20.3\n20.5,20.3\n20.2,20.1\n",
    ],
    ids=[
        "no bytes",
        "blank",
        "NUL",
        "mark",
        "letter",
        "words",
        "picture",
        "archive",
        "pdf",
        "no times",
    ],
)
def test_nothing_to_read_is_refused_in_a_plain_sentence(data: bytes) -> None:
    with pytest.raises(InputError) as caught:
        read_log(data, "cook.csv")
    assert "cook.csv" in str(caught.value)
    assert "accepted" in str(caught.value)


def test_an_empty_log() -> None:
    log = read_log(b"time;chamber [\xc2\xb0C];core [\xc2\xb0C]\n", "cook.csv")
    assert only(log, "empty").severity is Severity.WRONG
    assert len(log.seconds) == 0
    assert log.start is None
    assert [len(column.values) for column in log.columns] == [0, 0]


def test_one_reading() -> None:
    log = read(Table(["min", "chamber [°C]", "core [°C]"], [["0"], ["20.5"], ["20.1"]]))
    assert only(log, "one-reading").severity is Severity.WRONG
    assert list(log.seconds) == [0.0]


def test_a_time_that_repeats_is_named_and_left_out() -> None:
    table = simple(COOK)
    table.columns[0][50] = table.columns[0][49]
    log = read(table)
    assert "row 52" in only(log, "time-repeats").record
    assert len(log.seconds) == COUNT - 1
    assert np.all(np.diff(log.seconds) > 0)
    assert 52 not in log.rows


def test_times_that_run_backwards_are_named_and_left_out() -> None:
    seconds = COOK.seconds.copy()
    seconds[100:105] -= 1200.0
    log = read(stamped(seconds))
    finding = only(log, "time-back")
    assert "row 102" in finding.record
    assert "5 readings, rows 102 to 106, go back in time by 19 min; left out." in finding.sentence
    assert len(log.seconds) == COUNT - 5
    assert np.all(np.diff(log.seconds) > 0)


def test_a_clock_reset_to_another_year() -> None:
    table = stamped()
    table.columns[0][90:] = stamps(
        "%Y-%m-%d %H:%M:%S",
        COOK.seconds[: COUNT - 90],
        datetime(2000, 1, 1),  # noqa: DTZ001
    )
    log = read(table)
    assert "log.time-back" in ids(log)
    assert "log.time-order" in ids(log)
    assert len(log.seconds) == 90


def test_a_gap_over_the_limit() -> None:
    table = simple(COOK)
    for column in table.columns:
        del column[60:75]
    log = read(table)
    finding = only(log, "gap")
    assert "16.0 min between rows 61 and 62" in finding.sentence
    assert "log.gap" not in ids(read(table, limits=LogLimits(gap_s=1000.0)))


def test_readings_far_apart_are_said_once() -> None:
    table = simple(cook(37, 600.0))
    log = read(table)
    only(log, "coarse")
    assert "log.gap" not in ids(log)


@pytest.mark.parametrize("first", [30, 90, 170])
def test_a_clock_put_back_by_an_hour_is_mended_and_said(first: int) -> None:
    seconds = COOK.seconds.copy()
    seconds[first:] -= 3600.0
    log = read(stamped(seconds, datetime(2026, 10, 25, 1, 30)))  # noqa: DTZ001
    finding = only(log, "clock-changed")
    assert f"rows {first + 1} and {first + 2}" in finding.sentence
    assert log.seconds == pytest.approx(COOK.seconds)


def test_a_clock_put_forward_while_temperatures_move_is_mended_and_said() -> None:
    seconds = COOK.seconds.copy()
    seconds[20:] += 3600.0
    log = read(stamped(seconds, datetime(2026, 3, 29, 1, 40)))  # noqa: DTZ001
    only(log, "clock-changed")
    assert "log.gap" not in ids(log)
    assert log.seconds == pytest.approx(COOK.seconds)


def flat() -> Cook:
    level = np.full(COUNT, 121.3) + 0.1 * np.sin(np.arange(COUNT))
    return Cook(COOK.seconds, level, level - 0.4, level - 0.5, np.full(COUNT, 104.0))


def test_a_clock_put_forward_while_all_is_still_is_left_and_said() -> None:
    table = simple(flat(), names=["time", "chamber [°C]", "core [°C]"])
    seconds = COOK.seconds.copy()
    seconds[90:] += 3600.0
    table.columns[0] = stamps("%Y-%m-%d %H:%M:%S", seconds)
    log = read(table)
    only(log, "clock-unclear")
    only(log, "gap")
    assert log.seconds == pytest.approx(seconds)


def test_a_real_hour_without_readings_is_a_gap() -> None:
    given = cook(241)
    keep = np.r_[0:20, 80:241]
    table = simple(given)
    table.columns = [[column[at] for at in keep] for column in table.columns]
    log = read(table)
    only(log, "gap")
    assert not ids(log) & {"log.clock-changed", "log.clock-unclear"}
    assert log.seconds == pytest.approx(given.seconds[keep], abs=0.1)


def test_two_jumps_of_an_hour_are_not_mended() -> None:
    seconds = COOK.seconds.copy()
    seconds[60:120] += 3600.0
    log = read(stamped(seconds))
    only(log, "clock-unclear")
    assert "log.clock-changed" not in ids(log)


def test_an_hour_exported_twice_is_no_change_of_the_clock() -> None:
    table = stamped()
    table.columns = [[*column[:120], *column[60:]] for column in table.columns]
    log = read(table)
    only(log, "rows-repeated")
    assert "log.clock-changed" not in ids(log)
    assert log.seconds == pytest.approx(COOK.seconds)


def test_zones_in_the_stamps_need_no_mending() -> None:
    table = stamped()
    local = COOK.seconds.copy()
    local[90:] -= 3600.0
    table.columns[0] = [
        f"{text}{'+02:00' if at < 90 else '+01:00'}"
        for at, text in enumerate(stamps("%Y-%m-%dT%H:%M:%S", local))
    ]
    log = read(table)
    assert log.seconds == pytest.approx(COOK.seconds)
    assert "log.clock-changed" not in ids(log)


@pytest.mark.parametrize(
    "fault",
    ["1372", "1370.0", "850", "-200", "-127", "-242.0", "9999", "999.9", "-999.0", "3276.7",
     "6553.5", "32767", "1e38", "NaN", "nan", "OL", "O.L", "OPEN", "ERR", "---", "#N/A", "Err",
     "Fehler", "Bruch", "+OVER", "inf", "-3.4e38", "N/A", "open circuit"],
)  # fmt: skip
@pytest.mark.parametrize(
    "places", [slice(80, 120), slice(100, 101), slice(0, 30), slice(150, None)]
)
def test_an_unplugged_probe(fault: str, places: slice) -> None:
    table = simple(COOK)
    where = range(COUNT)[places]
    for at in where:
        table.columns[2][at] = fault
    log = read(table)
    finding = only(log, "unplugged")
    assert finding.severity is Severity.WRONG
    assert f"row {where[0] + 2}" in finding.record
    assert f"in {len(where)} of {COUNT}" in finding.sentence
    assert np.all(np.isnan(core(log)[places]))
    assert np.count_nonzero(np.isnan(core(log))) == len(where)
    assert core(log)[~np.isnan(core(log))].max() < 122.0
    assert log.of_role(ColumnRole.CORE)[0].doubts == ("log.unplugged",)
    assert log.of_role(ColumnRole.CHAMBER)[0].doubts == ()


@pytest.mark.parametrize("fault", ["NaN", "1372", "OPEN", ""])
def test_a_probe_unplugged_from_first_to_last(fault: str) -> None:
    table = simple(COOK)
    table.columns[2] = [fault] * COUNT
    log = read(table)
    assert "log.unplugged" in ids(log)
    assert np.all(np.isnan(core(log)))


def test_a_lone_85_after_power_on_is_no_temperature() -> None:
    table = simple(COOK)
    table.columns[2][90] = "85.0"
    table.columns[2][91] = "84.0"
    table.columns[2][5] = "85"
    log = read(table)
    assert "row 7" in only(log, "unplugged").record
    assert np.isnan(core(log)[5])


def test_empty_cells_are_said() -> None:
    table = simple(COOK)
    for at in (30, 31, 90):
        table.columns[2][at] = ""
    log = read(table)
    finding = only(log, "missing")
    assert "3 of 181" in finding.sentence
    assert "row 32" in finding.record


@pytest.mark.parametrize("first", [40, 60, 100])
def test_a_probe_that_stands_still_while_others_move(first: int) -> None:
    table = simple(COOK)
    table.names.append("core 2 [°C]")
    table.columns.append(numbers(COOK.slow_core_c))
    table.columns[2][first:] = [table.columns[2][first]] * (COUNT - first)
    log = read(table)
    assert only(log, "stuck").severity is Severity.WRONG
    assert log.columns[1].doubts == ("log.stuck",)


@pytest.mark.parametrize("value", ["121.30", "21.00", "60.00"])
def test_a_probe_stuck_all_along(value: str) -> None:
    table = simple(COOK)
    table.columns[2] = [value] * COUNT
    assert "log.stuck" in ids(read(table))


def test_a_chamber_that_holds_and_a_core_that_waits_are_not_stuck() -> None:
    hold = np.interp(COOK.seconds / 60.0, [0, 30, 150, 180], [20, 121, 121, 60])
    late = np.interp(COOK.seconds / 60.0, [0, 70, 150, 180], [20, 20, 119, 117])
    table = simple(Cook(COOK.seconds, np.round(hold), np.round(late), late, hold))
    assert "log.stuck" not in ids(read(table))


def test_swapped_columns() -> None:
    table = simple(COOK, names=["min", "core [°C]", "chamber [°C]"])
    log = read(table)
    assert only(log, "swapped").severity is Severity.WRONG
    assert all("log.swapped" in column.doubts for column in log.columns)


def test_columns_in_their_place_are_not_swapped() -> None:
    assert "log.swapped" not in ids(read(simple(COOK)))


@pytest.mark.parametrize(
    "names", [("min", "chamber [°C]", "core [°C]"), ("min", "Kammer degC", "Kern degC")]
)
@pytest.mark.parametrize("top", [1.0, 0.62, 0.45])
def test_fahrenheit_taken_for_celsius(names: tuple[str, ...], top: float) -> None:
    chamber = 21.0 + (COOK.chamber_c - 21.0) * top
    inside = 21.0 + (COOK.core_c - 21.0) * top
    table = simple(
        Cook(COOK.seconds, fahrenheit(chamber), fahrenheit(inside), inside, chamber), names=names
    )
    log = read(table)
    assert "log.fahrenheit-as-celsius" in ids(log)
    assert log.of_role(ColumnRole.CHAMBER)[0].values == pytest.approx(chamber, abs=0.01)
    assert "log.fahrenheit-as-celsius" in log.of_role(ColumnRole.CHAMBER)[0].doubts


def test_fahrenheit_without_a_name_is_seen_and_said() -> None:
    table = simple(
        Cook(
            COOK.seconds,
            fahrenheit(COOK.chamber_c),
            fahrenheit(COOK.core_c),
            COOK.core_c,
            COOK.core_c,
        ),
        names=("min", "chamber", "core"),
    )
    log = read(table)
    assert "°F was taken" in only(log, "unit-guessed").sentence
    assert core(log) == pytest.approx(COOK.core_c, abs=0.01)


def test_a_log_in_celsius_that_begins_as_hot_as_a_room_in_fahrenheit() -> None:
    chamber = np.interp(COOK.seconds, [0, 3600, 10800], [70.0, 130.0, 110.0])
    table = simple(Cook(COOK.seconds, chamber, chamber - 1.0, chamber, chamber))
    log = read(table)
    assert "21 °C" in only(log, "maybe-fahrenheit").sentence
    assert all("log.maybe-fahrenheit" in column.doubts for column in log.columns)


def test_kelvin_taken_for_celsius() -> None:
    table = simple(
        Cook(COOK.seconds, COOK.chamber_c + 273.15, COOK.core_c + 273.15, COOK.core_c, COOK.core_c)
    )
    log = read(table)
    assert "log.kelvin-as-celsius" in ids(log)
    assert core(log) == pytest.approx(COOK.core_c, abs=0.01)


def test_celsius_named_fahrenheit_is_said() -> None:
    log = read(simple(COOK, names=("min", "chamber [°F]", "core [°F]")))
    assert "log.celsius-as-fahrenheit" in ids(log)
    assert core(log).max() < 60.0


def test_celsius_named_kelvin() -> None:
    log = read(simple(COOK, names=("min", "chamber [K]", "core [K]")))
    assert "log.celsius-as-kelvin" in ids(log)
    assert core(log) == pytest.approx(COOK.core_c, abs=0.01)


def test_absolute_pressure_given_as_gauge() -> None:
    table = simple(COOK)
    table.names.append("pressure [bar gauge]")
    table.columns.append(numbers((COOK.gauge_kpa + AIR_KPA) / 100.0, 4))
    log = read(table)
    assert only(log, "absolute-as-gauge").severity is Severity.WRONG
    column = log.of_role(ColumnRole.PRESSURE)[0]
    assert column.basis is Basis.ABSOLUTE
    assert column.absolute_kpa(AIR_KPA) == pytest.approx(COOK.gauge_kpa + AIR_KPA, abs=0.01)
    assert column.doubts == ("log.absolute-as-gauge",)


def test_gauge_pressure_given_as_absolute() -> None:
    table = simple(COOK)
    table.names.append("pressure [kPa abs]")
    table.columns.append(numbers(COOK.gauge_kpa))
    log = read(table)
    assert only(log, "gauge-as-absolute").severity is Severity.WRONG
    assert log.of_role(ColumnRole.PRESSURE)[0].basis is Basis.GAUGE


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


def test_a_row_for_each_probe() -> None:
    wide = stamped()
    rows = [
        f"{time},{name},{cell}"
        for time, *cells in zip(*wide.columns, strict=True)
        for name, cell in zip(("chamber", "core"), cells, strict=True)
    ]
    log = read_log(("\n".join(["time,probe,°C", *rows]) + "\n").encode(), "cook.csv")
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
