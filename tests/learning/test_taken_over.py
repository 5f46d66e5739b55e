from dataclasses import replace
from datetime import date

from learning.farm_of_lots import ROUTE
from pinset.chain.register import Route, Spread
from pinset.learning.figures import What
from pinset.learning.taken_over import TakenOver, base_of, marked, taken_over

MARCH = TakenOver(date(2026, 3, 12), 12)
MAY = TakenOver(date(2026, 5, 2), 20)


def lossy(route: Route, mode: float) -> Route:
    grain = replace(route.step("grain"), loss=Spread(0.0, mode, 0.2))
    return replace(route, steps=(grain, *route.steps[1:]))


def test_the_note_says_what_was_taken_over_and_once_only() -> None:
    route = marked(replace(ROUTE, note="Straw."), "grain", What.LOSS, MARCH)
    assert route.note == "Straw. Own records 2026-03-12 (12 lots): grain loss."
    route = marked(route, "fruiting", What.LOST_BEFORE, TakenOver(date(2026, 3, 12), 1))
    again = marked(route, "grain", What.LOSS, MAY)
    assert taken_over(again) == {
        ("fruiting", What.LOST_BEFORE): TakenOver(date(2026, 3, 12), 1),
        ("grain", What.LOSS): MAY,
    }
    assert again.note.startswith("Straw. Own records 2026-03-12 (1 lot): fruiting lost-before.")


def test_the_base_is_the_route_before_any_lots_were_in_it() -> None:
    first = lossy(ROUTE, 0.02)
    taken = marked(lossy(first, 0.05), "grain", What.LOSS, MARCH)
    retaken = marked(lossy(taken, 0.06), "grain", What.LOSS, MAY)
    for versions in ([first, taken], [first, taken, retaken]):
        base = base_of(versions, versions[-1])
        assert base("grain", What.LOSS) == first.step("grain")
        assert base("grain", What.DAYS) == versions[-1].step("grain")


def test_what_is_typed_by_hand_afterwards_is_the_routes_word_again() -> None:
    first = lossy(ROUTE, 0.02)
    taken = marked(lossy(first, 0.05), "grain", What.LOSS, MARCH)
    typed = lossy(taken, 0.10)
    retaken = marked(lossy(typed, 0.08), "grain", What.LOSS, MAY)
    assert base_of([first, taken, typed], typed)("grain", What.LOSS) == typed.step("grain")
    versions = [first, taken, typed, retaken]
    assert base_of(versions, retaken)("grain", What.LOSS) == typed.step("grain")


def test_a_change_of_something_else_leaves_the_base_alone() -> None:
    first = lossy(ROUTE, 0.02)
    taken = marked(lossy(first, 0.05), "grain", What.LOSS, MARCH)
    other = replace(taken, generation_limit=2)
    assert base_of([first, taken, other], other)("grain", What.LOSS) == first.step("grain")


def test_without_earlier_versions_the_route_in_force_stands() -> None:
    route = marked(ROUTE, "grain", What.LOSS, MARCH)
    assert base_of([route], route)("grain", What.LOSS) == route.step("grain")
    assert base_of([], route)("grain", What.LOSS) == route.step("grain")
