"""Losses of drawn farms whose truth is known: what stands out, and what may still come."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from math import exp, log

import numpy as np
import pytest
from scipy.special import betaln

from learning.losses.drawn_farm import (
    EXPECTED,
    LOOKS,
    SHARE,
    SHOWING,
    START,
    USUAL,
    drawn_farm,
)
from pinset.chain.histories import LotHistory, Seen, Shared
from pinset.chain.stages import Stage
from pinset.errors import InputError
from pinset.learning.incidence.fit import fit
from pinset.learning.incidence.report import confused, suspects
from pinset.learning.losses.mothers import mothers_of
from pinset.learning.losses.physics import (
    MOST,
    of_cook,
    of_open_minutes,
    of_plates,
    survivors,
)
from pinset.learning.losses.ranking import SIGN_ODDS, costliest, ranked, recentred, short_list
from pinset.learning.losses.reckoned import laws_of_showing, reckon
from pinset.learning.losses.records import Reckoned
from pinset.learning.losses.sisters import sisters
from pinset.learning.losses.told import WORK, log_rate, told
from pinset.learning.showing import Usual, mixed


def seeded(seed: int) -> np.random.Generator:
    return np.random.Generator(np.random.PCG64(seed))


def test_a_cook_that_costs_nine_times_as_much_stands_out_on_most_farms() -> None:
    named = 0
    for seed in range(10):
        farm = drawn_farm(seeded(seed), raised=(Shared.COOK, "cook-60"), by=2.2)
        result = fit(told(farm.lots, SHOWING, EXPECTED).records)
        found = ranked(suspects(result), confused(result), farm.lots, {})
        assert all(each.suspect.factor != WORK for each in found)
        assert [each.together for each in found] == sorted(
            (each.together for each in found), reverse=True
        )
        first = [(each.kind, each.suspect.level) for each in short_list(found)[:3]]
        named += (Shared.COOK, "cook-60") in first
        costs = [each.suspect.excess for each in costliest(found)]
        assert costs == sorted(costs, reverse=True)
    assert named >= 8


def test_on_quiet_farms_hardly_anything_stands_out() -> None:
    named = 0
    for seed in range(6):
        farm = drawn_farm(seeded(100 + seed), lots=150, quiet_sd=0.05)
        result = fit(told(farm.lots, SHOWING, EXPECTED).records)
        named += len(short_list(ranked(suspects(result), confused(result), farm.lots, {})))
    assert named <= 2


def test_young_lots_count_as_not_seen_yet() -> None:
    """Stopped while the raised session's lots are young, against a fit that knows of no delay."""
    level = "session-100"
    farm = drawn_farm(seeded(3), raised=(Shared.SESSION, level), by=2.2, until_day=105.0)
    young = [lot for lot in farm.lots if lot.shared[Shared.SESSION] == level]
    assert max(lot.last_seen_days for lot in young) < 6.0
    at_once = {Stage.GRAIN: mixed({"green-dust": Usual(0.1, 0.2, 0.4)}, {})}
    found = {}
    for name, law in (("delayed", SHOWING), ("at once", at_once)):
        result = fit(told(farm.lots, law, EXPECTED).records)
        found[name] = next(each for each in suspects(result) if each.level == level)
    assert found["delayed"].mean > 1.5 * found["at once"].mean
    assert found["delayed"].raised > found["at once"].raised


def test_what_may_still_come_of_lots_adds_up() -> None:
    """Over farms stopped half way, as many units are lost later as was expected."""
    expected = later = 0.0
    for seed in range(8):
        farm = drawn_farm(seeded(40 + seed), until_day=140.0)
        data = told(farm.lots, SHOWING, EXPECTED)
        result = fit(data.records)
        for each in sisters(data, result):
            expected += each.expected_lost
            later += farm.bad[each.lot] - farm.shown[each.lot]
    assert later > 100
    assert expected == pytest.approx(later, rel=0.15)


