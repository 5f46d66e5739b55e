"""Chores are done by the one door, answer their job, and what is due follows."""

from __future__ import annotations

import secrets
from dataclasses import replace
from datetime import timedelta

import pytest

from farm.small_farm import NOW, TODAY
from pinset.chain.outages import Outage, OutageOf
from pinset.chain.register import FarmBook
from pinset.chain.upkeep_due import State
from pinset.errors import InputError, RefusedError
from pinset.farm import door, job_store, register_store
from pinset.farm.check import check
from pinset.farm.entries import Kind
from pinset.farm.models.register import RegisterKind
from pinset.farm.trade import Tap
from pinset.services.answers import putting_off, recording, taking_back
from pinset.services.book_reader import Reader
from pinset.services.cooks.setting import complaints, known_instruments
from pinset.services.day.today import day_view, job_view
from pinset.services.farms.export import current_book
from pinset.services.plans.planning_day import farm_book
from pinset.services.upkeep.compared import compared
from pinset.services.upkeep.doing import ChoreTap, done
from pinset.services.upkeep.due import chores_now
from pinset.services.upkeep.in_step import bring_in_step
from pinset.services.upkeep.jobs import due_jobs, soon_notes
from pinset.services.views import JobState


def said(chore: str, reading: str = "", *, days_ago: float = 0.0, **more: object) -> ChoreTap:
    at = NOW - timedelta(days=days_ago) if days_ago else None
    given: dict[str, object] = {"why": "written on paper" if days_ago else "", **more}
    return ChoreTap(chore, "ben", secrets.token_hex(16), at, reading, **given)  # type: ignore[arg-type]


def states(book: FarmBook) -> dict[str, State]:
    return {each.chore.code: each.due.state for each in chores_now(book, TODAY)}


def open_codes() -> dict[str, str]:
    return {str(row.body["chore"]): row.code for row in job_store.open_jobs()}


def cooks(*days_ago: float) -> None:
    taps = [Tap(secrets.token_hex(16), NOW - timedelta(days=days)) for days in days_ago]
    said_of = {"steriliser": "kettle", "cook_kind": "grain"}
    entries = [tap.entry(Kind.COOK, details={**said_of, "cook": tap.client_id[:8]}) for tap in taps]
    door.record(entries, now=NOW)


def test_what_is_due_is_worked_out(farm: FarmBook) -> None:
    assert states(farm) == {
        "probe": State.OVERDUE,  # its calibration held 365 days and is 400 days old
        "floor": State.OVERDUE,
        "lamp": State.SOON,
        "hepa": State.LATER,
        "empty": State.LATER,
        "seal": State.LATER,
    }


def test_jobs_stand_in_the_room_of_the_thing_with_minutes_and_caution(farm: FarmBook) -> None:
    jobs = {job.chore: job for job in due_jobs(Reader(farm, TODAY))}
    assert set(jobs) == {"floor", "probe"}
    floor = jobs["floor"]
    assert (floor.room_kind, floor.minutes, floor.cautions) == (
        "laboratory",
        40,
        ("disinfectants",),
    )
    assert floor.what == "chore: Wash the floor, Laboratory"
    assert floor.detail == "Last done 3 March, every 7 days; usually Ben"
    assert floor.first_day == TODAY - timedelta(days=2)
    assert jobs["probe"].room_kind == "steriliser"
    assert soon_notes(Reader(farm, TODAY)) == (
        "Upkeep coming soon: Read the lamp's hours, Clean bench (Sunday).",
    )


def test_a_tap_on_today_does_a_chore_and_undo_brings_it_back(farm: FarmBook) -> None:
    bring_in_step(farm, NOW)
    code = open_codes()["floor"]
    assert job_view(code).late_cost == "2 days late"
    tap = secrets.token_hex(16)
    recording.done(code, person="ben", client_id=tap)
    assert states(farm)["floor"] is State.LATER
    view = next(job for section in day_view().sections for job in section.jobs if job.job == code)
    assert view.state is JobState.DONE
    taking_back.undo(tap, person="ben", client_id=secrets.token_hex(16), reason="a slip")
    assert states(farm)["floor"] is State.OVERDUE
    assert open_codes()["floor"] == code
    assert check() == ()


def test_done_on_its_page_it_answers_the_job(farm: FarmBook) -> None:
    bring_in_step(farm, NOW)
    code = open_codes()["floor"]
    answer = done(said("floor", note="under the racks, too"))
    assert answer.sentence == "Wash the floor, Laboratory: done. Next due 19 March."
    assert "floor" not in open_codes()
    row = job_store.job_by_code(code)
    assert row is not None
    assert row.is_closed
    assert not row.is_withdrawn


