"""Heat, during a cook: begun, typed, drawn anew, ended, judged; a double tap counts once."""

from __future__ import annotations

import re
import secrets
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from django.http import HttpResponse
from django.test import Client
from django.utils import timezone

from farm.small_farm import describe
from pinset.chain.plain import to_plain
from pinset.chain.register import Instrument, InstrumentKind
from pinset.farm import job_store
from pinset.farm.job_store import JobToLay, PlanRow
from pinset.farm.models import Entry, WatchedCook, WatchedReading
from pinset.services.clock import now_utc
from pinset.services.cooks.loads import LoadPlan
from pinset.services.cooks.usual import usual_loads
from pinset.services.cooks.watch import watching as cook_watching
from pinset.services.cooks.watch.records import What
from pinset.services.frame import Frame
from pinset.services.jobs.records import JobKind, PlannedJob
from web.asking import CONFLICT, FOUND, MISSING, NO_METHOD, OK, UNFIT, sent_to_sign_in, words
from web.cooked import COOK, cooked
from web.shed import Shed, book_of, no_plan

PART = {"HX-Request": "true"}
LOAD = LoadPlan(rating_bar=1.5, conductivity=2.0, surface=500.0)


@pytest.fixture(autouse=True)
def folder(settings: object, tmp_path: Path) -> Path:
    settings.FARM_FOLDER = str(tmp_path)  # type: ignore[attr-defined]
    settings.LOGGER_FOLDER = tmp_path / "logger"  # type: ignore[attr-defined]
    return tmp_path


def tap() -> str:
    return secrets.token_hex(16)


def machine() -> str:
    return cook_watching.machines()[0].code


def begun(minutes_ago: float = 60.0, load: LoadPlan = LOAD) -> str:
    began = now_utc() - timedelta(minutes=minutes_ago)
    return cook_watching.begin(tap(), "ada", machine(), load, "f0=15", began_at=began)


def typed(code: str, minutes: range, chamber_c: float = 121.1, core_c: float | None = None) -> None:
    """Write readings down that end now, one a minute."""
    now = now_utc()
    for minute in minutes:
        values = {What.CHAMBER: chamber_c}
        if core_c is not None:
            values[What.CORE] = core_c
        at = now - timedelta(minutes=minutes.stop - 1 - minute)
        cook_watching.read(code, tap(), "ada", values, at=at)


def text(response: HttpResponse) -> str:
    return re.sub(r"\s+", " ", response.content.decode())


def test_strangers_are_sent_to_the_sign_in(stranger: Client, shed: Shed) -> None:  # noqa: ARG001
    code = begun()
    assert sent_to_sign_in(stranger, "/heat/during/")
    assert sent_to_sign_in(stranger, f"/heat/during/{code}/")
    assert sent_to_sign_in(stranger, f"/heat/during/{code}/end/", post=True)


def test_a_load_of_the_farm_fills_the_form_in(worker: Client) -> None:
    usual = usual_loads()[0]
    body = text(worker.get("/heat/during/", {"load": usual.code}))
    assert f'value="{usual.typed["mass"]}"' in body
    assert re.search(rf'<option value="{usual.steriliser}:{usual.cook_kind}" selected>', body)