def test_lines_people_and_shelves_are_held_against_their_own_kind() -> None:
    farm = drawn_farm(seeded(12), raised=(Shared.PERSON, "person-1"), by=0.8)
    plain = suspects(fit(told(farm.lots, SHOWING, EXPECTED).records))
    held = recentred(plain)
    for kind in ("person", "line", "place"):
        own = [each for each in held if each.factor == kind]
        whole = sum(each.vessels for each in own)
        assert sum(each.mean * each.vessels for each in own) / whole == pytest.approx(0.0, abs=1e-9)
        worst = max(own, key=lambda each: each.mean)
        assert worst.excess == pytest.approx(worst.lost * (1.0 - 1.0 / worst.ratio))
    people = {each.level: each for each in held if each.factor == "person"}
    assert people["person-1"].ratio == max(each.ratio for each in people.values())
    assert any(each.excess < 0.0 for each in people.values())
    assert [each for each in held if each.factor == "cook"] == [
        each for each in plain if each.factor == "cook"
    ]


def test_signs_that_point_move_a_suspect_up_but_never_far() -> None:
    farm = drawn_farm(seeded(5))
    result = fit(told(farm.lots, SHOWING, EXPECTED).records)
    everything, pairs = suspects(result), confused(result)
    cook = farm.lots[40].shared[Shared.COOK]
    of_cook_lots = [lot.lot for lot in farm.lots if lot.shared[Shared.COOK] == cook]
    pointing = {lot: frozenset({Shared.COOK}) for lot in of_cook_lots}
    plain = {
        (each.kind, each.suspect.level): each for each in ranked(everything, pairs, farm.lots, {})
    }
    signed = {
        (each.kind, each.suspect.level): each
        for each in ranked(everything, pairs, farm.lots, pointing)
    }
    moved = signed[Shared.COOK, cook]
    assert moved.signs_for == len(of_cook_lots) == 4
    assert moved.by_signs == pytest.approx(log(20.0))
    assert moved.by_counts == plain[Shared.COOK, cook].by_counts
    session = farm.lots[40].shared[Shared.SESSION]
    against = signed[Shared.SESSION, session]
    assert against.signs_against == 2
    assert against.by_signs == pytest.approx(-2.0 * log(SIGN_ODDS))


def test_what_physics_predicts_is_where_an_unknown_cook_stands() -> None:
    farm = drawn_farm(seeded(6))
    level = farm.lots[-1].shared[Shared.COOK]
    unseen = tuple(
        replace(lot, seen=()) if lot.shared[Shared.COOK] == level else lot for lot in farm.lots
    )
    data = told(unseen, SHOWING, EXPECTED, {(Shared.COOK, level): 0.8})
    at = next(each for each in suspects(fit(data.records)) if each.level == level)
    assert at.mean == pytest.approx(0.8, abs=0.05)
    assert at.too_few_lots


def test_finds_before_anything_should_show_are_kept() -> None:
    farm = drawn_farm(seeded(7), lots=40)
    first = farm.lots[0]
    early = replace(first, seen=(replace(first.seen[0], until_days=0.1, found=1),))
    data = told((early, *farm.lots[1:]), SHOWING, EXPECTED)
    assert data.records.lost_left_out == 0
    assert np.isfinite(fit(data.records).mean).all()


@pytest.mark.parametrize("what", ["none", "clean", "lost", "one"])
def test_farms_that_say_little_say_so(what: str) -> None:
    farm = drawn_farm(seeded(8), lots=30)
    lots = {
        "none": (),
        "clean": tuple(
            replace(lot, seen=tuple(replace(each, found=0) for each in lot.seen))
            for lot in farm.lots
        ),
        "lost": tuple(
            replace(lot, seen=(replace(lot.seen[0], found=lot.seen[0].units),), standing=0)
            for lot in farm.lots
        ),
        "one": farm.lots[:1],
    }[what]
    data = told(lots, SHOWING, EXPECTED)
    result = fit(data.records)
    assert result.findings
    assert np.isfinite(result.mean).all()
    found = ranked(suspects(result), confused(result), lots, {})
    if what != "lost":
        assert short_list(found) == ()
    for each in sisters(data, result):
        assert 0.0 <= each.chance <= 1.0


