"""The rooms on the page of losses: flies and signs in words, drawn, with alarms and cautions."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.test import Client

from pinset.cli.losses import _print
from pinset.farm import door, trade
from pinset.farm.queries.rounds import MEASURED
from pinset.farm.trade import Taken, Tap
from pinset.services.clock import now_utc
from pinset.services.losses import reckoning
from pinset.services.losses.view import LossesView, losses_view
from web.asking import words
from web.shed import ZONE, Shed, book_of

PLACE = "/losses/"
QUIET = [14, 9, 17, 12, 20, 8, 15, 13, 11, 18, 10, 16]


def room_of(shed: Shed) -> tuple[str, str]:
    """Return the grow room and its first shelf."""
    room = next(r for r in book_of(shed.day).rooms if r.kind == "growing" and r.shelves)
    return room.code, room.shelves[0].code


def count_flies(
    shed: Shed, flies: Sequence[int], *, days: float | None = 7.0, ago: int = 0
) -> None:
    """Write a round a week down, the last one so many days ago; four traps."""
    now, (room, _shelf) = now_utc(), room_of(shed)
    for number, each in enumerate(reversed(flies)):
        at = now - timedelta(days=ago + 7 * number, minutes=5)
        entry = trade.rounds(Tap(f"{7000 + number:032x}", at, "ben"), [room])
        read = {"flies": each, "traps": 4} | ({"trap_days": days} if days else {})
        entry.details[MEASURED] = read
        door.record([entry], now=now)


def look_at(shed: Shed, seen: Sequence[int], sign: str = "blotch", *, days: int = 7) -> None:
    """Look over all that fruits, the last time yesterday at noon; what shows is left standing."""
    now, (_room, shelf) = now_utc(), room_of(shed)
    last = datetime.combine(shed.day - timedelta(days=1), time(12), ZoneInfo(ZONE))
    for number, each in enumerate(reversed(seen)):
        at = (last - timedelta(days=days * number)).astimezone(UTC)
        said = {"signs": [sign]} if each else {}
        tap = Tap(f"{8000 + number:032x}", at, "ben")
        entry = trade.look(tap, [Taken(shed.fruiting, 30, shelf)], details=said)
        entry.details["seen"] = each
        door.record([entry], now=now)


def view_now() -> LossesView:
    reckoning.reckon_now()
    view = losses_view()
    assert view is not None
    return view


def test_a_plague_of_flies_is_told_with_what_to_do(owner: Client, shed: Shed) -> None:
    count_flies(shed, [*QUIET, 90, 120])
    view = view_now()
    [room] = view.rooms
    [chart] = room.charts
    assert chart.alarm is not None
    assert chart.alarm.goes_on
    assert view.rooms_sentence == f"More than usual in {room.name} (flies on traps)."
    answer = owner.get(PLACE)
    said = words(answer)
    assert "210 flies in 2 counts, 3.8 per trap and day where 0.4" in said
    assert "120 flies on" in said
    assert "4.3 per trap and day" in said
    assert "no more often than once in about 26 counts of this room" in said
    assert "Spray nothing on mushrooms" in said
    assert "fitted P3 or N95 mask" in said
    assert "not seen at any look" not in said.lower()  # nobody looked
    html = answer.content.decode()
    assert 'class="room-usual"' in html
    assert html.count('class="room-raised"') == 2
    assert 'role="img" aria-label="' in html
    assert view.rooms_sentence in said


def test_the_terminal_tells_the_same(shed: Shed, capsys: pytest.CaptureFixture[str]) -> None:
    count_flies(shed, [*QUIET, 90, 120])
    view = view_now()
    _print(view)
    said = capsys.readouterr().out
    [chart] = view.rooms[0].charts
    assert chart.alarm is not None
    assert f"\nRooms {view.rooms_sentence}" in said
    for each in (chart.sentence, chart.trend_sentence, chart.alarm.sentence, chart.alarm.often):
        assert each in said
    assert view.rooms[0].cautions[0] in said


def test_a_tap_over_several_lots_forgets_nothing_that_stands(shed: Shed) -> None:
    now, (_room, shelf) = now_utc(), room_of(shed)
    look_at(shed, [4, 4])
    other = next(r for r in book_of(shed.day).rooms if r.kind == "incubation").shelves[0].code
    together = Tap("9" * 32, now - timedelta(days=3))
    door.record(
        [trade.look(together, [Taken(shed.fruiting, 30, shelf), Taken(shed.blocks, 40, other)])],
        now=now,
    )
    [chart] = view_now().rooms[0].charts
    assert sum(point.found for point in chart.points) == 4


def test_a_quiet_room_says_its_usual_and_raises_nothing(owner: Client, shed: Shed) -> None:
    count_flies(shed, QUIET)
    view = view_now()
    assert view.rooms_sentence == ""
    said = words(owner.get(PLACE))
    assert "Usual here: 0.4" in said
    assert "Steady: about the same from week to week" in said
    assert "by 8 counts in 7 weeks" in said
    assert "More than usual" not in said


def test_one_count_or_none_with_days_says_little(owner: Client, shed: Shed) -> None:
    count_flies(shed, [300])
    said = words(owner.get(PLACE)) if view_now() else ""
    assert "Too few counts yet (1)" in said
    assert "Too few counts within 8 weeks for a trend" in said
    assert "More than usual" not in said
    assert 'class="roomchart"' not in owner.get(PLACE).content.decode()


def test_counts_without_days_are_left_out(shed: Shed) -> None:
    count_flies(shed, QUIET, days=None)
    assert view_now().rooms == ()


def test_no_fly_ever(owner: Client, shed: Shed) -> None:
    count_flies(shed, [0] * 12)
    assert view_now().rooms_sentence == ""
    said = words(owner.get(PLACE))
    assert "None in 12 counts since" in said
    assert "with 95 % certainty under" in said
    assert "None in the last 8 counts" in said


def test_nothing_is_known_of_what_nobody_counted_since(owner: Client, shed: Shed) -> None:
    count_flies(shed, QUIET, ago=40)
    [chart] = view_now().rooms[0].charts
    assert "Nothing is known since" in chart.sentence
    assert (chart.trend, chart.trend_sentence) == ("", "")
    assert "Nothing is known since" in words(owner.get(PLACE))


def test_a_disease_in_a_grow_room(owner: Client, shed: Shed) -> None:
    look_at(shed, [0] * 14 + [6, 18])
    view = view_now()
    [chart] = view.rooms[0].charts
    assert chart.sign == "blotch"
    assert [point.found for point in chart.points][-2:] == [6, 12]  # 6 of 18 were known before
    assert chart.alarm is not None
    said = words(owner.get(PLACE))
    assert "12 of 30 units looked at" in said
    assert "Let caps dry between mistings" in said
    assert "Not seen at any look: flies, cobweb, green dust, mummies and dead pins." in said


def test_units_left_standing_are_not_found_each_day(shed: Shed) -> None:
    look_at(shed, [0, 0, 5, 5, 5, 5, 5, 5], days=1)
    [chart] = view_now().rooms[0].charts
    assert sum(point.found for point in chart.points) == 5
    assert all(point.of == 30 for point in chart.points)
    assert len(chart.points) in {2, 3}  # weeks, whatever the day of the week
    assert chart.alarm is None


def test_what_was_seen_is_found_anew_after_a_clean_look(shed: Shed) -> None:
    look_at(shed, [4, 0, 4])
    [chart] = view_now().rooms[0].charts
    assert [point.found for point in chart.points] == [4, 0, 4]
