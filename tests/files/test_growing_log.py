"""A logger's file that still grows: half lines, space set aside, clocks, several probes."""

from __future__ import annotations

import os
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pinset.errors import InputError
from pinset.files.logger.growing_log import Grown, newest_file, read_growing, settled

NOW = datetime(2026, 3, 12, 12, 0, tzinfo=UTC)
WHOLE = (
    "time,chamber [°C],core [°C]\n"
    "2026-03-12 10:00:00,20.0,19.5\n"
    "2026-03-12 10:01:00,24.5,19.5\n"
    "2026-03-12 10:02:00,29.0,19.6\n"
)


def grown(data: bytes, *, zone: str = "Europe/Vienna") -> Grown:
    return read_growing(data, "kettle.csv", zone=zone, written_at=NOW, atmosphere_kpa=101.325)


def test_rows_have_their_moment_by_the_farms_clock() -> None:
    rows = grown(WHOLE.encode()).rows
    assert [row.at for row in rows] == [
        datetime(2026, 3, 12, 9, minute, tzinfo=UTC) for minute in range(3)
    ]
    assert [row.chamber_c for row in rows] == [20.0, 24.5, 29.0]
    assert [row.core_c for row in rows] == [19.5, 19.5, 19.6]
    assert {row.gauge_bar for row in rows} == {None}


def test_a_zone_in_the_file_counts() -> None:
    text = WHOLE.replace(":00,", ":00+00:00,")
    assert grown(text.encode()).rows[0].at == datetime(2026, 3, 12, 10, 0, tzinfo=UTC)


@pytest.mark.parametrize("half", ["2", "2026-03-12 10:03:00", "2026-03-12 10:03:00,3", "2026-03-1"])
def test_a_half_line_is_left_for_the_next_look(half: str) -> None:
    assert grown((WHOLE + half).encode()).rows == grown(WHOLE.encode()).rows


def test_space_set_aside_by_the_logger_is_no_reading() -> None:
    assert grown(WHOLE.encode() + b"\0" * 4096).rows == grown(WHOLE.encode()).rows
    torn = WHOLE.encode()[:60] + b"\0\0\0" + WHOLE.encode()[60:]
    assert grown(torn).rows == grown(WHOLE.encode()).rows


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-be", "utf-16-le"])
def test_two_bytes_a_sign_stay_two_bytes(encoding: str) -> None:
    mark = {"utf-16-be": b"\xfe\xff", "utf-16-le": b"\xff\xfe"}.get(encoding, b"")
    data = mark + (WHOLE + "2026-03-12 10:0").encode(encoding)
    assert grown(data).rows == grown(WHOLE.encode()).rows


@given(st.binary(max_size=200))
def test_whatever_is_written_what_is_settled_ends_with_a_line(data: bytes) -> None:
    found = settled(data)
    assert found == b"" or b"\n" in found[-2:]
    assert settled(found) == found


def test_a_file_cut_anywhere_never_says_more_than_the_whole() -> None:
    whole = WHOLE.encode()
    rows = grown(whole).rows
    for end in range(60, len(whole)):
        try:
            found = grown(whole[:end]).rows
        except InputError:
            continue
        assert found == rows[: len(found)]


def test_minutes_without_a_date_end_when_the_file_was_written() -> None:
    rows = grown(b"min,chamber,core\n0,20,19\n1,30,19\n2,40,20\n").rows
    assert [row.at for row in rows] == [NOW - timedelta(minutes=m) for m in (2, 1, 0)]


def test_of_several_probes_the_coldest_counts() -> None:
    rows = grown(b"min,chamber top,chamber drain,core 1,core 2\n0,20,18,19,20\n1,50,45,21,20\n"
                 b"2,70,66,,22\n").rows  # fmt: skip
    assert [row.chamber_c for row in rows] == [18.0, 45.0, 66.0]
    assert [row.core_c for row in rows] == [19.0, 20.0, 22.0]


def test_absolute_pressure_is_turned_into_gauge() -> None:
    rows = grown(
        b"min,chamber [C],pressure [kPa abs]\n0,20,101.325\n1,110,151.325\n2,120,201.325\n"
    ).rows
    assert [row.gauge_bar for row in rows] == pytest.approx([0.0, 0.5, 1.0])


def test_readings_every_second_are_thinned() -> None:
    lines = "".join(f"{second},{20 + second / 60:.3f},20\n" for second in range(601))
    rows = grown(b"s,chamber,core\n" + lines.encode()).rows
    assert len(rows) == 41


def test_a_file_that_names_nothing_it_could_be_is_refused() -> None:
    with pytest.raises(InputError, match="chamber, the core or the pressure"):
        grown(b"min,humidity [%],battery [V]\n0,50,3.1\n1,51,3.1\n2,52,3.1\n")


def test_nothing_written_yet_is_refused() -> None:
    with pytest.raises(InputError):
        grown(b"")


def test_the_newest_file_of_the_folder_is_taken(tmp_path: Path) -> None:
    assert newest_file(tmp_path) is None
    assert newest_file(tmp_path / "missing") is None
    for age, name in ((30, "old.csv"), (10, "new.csv"), (0, "photo.jpg"), (0, ".hidden.csv")):
        path = tmp_path / name
        path.write_text("x")
        os.utime(path, (1e9 - age, 1e9 - age))
    found = newest_file(tmp_path)
    assert found is not None
    assert found.name == "new.csv"