def test_a_stage_nobody_knows_the_delay_of() -> None:
    farm = drawn_farm(seeded(9), lots=3)
    with pytest.raises(InputError):
        told(farm.lots, {}, EXPECTED)


def test_seen_share_is_that_of_the_last_look() -> None:
    farm = drawn_farm(seeded(10), lots=3)
    data = told(farm.lots, SHOWING, EXPECTED)
    shown = float(next(iter(SHOWING.values())).shown_by(LOOKS[-1]))
    assert data.seen_share() == pytest.approx([shown] * 3)


def test_rates_of_shares() -> None:
    assert 1.0 - exp(-exp(log_rate(SHARE))) == pytest.approx(SHARE)
    assert np.isfinite(log_rate(0.0))
    assert np.isfinite(log_rate(1.0))


def test_what_a_cook_lets_expect_falls_with_lethality_and_is_a_drawn_mean() -> None:
    minutes = [0.0, 3.0, 8.0, 15.0, 30.0, 80.0]
    expected = [of_cook(each, 0.03) for each in minutes]
    assert expected == sorted(expected, reverse=True)
    rng = seeded(11)
    resistance = 10.0 ** rng.normal(-0.1, 0.35, 400_000)
    load = 10.0 ** rng.normal(3.0, 1.0, 400_000)
    for each, ours in zip(minutes[1:4], expected[1:4], strict=True):
        drawn = np.log1p(np.minimum(load * 10.0 ** (-each / resistance), 3.0) / 0.03)
        error = float(drawn.std() / np.sqrt(drawn.size))
        assert ours == pytest.approx(float(drawn.mean()), abs=5.0 * error + 0.03)
    assert float(survivors(0.0).max()) == 3.0


def test_predictions_of_cooks_and_sessions() -> None:
    assert of_cook(200.0, 0.03) == pytest.approx(0.0, abs=0.02)
    assert 0.2 < of_cook(9.0, 0.03) < 1.5
    assert of_cook(0.0, 0.01) == MOST
    assert of_open_minutes(10.0, 10.0) == pytest.approx(0.0)
    assert of_open_minutes(20.0, 10.0) == pytest.approx(log(1.3))
    for call in (
        lambda: survivors(-1.0),
        lambda: survivors(float("nan")),
        lambda: of_cook(5.0, 0.0),
        lambda: of_open_minutes(0.0, 5.0),
    ):
        with pytest.raises(InputError):
            call()


def test_mothers_that_were_not_clean_are_told_while_anything_of_them_grows() -> None:
    farm = drawn_farm(seeded(13), lots=6)
    plate = replace(
        farm.lots[0],
        stage=Stage.PLATE,
        seen=(Seen(0.0, 5.0, 30, 2),),
        standing=0,
        shared={},
    )
    grain = replace(farm.lots[1], seen=(Seen(0.0, 6.0, 30, 1),), shared={Shared.PARENT: plate.lot})
    second = replace(farm.lots[2], seen=(Seen(0.0, 6.0, 30, 1),), shared={Shared.PARENT: grain.lot})
    lots = (plate, grain, second)
    soon = plate.made_at + timedelta(days=10)
    told_of = {each.lot: each for each in mothers_of(lots, soon)}
    assert set(told_of) == {plate.lot, grain.lot}  # grain of grain is no mother
    assert told_of[plate.lot].children == (grain.lot,)
    assert told_of[plate.lot].children_units == grain.standing
    assert told_of[grain.lot].found == 1
    assert mothers_of(lots, plate.made_at + timedelta(days=60)) == ()
    gone = replace(grain, standing=0)
    assert plate.lot not in {each.lot for each in mothers_of((plate, gone), soon)}


def test_the_kept_curve_is_the_law() -> None:
    farm = drawn_farm(seeded(14), lots=30)
    found, _ = reckon(
        farm.lots,
        {Stage.GRAIN: USUAL},
        EXPECTED,
        predicted={},
        pointing={},
        now=START + timedelta(days=40),
    )
    [grain] = found.shows
    assert grain.shown_by(grain.half_days) == pytest.approx(0.5, abs=0.02)
    assert grain.shown_by(-1.0) == 0.0
    assert grain.shown_by(5000.0) == grain.by_day[-1]


