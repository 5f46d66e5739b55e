from dataclasses import replace
from datetime import timedelta

from learning.farm_of_lots import DAYS, FRUITING, GRAIN, TODAY, borne, grown
from pinset.chain.register import Spread
from pinset.learning.counted import counted, left_after, lost_units, old_enough_days
from pinset.learning.figures import LeftOut


def test_a_lot_counts_by_the_day_it_began_and_not_by_being_over() -> None:
    assert old_enough_days(GRAIN) == 17
    young = TODAY - timedelta(days=16)
    lots = [
        grown(1, 30, 30, young),  # over already, since all of it was lost
        grown(2, 30, 0, TODAY - timedelta(days=17)),
        replace(grown(3, 30, 1), standing=29, left_after=None),  # old, still in stock
    ]
    found = counted(lots, GRAIN, TODAY)
    assert [spell.lot for spell in found.spells] == ["G2", "G3"]
    assert found.left_out == LeftOut(young=1)


def test_two_weeks_at_least_even_for_what_is_ready_at_once() -> None:
    assert old_enough_days(replace(GRAIN, days=Spread(0.0, 0.0, 0.0))) == 14


def test_fruiting_lots_count_after_the_most_days_of_all_flushes_and_when_over() -> None:
    assert old_enough_days(FRUITING) == 17 + 14 + 6
    lots = [
        borne(1, (300.0, 150.0)),
        replace(borne(2, (300.0,)), standing=10),
        replace(borne(3, (300.0, 150.0)), is_together=False),
        replace(borne(4, (300.0, 150.0)), is_whole=False),
        borne(5, (300.0,), since=TODAY - timedelta(days=36)),
    ]
    found = counted(lots, FRUITING, TODAY)
    assert [spell.lot for spell in found.spells] == ["F1"]
    assert found.left_out == LeftOut(young=1, unclear=1, in_parts=1, unfinished=1)


def test_units_taken_out_for_another_cause_are_lost_only_while_the_lot_grows() -> None:
    spell = grown(1, 30, 2, culled=((9, 1), (15, 3), (16, 4), (40, 5)))
    assert lost_units(spell, GRAIN) == 2 + 1 + 3  # first used on day 15
    never_used = replace(spell, left_after=None)
    assert lost_units(never_used, GRAIN) == 2 + 1 + 3 + 4  # grown by day 17 at the latest
    assert DAYS.high == 17.0


def test_days_until_units_were_used_are_told_of_two_lots_or_more() -> None:
    assert left_after([grown(1, 30, 0)]) is None
    lots = [grown(n, 30, 0, left_after=10 + n) for n in range(10)]
    assert left_after(lots) == (11.0, 15.0, 19.0)