def test_a_cook_is_begun_once_for_a_double_tap(worker: Client) -> None:
    usual = usual_loads()[0]
    form = {
        **usual.typed,
        "rule": "f0=15",
        "machine": f"{usual.steriliser}:{usual.cook_kind}",
        "client_id": tap(),
        "began": "",
        "cook": "",
    }
    answers = [worker.post("/heat/during/", form) for _ in range(2)]
    assert [answer.status_code for answer in answers] == [FOUND, FOUND]
    assert answers[0].headers["Location"] == answers[1].headers["Location"]
    watched = WatchedCook.objects.get()
    assert watched.begun_by == "ben"
    body = text(worker.get(answers[0].headers["Location"]))
    assert "No reading yet. Planned: Hold " in body
    assert not Entry.objects.filter(kind="verdict").exists()
    assert "No reading yet." in text(worker.get("/heat/during/"))


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"mass": "heavy"}, "What fills one weighs: “heavy” is not accepted"),
        ({"rule": "long"}, "What a core is to reach: “long” is not accepted"),
        ({"machine": "drum:straw"}, "Steriliser and kind of cook: “drum:straw” is not accepted"),
        ({"began": "noon"}, "Heated since: “noon” is not accepted"),
        ({"cook": "kettle-19990101-0000"}, "kettle-19990101-0000"),
    ],
)
def test_what_is_no_cook_is_not_begun(worker: Client, change: dict[str, str], told: str) -> None:
    usual = usual_loads()[0]
    form = {**usual.typed, "rule": "f0=15", "machine": machine(), "client_id": tap(), **change}
    answer = worker.post("/heat/during/", form)
    assert answer.status_code == UNFIT
    assert told in words(answer)
    assert not WatchedCook.objects.exists()


def test_the_sentence_comes_first(worker: Client) -> None:
    code = begun()
    typed(code, range(4))
    body = text(worker.get(f"/heat/during/{code}/"))
    heading = re.search(r"<h1[^>]*>(.*?)</h1>", body)
    assert heading is not None
    assert heading[1].startswith("Hold another ")
    assert "at 121.1 °C: until" in heading[1]
    for part in ("Core now, reckoned", "F0 so far", "Chamber", "Cool enough to inoculate"):
        assert part in body
    assert "No probe stands in a unit" in body
    assert "vessel&#39;s plate" in body, "the caution of pressure stands beside it"


def test_since_when_it_is_heated_is_asked_and_answered(worker: Client) -> None:
    code = cook_watching.begin(tap(), "ada", machine(), LOAD, "f0=15")
    began = now_utc() - timedelta(minutes=4)
    WatchedCook.objects.update(began_at=began)
    typed(code, range(4), core_c=60.0)
    page = f"/heat/during/{code}/"
    body = text(worker.get(page))
    assert "How long to hold is not known well" in body
    assert "Since when is it heated?" in body
    assert "Still to hold, at the most" in body
    assert "Enough at, if it goes on so" not in body
    assert re.search(r"<details[^>]* open> <summary>Heated since", body)
    zone = ZoneInfo("Europe/Vienna")
    for given in ("", "noon", f"{now_utc().astimezone(zone):%H:%M}"):
        answer = worker.post(f"{page}since/", {"since": given}, follow=True)
        if given:
            assert "Heated since: “" in words(answer)
        assert WatchedCook.objects.get().heated_since is None
    since = (now_utc() - timedelta(minutes=70)).astimezone(zone)
    answer = worker.post(f"{page}since/", {"since": f"{since:%H:%M}"}, follow=True)
    assert "Written down." in text(answer)
    assert "nobody said since when" not in text(answer)
    assert "the core does not show yet that it was heated as was said" in text(answer)
    assert "Enough at, if it goes on so" not in text(answer)
    assert f'value="{since:%H:%M}"' in text(answer)
    assert WatchedCook.objects.get().heated_since == since.replace(second=0, microsecond=0)


def test_readings_are_typed_with_a_comma_and_a_double_tap_counts_once(worker: Client) -> None:
    code = begun()
    form = {"client_id": tap(), "chamber_c": "118,7", "gauge_bar": "1.03", "core_c": ""}
    answers = [worker.post(f"/heat/during/{code}/", form, follow=True) for _ in range(2)]
    assert "Written down." in text(answers[0])
    assert "Recorded already." in text(answers[1])
    assert sorted(WatchedReading.objects.values_list("what", "value")) == [
        ("chamber_c", 118.7),
        ("gauge_bar", pytest.approx(1.03)),
    ]
    assert "typed" in text(answers[0])