def test_ranges_of_a_small_farm_are_averaged_over_how_much_suspects_differ() -> None:
    farm = drawn_farm(seeded(14), lots=60)
    found, at_the_likeliest = reckon(
        farm.lots,
        {Stage.GRAIN: USUAL},
        EXPECTED,
        predicted={},
        pointing={},
        now=START + timedelta(days=40),
    )
    plain = {(each.factor, each.level): each.sd for each in suspects(at_the_likeliest)}
    wider = [e.suspect.sd / plain[e.suspect.factor, e.suspect.level] for e in found.ranked]
    assert np.median(wider) > 1.02
    assert min(wider) > 1.0 - 1e-9


def test_plates_move_a_session_by_what_falls_into_its_vessels() -> None:
    jar = {"mouth_cm2": 38.5, "open_min": 0.5, "expected": 0.03}
    clean = of_plates(0, 2, 45.0, **jar)
    some = of_plates(4, 2, 45.0, **jar)
    many = of_plates(200, 2, 45.0, **jar)
    assert 0.0 < clean < some < many <= MOST
    # two clean plates say next to nothing; 4 colonies let 1.3 % of jars more be lost, 200 half
    area = 63.6173 * 2 * 45.0
    assert clean < 0.08
    assert some == pytest.approx(np.log1p((1 - np.exp(-4.5 / area * 38.5 * 0.5)) / 0.03), abs=0.08)
    assert many == pytest.approx(np.log1p((1 - np.exp(-200 / area * 38.5 * 0.5)) / 0.03), abs=0.02)
    with pytest.raises(InputError):
        of_plates(1, 2, 45.0, mouth_cm2=38.5, open_min=0.5, expected=0.0)
    with pytest.raises(InputError):
        of_plates(1, 0, 45.0, **jar)


def _reckoned(lots: list[LotHistory], **more: object) -> Reckoned:
    found, _ = reckon(
        lots,
        {Stage.GRAIN: USUAL},
        EXPECTED,
        **{"predicted": {}, "pointing": {}, "now": START + timedelta(days=400)} | more,  # type: ignore[arg-type]
    )
    return found


@pytest.mark.parametrize("count", [1, 25, 60])
def test_all_lost_and_all_clean_are_told_without_a_crash(count: int) -> None:
    farm = drawn_farm(seeded(3), lots=count)
    for share in (0, 1):
        lots = [
            replace(lot, standing=lot.units * (1 - share), seen=(Seen(0.0, 16.0, 30, 30 * share),))
            for lot in farm.lots
        ]
        found = _reckoned(lots)
        assert found.looked_at == count


def test_a_farm_that_never_looked_is_told_what_its_routes_expect() -> None:
    farm = drawn_farm(seeded(3), lots=12)
    unseen = [replace(lot, seen=(), standing=lot.units) for lot in farm.lots]
    found = _reckoned(unseen).sisters
    assert all(each.by_route for each in found)
    assert [each.chance for each in found] == pytest.approx([EXPECTED["grey", "grain"]] * 12)
    # the first look at one lot changes little of what is told of the others
    one = [replace(unseen[0], seen=(Seen(0.0, 5.0, 30, 0),)), *unseen[1:]]
    others = [each for each in _reckoned(one).sisters if each.lot != one[0].lot]
    assert not any(each.by_route for each in others)
    assert all(0.6 * SHARE < each.chance < SHARE for each in others)
    assert not any(each.by_route for each in _reckoned(drawn_farm(seeded(3), lots=60).lots).sisters)


