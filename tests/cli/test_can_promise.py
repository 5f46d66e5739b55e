"""`pinset can-promise`: the answer for people and for programs, and what it refuses."""

from __future__ import annotations

import pytest

from cli.conftest import Terminal

FAR = ("--every", "fri", "--from", "2026-05-15")


def test_for_people(pinset: Terminal) -> None:
    said = pinset("can-promise", "oyster", "1", *FAR, "--certainty", "60")
    assert said.startswith(("Yes: 1 kg Grey oyster every Friday", "Not yet: ", "No: "))
    for part in ("Day by day", "What it takes", "By hand, with picking", "promised already",
                 "600 seasons", "A chance is no proof"):  # fmt: skip
        assert part.casefold() in said.casefold()
    assert "2026-05-15" in said


def test_for_programs(pinset: Terminal) -> None:
    answer = pinset.json("can-promise", "Grey oyster", "5", "--step", "grain", "--on", "2026-05-20")
    assert {"verdict", "sentence", "days", "cost", "numbers", "endangered", "short", "helps",
            "method", "seconds", "holds_from", "later_day"} <= set(answer)  # fmt: skip
    assert answer["question"]["amount"] == 5
    [day] = answer["days"]
    assert {"day", "amount", "chance", "expected", "is_enough"} == set(day)
    assert 0.0 <= day["chance"] <= 1.0
    assert (answer["verdict"] == "yes") == day["is_enough"]
    assert answer["seconds"] <= 10.0


def test_an_absurd_amount_is_a_no_with_reasons(pinset: Terminal) -> None:
    said = pinset("can-promise", "oyster", "5t", *FAR)
    assert said.startswith("No: 5000 kg Grey oyster every Friday")
    assert "Why it is not sure" in said


@pytest.mark.parametrize(
    ("asked", "why"),
    [
        (("gold", "1", *FAR), "VARIETY: 'gold' is not accepted; accepted is oyster"),
        (("oyster", "0", *FAR), "AMOUNT: '0'"),
        (("oyster", "-5", *FAR), "AMOUNT: '-5'"),
        (("oyster", "20000", *FAR), "at most 10,000 kg"),
        (("oyster", "1"), "--every: '' is not accepted; accepted is either"),
        (("oyster", "1", "--every", "someday"), "--every: 'someday'"),
        (("oyster", "1", "--on", "2026-03-11"), "--on: '2026-03-11'"),
        (("oyster", "1", "--on", "2027-03-11"), "no plan sees further ahead"),
        (("oyster", "1", *FAR, "--until", "2026-05-01"), "--until: '2026-05-01'"),
        (("oyster", "1", *FAR, "--certainty", "12"), "--certainty: '12'"),
        (("oyster", "1", *FAR, "--step", "fruiting"), "--step: 'fruiting'"),
        (("oyster", "1", *FAR, "--buyer", "nobody"), "--buyer: 'nobody'"),
    ],
)
def test_what_is_refused(pinset: Terminal, asked: tuple[str, ...], why: str) -> None:
    assert why in pinset("can-promise", *asked, status=1)