def test_fahrenheit_and_psi_may_be_typed_with_their_unit(worker: Client) -> None:
    code = begun()
    worker.post(
        f"/heat/during/{code}/",
        {"client_id": tap(), "chamber_c": "250F", "gauge_bar": "15 psi"},
    )
    values = dict(WatchedReading.objects.values_list("what", "value"))
    assert values["chamber_c"] == pytest.approx(121.11, abs=0.01)
    assert values["gauge_bar"] == pytest.approx(1.034, abs=0.001)


@pytest.mark.parametrize(
    ("form", "told"),
    [
        ({}, "Reading is still empty"),
        ({"chamber_c": "250"}, "Chamber: “250 °C” is not accepted"),
        ({"core_c": "warm"}, "Core, by a probe in a unit: “warm” is not accepted"),
        ({"gauge_bar": "15"}, "Gauge: “15 bar” is not accepted"),
        ({"chamber_c": "90", "at": "late"}, "Read at: “late” is not accepted"),
    ],
)
def test_a_slip_is_refused_and_stays_in_its_field(
    worker: Client, form: dict[str, str], told: str
) -> None:
    code = begun()
    answer = worker.post(f"/heat/during/{code}/", {"client_id": tap(), **form})
    assert answer.status_code == UNFIT
    assert told in words(answer)
    for value in form.values():
        assert f'value="{value}"' in text(answer)
    assert not WatchedReading.objects.exists()


def test_a_reading_typed_wrongly_is_taken_back(worker: Client) -> None:
    code, slip = begun(), tap()
    worker.post(f"/heat/during/{code}/", {"client_id": slip, "chamber_c": "18.7"})
    answer = worker.post(f"/heat/during/{code}/remove/{slip}/", follow=True)
    assert "That reading counts no more." in text(answer)
    assert "none yet" in text(answer)
    assert worker.post(f"/heat/during/{code}/remove/{tap()}/").status_code == CONFLICT


def test_the_part_that_changes_is_asked_for_alone_and_speaks_only_on_a_change(
    worker: Client,
) -> None:
    code = begun()
    typed(code, range(4))
    page = text(worker.get(f"/heat/during/{code}/"))
    asked = re.search(r'hx-get="([^"]+)" hx-trigger="every 20s"', page)
    assert asked is not None
    assert 'aria-live="polite"></p>' in page
    quiet = worker.get(asked[1], headers=PART)
    assert "<html" not in text(quiet)
    assert "watch-said" not in text(quiet)
    assert '<div id="watch-chart" hx-swap-oob="true"><figure' in text(quiet)
    worker.post(f"/heat/during/{code}/", {"client_id": tap(), "chamber_c": "95"})
    loud = text(worker.get(asked[1], headers=PART))
    assert (
        '<div hx-swap-oob="innerHTML:#watch-said">Interrupted: the chamber fell to 95 °C.' in loud
    )
    again = re.search(r'hx-get="([^"]+)"', loud)
    assert again is not None
    assert "watch-said" not in text(worker.get(again[1], headers=PART))


def test_pressure_above_the_plate_is_said_first(worker: Client) -> None:
    code = begun()
    worker.post(f"/heat/during/{code}/", {"client_id": tap(), "gauge_bar": "1.62"})
    body = text(worker.get(f"/heat/during/{code}/"))
    notes = re.findall(r'<div class="note( gone)?"><p><b>(.*?)</b>', body)
    assert notes[0] == (" gone", "The gauge shows 1.62 bar, above the plate&#39;s 1.5 bar.")


def test_above_the_plate_no_hold_is_offered(worker: Client) -> None:
    code = begun()
    typed(code, range(30))
    worker.post(f"/heat/during/{code}/", {"client_id": tap(), "gauge_bar": "1,9"})
    page = text(worker.get(f"/heat/during/{code}/"))
    headline = re.search(r'<h1 class="standing">(.*?)</h1>', page)
    assert headline
    assert headline[1] == "Heat off now: the gauge shows 1.9 bar, and the plate allows 1.5 bar."
    for offered in ("Hold another", "Still to hold", "To hold once", "Enough at"):
        assert offered not in page