def test_a_prediction_without_a_count_is_told_with_its_own_doubt() -> None:
    farm = drawn_farm(seeded(3), lots=60)
    level = Shared.SESSION, "session-9"
    unseen = [
        replace(lot, seen=(), standing=lot.units) if lot.shared[level[0]] == level[1] else lot
        for lot in farm.lots
    ]
    found = _reckoned(unseen, predicted={level: 2.0})
    [one] = [e.suspect for e in found.ranked if (e.kind, e.suspect.level) == level]
    assert one.lots == 0
    assert one.ratio == pytest.approx(exp(2.0), rel=0.2)
    assert log(one.high / one.low) >= 2 * 1.9 * 0.7  # the error of the prediction alone


def _few(bad: dict[int, int], lots: int, units: int = 12, age: float = 7.0) -> list[LotHistory]:
    """Return lots of sessions of four that were looked at once, some with so many units lost."""
    return [
        LotHistory(
            lot=f"L{number:03d}",
            variety="grey",
            step="grain",
            stage=Stage.GRAIN,
            made_at=START,
            units=units,
            standing=units - bad.get(number, 0),
            seen=(Seen(0.0, age, units, bad.get(number, 0)),),
            shared={Shared.SESSION: f"session-{number // 4}", Shared.PERSON: "p"},
        )
        for number in range(lots)
    ]


@pytest.mark.parametrize(("lost", "units"), [(17, 20), (9, 12), (3, 12), (1, 12), (0, 30)])
def test_the_only_lot_is_told_as_a_beta_binomial_by_hand_tells_it(lost: int, units: int) -> None:
    """Share q that shows by the look ~ Beta(m w, (1 - m) w), m the route's: a textbook's posterior.

    Of a unit clean by then the chance is 1 - (1 - q)^c, c = (1 - F) / F, whose posterior mean is
    1 - B(a, b + c) / B(a, b) with a = m w + lost, b = (1 - m) w + units - lost.
    """
    [lot] = _few({0: lost}, 1, units)
    showing = laws_of_showing([lot], {Stage.GRAIN: USUAL})
    by_look = float(showing[Stage.GRAIN].shown_by(7.0))
    c = (1.0 - by_look) / by_look
    mean = 1.0 - exp(-exp(log_rate(SHARE)) * by_look)
    [told_of] = _reckoned([lot]).sisters
    by_hand = []
    for weight in (2.0, 20.0):  # how many units the route counts for: from next to none to many
        a, b = mean * weight + lost, (1.0 - mean) * weight + units - lost
        by_hand.append(1.0 - exp(betaln(a, b + c) - betaln(a, b)))
    # the prior of the logarithm is normal and not beta: near 0 they differ most
    assert min(by_hand) / 1.25 < told_of.chance < 1.25 * max(by_hand)


def test_finds_count_from_the_first_lot_on_without_a_step() -> None:
    told_of = {}
    for lots in (8, 36, 39, 40, 41, 60):
        found = {e.lot: e for e in _reckoned(_few(dict.fromkeys(range(4), 9), lots)).sisters}
        told_of[lots] = found["L000"].chance
        assert found["L000"].chance > 10.0 * found[f"L{lots - 1:03d}"].chance
        assert not found["L000"].by_route
    assert min(told_of.values()) > 0.8 * max(told_of.values())
    assert told_of[39] == pytest.approx(told_of[40], rel=0.02)


def test_one_bad_lot_does_not_condemn_the_farm() -> None:
    first, *others = _few({0: 17}, 12, 20)
    unseen = [replace(each, seen=()) for each in others]
    found = {each.lot: each.chance for each in _reckoned([first, *unseen]).sisters}
    assert SHARE < found["L011"] < found["L001"] < 0.5


@pytest.mark.parametrize("day", [4.0, 8.0, 16.0])
def test_what_may_still_come_of_few_lots_adds_up(day: float) -> None:
    expected = later = 0.0
    for seed in range(25):
        farm = drawn_farm(seeded(700 + seed), until_day=day)
        data = told(farm.lots, SHOWING, EXPECTED)
        assert 0 < sum(bool(lot.seen) for lot in farm.lots) < 40
        for each in sisters(data, fit(data.records)):
            expected += each.expected_lost
            later += farm.bad[each.lot] - farm.shown[each.lot]
    assert later > 100
    assert expected == pytest.approx(later, rel=0.35)