def test_the_same_tap_is_one_entry_and_another_answer_is_refused(farm: FarmBook) -> None:  # noqa: ARG001
    tap = said("hepa", "150")
    assert not done(tap).already
    assert done(tap).already
    with pytest.raises(RefusedError, match="sent before"):
        done(replace(tap, reading="160"))
    with pytest.raises(InputError, match="fresh random id"):
        done(replace(tap, chore="floor", reading=""))


def test_a_reading_is_asked_for_and_its_nonsense_refused(farm: FarmBook) -> None:
    with pytest.raises(InputError, match="a pressure drop"):
        done(said("hepa"))
    with pytest.raises(InputError, match="at most 2,500 Pa"):
        done(said("hepa", "90000"))
    with pytest.raises(InputError, match="reads nothing off"):
        done(said("floor", "7"))
    with pytest.raises(RefusedError, match="no chore roof"):
        done(said("roof"))
    assert states(farm)["hepa"] is State.LATER
    bring_in_step(farm, NOW)
    with pytest.raises(RefusedError, match="pinset upkeep done probe --reading"):
        recording.done(open_codes()["probe"], person="ben", client_id=secrets.token_hex(16))


def test_a_filter_at_its_limit_asks_for_a_new_one(farm: FarmBook) -> None:
    answer = done(said("hepa", "225 Pa"))
    assert answer.findings == (
        "It is at its limit: it stays on the list until somebody says that it was changed.",
    )
    [job] = [job for job in due_jobs(Reader(farm, TODAY)) if job.chore == "hepa"]
    assert job.detail == ("To be changed or mended; 225 Pa on 12 March, and its limit is 220 Pa")
    assert "hepa" in open_codes()
    with pytest.raises(RefusedError, match="far below"):
        done(said("hepa", "120 Pa"))
    changed = done(said("hepa", "120 Pa", is_changed=True))
    assert changed.sentence.startswith("Read the main filter, Clean bench: changed or mended, 120")
    assert states(farm)["hepa"] is State.LATER
    assert "hepa" not in open_codes()


def test_something_amiss_needs_words_and_stays_until_mended(farm: FarmBook) -> None:
    with pytest.raises(InputError, match="what is amiss"):
        done(said("seal", is_amiss=True))
    done(said("seal", is_amiss=True, note="hard, and steam at the hinge"))
    assert states(farm)["seal"] is State.TODAY
    code = open_codes()["seal"]
    with pytest.raises(RefusedError, match="found amiss"):
        recording.done(code, person="ben", client_id=secrets.token_hex(16))
    done(said("seal", is_changed=True))
    assert states(farm)["seal"] is State.LATER
    with pytest.raises(InputError, match="one of the two"):
        done(said("seal", is_changed=True, is_amiss=True, note="x"))


def test_cooks_are_counted_from_the_last_time(farm: FarmBook) -> None:
    done(said("seal", days_ago=5))
    cooks(6, 4, 3, 2)  # the first was before it
    assert states(farm)["seal"] is State.OVERDUE
    [seal] = [each for each in chores_now(farm, TODAY) if each.chore.code == "seal"]
    assert (seal.due.uses, seal.due.on) == (3, TODAY - timedelta(days=2))
    done(said("seal"))
    assert states(farm)["seal"] is State.LATER


def test_a_comparison_is_the_calibration_the_verdict_goes_by(farm: FarmBook) -> None:
    [said_of_it] = complaints()
    assert said_of_it == (
        f"The calibration of Core probe is overdue since {TODAY - timedelta(days=35)}: it was "
        f"last compared on {TODAY - timedelta(days=400)}."
    )
    answer = done(said("probe", "-0.2 K", reference="ice and steam"))
    assert complaints() == ()
    [probe] = known_instruments(compared(farm), TODAY)[:1]
    assert (probe.error, probe.note) == (0.2, f"compared with ice and steam on {TODAY}")
    assert states(farm)["probe"] is State.LATER
    taking_back.undo(answer.entry, person="ada", client_id=secrets.token_hex(16), reason="slip")
    assert len(complaints()) == 1
    assert states(farm)["probe"] is State.OVERDUE