def test_the_instrument_is_chosen_where_it_is_not_clear(worker: Client, shed: Shed) -> None:
    probes = tuple(
        Instrument(f"p{n}", f"Probe {n}", InstrumentKind.PROBE, "", 0.1 * n, shed.day)
        for n in (1, 2)
    )
    late = replace(probes[1], calibrated_on=shed.day - timedelta(days=400))
    describe(replace(book_of(shed.day), instruments=(probes[0], late)))
    page = text(worker.get("/heat/during/"))
    assert 'name="chamber_c_by"' in page
    assert 'name="core_c_by"' in page
    assert 'name="gauge_bar_by"' not in page
    answer = worker.post(
        "/heat/during/",
        {**usual_loads()[0].typed, "rule": "f0=15", "machine": machine(), "client_id": tap(),
         "core_c_by": "p2", "chamber_c_by": "p1"},
        follow=True,
    )  # fmt: skip
    assert WatchedCook.objects.get().instruments == {"chamber_c": "p1", "core_c": "p2"}
    shown = text(answer)
    assert "The core is read by Probe 2 (chosen when the watch began), right to 0.2 K" in shown
    assert "The calibration of Probe 2 is overdue since" in shown


def test_a_kept_log_begins_by_the_farms_clock(worker: Client, shed: Shed) -> None:  # noqa: ARG001
    code = begun(80)
    typed(code, range(30), core_c=121.0)
    worker.post(f"/heat/during/{code}/end/")
    judged = text(worker.post(f"/heat/during/{code}/judge/", follow=True))
    began = timezone.localtime(now_utc() - timedelta(minutes=29), ZoneInfo("Europe/Vienna"))
    found = re.search(r"Begins [^<]*?, (\d\d):(\d\d)\.", judged)
    assert found
    apart = (began.hour * 60 + began.minute - int(found[1]) * 60 - int(found[2])) % 1440
    assert apart in {0, 1, 1439}


def test_it_ends_and_is_judged_as_every_other_log(worker: Client, shed: Shed) -> None:
    cooked(shed.day)
    began = now_utc() - timedelta(minutes=80)
    code = cook_watching.begin(tap(), "ada", machine(), LOAD, "f0=15", began_at=began, cook=COOK)
    typed(code, range(30), core_c=121.0)
    assert "Enough since" in text(worker.get(f"/heat/during/{code}/"))
    ended = text(worker.post(f"/heat/during/{code}/end/", follow=True))
    assert "The cook has ended." in ended
    assert f'href="/heat/cook/{COOK}/"' in ended
    assert 'hx-trigger="every' not in ended
    log = worker.get(f"/heat/during/{code}/log.csv")
    assert log.headers["Content-Type"].startswith("text/csv")
    assert log.content.decode().startswith("time,chamber [°C],core [°C]\n")
    answer = worker.post(f"/heat/during/{code}/judge/", follow=True)
    assert "long enough" in text(answer).lower()
    address = answer.redirect_chain[-1][0]  # type: ignore[attr-defined]
    assert f"cook={COOK}" in address
    assert "rule=f0%3D15" in address
    late = worker.post(f"/heat/during/{code}/", {"client_id": tap(), "chamber_c": "90"})
    assert late.status_code == CONFLICT


def test_a_logger_in_the_folder_is_read_by_the_page(worker: Client, folder: Path) -> None:
    code = begun(10.0)
    logger = folder / "logger"
    logger.mkdir()
    begin = now_utc() - timedelta(minutes=9)
    rows = [f"{(begin + timedelta(minutes=m)).isoformat()},{80 + m}.0" for m in range(9)]
    (logger / "today.csv").write_text("\n".join(["time,chamber [°C]", *rows]) + "\n2026")
    body = text(worker.get(f"/heat/during/{code}/"))
    assert "Coming up, 88 °C now." in body
    assert "Logger's file: today.csv." in body


