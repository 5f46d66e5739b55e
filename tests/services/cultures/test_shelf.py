"""The shelf as the ledger has it: what is due, how plates grew, what is not cleared."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from zoneinfo import ZoneInfo

import pytest

from farm.small_farm import NOW, TODAY
from pinset.chain.register import FarmBook
from pinset.chain.stages import Stage
from pinset.errors import InputError, RefusedError
from pinset.farm.check import check
from pinset.farm.models import Entry
from pinset.farm.queries.looks import looks
from pinset.services.answers import taking_back
from pinset.services.answers.lot_actions import Saying, cull, hold
from pinset.services.book_reader import Reader
from pinset.services.books.lots import lot_view
from pinset.services.cultures.saying import measure, read_at, woken
from pinset.services.cultures.shelf import shelf_view, tube_line
from pinset.services.day.today import day_view
from pinset.services.jobs.records import PlannedJob
from pinset.services.upkeep.in_step import bring_in_step
from pinset.services.upkeep.jobs import due_jobs, soon_notes

MakeLot = Callable[..., str]
GREW = (2, 2, 2)


def said(code: str, days_ago: float = 0.0, tap: str = "") -> Saying:
    at = NOW - timedelta(days=days_ago)
    return Saying(code, "ben", tap or secrets.token_hex(16), at=at, why="written on paper")


def undone(entry: str) -> None:
    taking_back.undo(entry, person="ada", client_id=secrets.token_hex(16), reason="a slip")


def only(code: str):  # noqa: ANN201
    return tube_line(code)[1][0]


def jobs(book: FarmBook) -> tuple[PlannedJob, ...]:
    return due_jobs(Reader(book, TODAY))


def test_a_tube_stands_there_with_its_place_medium_date_and_transfers(make: MakeLot) -> None:
    code = make(20, transfers=1)
    line = only(code)
    assert (line.words, line.place, line.room_name, line.medium) == (
        "6 tubes",
        "fridge-1",
        "Fridge",
        "malt agar",
    )
    assert (line.transfers, line.transfer_limit, line.temperature_c) == (1, 5, 4.0)
    assert line.made_on == TODAY - timedelta(days=20)
    assert line.keeps_until == line.made_on + timedelta(days=110)
    assert (line.asks, line.is_due, line.woken) == ("test", False, "")
    assert line.on == line.made_on + timedelta(days=60)
    [view] = [each for each in shelf_view().cultures if each.tubes]
    assert (view.code, view.variety, view.source) == ("g1", "Grey oyster", "invented")
    assert shelf_view().sentence == "Nothing is due on the shelf."


def test_what_is_due_first_stands_first_and_on_today(make: MakeLot, farm: FarmBook) -> None:
    old, middle, young = make(115), make(65, transfers=1), make(15, transfers=1)
    view = next(each for each in shelf_view().cultures if each.tubes)
    due = [line.lot for line in view.tubes if line.is_due]
    assert due == [middle], "the young one took the old one's place"
    assert next(line.lot for line in view.tubes) == middle
    assert only(old).asked.startswith(f"{young} (1 transfer since the mother) stands in its place")
    [job] = jobs(farm)
    assert job.what == f"lot of tubes {middle} to wake on a plate"
    assert (job.room_kind, job.cautions) == ("laboratory", ("alcohol-flame",))
    assert job.first_day == TODAY - timedelta(days=5)
    bring_in_step(farm, NOW)
    [section] = day_view().sections
    [shown] = section.jobs
    assert (shown.link, shown.late_days) == (f"/books/cultures/{middle}/", 5)
    assert not any("Cold shelf" in note for note in day_view().notes)


def test_a_reserve_that_becomes_the_last_is_late_only_since_then(
    make: MakeLot, farm: FarmBook
) -> None:
    """Its time ended 20 days ago; the tube that took its place was thrown out three days ago."""
    old, young = make(130), make(40, transfers=1)
    assert jobs(farm) == ()
    cull(said(young, 3), 6, "it dried out")
    [job] = jobs(farm)
    assert (job.lots[0].lot, job.first_day) == (old, TODAY - timedelta(days=3))
    assert f"{young}, which took its place, is gone" in job.why
    bring_in_step(farm, NOW)
    [section] = day_view().sections
    assert [shown.late_days for shown in section.jobs] == [3]


def test_what_only_comes_soon_is_a_note(make: MakeLot, farm: FarmBook) -> None:
    make(55)
    assert jobs(farm) == ()
    reader = Reader(farm, TODAY)
    assert soon_notes(reader) == (
        "Cold shelf, within a week: 1 lot of tubes to wake (Grey oyster).",
    )
    resting = replace(farm, farm=replace(farm.farm, days_off=(TODAY,)))
    assert soon_notes(Reader(resting, TODAY)) == ()


def test_a_test_answers_its_job_and_undo_opens_it_again(make: MakeLot, farm: FarmBook) -> None:
    code = make(65)
    bring_in_step(farm, NOW)
    done = woken(said(code), *GREW)
    [section] = day_view().sections
    assert [job.state.value for job in section.jobs] == ["done"]
    undone(done.entry)
    [section] = day_view().sections
    assert [job.state.value for job in section.jobs] == ["open"]


def test_a_test_is_written_down_and_puts_the_next_off(make: MakeLot, farm: FarmBook) -> None:
    code = make(65)
    assert only(code).is_due
    done = woken(said(code), *GREW)
    assert done.sentence == f"{code}: woken, 2 of 2 pieces grew, seen after 2 days."
    line = only(code)
    assert not line.is_due
    assert line.asks == "renew", "half of its time from now is past its end"
    assert line.woken == "woken 12 March: 2 of 2 pieces grew, seen after 2 days"
    assert jobs(farm) == ()
    assert "2 of 2 pieces grew" in lot_view(code).life[-1].what
    assert check() == ()


def test_a_failed_test_leads_back_to_the_mother_and_can_be_taken_back(make: MakeLot) -> None:
    mother, tube = make(30), make(30, transfers=2)
    done = woken(said(tube), 3, 0)
    assert "go back to a tube moved fewer times" in done.sentence
    line = only(tube)
    assert (line.asks, line.back_to, line.is_due) == ("mother", mother, True)
    assert "nothing grew" in line.asked
    undone(done.entry)
    assert only(tube).asks == "test"


def test_the_same_tap_is_one_test(make: MakeLot) -> None:
    code, tap = make(65), secrets.token_hex(16)
    first = woken(said(code, tap=tap), *GREW)
    again = woken(said(code, tap=tap), *GREW)
    assert (first.already, again.already) == (False, True)
    with pytest.raises(RefusedError, match="sent before"):
        woken(said(code, tap=tap), 2, 1, 2)
    assert Entry.objects.filter(kind="judge").count() == 1


def test_two_readings_of_a_plate_are_its_growth(make: MakeLot) -> None:
    plate = make(8, Stage.PLATE, place="inc-1")
    first = measure(said(plate, 4), 12.0)
    assert "Measure it again in 3 to 5 days" in first.sentence
    done = measure(said(plate), 32.0)
    assert done.sentence == f"{plate}: 5.0 mm a day, give or take 0.4."
    view, _ = tube_line(plate)
    [line] = view.plates
    assert (line.lot, line.mm_per_day, line.temperature_c, line.medium) == (
        plate,
        5.0,
        24.0,
        "malt agar",
    )
    assert "plate 1 measured: 32 mm" in lot_view(plate).life[-1].what
    assert looks(ZoneInfo("Europe/Vienna")) == (), "a measurement is no look for losses"
    undone(done.entry)
    assert tube_line(plate)[0].plates == ()
    assert check() == ()


def test_two_readings_at_once_and_of_several_plates(make: MakeLot) -> None:
    plate = make(8, Stage.PLATE, place="inc-1")
    before = NOW - timedelta(days=4)
    done = measure(said(plate), 20.0, before=read_at(before, 12.0), plate=2)
    assert "2.0 mm a day" in done.sentence
    measure(said(plate), 36.0, before=read_at(before, 12.0))
    rates = {line.plate: line.mm_per_day for line in tube_line(plate)[0].plates}
    assert rates == {1: 6.0, 2: 2.0}


def test_a_culture_that_slowed_is_said_and_leads_back(make: MakeLot) -> None:
    mother, tube = make(30), make(30, transfers=1)
    for days_ago, rate in ((60, 5.0), (40, 5.2), (20, 4.8), (0, 2.0)):
        plate = make(days_ago + 8, Stage.PLATE, place="inc-1", transfers=1)
        measure(said(plate, days_ago + 4), 10.0)
        measure(said(plate, days_ago), 10.0 + 4 * rate)
    view, _ = tube_line(tube)
    assert view.is_slower
    assert view.vigour.startswith("Slower than it was: 2.0 mm a day, give or take 0.4; the middle")
    line = only(tube)
    assert (line.asks, line.back_to, line.is_due) == ("mother", mother, True)
    assert only(mother).asks == "test", "it was moved fewer times than the plates"


def test_what_cannot_be_is_refused_and_writes_nothing(make: MakeLot) -> None:
    plate, tube = make(8, Stage.PLATE, place="inc-1"), make(30)
    measure(said(plate, 2), 20.0)
    before = Entry.objects.count()
    for wrong, words in (
        (lambda: measure(said(plate), 0.0), "more than 0"),
        (lambda: measure(said(plate), 500.0), "at most 150 mm"),
        (lambda: measure(said(plate), 15.0), "another plate"),
        (lambda: measure(said(plate), 15.0, plate=0), "1 to 1000"),
        (lambda: measure(said(plate), 25.0, before=read_at(NOW, 24.0)), "half a day"),
        (
            lambda: measure(said(plate), 25.0, before=read_at(NOW - timedelta(days=3), 30.0)),
            "30 mm",
        ),
    ):
        with pytest.raises(InputError, match=words):
            wrong()
    with pytest.raises(RefusedError, match="Only plates are measured"):
        measure(said(tube), 10.0)
    with pytest.raises(RefusedError, match="on the shelf of cultures"):
        tube_line("22222")
    assert Entry.objects.count() == before


def test_a_culture_without_a_tube_is_said_and_one_that_is_gone(make: MakeLot) -> None:
    make(8, Stage.PLATE, place="inc-1")
    warnings = {view.code: view.warning for view in shelf_view().cultures}
    assert warnings["g1"].startswith("No tube of it stands: put one up")
    assert warnings["g2"] == "Nothing of it stands on the shelf."
    assert list(warnings) == ["g1", "g2"], "what asks for something first, what is gone last"


def test_a_culture_that_is_gone_still_tells_how_its_plates_grew(make: MakeLot) -> None:
    for days_ago, rate in ((60, 5.0), (40, 5.2), (20, 4.8), (1, 2.0)):
        plate = make(days_ago + 8, Stage.PLATE, place="inc-1", culture="g2")
        measure(said(plate, days_ago + 4), 10.0)
        measure(said(plate, days_ago), 10.0 + 4 * rate)
        cull(said(plate), 6, "inc-1")
    gone = next(view for view in shelf_view().cultures if view.code == "g2")
    assert gone.is_gone
    assert [round(line.mm_per_day, 1) for line in gone.plates] == [2.0, 4.8, 5.2, 5.0]
    assert gone.is_slower
    assert gone.vigour.startswith("Slower than it was: 2.0 mm a day")


def test_what_is_held_back_says_so_and_is_no_mother(make: MakeLot) -> None:
    mother, tube = make(30), make(30, transfers=2)
    hold(said(mother), "green at the rim")
    woken(said(tube), 3, 0)
    assert only(mother).held == "green at the rim"
    assert only(tube).back_to == ""
    assert "get the culture anew (invented)" in only(tube).asked
