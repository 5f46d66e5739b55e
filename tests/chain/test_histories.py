"""Who was last seen when: looks, units that go on, and counts that do not add up."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from pinset.chain.histories import HistoryTeller, Seen


def told(units: int = 40) -> HistoryTeller:
    teller = HistoryTeller()
    teller.come(units, 0.0)
    return teller


def test_looks_follow_one_another() -> None:
    teller = told()
    teller.look(5.0, 40, 2, 2, signs=("green-dust",), where="seam")
    teller.look(9.0, 38, 0)
    teller.look(12.0, 38, 1, 1)
    assert teller.seen == (
        Seen(0.0, 5.0, 40, 2, ("green-dust",), "seam"),
        Seen(5.0, 9.0, 38, 0),
        Seen(9.0, 12.0, 38, 1),
    )
    assert teller.standing == 37


def test_a_look_at_some_goes_to_those_not_seen_for_longest() -> None:
    teller = told()
    teller.look(5.0, 30, 0)
    teller.look(6.0, 20, 1, 1)
    assert teller.seen == (Seen(0.0, 5.0, 30, 0), Seen(0.0, 6.0, 10, 1), Seen(5.0, 6.0, 10, 0))


def test_what_goes_on_was_in_hand_and_clean() -> None:
    teller = told()
    teller.look(5.0, 30, 0)
    teller.leave(8.0, 35, is_seen=True)
    assert teller.seen[1:] == (Seen(5.0, 8.0, 30, 0), Seen(0.0, 8.0, 5, 0))
    assert teller.standing == 5


def test_what_is_culled_says_nothing() -> None:
    teller = told()
    teller.leave(8.0, 35, is_seen=False)
    assert teller.seen == ()
    assert teller.standing == 5


def test_units_seen_but_left_standing_are_found_once() -> None:
    teller = told()
    teller.look(5.0, 40, 3, 0)
    assert teller.standing == 37
    teller.look(6.0, 40, 3, 0)
    teller.look(7.0, 40, 4, 4)
    teller.look(8.0, 36, 1, 1)
    assert [each.found for each in teller.seen] == [3, 0, 1, 1]
    assert teller.standing == 35


def test_more_found_than_there_are_is_all_there_are() -> None:
    teller = told(4)
    teller.look(5.0, 2, 9, 9)
    assert teller.seen == (Seen(0.0, 5.0, 4, 4),)
    assert teller.standing == 0
    teller.look(6.0, 2, 1, 1)
    assert teller.standing == 0


def test_counted_again() -> None:
    teller = told(10)
    teller.recount(2)
    teller.look(3.0, 12, 0)
    teller.recount(-5)
    assert teller.units == 7
    assert teller.standing == 7


def test_a_look_before_it_was_known_says_nothing() -> None:
    teller = HistoryTeller()
    teller.come(10, 14.0)
    teller.look(12.0, 10, 0)
    assert teller.seen == ()
    teller.look(12.0, 10, 1, 1)
    assert teller.seen == (Seen(14.0, 14.0, 10, 1),)


MOVES = st.lists(
    st.tuples(
        st.sampled_from(["come", "look", "leave", "cull", "recount"]),
        st.floats(0.0, 60.0),
        st.integers(0, 30),
        st.integers(0, 30),
        st.integers(0, 30),
    ),
    max_size=20,
)


@given(MOVES)
def test_units_are_never_made_or_lost_in_telling(
    moves: list[tuple[str, float, int, int, int]],
) -> None:
    teller, gone = told(12), 0
    for what, age, one, two, three in sorted(moves, key=lambda each: each[1]):
        before = teller.standing
        if what == "come":
            teller.come(one, age)
        elif what == "look":
            teller.look(age, one, two, min(two, three))
        elif what == "recount":
            teller.recount(one - min(two, before))
        else:
            teller.leave(age, one, is_seen=what == "leave")
            gone += before - teller.standing
        found = sum(each.found for each in teller.seen)
        assert teller.units == teller.standing + found + gone
        for each in teller.seen:
            assert 0 <= each.found <= each.units
            assert each.after_days <= each.until_days