def test_a_cook_that_is_not_watched_is_not_there(worker: Client) -> None:
    for address in ("/heat/during/nothing/", "/heat/during/nothing/log.csv"):
        assert worker.get(address).status_code == MISSING
    assert worker.post("/heat/during/nothing/", {"client_id": tap(), "chamber_c": "90"}
                       ).status_code == MISSING  # fmt: skip
    code = begun()
    assert worker.get(f"/heat/during/{code}/log.csv").status_code == MISSING
    assert worker.get(f"/heat/during/{code}/end/").status_code == NO_METHOD
    assert worker.get("/heat/").status_code == OK
    assert 'href="/heat/during/"' in text(worker.get("/heat/"))


def test_a_farm_of_fahrenheit_types_fahrenheit_and_psi(
    worker: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    code = begun()
    monkeypatch.setattr(
        "pinset.web.middleware.frame", lambda: Frame("A farm", "Europe/Vienna", "us", 240.0)
    )
    worker.post(
        f"/heat/during/{code}/", {"client_id": tap(), "chamber_c": "250", "gauge_bar": "15"}
    )
    values = dict(WatchedReading.objects.values_list("what", "value"))
    assert values["chamber_c"] == pytest.approx(121.11, abs=0.01)
    assert values["gauge_bar"] == pytest.approx(1.034, abs=0.001)  # 1 psi is 6894.757 Pa
    body = text(worker.get(f"/heat/during/{code}/"))
    assert 'Chamber <span class="soft">(°F)</span>' in body
    assert 'Gauge <span class="soft">(psi)</span>' in body
    assert "250 °F" in body


def test_a_farm_of_fahrenheit_reads_no_metric_sentence(
    worker: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    code = begun()
    monkeypatch.setattr(
        "pinset.web.middleware.frame", lambda: Frame("A farm", "Europe/Vienna", "us", 240.0)
    )
    planned = text(worker.get(f"/heat/during/{code}/"))
    assert "No reading yet. Planned:" in planned
    assert "°F" in planned
    form = text(worker.get("/heat/during/", {"load": usual_loads()[0].code}))
    begin = now_utc() - timedelta(minutes=40)
    for minute in range(0, 40, 2):
        cook_watching.post(
            code,
            tap(),
            {What.CHAMBER: 112.0, What.GAUGE: 1.0},
            at=begin + timedelta(minutes=minute),
        )
    steam = text(worker.get(f"/heat/during/{code}/"))
    assert "steam should be" in steam
    for body in (planned, form, steam):
        main = body.split("<main", 1)[1].replace("1.1 bar or 15 psi", "")
        assert not re.findall(r"\d (?:°C|bar|kg|cm|m)\b", main)
    assert re.search(r'name="altitude"[^>]*value="[\d.]+ ft"', form)
    assert re.search(r'name="mass"[^>]*value="[\d.]+ lb"', form)
    assert re.search(r'name="size"[^>]*value="[\d.]+ x [\d.]+ in"', form)


def test_a_cook_is_watched_from_its_job(worker: Client, shed: Shed) -> None:
    usual = usual_loads()[0]
    job = PlannedJob(
        "cook:1", JobKind.COOK, "cook", shed.day, 12, "units", "vessels into the steamer",
        "steriliser", steriliser=usual.steriliser, cook_kind=usual.cook_kind,
    )  # fmt: skip
    body = {"plan": to_plain(no_plan(shed.day)), "remarks": [], "changes": []}
    plan = PlanRow(now_utc(), shed.day, 0, body, 0, 0, "x")
    row = JobToLay("", job.day, job.kind.value, to_plain(job), count=job.count)
    [code] = job_store.lay(plan, [], [row], [])
    page = worker.get(f"/jobs/{code}/").content.decode()
    assert f"/heat/during/?job={code}" in page
    begin = worker.get(f"/heat/during/?job={code}").content.decode()
    assert f'name="job" value="{code}"' in begin
    assert f'name="load" value="{usual.code}"' in begin
    assert worker.get("/heat/during/?job=none-such").status_code == OK
