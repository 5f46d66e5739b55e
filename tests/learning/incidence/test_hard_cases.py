"""Records that say little or nonsense: sensible answers, no crash, no false certainty."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from learning.incidence.invented_farm import farm
from pinset.errors import InputError, RefusedError, Severity
from pinset.learning.incidence import doubts as doubts_module
from pinset.learning.incidence.fit import Fit, fit
from pinset.learning.incidence.inputs import Factor, Records, records
from pinset.learning.incidence.links import Link
from pinset.learning.incidence.rates import chance_in_the_end, lots_themselves, new_lots
from pinset.learning.incidence.report import confused, suspects


def cooks(index: list[int], levels: int = 2) -> list[Factor]:
    return [Factor("cook", tuple(f"cook {n}" for n in range(levels)), np.array(index, int))]


def sound(made: Records) -> Fit:
    """Fit, and hold everything that is reported to be a number within its range."""
    found = fit(made)
    assert found.settled
    for values in (found.mean, found.sd, found.scales.levels, found.at.objective):
        assert np.isfinite(values).all()
    assert (found.sd > 0.0).all()
    for outlook in (lots_themselves(found), new_lots(found)):
        chances = chance_in_the_end(found, outlook)
        assert ((chances >= 0.0) & (chances <= 1.0)).all()
    for suspect in suspects(found):
        assert 0.0 <= suspect.raised <= 1.0
        assert suspect.low < suspect.ratio < suspect.high
        assert np.isfinite([suspect.excess, suspect.learnt]).all()
    confused(found)
    return found


def ids(found: Fit) -> set[str]:
    return {finding.id.removeprefix("incidence.") for finding in found.findings}


@pytest.mark.parametrize("link", Link)
def test_all_clean(link: Link) -> None:
    found = sound(records(lost=np.zeros(20), risk=np.full(20, 50),
                          factors=cooks([n % 2 for n in range(20)]), link=link))  # fmt: skip
    assert ids(found) == {"all-clean"}
    assert all(suspect.raised < 0.5 and suspect.too_few_lots for suspect in suspects(found))
    assert chance_in_the_end(found, new_lots(found)).max() < 0.02


@pytest.mark.parametrize("link", Link)
def test_all_lost(link: Link) -> None:
    found = sound(records(lost=np.full(20, 50), risk=np.full(20, 50),
                          factors=cooks([n % 2 for n in range(20)]), link=link))  # fmt: skip
    assert ids(found) == {"all-lost"}
    assert all(suspect.raised < 0.5 and suspect.too_few_lots for suspect in suspects(found))
    assert chance_in_the_end(found, new_lots(found)).min() > 0.9


def test_one_lot() -> None:
    found = sound(records(lost=[5], risk=[50], factors=cooks([0], 1)))
    assert "one-lot" in ids(found)
    (suspect,) = suspects(found)
    assert suspect.too_few_lots
    assert suspect.raised < 0.5
    assert suspect.sd > 0.5


def test_one_level_tells_nothing_of_itself() -> None:
    found = sound(records(lost=[5, 9, 6, 8], risk=[50] * 4, factors=cooks([0] * 4, 1)))
    assert ids(found) == {"one-level"}
    assert suspects(found)[0].too_few_lots


def test_nothing_seen_yet() -> None:
    found = sound(records(lost=[0, 0], risk=[50, 50], log_showing=[-np.inf, -9.0],
                          factors=cooks([0, 1])))  # fmt: skip
    assert ids(found) == {"nothing-seen", "rows-left-out"}
    assert found.records.left_out == 2
    assert (found.sd[:2] > 0.5).all()


def test_no_lots_at_all() -> None:
    found = sound(records(lost=[], risk=[], factors=cooks([], 0)))
    assert "nothing-seen" in ids(found)
    assert suspects(found) == ()


def test_without_any_factor() -> None:
    found = sound(records(lost=[5, 9, 6, 8], risk=[50] * 4, factors=[]))
    assert found.mean.shape == (1,)


def test_a_level_without_lots_keeps_its_prior() -> None:
    found = sound(records(lost=[5, 9, 0, 1], risk=[50] * 4, factors=cooks([0, 0, 1, 1], 3)))
    idle = suspects(found)[2]
    assert (idle.lots, idle.mean, idle.excess) == (0, 0.0, 0.0)
    assert idle.sd == pytest.approx(found.scales.levels[0])
    assert idle.too_few_lots


def test_unknown_levels_take_no_part() -> None:
    index = [0, 1, -1] * 8
    lost = [1, 9, 4] * 8
    some = sound(records(lost=lost, risk=[50] * 24, factors=cooks(index)))
    assert [suspect.lots for suspect in suspects(some)] == [8, 8]
    assert some.mean[1] > 0.3 > -0.3 > some.mean[0]


def test_rows_too_early_are_left_out_and_counted() -> None:
    made = records(lost=[1, 0, 6, 0], risk=[50, 50, 50, 0], log_showing=[-8.0, -np.inf, -0.1, 0.0],
                   factors=cooks([0, 0, 1, 1]))  # fmt: skip
    assert (made.left_out, made.lost_left_out, len(made.lot)) == (3, 1, 1)
    assert made.lots == 4
    (left,) = [f for f in sound(made).findings if f.id == "incidence.rows-left-out"]
    assert left.severity is Severity.WARNING
    assert "with 1 contaminated" in left.sentence


def test_one_vessel_a_lot_and_huge_counts() -> None:
    sound(records(lost=[0, 1] * 10, risk=[1] * 20, factors=cooks([0, 1] * 10)))
    sound(records(lost=[900_000, 10], risk=[10**6] * 2, factors=cooks([0, 1])))


def test_far_apart_in_time_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    made = farm(2, 600, 10, far_apart=True).records
    assert "far-apart" not in ids(fit(made))
    monkeypatch.setattr(doubts_module, "SLOW_WORK", 1e5)
    assert "far-apart" in ids(fit(made))
    monkeypatch.setattr(doubts_module, "ENDLESS_WORK", 1e5)
    with pytest.raises(RefusedError, match="would take hours"):
        fit(made)


def test_local_crossing_is_cheap_and_far_crossing_is_not() -> None:
    near, far = (doubts_module.Model(farm(2, 6000, 10, far_apart=apart).records).order.shape
                 for apart in (False, True))  # fmt: skip
    assert near.blocks > 20
    assert 20.0 * near.work() < far.work()
    assert far.work() > doubts_module.SLOW_WORK > near.work()


GOOD: dict[str, Any] = {"lost": [1, 2], "risk": [5, 5]}


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"lost": [1, 6]}, "6 of 5 in row 1.*no more than were at risk"),
        ({"lost": [-1, 2]}, "-1.0 in row 0.*a whole number"),
        ({"lost": [1.5, 2]}, "1.5 in row 0"),
        ({"risk": [5, np.nan]}, "nan in row 1"),
        ({"risk": [5]}, "one for each of 2 rows"),
        ({"lost": [[1, 2]]}, "one count for each row"),
        ({"log_showing": [0.1, 0.0]}, "logarithm of a share"),
        ({"log_showing": [np.nan, 0.0]}, "logarithm of a share"),
        ({"log_showing": [-1.0, 0.0], "link": Link.LOGIT}, "none with the logit link"),
        ({"log_showing": [0.0]}, r"shape \(1,\)"),
        ({"lot": [0, 2], "made_day": [0.0, 1.0]}, "an index below 2"),
        ({"made_day": [0.0, np.inf]}, "finite number of days"),
        ({"design": [[1.0], [np.nan]], "columns": ["one"]}, "finite numbers"),
        ({"design": [[1.0], [1.0]], "columns": []}, r"shape \(2, 0\)"),
        ({"factors": cooks([0, 2])}, "an index from -1 to 1"),
        ({"factors": cooks([0])}, "for each of 2 lots"),
        ({"factors": [Factor("cook", ("a", "a"), np.zeros(2, int))]}, "names that differ"),
        ({"factors": [Factor("cook", ("a",), np.zeros(2, int), np.array([np.inf]))]}, "finite"),
    ],
)
def test_nonsense_is_refused(changed: dict[str, Any], words: str) -> None:
    with pytest.raises(InputError, match=words):
        records(**({"factors": cooks([0, 1])} | GOOD | changed))


def test_expected_effects_are_kept_where_nothing_speaks() -> None:
    centre: NDArray[np.float64] = np.array([0.0, 0.9])
    factor = Factor("cook", ("a", "b"), np.array([0, 1]), centre)
    found = sound(records(lost=[0, 0], risk=[50, 50], log_showing=[-9.0, -9.0], factors=[factor]))
    assert found.mean[:2] == pytest.approx(centre)
    assert [suspect.expected for suspect in suspects(found)] == [0.0, 0.9]