def test_a_later_date_in_the_register_counts_as_well(farm: FarmBook) -> None:
    done(said("probe", "0.2", days_ago=3))
    by_hand = replace(farm.instruments[0], calibrated_on=TODAY, error=0.1)
    register_store.write([by_hand], TODAY, "", NOW)
    book = register_store.book(TODAY)
    assert compared(book).instruments == (by_hand,)
    [probe] = [each for each in chores_now(book, TODAY) if each.chore.code == "probe"]
    assert probe.due.on == TODAY + timedelta(days=365)


def test_what_is_compared_otherwise_takes_no_reference(farm: FarmBook) -> None:  # noqa: ARG001
    with pytest.raises(InputError, match="only probes and gauges"):
        done(said("floor", reference="ice"))


def test_put_off_for_days_with_a_reason_and_never_dropped(farm: FarmBook) -> None:
    bring_in_step(farm, NOW)
    code = open_codes()["floor"]
    fresh = lambda: {"person": "ben", "client_id": secrets.token_hex(16)}  # noqa: E731
    with pytest.raises(InputError, match="why"):
        putting_off.not_today(code, reason=" ", **fresh())
    with pytest.raises(InputError, match="1 to 60"):
        putting_off.not_today(code, reason="no time", days=90, **fresh())
    with pytest.raises(RefusedError, match="done or put off"):
        putting_off.not_at_all(code, reason="no time", **fresh())
    answer = putting_off.not_today(code, reason="no time", days=3, **fresh())
    assert answer.sentence.endswith("not today, Sunday again.")
    assert job_view(code).state is JobState.NOT_TODAY
    bring_in_step(farm, NOW)
    assert open_codes()["floor"] == code


def test_a_room_put_out_of_use_is_emptied_then(farm: FarmBook) -> None:  # noqa: ARG001
    first = TODAY + timedelta(days=4)
    out = Outage("swap", OutageOf.ROOM, "grow", first, first + timedelta(days=2))
    register_store.write([out], TODAY, "", NOW)
    book = register_store.book(TODAY)
    [empty] = [each for each in chores_now(book, TODAY) if each.chore.code == "empty"]
    assert (empty.due.on, empty.due.state) == (first, State.SOON)


def test_done_chores_are_exported_as_they_stand(farm: FarmBook) -> None:  # noqa: ARG001
    done(said("hepa", "120", is_changed=True))
    done(said("probe", "0.3"))
    book = current_book()
    hepa = next(each for each in book.upkeep if each.code == "hepa")
    assert (hepa.since, hepa.first_reading) == (TODAY, 120.0)
    assert (book.instruments[0].error, book.instruments[0].calibrated_on) == (0.3, TODAY)


def test_what_was_read_before_the_books_is_held_against_the_next(farm: FarmBook) -> None:
    lamp = next(each for each in farm.upkeep if each.code == "lamp")
    known = replace(lamp, since=TODAY - timedelta(days=27), last_reading=1200.0)
    register_store.write([known], TODAY, "", NOW)
    [now] = [each for each in chores_now(farm_book(NOW)[0], TODAY) if each.chore.code == "lamp"]
    assert now.due.wear is not None
    assert (now.due.wear.now, now.due.wear.on) == (1200.0, known.since)
    with pytest.raises(InputError, match="1,200 h or more, as on 13 February"):
        done(said("lamp", "1100"))
    with pytest.raises(InputError, match="no more hours went by"):
        done(said("lamp", "2000"))
    done(said("lamp", "1300"))
    [lamp] = [each for each in current_book().upkeep if each.code == "lamp"]
    assert (lamp.since, lamp.last_reading) == (TODAY, 1300.0)


def test_what_is_amiss_is_exported_until_it_is_mended(farm: FarmBook) -> None:  # noqa: ARG001
    done(said("seal", is_amiss=True, note="a crack; left side"))
    [seal] = [each for each in current_book().upkeep if each.code == "seal"]
    assert (seal.since, seal.amiss) == (TODAY, "a crack; left side")
    done(said("seal", is_changed=True))
    [seal] = [each for each in current_book().upkeep if each.code == "seal"]
    assert (seal.since, seal.amiss) == (TODAY, "")


def test_an_ended_chore_leaves_the_list(farm: FarmBook) -> None:
    bring_in_step(farm, NOW)
    assert "floor" in open_codes()
    register_store.write([], TODAY, "", NOW, retire=[(RegisterKind.CHORE, "floor")])
    bring_in_step(register_store.book(TODAY), NOW)
    assert "floor" not in open_codes()
