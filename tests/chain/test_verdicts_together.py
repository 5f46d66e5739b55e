"""Verdicts on one cook taken together: the slowest core over all logs that count rules."""

from __future__ import annotations

from typing import Any

from pinset.chain.verdicts_together import SET_ASIDE, Said, counting, ruling


def log(entry: str, verdict: str, f0: float = 20.0, *, file: str = "", **more: Any) -> Said:
    core = {"name": "bag", "role": "core", "f0_min": f0, "unclear": more.pop("unclear", "")}
    room = {"name": "room", "role": "chamber", "f0_min": 1.0, "unclear": ""}
    judged = {"rule": "F0 15 min", "probes": [core, room]}
    return Said(entry, verdict, {"judged": judged, "log": file or entry, **more})


def by_hand(entry: str, verdict: str) -> Said:
    return Said(entry, verdict, {"by_hand": True, "reason": "watched"})


def stands(*said: Said) -> str:
    found = ruling(counting(said))
    return found.entry if found else ""


def test_of_two_loggers_in_one_load_the_slower_core_rules_in_either_order() -> None:
    quick, slow = log("quick", "pass", 30.0), log("slow", "pass", 16.0)
    assert stands(quick, slow) == stands(slow, quick) == "slow"
    short = log("short", "fail", 0.3)
    assert stands(quick, short) == stands(short, quick) == "short"
    assert stands(short, quick, log("shorter", "fail", 0.1)) == "shorter"
    assert stands() == ""


def test_one_that_fell_short_counts_until_a_pass_sets_it_aside_by_name() -> None:
    short, other = log("short", "fail", 0.3), log("other", "fail", 2.0)
    over = log("over", "pass", 25.0, **{SET_ASIDE: ["short"]})
    assert stands(short, over) == "over"
    assert stands(short, other, over) == "other"
    assert stands(short, over, log("slow", "pass", 16.0)) == "slow"
    assert stands(short, by_hand("own", "pass")) == "short", "watching alone overturns no log"
    assert stands(log("long", "pass"), by_hand("own", "fail")) == "own"


def test_a_log_judged_again_counts_once_but_not_away_from_too_short() -> None:
    assert stands(log("one", "unjudged", file="a"), log("two", "pass", file="a")) == "two"
    assert stands(log("one", "pass", 16.0, file="a"), log("two", "pass", file="a")) == "two"
    assert stands(log("one", "fail", file="a"), log("two", "pass", file="a")) == "one"
    assert stands(log("one", "fail", file="a"), log("two", "unjudged", file="a")) == "one"
    assert stands(log("one", "fail", file="a"), log("two", "fail", file="a")) == "two"


def test_a_log_that_tells_nothing_of_a_core_leaves_the_cook_open() -> None:
    gap = log("gap", "unjudged", unclear="it gave no reading in the last 40 min")
    assert stands(gap, log("long", "pass")) == stands(log("long", "pass"), gap) == "gap"
    chamber_only = Said("room", "unjudged", {"log": "r", "judged": {"probes": []}})
    assert stands(log("long", "pass"), chamber_only) == "long", "it says nothing of any core"
    assert stands(gap, by_hand("own", "pass")) == "own"


def test_where_only_a_hold_is_asked_for_the_shortest_hold_is_the_slowest() -> None:
    def held(entry: str, f0: float, hold: float) -> Said:
        core = {"role": "core", "f0_min": f0, "hold_min": hold, "unclear": ""}
        judged = {"rule": "120 min at 70 °C", "probes": [core]}
        return Said(entry, "pass", {"log": entry, "judged": judged})

    assert stands(held("brief", 9.0, 121.0), held("lasting", 0.1, 300.0)) == "brief"


def test_a_whole_log_takes_the_place_of_its_beginning_unless_that_fell_short() -> None:
    part = log("part", "unjudged", unclear="it ends in the hold")
    whole = log("whole", "pass", 47.0)
    assert stands(part, whole) == "part", "nothing says that it is the same log"
    whole.details["judged"]["replaces"] = ["part"]
    assert stands(part, whole) == "whole"
    assert stands(log("part", "fail", 0.3), whole) == "part"
    worse = log("worse", "fail", 0.2)
    worse.details["judged"]["replaces"] = ["part"]
    assert [each.entry for each in counting([log("part", "fail", 0.3), worse])] == ["worse"]
